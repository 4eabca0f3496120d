"""Findings about thin walls along a bore, outside the jaws."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import them
from turnsketch.plan_records import Finding, Pass
from turnsketch.planning.thin_walls import THIN_SHARE, ThinWall, thinnest_wall

__all__ = ["thin_wall_bored"]


def thin_wall_bored(view: PlanView) -> Iterator[Finding]:
    """A wall so thin that it springs under the cuts that make it, and comes out of round."""
    wall = thinnest_wall(view.part)
    bored = [p for p in view.passes("bore", "finish bore") if _along(view, p, wall)]
    if wall is None or not bored:
        return
    early = _finished_too_soon(view, wall)
    after = (
        f"; {them([p.number for p in early], 'finishes', 'finish')} its outside before the heavy "
        "boring, which warms and springs it"
        if early
        else ""
    )
    yield finding(
        "thin-wall-bored",
        "caution",
        f"a wall of {view.text(wall.wall)} stays at Ø{view.text(wall.diameter)} from "
        f"{view.z(wall.high + view.zero)} to {view.z(wall.low + view.zero)}: thinner than "
        f"{THIN_SHARE:g} of the diameter, it springs and rings under the cuts (common practice)"
        f"{after}",
        ("rough in and out before any last cut, " if early else "")
        + "take light last cuts with a keen edge, let it cool before them, and damp it: a plug in "
        "the bore while the outside is cut, a band around it while the bore is",
        pass_number=(early or bored)[0].number,
        z=(wall.low + wall.high) / 2 + view.zero,
    )


def _along(view: PlanView, made: Pass, wall: ThinWall | None) -> bool:
    """Return whether a pass cuts along a wall."""
    if wall is None:
        return False
    places = [m.to.z - view.zero for m in made.moves if m.kind == "cut"]
    return bool(places) and min(places) < wall.high - 1.0


def _finished_too_soon(view: PlanView, wall: ThinWall) -> list[Pass]:
    """Return the last cuts on the outside that come before the bore is roughed."""
    rough = [p.number for p in view.passes("bore") if _along(view, p, wall)]
    if not rough:
        return []
    return [
        p
        for p in view.passes("finish")
        if p.section == wall.section and p.last_on_surface and p.number < max(rough)
    ]
