"""Cones by name: Morse 0 to 6, metric tapers (ISO 296) and ratios 1:x (ISO 1119). Millimetres.

``C = (D - d) / L = 2 tan(half angle)``. Tables: ``resources/tables/machine_tapers.csv`` and
``cones_iso1119.csv``.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from turnsketch.errors import InputError
from turnsketch.part.tables import table

__all__ = ["Cone", "cone_names", "named_cone", "read_cone"]

_NAMED = re.compile(
    r"(?:(?P<morse>MT|MK|CM|Morse(?: taper)?)|(?P<metric>ME|metric)) ?(?:no\.? ?)?(?P<number>\d+)",
    re.IGNORECASE | re.ASCII,
)
_RATIO = re.compile(r"(\d+(?:[.,]\d+)?) ?[:∶] ?(\d+(?:[.,]\d+)?)", re.ASCII)
_STEEPEST: Final = 4.0
"""Greatest taper: 127 degrees included; steeper ones are faces."""


@dataclass(frozen=True, slots=True)
class Cone:
    """A cone. Only shank tapers have a gauge plane and lengths."""

    name: str
    """"Morse 2", "metric 80", "1:10"."""
    taper: float
    """C: change of diameter by length."""
    gauge: float | None = None
    """Diameter at the gauge plane."""
    length: float | None = None
    """From the gauge plane to the small end."""
    small: float | None = None
    """Diameter at the small end, rounded in the standard."""
    protrusion: float | None = None
    """a: length of cone in front of the gauge plane at most."""

    @property
    def half_angle(self) -> float:
        """What a slide is set to: atan(C / 2), radians."""
        return math.atan(self.taper / 2)

    @property
    def large(self) -> float | None:
        """Diameter at the large end, `protrusion` in front of the gauge plane."""
        if self.gauge is None or self.protrusion is None:
            return None
        return self.gauge + self.taper * self.protrusion

    def diameter_at(self, distance: float, start: float | None = None) -> float:
        """Return the diameter `distance` behind the gauge plane, toward the small end.

        Parameters
        ----------
        distance : float
            mm along the axis; negative in front of the plane.
        start : float, optional
            Diameter at distance 0; None: the gauge diameter.

        Raises
        ------
        InputError
            The cone has no gauge diameter and none is given.
        """
        if start is None:
            if self.gauge is None:
                raise InputError(f"the cone {self.name} has no gauge diameter: give a diameter")
            start = self.gauge
        return start - self.taper * distance

    def infeed_for(self, stand_off: float) -> float:
        """Return how much smaller the diameter must get when a gauge stands off by that length.

        The gauge stands off by e: feed in e C on the diameter.
        """
        return stand_off * self.taper


def cone_names() -> tuple[str, ...]:
    """Return the named cones: shank tapers, then the series of ISO 1119."""
    shanks = [f"{row['name']} {row['number']}" for row in table("machine_tapers")]
    return (*shanks, *(row["taper"] for row in table("cones_iso1119")))


def read_cone(text: str) -> Cone:
    """Return the cone that "Morse 2", "MT2", "MK 2", "metric 80", "1:10" or "7:24" means.

    Raises
    ------
    InputError
        There is no such cone.
    """
    plain = " ".join(text.split())
    named = named_cone(plain)
    if named is not None:
        return named
    ratio = _RATIO.fullmatch(plain)
    if ratio is None:
        raise InputError(f'"{plain}" is no cone: expected one such as "Morse 2", "1:10" or "7:24"')
    above, below = (float(number.replace(",", ".")) for number in ratio.groups())
    if not below or not 0 < above / below <= _STEEPEST:
        raise InputError(f'"{plain}" is no cone that can be turned: expected one such as "1:10"')
    return Cone(f"{above:g}:{below:g}", above / below)


def named_cone(text: str) -> Cone | None:
    """Return the shank taper whose name the text is; None where it is no such name.

    Raises
    ------
    InputError
        It is a name with a number that no standard has.
    """
    named = _NAMED.fullmatch(" ".join(text.split()))
    if named is None:
        return None
    return _shank("Morse" if named["morse"] else "metric", int(named["number"]))


def _shank(name: str, number: int) -> Cone:
    rows = [row for row in table("machine_tapers") if row["name"] == name]
    for row in rows:
        if int(row["number"]) == number:
            return Cone(
                name=f"{name} {number}",
                taper=1 / float(row["ratio"]),
                gauge=float(row["gauge"]),
                length=float(row["length"]),
                small=float(row["small"]),
                protrusion=float(row["a"]),
            )
    numbers = ", ".join(row["number"] for row in rows)
    raise InputError(f"there is no {name} taper {number}: there are {numbers}")
