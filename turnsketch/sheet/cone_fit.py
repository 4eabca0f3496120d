"""The line that says how a cone is fitted to its gauge."""

from __future__ import annotations

import math

from turnsketch.part.outline_records import ResolvedCone
from turnsketch.plan_records import TaperSetting
from turnsketch.sheet.numbers import Numbers

__all__ = ["cone_fit_words"]


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
    inside = cone is not None and cone.inside
    gauge = "the gauge" if cone is None else f"the {cone.name} {'plug' if inside else 'ring'} gauge"
    push = "push it in" if inside else "push it on"
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
