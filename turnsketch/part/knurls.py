"""Knurls of DIN 82: form, pitch, the blank before knurling and its growth. Millimetres.

A knurl is pressed, not cut: the blank grows. Forms and factors stand in
``resources/tables/din82_knurls.csv`` with their source.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from turnsketch.errors import InputError
from turnsketch.part.tables import table

__all__ = ["PITCHES", "Knurl", "read_knurl"]

PITCHES: Final = (0.5, 0.6, 0.8, 1.0, 1.2, 1.6)
"""Pitches t of DIN 82, mm."""

_ANGLES: Final = (90, 105)
"""Profile angles of DIN 82, degrees."""
_TEXT = re.compile(
    r"(?:DIN ?82 ?[- ] ?)?([A-Z]{3}) ?([0-9]+(?:[.,][0-9]+)?)(?: ?- ?([0-9]+))?(?: DIN ?82)?",
    re.ASCII,
)


@dataclass(frozen=True, slots=True)
class Knurl:
    """A knurl of DIN 82."""

    form: str
    """"RAA" straight, "RBL" and "RBR" slanting, "RGE" and "RGV" diamond, "RKE", "RKV" square."""
    name: str
    """The form in words."""
    pitch: float
    """t."""
    angle_deg: int
    """Profile angle: 90, or 105."""
    factor: float
    """Of the growth: d1 - d2 = factor x t."""

    @property
    def growth(self) -> float:
        """How much the diameter grows when the profile is pressed full: d1 - d2."""
        return self.factor * self.pitch

    @property
    def designation(self) -> str:
        """As a print writes it: "RGE 1.0"; "RAA 0.8 - 105" with the flat profile."""
        flat = "" if self.angle_deg == _ANGLES[0] else f" - {self.angle_deg}"
        return f"{self.form} {self.pitch:.1f}{flat}"

    @property
    def straight(self) -> bool:
        """Grooves along the axis: one wheel does it."""
        return self.form == "RAA"

    def blank(self, nominal: float) -> float:
        """Return the diameter to turn before knurling: d2 = d1 - factor x t."""
        return nominal - self.growth

    def teeth(self, blank: float) -> float:
        """Return how many pitches go round the blank; a whole number tracks best.

        For slanting and diamond wheels (30 degrees) the pitch round the work is t / cos 30.
        """
        slanting = self.form in ("RBL", "RBR", "RGE", "RGV")
        round_pitch = self.pitch / math.cos(math.radians(30)) if slanting else self.pitch
        return math.pi * blank / round_pitch

    def tracking_blank(self, nominal: float) -> float:
        """Return the blank nearest to `blank` below it that holds a whole number of pitches."""
        blank = self.blank(nominal)
        teeth = self.teeth(blank)
        return blank * math.floor(teeth + 1e-9) / teeth


def read_knurl(text: str) -> Knurl:
    """Return the knurl that "RGE 1.0", "RAA 0,8", "RGE 08" or "DIN 82-RAA 0.8" means.

    Raises
    ------
    InputError
        There is no such form, pitch or profile angle in DIN 82.
    """
    plain = " ".join(text.replace("–", "-").upper().split())
    match = _TEXT.fullmatch(plain)
    if match is None:
        raise InputError(
            f'"{text.strip()}" is no knurl: expected form and pitch after DIN 82, such as "RGE 1.0"'
        )
    return Knurl(*_form(match[1]), _pitch(match[2]), *_angle(match[1], match[3]))


def _form(letters: str) -> tuple[str, str]:
    rows = table("din82_knurls")
    for row in rows:
        if row["form"] == letters:
            return letters, row["name"]
    forms = ", ".join(f"{row['form']} ({row['name']})" for row in rows)
    raise InputError(f"DIN 82 has no knurl {letters}: it has {forms}")


def _pitch(text: str) -> float:
    # The standard's own short form: 08 is 0.8, 12 is 1.2.
    short = len(text) == 2 and text.isdigit()
    pitch = int(text) / 10 if short else float(text.replace(",", "."))
    if pitch not in PITCHES:
        known = ", ".join(f"{t:g}" for t in PITCHES)
        raise InputError(f"DIN 82 has no knurl of pitch {pitch:g}: it has {known} mm")
    return pitch


def _angle(form: str, text: str | None) -> tuple[int, float]:
    """Return profile angle and growth factor; a flatter profile displaces less."""
    angle = int(text) if text else _ANGLES[0]
    if angle not in _ANGLES:
        raise InputError(f"DIN 82 has profile angles of 90 and 105 degrees, not {angle}")
    factor = next(float(row["factor"]) for row in table("din82_knurls") if row["form"] == form)
    if angle != _ANGLES[0]:
        # DIN 82 gives 90 degrees alone; the height of the profile goes with cot(angle / 2).
        factor /= math.tan(math.radians(angle / 2))
    return angle, factor
