"""How a taper is moved: every means that the lathe has, and why it has not the others.

``C = (D - d) / L = 2 tan(half angle)``. A slide is set to the *half* angle. The tailstock set-over
is ``S = L sin(half angle)`` with L the length *between centres*, not the taper's own; the shop
rule ``S = L C / 2`` is a little more.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from turnsketch.plan_records import TaperSetting
from turnsketch.shop.records import Lathe, TopSlide

__all__ = [
    "Refusal",
    "TaperMeans",
    "half_angle_from_per_foot",
    "half_angle_from_ratio",
    "rise_over",
    "scale_reading_deg",
    "set_over_by_rule",
    "set_over_mm",
    "taper_means",
    "taper_settings",
]

Means = Literal["top slide", "set-over", "taper attachment", "guided"]

_CHECK_TRAVEL_MM: Final = 50.0
_ANGLE_DUST: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Refusal:
    """A means of taper that cannot be used, and why."""

    means: Means
    reason: str


@dataclass(frozen=True, slots=True)
class TaperMeans:
    """The means that work, the best first, and those that do not."""

    settings: tuple[TaperSetting, ...]
    refused: tuple[Refusal, ...]


def half_angle_from_ratio(ratio: float) -> float:
    """Return the half angle in radians of a taper 1:x given as ``C = 1/x``."""
    return math.atan(ratio / 2)


def half_angle_from_per_foot(inches_per_foot: float) -> float:
    """Return the half angle in radians of a taper in inches of diameter a foot."""
    return half_angle_from_ratio(inches_per_foot / 12)


def set_over_mm(between_centres_mm: float, half_angle: float) -> float:
    """Return the exact tailstock set-over ``L sin(half angle)``, in the unit of the length."""
    return between_centres_mm * math.sin(half_angle)


def set_over_by_rule(between_centres_mm: float, ratio: float) -> float:
    """Return the set-over after the shop rule ``L C / 2``, in the unit of the length."""
    return between_centres_mm * ratio / 2


def scale_reading_deg(half_angle: float, zero: Literal["along", "across"]) -> float:
    """Return what the top slide's scale shows, degrees.

    The scale of many lathes has its zero with the slide across the spindle: there 30 degrees to
    the axis reads 60.
    """
    degrees = math.degrees(half_angle)
    return degrees if zero == "along" else 90.0 - degrees


def rise_over(half_angle: float, means: Means, travel_mm: float = _CHECK_TRAVEL_MM) -> float:
    """Return the indicator's rise to check a setting, millimetres.

    The top slide itself travels along the taper (sine); with the other means it is the carriage,
    along the spindle (tangent).
    """
    ratio = math.sin(half_angle) if means == "top slide" else math.tan(half_angle)
    return travel_mm * ratio


def taper_settings(
    half_angle: float,
    axial_length_mm: float,
    lathe: Lathe,
    *,
    between_centres_mm: float | None = None,
    rises_toward_chuck: bool = True,
) -> tuple[TaperSetting, ...]:
    """Return the settings of every means that can turn the taper; see `taper_means`."""
    return taper_means(
        half_angle,
        axial_length_mm,
        lathe,
        between_centres_mm=between_centres_mm,
        rises_toward_chuck=rises_toward_chuck,
    ).settings


def taper_means(
    half_angle: float,
    axial_length_mm: float,
    lathe: Lathe,
    *,
    between_centres_mm: float | None = None,
    rises_toward_chuck: bool = True,
) -> TaperMeans:
    """Return each means with its setting, or the reason why it is refused.

    Parameters
    ----------
    half_angle : float
        To the axis, radians, above 0 and below a right angle.
    axial_length_mm : float
        Length of the cut along the axis, run-in and run-out included.
    lathe : Lathe
        Whose means and limits count.
    between_centres_mm : float, optional
        Length of the work between centres; None: it is not held between centres.
    rises_toward_chuck : bool
        The taper's large end is toward the chuck. Otherwise the set-over is negative: the
        tailstock goes away from the tool.

    Raises
    ------
    ValueError
        When the half angle is not between 0 and a right angle.
    """
    if not 0 < half_angle < math.pi / 2:
        raise ValueError("the half angle of a taper lies between 0 and 90 degrees")
    slope = axial_length_mm / math.cos(half_angle)
    set_over, no_set_over = _set_over(half_angle, lathe, between_centres_mm)
    reasons: dict[Means, str] = {
        "guided": "" if lathe.guided_moves != "none" else f"{lathe.name} has no guided moves",
        "taper attachment": _refuse_attachment(half_angle, axial_length_mm, lathe),
        "top slide": _refuse_top_slide(half_angle, slope, lathe.top_slide),
        "set-over": no_set_over,
    }
    settings, refused = [], []
    for means, reason in reasons.items():
        if reason:
            refused.append(Refusal(means, reason))
            continue
        over = set_over if rises_toward_chuck else -set_over
        slide = lathe.top_slide if means == "top slide" else None
        settings.append(
            TaperSetting(
                means,
                half_angle,
                slope,
                scale_deg=scale_reading_deg(half_angle, slide.scale_zero) if slide else None,
                set_over=over if means == "set-over" else None,
                rise_per_50=rise_over(half_angle, means),
            )
        )
    return TaperMeans(tuple(settings), tuple(refused))


def _refuse_top_slide(half_angle: float, slope_mm: float, slide: TopSlide | None) -> str:
    if slide is None:
        return "the lathe has no top slide that swivels"
    scale = scale_reading_deg(half_angle, slide.scale_zero)
    if scale > slide.greatest_angle_deg + _ANGLE_DUST:
        return (
            f"the scale would have to show {scale:.2f} degrees and ends at "
            f"{slide.greatest_angle_deg:g}"
        )
    if slope_mm > slide.travel_mm + _ANGLE_DUST:
        return (
            f"the taper needs {slope_mm:.2f} mm of slide travel and the slide has "
            f"{slide.travel_mm:g}"
        )
    return ""


def _refuse_attachment(half_angle: float, axial_length_mm: float, lathe: Lathe) -> str:
    greatest = lathe.taper_attachment_deg
    if greatest <= 0:
        return "the lathe has no taper attachment"
    degrees = math.degrees(half_angle)
    if degrees > greatest + _ANGLE_DUST:
        return f"the half angle {degrees:.2f} degrees is over the attachment's {greatest:g}"
    if axial_length_mm > lathe.taper_attachment_length_mm + _ANGLE_DUST:
        return (
            f"the cut is {axial_length_mm:.2f} mm long and the attachment guides "
            f"{lathe.taper_attachment_length_mm:g}"
        )
    return ""


def _set_over(half_angle: float, lathe: Lathe, between_mm: float | None) -> tuple[float, str]:
    if lathe.set_over_mm <= 0:
        return 0.0, "the tailstock cannot be set over"
    if between_mm is None:
        return 0.0, "set-over needs the work between centres, and it is not held so"
    if between_mm > lathe.between_centres_mm:
        return 0.0, f"the work is longer than the {lathe.between_centres_mm:g} mm between centres"
    over = set_over_mm(between_mm, half_angle)
    if over > lathe.set_over_mm + _ANGLE_DUST:
        return 0.0, (
            f"{between_mm:g} mm between centres need a set-over of {over:.2f} mm and the "
            f"tailstock has {lathe.set_over_mm:g}"
        )
    return over, ""
