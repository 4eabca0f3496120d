"""What is cheaper than a step table for a taper that is too long for the top slide."""

from __future__ import annotations

import math
from dataclasses import dataclass

from turnsketch.readings.tapers import scale_reading_deg, set_over_mm
from turnsketch.shop.records import Lathe

__all__ = ["LongTaper", "long_taper"]


@dataclass(frozen=True, slots=True)
class LongTaper:
    """Ways of a long taper. Millimetres and degrees; null: this lathe cannot."""

    set_over_mm: float | None
    """Between centres: how far the tailstock is set over."""
    stretches: int | None
    """By the top slide: so many stretches, the carriage locked anew for each."""
    scale_deg: float | None
    """What the top slide's scale shows then."""


def long_taper(half_angle: float, axial_mm: float, work_mm: float, lathe: Lathe) -> LongTaper:
    """Return the ways of a taper that no means of the lathe turns as the work is held now.

    Parameters
    ----------
    half_angle : float
        To the axis, radians, above 0 and below a right angle.
    axial_mm : float
        Length of the taper along the axis.
    work_mm : float
        Length of the work, as it would stand between centres.
    """
    over = set_over_mm(work_mm, half_angle)
    fits = 0 < over <= lathe.set_over_mm and work_mm <= lathe.between_centres_mm
    slide, stretches, scale = lathe.top_slide, None, None
    if slide is not None and slide.travel_mm > 0:
        shown = scale_reading_deg(half_angle, slide.scale_zero)
        if shown <= slide.greatest_angle_deg:
            stretches = math.ceil(axial_mm / math.cos(half_angle) / slide.travel_mm)
            scale = shown
    return LongTaper(over if fits else None, stretches, scale)
