"""Findings about grooves: not made, or in the wrong place of the order."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import them
from turnsketch.part.outline_records import ResolvedGroove
from turnsketch.part.records import AT_SHOULDER
from turnsketch.plan_records import Finding, Pass
from turnsketch.planning.necks import weak_cores
from turnsketch.shop.records import Tool

__all__ = ["cuts_on_weak_core", "groove_after_finish", "groove_not_made", "relief_after_thread"]

_SAME_MM = 1e-3
_SIZE_MM = 0.05
_WALLED = ("plain", "ring")


def groove_not_made(view: PlanView) -> Iterator[Finding]:
    """A groove of the print that no pass makes, and why."""
    for groove in view.part.grooves:
        if any(_makes(p, groove) for setup in view.plan.setups for p in setup.passes):
            continue
        reason, remedy = _why(view, groove)
        high, low = _ends(groove)
        place = view.at(view.maker((high + low) / 2, groove.section))
        yield finding(
            "groove-not-made",
            "caution",
            f"no pass makes the {groove.label}: {reason}",
            remedy,
            z=(high + low) / 2 + place.zero,
            setup=place.setup.number,
        )


def _makes(made: Pass, groove: ResolvedGroove) -> bool:
    return made.operation == "groove" and made.surface == groove.label


def _cut(view: PlanView) -> Iterator[tuple[ResolvedGroove, list[Pass]]]:
    """Yield the grooves that this setup cuts, each with the passes that make it."""
    for groove in view.part.grooves:
        made = [p for p in view.setup.passes if _makes(p, groove)]
        if made:
            yield groove, made


def _ends(groove: ResolvedGroove) -> tuple[float, float]:
    """Return the greatest and the least z of a groove, part frame."""
    places = [p.z for e in groove.elements for p in (e.start, e.end)]
    return max(places), min(places)


def _why(view: PlanView, groove: ResolvedGroove) -> tuple[str, str]:
    """Return the reason and the remedy."""
    high, low = _ends(groove)
    wide, deep = high - low, _depth(groove)
    if groove.inside:
        in_bore = _why_in_bore(view, groove)
        if in_bore is not None:
            return in_bore
    blades = _blades(view, groove)
    if groove.kind in _WALLED and blades:
        narrowest = min(t.width_mm for t in blades)
        if narrowest > wide + 1e-3:
            return (
                f"it is {view.text(wide)} wide, and the narrowest blade of the shop file "
                f"{view.text(narrowest)}",
                f"grind a blade no wider than {view.text(wide)}, or ask whether the groove may be "
                "wider",
            )
        longest = max(_reach(t) for t in blades if t.width_mm <= wide + 1e-3)
        if longest < deep:
            return (
                f"it is {view.text(deep)} deep, and the blades that fit into it reach no deeper "
                f"than {view.text(longest)}",
                "take a blade with a longer reach",
            )
    if groove.kind in _WALLED and not blades:
        return "the shop file has no blade for it", "enter a grooving blade in the shop file"
    listed = [
        operation
        for setup in view.plan.setups
        for operation in setup.operations
        if operation.kind == "groove" and operation.first_pass is None
    ]
    if listed:
        tools = ", ".join(f"T{n}" for n in dict.fromkeys(o.tool for o in listed))
        return (
            f"{tools} does not come down into it",
            "take a tool whose edges clear its walls, or grind a bit to its form",
        )
    return (
        "no operation does, or no tool of the shop file gets into it",
        "add a grooving operation; if there is one, grind a bit to the groove's form",
    )


def _blades(view: PlanView, groove: ResolvedGroove) -> list[Tool]:
    if groove.inside:
        return [t for t in _bars(view, groove) if t.kind == "inside grooving"]
    return [t for t in view.shop.tools if t.kind == "parting"]


def _why_in_bore(view: PlanView, groove: ResolvedGroove) -> tuple[str, str] | None:
    """Return why no bar makes a bore's groove, and the remedy; None where one gets there."""
    bars = _bars(view, groove)
    if not bars:
        what = "grooving bar" if groove.kind in _WALLED else "grooving bar or undercut bit"
        return (
            f"no {what} of the shop file goes into Ø{view.text(2 * _surface(groove))}",
            "enter a slimmer one in the shop file",
        )
    longest, needed = max(t.length_mm for t in bars), _far_in(view, groove)
    if longest < needed:
        return (
            f"it ends {view.text(needed)} deep in the bore, and the bars that go in reach only "
            f"{view.text(longest)}",
            "take a longer bar",
        )
    return None


def _bars(view: PlanView, groove: ResolvedGroove) -> list[Tool]:
    """Return the tools for such a groove that go into its bore."""
    kinds: tuple[str, ...] = ("inside grooving",)
    if groove.kind not in _WALLED:
        kinds = (*kinds, "boring")
    if groove.kind == "vee":
        kinds = (*kinds, "inside threading")
    most = 2 * _surface(groove) + _SIZE_MM
    return [t for t in view.shop.tools if t.kind in kinds and 0.0 < t.least_bore_mm <= most]


def _far_in(view: PlanView, groove: ResolvedGroove) -> float:
    """Return how deep in its bore a groove ends."""
    high, low = _ends(groove)
    bore = view.part.bore
    in_front = bore is not None and groove.section in bore.numbers
    return -low if in_front else view.part.total_length + high


def _reach(tool: Tool) -> float:
    return tool.reach_mm


def _depth(groove: ResolvedGroove) -> float:
    return abs(_surface(groove) - groove.diameter.aim / 2)


def _surface(groove: ResolvedGroove) -> float:
    """Return the radius of the cylinder or bore in which a groove stands."""
    ends = (groove.elements[0].start.r, groove.elements[-1].end.r)
    return max(ends) if groove.inside else min(ends)


def groove_after_finish(view: PlanView) -> Iterator[Finding]:
    """A groove cut after the last cut on its seat: the burr stands on the finished surface.

    Where a bore's relief or undercut runs out gently there is hardly one, and at a flat bottom it
    is cut last; so is one that leaves a weak core.
    """
    weak = weak_cores(view.part)
    for groove, made in _cut(view):
        if (groove.inside and groove.kind in AT_SHOULDER) or groove in weak:
            continue
        finished = [
            p
            for p in view.setup.passes
            if p.section == groove.section
            and p.last_on_surface
            and p.operation in ("finish", "finish bore")
            and p.size is not None
        ]
        section = view.section(groove.section)
        if not finished or section is None:
            continue
        if made[-1].number < finished[-1].number:
            continue
        yield finding(
            "groove-after-finish",
            "caution",
            f"pass {made[0].number} cuts the {groove.label} after the last cut on "
            f"{section.label} (pass {finished[-1].number}): its burr spoils the surface",
            "move grooving before finishing",
            pass_number=made[0].number,
        )


def cuts_on_weak_core(view: PlanView) -> Iterator[Finding]:
    """Cuts in front of a groove that has left a weak core: it bends, or shears off."""
    if view.on_centre:
        return
    weak = weak_cores(view.part)
    for groove, made in _cut(view):
        if groove not in weak:
            continue
        front = _ends(groove)[0] + view.zero
        after = [
            p
            for p in view.setup.passes
            if p.number > made[-1].number and p.operation != "part off" and _in_front(p, front)
        ]
        if after:
            yield finding(
                "weak-core",
                "caution",
                f"pass {made[0].number} leaves a core of Ø{view.text(groove.diameter.aim)} in the "
                f"{groove.label}, and {them([p.number for p in after], 'cuts', 'cut')} in front "
                "of it afterwards: it bends, or is torn off",
                "move the groove behind them, or put the tailstock centre in",
                pass_number=after[0].number,
                z=front,
            )


def _in_front(made: Pass, z: float) -> bool:
    """Return whether a pass cuts in front of a place."""
    if made.direction == "drill":
        return True  # from the tailstock, through what the core carries
    here = made.start
    for move in made.moves:
        if move.kind != "position" and max(here.z, move.to.z) > z + _SAME_MM:
            return True
        here = move.to
    return False


def relief_after_thread(view: PlanView) -> Iterator[Finding]:
    """A thread cut before the relief that its tool should run out into."""
    for groove, made in _cut(view):
        threads = [
            p
            for p in view.setup.passes
            if p.operation in ("thread", "tap", "die") and p.section == groove.section
        ]
        if groove.kind != "thread relief" or not threads:
            continue
        if made[0].number > threads[0].number:
            yield finding(
                "relief-after-thread",
                "caution",
                f"pass {threads[0].number} threads before pass {made[0].number} cuts the "
                f"{groove.label}: the tool has nothing to run out into",
                "move the relief before the thread",
                pass_number=threads[0].number,
            )
