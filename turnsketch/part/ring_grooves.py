"""Grooves for retaining rings: DIN 471 on shafts, DIN 472 in bores. Millimetres, diameters.

The tables stand in ``resources/tables`` (`din471_grooves`, `din472_grooves`) with their source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from turnsketch.errors import InputError
from turnsketch.part.limits import fit_limits
from turnsketch.part.outline_records import Size
from turnsketch.part.tables import Row, table

__all__ = ["RingGroove", "read_ring", "ring_groove", "ring_sizes"]

_SIZE = re.compile(
    r"(?:DIN ?47[12] ?[- ] ?)?[Ø⌀]? ?([0-9]+(?:[.,][0-9]+)?) ?(?:[xX×] ?([0-9]+(?:[.,][0-9]+)?))?",
    re.ASCII,
)


@dataclass(frozen=True, slots=True)
class RingGroove:
    """The groove of a retaining ring of regular type."""

    size: float
    """d1, diameter of the shaft or bore."""
    inside: bool
    ring_thickness: float
    """s."""
    bottom: Size
    """d2, the groove's diameter, aimed at the middle of its limits."""
    width: Size
    """m, H13: at least m, so that the ring goes in."""
    land: float
    """n, least length of metal between the groove and the shaft's end."""

    @property
    def depth(self) -> float:
        """t, radial, from the nominal diameters."""
        return abs(self.size - self.bottom.nominal) / 2

    @property
    def designation(self) -> str:
        """Of the ring, as a print writes it: "DIN 471 - 25x1.2"."""
        return f"{_standard(self.inside)} - {self.size:g}x{self.ring_thickness:g}"


def _standard(inside: bool) -> str:
    return "DIN 472" if inside else "DIN 471"


def _rows(inside: bool) -> tuple[Row, ...]:
    return table("din472_grooves" if inside else "din471_grooves")


def ring_sizes(*, inside: bool = False) -> tuple[float, ...]:
    """Return the diameters for which there is a ring, ascending."""
    return tuple(float(row["d1"]) for row in _rows(inside))


def ring_groove(size: float, *, inside: bool = False) -> RingGroove:
    """Return the groove for a ring on a shaft or in a bore of diameter `size`.

    Raises
    ------
    InputError
        There is no ring of this size; the sentence names its neighbours.
    """
    for row in _rows(inside):
        if abs(float(row["d1"]) - size) < 1e-6:
            return _groove(row, inside)
    sizes = ring_sizes(inside=inside)
    below = [f"{known:g}" for known in sizes if known < size][-1:]
    above = [f"{known:g}" for known in sizes if known > size][:1]
    what = "bore" if inside else "shaft"
    raise InputError(
        f"{_standard(inside)} has no ring for a {what} of {size:g} mm: "
        f"the next is {' or '.join(below + above)}; or give width and diameter of the groove"
    )


def read_ring(text: str, *, inside: bool = False) -> RingGroove:
    """Return the groove that "25x1.2", "25" or "DIN 471 - 25x1.2" means.

    Raises
    ------
    InputError
        It is no ring's designation, there is no such size, or the thickness is not the size's.
    """
    match = _SIZE.fullmatch(text.strip())
    if match is None:
        raise InputError(
            f'"{text.strip()}" is no retaining ring: expected diameter and thickness, '
            'such as "25x1.2"'
        )
    groove = ring_groove(float(match[1].replace(",", ".")), inside=inside)
    thickness = match[2] and float(match[2].replace(",", "."))
    if thickness and abs(thickness - groove.ring_thickness) > 1e-6:
        raise InputError(
            f"the ring {groove.designation} is {groove.ring_thickness:g} thick, "
            f"not {thickness:g}: mend it, or give width and diameter of the groove"
        )
    return groove


def _groove(row: Row, inside: bool) -> RingGroove:
    return RingGroove(
        size=float(row["d1"]),
        inside=inside,
        ring_thickness=float(row["s"]),
        bottom=_fitted(float(row["d2"]), row["class"], _standard(inside)),
        width=_fitted(float(row["m"]), "H13", _standard(inside)),
        land=float(row["n"]),
    )


def _fitted(nominal: float, code: str, standard: str) -> Size:
    lower, upper = fit_limits(nominal, code)
    return Size(nominal, lower, upper, (lower + upper) / 2, f"{code} ({standard})")
