"""How a cone is fitted to its gauge: the line in its detail, the stop before its last cut."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from turnsketch.part.outline_records import ResolvedCone
from turnsketch.plan_records import Pass, SetupPlan, TaperSetting
from turnsketch.sheet.motions import main_cut, parts_of
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetRow
from turnsketch.units import to_mm

__all__ = ["cone_fit_words", "fit_rows"]


def cone_fit_words(taper: TaperSetting, cone: ResolvedCone | None, numbers: Numbers) -> str:
    """Return the cone fit line: a gauge that stands off by e wants e x C on diameter.

    Parameters
    ----------
    cone : ResolvedCone, optional
        The standard's cone that the section is, where the print names one.
    """
    ratio = 2 * math.tan(taper.half_angle)
    off = "1.00" if numbers.units == "mm" else ".100"
    on_diameter = ratio * float(off)
    figure = f"{on_diameter:.3f}" if numbers.units == "mm" else f"{on_diameter:.4f}".lstrip("0")
    gauge, push = _gauge(cone)
    words = (
        f"Fit: blue {gauge}, {push} and turn it; blue must rub off along the whole cone. "
        f"Where it stands off by e, feed in e × {ratio:.4g} on Ø ({off} off: {figure})."
    )
    return words if cone is None else f"{words} {_line_words(cone, numbers)}"


def _line_words(cone: ResolvedCone, numbers: Numbers) -> str:
    """Say where the gauge's line belongs."""
    if cone.inside:
        return f"Its line (Ø{numbers.fine(cone.gauge)}) ends level with the mouth."
    most = numbers.length(cone.standard_out)
    return (
        f"Its line (Ø{numbers.fine(cone.gauge)}) may stand up to {most} behind the cone's large "
        f"end; planned is {numbers.length(cone.stands_out)}."
    )


def _gauge(cone: ResolvedCone | None) -> tuple[str, str]:
    """Return the gauge's name, and how it is brought to the cone."""
    inside = cone is not None and cone.inside
    kind = "plug" if inside else "ring"
    name = "the gauge" if cone is None else f"the {cone.name} {kind} gauge"
    return name, "push it in" if inside else "push it on"


def fit_rows(
    setup: SetupPlan, cones: Sequence[ResolvedCone], numbers: Numbers
) -> Mapping[int, SheetRow]:
    """Return the stop before the last cut of each named cone, by the index of that pass.

    Behind the last cut it is too late to correct the angle. Where the gauge then stands follows
    from what the last cut still takes off: on diameter, over the taper.
    """
    found: dict[int, SheetRow] = {}
    passes = setup.passes
    for cone in cones:
        cuts = [
            i for i, step in enumerate(passes)
            if step.section == cone.section and step.direction == "taper" and step.taper
        ]  # fmt: skip
        if len(cuts) > 1:
            last = passes[cuts[-1]]
            centre = setup.centre is not None and not cone.inside
            words = _stop_words(passes[cuts[-2]], last, cone, numbers, centre=centre)
            found[cuts[-1]] = SheetRow("fit", "F", last.number, last.tool, words=words)
    return found


def _stop_words(
    before: Pass, last: Pass, cone: ResolvedCone, numbers: Numbers, *, centre: bool
) -> str:
    """Return the stop in words; `centre`: it is in the gauge's way."""
    assert last.taper is not None
    gauge, push = _gauge(cone)
    words = [
        f"STOP the spindle, X clear{', centre out' if centre else ''}. Clean the cone, blue "
        f"{gauge}, {push}, turn it: blue must rub off along the whole cone. At one end alone: "
        f"correct the angle by the slide's scale, touch T{last.tool} again, cut pass "
        f"{before.number} again."
    ]
    here, goal = (main_cut(parts_of(step)[1]).before for step in (before, last))
    if math.isclose(here.z, goal.z, abs_tol=1e-6):
        ratio = 2 * math.tan(last.taper.half_angle)
        left = to_mm(abs(here.x - goal.x), numbers.units) / ratio
        off = left if cone.inside else left + cone.stands_out
        where = "in front of the mouth" if cone.inside else "from the cone's large end"
        way = "larger" if cone.inside else "smaller"
        words.append(
            f"Its line now stands {numbers.near(off).lstrip('+')} {numbers.unit} {where}; farther "
            f"by e: X of pass {last.number} {way} by e × {ratio:.4g}."
        )
    if centre:
        words.append("Centre in again.")
    return " ".join(words)
