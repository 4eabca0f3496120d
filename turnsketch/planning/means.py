"""How a taper or an arc is moved on this lathe: the best means that it has and that fits."""

from __future__ import annotations

import math
from typing import Literal

from turnsketch.job import Operation
from turnsketch.plan_records import TaperSetting
from turnsketch.readings.tapers import taper_settings
from turnsketch.shop.records import Lathe

__all__ = ["Means", "arc_means", "taper_way"]

Means = Literal["wheels", "guided", "top slide", "taper attachment", "set-over", "steps"]


def taper_way(
    lathe: Lathe,
    angle: float,
    axial_length: float,
    operation: Operation,
    between_centres_mm: float | None = None,
) -> tuple[Means, TaperSetting | None]:
    """Return the means for a taper and how it is set: the operation's wish, else the best.

    Parameters
    ----------
    angle : float
        Half angle, radians; negative when the taper falls toward the chuck.
    axial_length : float
        Length of the cut along the axis, run-in included, millimetres.
    between_centres_mm : float, optional
        Length of the work when it is held between centres: then the tailstock can be set over.
    """
    if operation.means == "steps" or not 0 < abs(angle) < math.pi / 2:
        return "steps", None
    settings = taper_settings(
        abs(angle),
        max(axial_length, 1e-6),
        lathe,
        between_centres_mm=between_centres_mm,
        rises_toward_chuck=angle > 0,
    )
    wished = [s for s in settings if operation.means in (None, s.means)]
    for setting in (*wished, *settings):
        return setting.means, setting
    return "steps", None


def arc_means(lathe: Lathe, operation: Operation) -> Means:
    """Return the means for an arc: guided where the lathe can, else a step table."""
    if operation.means == "steps" or lathe.guided_moves != "taper and arc":
        return "steps"
    return "guided"
