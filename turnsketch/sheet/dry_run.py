"""The closest approaches to jaws, centre and shoulders, to be walked by hand before the work."""

from __future__ import annotations

from turnsketch.checking.records import Clearance, SetupReplay
from turnsketch.plan_records import Pass, SetupPlan
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import DryRunLine

__all__ = ["MOST_LINES", "dry_run_lines"]

MOST_LINES = 5


def dry_run_lines(
    setup: SetupPlan, played: SetupReplay, numbers: Numbers
) -> tuple[DryRunLine, ...]:
    """Return the five closest approaches of a setup, closest first.

    One tool piece and one danger are named once, at their closest; what a tool cuts is no danger.
    """
    steps = {step.number: step for step in setup.passes}
    closest: dict[tuple[int, str, str], tuple[Clearance, Pass]] = {}
    for result in played.passes:
        step = steps.get(result.number)
        for found in (result.obstacle_clearance, result.holder_clearance):
            if step is None or found is None:
                continue
            key = step.tool, _body(found.name), _piece(found.piece)
            if key not in closest or found.distance_mm < closest[key][0].distance_mm:
                closest[key] = found, step
    ordered = sorted(closest.items(), key=lambda item: item[1][0].distance_mm)
    return tuple(_line(key, found, step, numbers) for key, (found, step) in ordered[:MOST_LINES])


def _body(name: str) -> str:
    return "shoulder" if name == "metal" else name


def _piece(name: str) -> str:
    """Return a tool piece as one calls it: a form tool's slices are one edge."""
    return name.rstrip("0123456789 ")


def _line(key: tuple[int, str, str], found: Clearance, step: Pass, numbers: Numbers) -> DryRunLine:
    tool, body, piece = key
    index = min(max(found.move, 1), len(step.readings)) - 1
    at = step.readings[index]
    move = step.moves[index]
    word = {"cut": "cutting to", "thread": "threading to"}.get(move.kind, "going to")
    place = numbers.near(found.place.z)
    on_diameter = numbers.near(2 * found.place.r).lstrip("+")
    return DryRunLine(
        f"{step.number}",
        f"T{tool} {piece}",
        f"{body} at Z {place}, Ø{on_diameter}",
        f"{word} X {numbers.x(at.x)}, Z {numbers.z(at.z)}",
        numbers.length(round(found.distance_mm, 2)),
    )
