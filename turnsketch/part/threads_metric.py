"""ISO metric threads: pitches of ISO 261 and limits of ISO 965-1.

Tables stand in ``resources/tables`` (`iso261_pitches`, `iso965_pitch_diameter`,
`iso965_crests`). Where they have no row, the formulas of ISO 965-1 rounded to R 40 serve; they
may differ from a table's value by one step of R 40.
"""

from __future__ import annotations

import math
import re
from itertools import pairwise
from typing import Final, NamedTuple

from turnsketch.errors import InputError
from turnsketch.part.tables import Row, table
from turnsketch.part.thread_form import (
    Limits,
    ThreadLimits,
    basic_minor,
    basic_pitch_diameter,
    sharp_height,
)

__all__ = [
    "MetricClass",
    "coarse_pitch",
    "fine_pitches",
    "metric_class",
    "metric_limits",
    "rounded_r40",
    "usual_class",
]

_BANDS: Final = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0, 355.0)
"""Diameter ranges of ISO 965-1, mm: over the first, up to and including the next."""

_GRADE_RATIO: Final = {3: 0.5, 4: 0.63, 5: 0.8, 6: 1.0, 7: 1.25, 8: 1.6, 9: 2.0}
_CLASS = re.compile(r"([3-9])([efghGH])(?:([3-9])([efghGH]))?")
_R40: Final = (
    100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265,
    280, 300, 315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750,
    800, 850, 900, 950, 1000,
)  # fmt: skip
_START: Final = {"e": 50.0, "f": 30.0, "g": 15.0, "G": 15.0}
"""Constant of the fundamental deviation, plus 11 P, micrometres."""


class MetricClass(NamedTuple):
    """A tolerance class: grade and position of pitch diameter and of the crest."""

    pitch_grade: int
    crest_grade: int
    pitch_position: str
    crest_position: str

    @property
    def inside(self) -> bool:
        """Whether it is for a thread in a bore (capital letter)."""
        return self.pitch_position.isupper()


def metric_class(text: str) -> MetricClass:
    """Read "6g", "5g6g" or "6H".

    Raises
    ------
    InputError
        There is no such class in ISO 965-1.
    """
    match = _CLASS.fullmatch(text)
    if match is None:
        raise InputError(
            f'"{text}" is no class of ISO 965-1: outside it is such as "6g" (e, f, g, h), '
            'inside such as "6H" (G, H)'
        )
    first, position = int(match[1]), match[2]
    second, crest = (int(match[3]), match[4]) if match[3] else (first, position)
    found = MetricClass(first, second, position, crest)
    if position.isupper() != crest.isupper():
        raise InputError(f'"{text}" mixes an outside and an inside position: write one of them')
    pitch_grades, crest_grades = ((4, 8), (4, 5, 6, 7, 8)) if found.inside else ((3, 9), (4, 6, 8))
    if not pitch_grades[0] <= first <= pitch_grades[1]:
        raise InputError(f'"{text}": inside, the pitch diameter has grades 4 to 8 (ISO 965-1)')
    if second not in crest_grades:
        where = "the bore has grades 4 to 8" if found.inside else "the crest has grades 4, 6 and 8"
        raise InputError(f'"{text}": {where}; write both grades, such as "5g6g" (ISO 965-1)')
    return found


def usual_class(diameter: float, *, inside: bool) -> str:
    """Return the class that holds where none is written: 6g and 6H, to 1.4 mm 6h and 5H."""
    if diameter <= 1.4:
        return "5H" if inside else "6h"
    return "6H" if inside else "6g"


def _pitch_row(diameter: float) -> Row | None:
    for row in table("iso261_pitches"):
        if abs(float(row["diameter"]) - diameter) < 1e-9:
            return row
    return None


def coarse_pitch(diameter: float) -> float | None:
    """Return the coarse pitch of ISO 261 for that nominal diameter, or None."""
    row = _pitch_row(diameter)
    return float(row["coarse"]) if row is not None and row["coarse"] else None


def fine_pitches(diameter: float) -> tuple[float, ...]:
    """Return the fine pitches of ISO 261 for that nominal diameter, coarsest first."""
    row = _pitch_row(diameter)
    return () if row is None else tuple(float(pitch) for pitch in row["fine"].split())


def rounded_r40(value: float) -> float:
    """Return the number of the series R 40 nearest to `value` (> 0)."""
    decade = 10.0 ** (math.floor(math.log10(value)) - 2)
    return min(_R40, key=lambda number: abs(number - value / decade)) * decade


def _band_of(diameter: float) -> tuple[float, float]:
    for low, high in pairwise(_BANDS):
        if low < diameter <= high:
            return low, high
    raise InputError(f"ISO 965-1 has tolerances for threads from 1 to 355 mm, not {diameter:g}")


def _pitch_tolerance(diameter: float, pitch: float, grade: int, inside: bool) -> float:
    """Return Td2 or TD2, micrometres."""
    kind = "inside" if inside else "outside"
    low, high = _band_of(diameter)
    for row in table("iso965_pitch_diameter"):
        if row["thread"] != kind or float(row["over_mm"]) != low:
            continue
        if abs(float(row["pitch"]) - pitch) < 1e-9 and row[f"g{grade}"]:
            return float(row[f"g{grade}"])
    basic = 90 * pitch**0.4 * math.sqrt(low * high) ** 0.1 * (1.32 if inside else 1.0)
    return rounded_r40(basic * _GRADE_RATIO[grade])


def _crest_cell(pitch: float, column: str) -> float | None:
    for row in table("iso965_crests"):
        if abs(float(row["pitch"]) - pitch) < 1e-9 and row[column]:
            return float(row[column])
    return None


def _crest_tolerance(pitch: float, grade: int, inside: bool) -> float:
    """Return Td or TD1, micrometres."""
    cell = _crest_cell(pitch, f"td1_{grade}" if inside else f"td_{grade}")
    if cell is not None:
        return cell
    if not inside:
        basic = 180 * pitch ** (2 / 3) - 3.15 / math.sqrt(pitch)
    elif pitch >= 1:
        basic = 230 * pitch**0.7
    else:
        basic = 433 * pitch - 190 * pitch**1.22
    return rounded_r40(basic * _GRADE_RATIO[grade])


def _deviation(pitch: float, position: str) -> float:
    """Return es (outside, <= 0) or EI (inside, >= 0), micrometres."""
    if position in ("h", "H"):
        return 0.0
    cell = _crest_cell(pitch, "ei_G" if position == "G" else f"es_{position}")
    if cell is not None:
        return cell
    size = round(_START[position] + 11 * pitch)
    return float(size if position == "G" else -size)


def _decimal(value: float) -> float:
    """Return the limit without the dust of binary sums; tables print three places."""
    return round(value, 3)


def metric_limits(diameter: float, pitch: float, tolerance: MetricClass) -> ThreadLimits:
    """Return the limits of a metric thread, millimetres, as ISO 965-2 prints them.

    Parameters
    ----------
    diameter, pitch : float
        Nominal diameter and pitch, mm.
    tolerance : MetricClass
        It says whether the thread is inside.

    Raises
    ------
    InputError
        The diameter is beyond ISO 965-1 (1 to 355 mm).
    """
    inside = tolerance.inside
    width2 = _pitch_tolerance(diameter, pitch, tolerance.pitch_grade, inside) / 1000
    crest = _crest_tolerance(pitch, tolerance.crest_grade, inside) / 1000
    shift2 = _deviation(pitch, tolerance.pitch_position) / 1000
    shift = _deviation(pitch, tolerance.crest_position) / 1000
    # ISO 724 prints the basic sizes to three places; limits are reckoned from those.
    basic2 = _decimal(basic_pitch_diameter(diameter, pitch))
    basic1 = _decimal(basic_minor(diameter, pitch))
    height = sharp_height(pitch)
    if inside:
        middle = Limits(_decimal(basic2 + shift2), _decimal(basic2 + shift2 + width2))
        return ThreadLimits(
            Limits(_decimal(diameter + shift2), _decimal(middle.upper + 11 / 12 * height)),
            middle,
            Limits(_decimal(basic1 + shift), _decimal(basic1 + shift + crest)),
        )
    middle = Limits(_decimal(basic2 + shift2 - width2), _decimal(basic2 + shift2))
    return ThreadLimits(
        Limits(_decimal(diameter + shift - crest), _decimal(diameter + shift)),
        middle,
        Limits(_decimal(middle.lower - height + pitch / 4), _decimal(basic1 + shift2)),
    )
