"""The reasoning behind a number: the formula by its usual name, this pass's values, the source.

Strings only, ready for the sheet and the screen. Nothing is planned with them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from turnsketch.cutting.speed import STEP_OVER, Speed
from turnsketch.plan_records import TaperSetting
from turnsketch.rounding import RoundMode, figure_text

__all__ = [
    "Reason",
    "nose_shift_reason",
    "roughness_reason",
    "rounding_reason",
    "speed_reason",
    "taper_reason",
    "time_reason",
]

Values = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Reason:
    """Where one number comes from."""

    formula: str
    values: Values
    """Symbol and value with its unit, in the order of the formula, the result last."""
    source: str

    @property
    def text(self) -> str:
        """Return all of it in one line."""
        values = ", ".join(f"{name} = {value}" for name, value in self.values)
        return f"{self.formula}; {values} ({self.source})"


def speed_reason(speed: Speed, surface_m_min: float, diameter_mm: float, geared: bool) -> Reason:
    """Return why the spindle turns at this speed, with what binds it."""
    rule = (
        f"; the highest gear step not over {STEP_OVER:.2f} n and under every limit"
        if geared
        else "; the least of n and every limit"
    )
    wanted = "no bound" if math.isinf(speed.wanted_rpm) else f"{speed.wanted_rpm:.0f} rpm"
    values = (
        ("v", f"{surface_m_min:g} m/min"),
        ("d", f"{diameter_mm:g} mm before the cut"),
        ("n", wanted),
        ("taken", f"{speed.rpm:g} rpm, {speed.surface_m_min_at_diameter:.0f} m/min"),
        ("limited by", speed.limited_by),
    )
    return Reason("n = 1000 v / (pi d)" + rule, values, "formula; choice: common practice")


def nose_shift_reason(half_angle: float, nose_mm: float, *, rising: bool = True) -> Reason:
    """Return why a slope's path stands beside the print: what the bare corner would do.

    Parameters
    ----------
    half_angle : float
        Angle of the surface to the axis, radians.
    rising : bool
        The surface rises toward the chuck (metal would stay); else it falls (it would be gouged).
    """
    sine, cosine = math.sin(half_angle), math.cos(half_angle)
    angle = ("t", f"{math.degrees(half_angle):.3f} deg")
    nose = ("r", f"{nose_mm:g} mm")
    if not rising:
        gouge = nose_mm * (1 + sine - cosine)
        return Reason(
            "uncompensated the corner gouges by r (1 + sin t - cos t), normal to the surface",
            (nose, angle, ("gouge", f"{gouge:.3f} mm")),
            "plane geometry",
        )
    axial = nose_mm * (1 - math.tan(half_angle / 2))
    radial = nose_mm * (1 - math.tan(math.pi / 4 - half_angle / 2))
    values = (
        nose,
        angle,
        ("axial", f"{axial:.3f} mm"),
        ("on diameter", f"{2 * radial:.3f} mm"),
        ("left on, normal", f"{nose_mm * (sine + cosine - 1):.3f} mm"),
    )
    formula = "shift r (1 - tan(t/2)) along Z, or r (1 - tan(45 deg - t/2)) on radius"
    return Reason(formula, values, "plane geometry")


def taper_reason(setting: TaperSetting, between_centres_mm: float | None = None) -> Reason:
    """Return how a taper's setting follows from its half angle."""
    half = ("t", f"{math.degrees(setting.half_angle):.3f} deg")
    travel = ("way along the taper", f"{setting.travel:.2f} mm")
    check = ("rise on 50 mm", f"{setting.rise_per_50 or 0.0:.3f} mm")
    if setting.means == "set-over":
        length = f"{between_centres_mm:g} mm between centres" if between_centres_mm else "given"
        over = ("S", f"{setting.set_over or 0.0:.3f} mm")
        return Reason("S = L sin t", (("L", length), half, over, check), "plane geometry")
    if setting.means == "top slide":
        scale = ("scale", f"{setting.scale_deg or 0.0:.2f} deg")
        formula = "tan t = C / 2; the slide stands at t to the axis; rise 50 sin t"
        return Reason(formula, (half, scale, travel, check), "plane geometry")
    formula = "tan t = C / 2; rise 50 tan t"
    return Reason(formula, (half, travel, check), "plane geometry")


def rounding_reason(
    exact: float, shown: float, step: float, mode: RoundMode, *, finishing: bool = False
) -> Reason:
    """Return how a reading was rounded; figures in the readout's unit."""
    if finishing:
        rule = "nearest step inside the limits"
    else:
        rule = {
            "nearest": "nearest step of the readout",
            "up": "rounded up to a step of the readout, which leaves metal",
            "down": "rounded down to a step of the readout, which leaves metal",
        }[mode]
    values = (
        ("exact", f"{exact:.4f}"),
        ("step", figure_text(step, step)),
        ("shown", figure_text(shown, step)),
    )
    return Reason(rule, values, "readout of this lathe; rule: common practice")


def time_reason(length_mm: float, feed_mm_per_rev: float, rpm: float, minutes: float) -> Reason:
    """Return how the time of a cut at constant revolutions follows."""
    values = (
        ("L", f"{length_mm:.1f} mm"),
        ("f", f"{feed_mm_per_rev:g} mm/rev"),
        ("n", f"{rpm:g} rpm"),
        ("t", f"{minutes:.2f} min"),
    )
    return Reason("t = L / (f n)", values, "formula")


def roughness_reason(feed_mm_per_rev: float, nose_mm: float, ra_um: float) -> Reason:
    """Return how the theoretical roughness of a round nose follows."""
    values = (
        ("f", f"{feed_mm_per_rev:g} mm/rev"),
        ("r", f"{nose_mm:g} mm"),
        ("Ra", f"{ra_um:.2f} µm in theory, 1.2 to 2 times that in practice"),
    )
    return Reason("Ra = f^2 / (18 sqrt(3) r)", values, "geometry; factor: rule of thumb")
