"""A measure stop in words, and the last chance of a finishing cut."""

from __future__ import annotations

from collections.abc import Container, Sequence
from typing import Literal

from turnsketch.plan_records import Pass
from turnsketch.readings.corrections import warm_growth_mm
from turnsketch.sheet.motions import diameter_left, finished_x, motions_of
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetRow
from turnsketch.shop.records import Material
from turnsketch.units import INCH_MM, from_mm

__all__ = ["WARM_KELVIN", "last_chance", "measure_row", "stop_case"]

WARM_KELVIN = 20.0
"""How much warmer than the room a part is just after a cut (common practice's example)."""

_LEAST_WARM_MM = 0.001
_WIDE_MM = 0.1
"""Tolerances above this are read with a caliper: warmth plays no part."""

Case = Literal["kept", "moved", "other tool", "check"]


def stop_case(passes: Sequence[Pass], index: int, swivels: Container[int] = ()) -> Case:
    """Say how the present X stands to the surface that is measured before pass `index`.

    kept: the same tool cut it and X stands where it cut. moved: the same tool cut it, but X was
    moved since. other tool: another tool cut it; measuring it tells nothing of this tool's X until
    this tool touches it. check: another tool cut it, and this tool's X was set at an earlier stop.
    A swivel of the top slide before a pass (`swivels`, by index) loses what was set before it.
    """
    stop = passes[index].measure
    assert stop is not None
    lost = False
    for back in range(index - 1, -1, -1):
        step = passes[back]
        lost = lost or back + 1 in swivels
        if _made(step, stop.at_z):
            if lost or step.tool != passes[index].tool:
                return "check" if _set_before(passes, index, swivels) else "other tool"
            return "kept" if back == index - 1 and _keeps_x(step) else "moved"
    return "other tool"


def _set_before(passes: Sequence[Pass], index: int, swivels: Container[int]) -> bool:
    """Tell whether this tool's X was set by an earlier stop, and the tool not changed since."""
    for back in range(index - 1, -1, -1):
        if back + 1 in swivels or passes[back].tool != passes[index].tool:
            return False
        if passes[back].measure is not None and stop_case(passes, back, swivels) != "check":
            return True
    return False


def _made(step: Pass, at_z: Sequence[float]) -> bool:
    """Tell whether a pass turned the diameter at the places of a stop."""
    here = step.start
    for move in step.moves:
        along = move.kind == "cut" and move.centre is None and abs(move.to.r - here.r) < 1e-9
        low, high = sorted((here.z, move.to.z))
        if along and all(low - 1e-9 <= z <= high + 1e-9 for z in at_z):
            return True
        here = move.to
    return False


def _keeps_x(step: Pass) -> bool:
    """Tell whether X stands where it cut when the pass is over."""
    motions = motions_of(step)
    cuts = [i for i, motion in enumerate(motions) if motion.cut]
    if not cuts:
        return False
    return step.keep_x or all(m.axis == "Z" for m in motions[cuts[-1] + 1 :])


_ENTER: dict[Case, str] = {
    "kept": "Leave X where it cut. {measure} Enter what you measured as the present X and go on "
    "as printed",
    "moved": "{measure} X was moved since this was cut: add measured minus expected to the X "
    "shown, enter that, and go on as printed",
    "check": "{measure} This checks alone: T{tool} is set, enter nothing",
    "other tool": "{measure} Touch T{tool} on it and enter what you measured as X",
}


def measure_row(
    passes: Sequence[Pass],
    index: int,
    numbers: Numbers,
    material: Material | None,
    swivels: Container[int] = (),
) -> SheetRow:
    """Return the row of the measure stop before pass `index`; `swivels` as in `stop_case`."""
    step = passes[index]
    stop = step.measure
    assert stop is not None
    places = tuple(f"Z {numbers.signed(z)}" for z in stop.at_z)
    case = stop_case(passes, index, swivels)
    measure = (
        f"STOP the spindle. {_cool(step, numbers, material)}Measure at {', '.join(places)} with "
        f"{stop.instrument}{_checked(stop.instrument)}."
    )
    words = _ENTER[case].format(measure=measure, tool=step.tool)
    if case in ("kept", "moved"):
        least = 0.01 if numbers.units == "mm" else 0.0005
        words += f"; a difference above {numbers.x(max(numbers.x_step, least))}: call"
    return SheetRow(
        "measure", "M", step.number, step.tool, words=f"{words}.", notes=(stop.reason,),
        expected=numbers.diameter(stop.expected_diameter), places=places,
    )  # fmt: skip


def _cool(step: Pass, numbers: Numbers, material: Material | None) -> str:
    """Return the cooling line, with what a warm part reads too large where that matters."""
    stop, size = step.measure, step.size
    assert stop is not None
    wide = size is None or size.lower is None or size.upper is None
    if wide or size.upper - size.lower > _WIDE_MM:  # type: ignore[operator, union-attr]
        return ""
    expansion = material.expansion_um_m_k if material else 11.5
    grown = warm_growth_mm(stop.expected_diameter, WARM_KELVIN, expansion)
    if grown < _LEAST_WARM_MM:
        return "Let it cool. "
    return f"Let it cool ({WARM_KELVIN:.0f} K warm it reads {numbers.fine(grown)} too large). "


def _checked(instrument: str) -> str:
    return " (first check it with its standard)" if "micrometer" in instrument else ""


def last_chance(step: Pass, numbers: Numbers) -> str:
    """Return how far X may go too deep before a finished diameter is scrap; empty without one.

    Display units on diameter: the printed X less the lower limit, in a bore the upper limit less
    X. A figure that is too fine for the readout has one decimal more.
    """
    size = step.size
    x = finished_x(step) if step.direction == "turn" or diameter_left(step) is not None else None
    if not step.last_on_surface or size is None or size.lower is None or x is None:
        return ""
    spare = x - from_mm(size.lower, numbers.units)
    if step.inside:
        if size.upper is None:
            return ""
        spare = from_mm(size.upper, numbers.units) - x
    least = 5e-4 if numbers.units == "mm" else 5e-4 / INCH_MM
    return numbers.spare(spare) if spare > least else ""
