"""The standing words of the sheet: preflight, cautions, instruments, coolant.

The sheet defers to the shop's rules, the machine's manual, local codes and a licensed or
authorised person, and never promises safety.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from turnsketch.part.outline_records import InspectionRow
from turnsketch.plan_records import Pass, Plan, SetupPlan, WarmGrowth
from turnsketch.planning.measure import inside_instrument_for
from turnsketch.readings.corrections import warm_growth_mm
from turnsketch.sheet.bore_rows import is_for_bores, plug_gauge
from turnsketch.sheet.length_rows import length_instrument
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetInput
from turnsketch.shop.records import Dial, Readout
from turnsketch.units import Units, from_mm

__all__ = ["GENERAL_CAUTIONS", "centre_lines", "dial_words", "instruments", "preflight"]

_DOG = (
    "Dog and driver: dog tight on the bar, brass under its screw where the surface counts; its "
    "tail in the driver's slot and not on the slot's ground; nothing loose; guard on; turn it "
    "round by hand once."
)
"""Common practice."""

_INDICATOR = "dial indicator on a stand"

_WARM_BAR_KELVIN = 30.0
"""How much a long bar warms in roughing (common practice's example)."""

GENERAL_CAUTIONS = (
    "No gloves at turning work; no loose sleeves, ring or watch; hair tied. Eye protection on.",
    "Take the chuck key out at once. Never start with it in the chuck.",
    "Stop the spindle to measure, to set or change a tool, and to clear chips: brush or hook, "
    "never by hand.",
    "Never wrap emery cloth round the work. File left-handed, with a handle, clear of the jaws.",
    "Before each tool's first cut, walk its way by hand with the spindle off: jaws, shoulders, "
    "centre.",
    "These figures are calculated, not proven. The shop's rules, the machine's manual, local "
    "codes and the authorised person come before this sheet.",
)


def preflight(readout: Readout, dial: Dial, units: Units) -> tuple[str, ...]:
    """Return what is checked once before the first cut, for this readout's signs."""
    z_up = (
        "up" if readout.counts_z_up_away_from_chuck else "DOWN (this readout counts the other way)"
    )
    x_up = "up" if readout.counts_x_up_outward else "DOWN (this readout counts the other way)"
    lines = [
        f"Move the carriage away from the chuck: Z must count {z_up}.",
        f"Move the cross slide outward: X must count {x_up}.",
        "Indicator on the cross slide: where it shows 1.00, X must go by 2.00 (X is a diameter)."
        if units == "mm"
        else "Indicator on the cross slide: where it shows .050, X must go by .100 "
        "(X is a diameter).",
        f"Cross dial: {dial_words(dial)}.",
        "Last motion onto every reading in the cutting direction. Overshot: back half a turn and "
        "come again. Count turns after the slack is out.",
        'Power feed: knock it off at "power until", the rest by wheel.',
    ]
    if not (readout.counts_z_up_away_from_chuck and readout.counts_x_up_outward):
        lines.append("Set the readout's signs as this sheet has them before you begin.")
    return tuple(lines)


def dial_words(dial: Dial) -> str:
    """Return how a dial counts: "5 mm on diameter a turn, 100 divisions of 0.05"."""
    what = "on diameter" if dial.reads == "diameter" else "of travel"
    unit = "mm" if dial.unit == "mm" else "in"
    one = dial.per_turn / dial.divisions
    words = (
        f"{dial.per_turn:g} {unit} {what} a turn, {dial.divisions} divisions of {one:.4g} {unit}"
    )
    if dial.reads == "travel":
        words += " (twice that on diameter)"
    return words


def centre_lines(given: SheetInput, setup: SetupPlan, numbers: Numbers) -> tuple[str, ...]:
    """Return what the tailstock centre asks for; nothing without one (common practice)."""
    holding = given.job.setups[setup.number - 1].holding
    if not holding.centre and setup.centre is None:
        return ()
    lines = [_DOG] if holding.kind == "between centres" else []
    for warm in _warm(given, setup):
        lines.append(
            f"Centre: snug, and eased when the bar warms: {numbers.length(warm.size_mm)} "
            f"{numbers.unit} grow {numbers.fine(warm.growth_mm)} at {warm.kelvin:.0f} K."
        )
    if setup.ends_check is None:
        lines.append(
            "Centre: after the first cut measure both ends; half the difference is the "
            "tailstock's error. Thicker at the tailstock: move it toward you."
        )
    return tuple(lines)


def _warm(given: SheetInput, setup: SetupPlan) -> tuple[WarmGrowth, ...]:
    """Return how the bar grows in length; the plan's figures where it has them."""
    found = tuple(warm for warm in setup.warm if warm.what == "length")
    if found or setup.stick_out_mm <= 0:
        return found
    expansion = given.material.expansion_um_m_k if given.material else 11.5
    grown = warm_growth_mm(setup.stick_out_mm, _WARM_BAR_KELVIN, expansion)
    return (WarmGrowth("length", setup.stick_out_mm, _WARM_BAR_KELVIN, grown),)


def _micrometer(diameter_mm: float, units: Units) -> str:
    """Return the micrometer for a size by its usual range: 25 mm or one inch wide."""
    step = 25.0 if units == "mm" else 1.0
    size = from_mm(diameter_mm, units)
    low = math.floor(size / step + 1e-9) * step
    unit = "mm" if units == "mm" else "in"
    if abs(size - low) < 1e-9 * step and low > 0:
        return f"micrometers {low - step:g}-{low:g} and {low:g}-{low + step:g} {unit}"
    return f"micrometer {low:g}-{low + step:g} {unit}"


def _for_row(row: InspectionRow, units: Units, *, inside: bool) -> Iterable[str]:
    size = row.size
    width = size.upper - size.lower
    if row.reference:
        return
    if row.quantity == "diameter" and inside:
        yield inside_instrument_for(size.aim, size.aim, width, units)
    elif row.quantity == "diameter" and width <= 0.1:
        # The size may fall on either side of a range's end: both limits are asked.
        yield from dict.fromkeys(_micrometer(d, units) for d in (size.lower, size.upper))
    elif row.quantity == "length" and "gauge line" in row.what:
        yield f"{row.text} {'plug' if inside else 'ring'} gauge and marking blue"
    elif row.quantity == "length":
        yield length_instrument(row)
    elif row.quantity == "thread":
        yield from _thread_gauges(row)
    elif row.quantity == "tie":
        yield _INDICATOR
    elif row.quantity in ("diameter", "chamfer"):
        yield "caliper"
    elif row.quantity == "angle":
        yield "bevel protractor"
    else:
        yield "radius gauges"


def _thread_gauges(row: InspectionRow) -> Iterable[str]:
    """Return what a thread is checked with: a plug gauge in a bore, outside a pitch gauge too."""
    if "plug gauge" in row.what:
        yield f"plug gauge {row.text}"
    elif "three wires" in row.what:
        yield row.what.partition("over ")[2]
        yield "pitch gauge"


def instruments(given: SheetInput) -> tuple[str, ...]:
    """Return the instruments that the measure stops and the inspection need, once each."""
    found: dict[str, None] = {}
    for step in _steps(given.plan):
        if step.measure is not None:
            found[step.measure.instrument] = None
        if step.operation == "ream":
            found[plug_gauge(step, Numbers.of(given.job.units, given.lathe.readout))] = None
    units = given.job.units
    for row in given.part.inspection:
        for name in _for_row(row, units, inside=is_for_bores(given, row.section)):
            if not any(_same_range(name, other) for other in found):
                found[name] = None
    found[_INDICATOR] = None  # the preflight asks for it on every job
    if any("micrometer" in name for name in found):
        found["setting standard for each micrometer"] = None
    # A stop may ask for one micrometer and a later one for the same and its neighbour.
    return tuple(name for name in found if not _covered(name, found))


def _same_range(name: str, other: str) -> bool:
    """Tell whether a micrometer is named already by its range."""
    if name == other:
        return True
    return bool(_ranges(name)) and _ranges(name) <= _ranges(other)


def _covered(name: str, every: Iterable[str]) -> bool:
    """Tell whether a plain micrometer is one of several that another line names."""
    plain = name.startswith("micrometer")
    return plain and any(_ranges(name) < _ranges(other) for other in every)


def _ranges(name: str) -> set[str]:
    """Return the ranges of the micrometers that a name tells of, "0-25"."""
    return {word for word in name.split() if "-" in word} if "micrometer" in name else set()


def _steps(plan: Plan) -> Iterable[Pass]:
    for setup in plan.setups:
        yield from setup.passes
