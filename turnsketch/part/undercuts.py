"""Undercuts of DIN 509, forms E and F: sizes and exact outline. Millimetres.

Form E goes into the cylinder alone, form F into the shoulder's face too. The table stands in
``resources/tables/din509_undercuts.csv`` with its source.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Element, Line, Point, flipped_in_r
from turnsketch.part.tables import Row, table

__all__ = [
    "Undercut",
    "UndercutForm",
    "read_undercut",
    "undercut_chain",
    "undercut_sizes",
    "usual_undercuts",
]

UndercutForm = Literal["E", "F"]

_CYLINDER_ANGLE: Final = math.radians(15.0)
_FACE_ANGLE: Final = math.radians(8.0)
_TEXT = re.compile(
    r"(?:DIN ?509 ?-? ?)?(?:([EF]) ?)?([0-9]*[.,]?[0-9]+) ?[xX×] ?([0-9]*[.,]?[0-9]+)", re.ASCII
)


@dataclass(frozen=True, slots=True)
class Undercut:
    """Sizes of an undercut; both forms have them."""

    radius: float
    """r, +/-0.1."""
    depth: float
    """t1, radial, below the cylinder, +0.1."""
    length: float
    """f, from the shoulder's face along the cylinder, +0.2."""
    face_height: float
    """g, form F: from the floor up the face (rounded in the table)."""
    face_depth: float
    """t2, form F: axial, behind the face, +0.05."""
    over: float
    upto: float | None
    """Shaft diameters for which it is meant; None: no end."""
    fatigue: bool
    """For raised strength under alternating load."""

    @property
    def size(self) -> str:
        """Radius and depth, "0.6x0.3"."""
        return f"{self.radius:g}x{self.depth:g}"

    def designation(self, form: UndercutForm) -> str:
        """Return it as a print writes it: "DIN 509 - F 0.6 x 0.3"."""
        return f"DIN 509 - {form} {self.radius:g} x {self.depth:g}"


def _undercut(row: Row) -> Undercut:
    r, t1, f, g, t2 = (float(row[name]) for name in ("r", "t1", "f", "g", "t2"))
    upto = float(row["upto_mm"]) if row["upto_mm"] else None
    return Undercut(r, t1, f, g, t2, float(row["over_mm"]), upto, row["duty"] == "fatigue")


@cache
def _all() -> tuple[Undercut, ...]:
    return tuple(_undercut(row) for row in table("din509_undercuts"))


def undercut_sizes() -> tuple[str, ...]:
    """Return the sizes "r x t1" of the standard, as in "0.6x0.3"."""
    return tuple(undercut.size for undercut in _all())


def read_undercut(text: str, form: UndercutForm | None = None) -> Undercut:
    """Return the undercut that "0.6x0.3", "F 0.6x0.3" or "DIN 509 - F 0.6 x 0.3" means.

    Parameters
    ----------
    text : str
        Size, with or without form and standard.
    form : {"E", "F"}, optional
        The form that is wanted; a form in the text must agree.

    Raises
    ------
    InputError
        There is no such size, or the forms differ.
    """
    match = _TEXT.fullmatch(text.strip())
    if match is None:
        raise InputError(
            f'"{text.strip()}" is no undercut: expected radius x depth, such as "0.6x0.3" (DIN 509)'
        )
    if form and match[1] and match[1] != form:
        raise InputError(f"the undercut is of form {form}, and its size says {match[1]}: mend one")
    radius, depth = (float(match[i].replace(",", ".")) for i in (2, 3))
    for undercut in _all():
        if abs(undercut.radius - radius) < 1e-6 and abs(undercut.depth - depth) < 1e-6:
            return undercut
    raise InputError(
        f"DIN 509 has no undercut {radius:g}x{depth:g}: it has {', '.join(undercut_sizes())}"
    )


def usual_undercuts(diameter: float, *, fatigue: bool = False) -> tuple[Undercut, ...]:
    """Return the undercuts meant for a shaft of `diameter`, in the standard's order.

    Parameters
    ----------
    diameter : float
        Of the cylinder that ends at the shoulder, mm.
    fatigue : bool
        For raised strength under alternating load.
    """
    return tuple(
        undercut
        for undercut in _all()
        if undercut.fatigue == fatigue
        and undercut.over < diameter
        and (undercut.upto is None or diameter <= undercut.upto)
    )


def undercut_chain(
    undercut: Undercut, form: UndercutForm, *, inside: bool = False
) -> tuple[Element, ...]:
    """Return the undercut's outline about the sharp corner of cylinder and face.

    The corner stands at the origin, the cylinder runs to +z along r = 0, the face rises to +r at
    z = 0 and the metal of the shoulder lies at z < 0. The chain starts on the cylinder at z = f,
    runs down at 15 degrees, along the floor, round the radius and ends on the face; form F comes
    back to the face at 8 degrees. Tangent joins but at the cylinder and at the face of form F.

    Parameters
    ----------
    undercut : Undercut
        Its nominal sizes are taken.
    form : {"E", "F"}
        E leaves the face alone.
    inside : bool
        A bore's: the cylinder's metal lies at r > 0, so everything is mirrored in r.
    """
    r, t1 = undercut.radius, undercut.depth
    t2 = undercut.face_depth if form == "F" else 0.0
    top = Point(undercut.length, 0.0)
    ramp_end = Point(undercut.length - t1 / math.tan(_CYLINDER_ANGLE), -t1)
    centre = Point(r - t2, r - t1)
    floor_end = Point(centre.z, -t1)
    chain: list[Element] = [Line(top, ramp_end), Line(ramp_end, floor_end)]
    if form == "E":
        chain.append(Arc(floor_end, Point(0.0, centre.r), centre, "cw"))
    else:
        slope = _FACE_ANGLE
        leaves = Point(centre.z - r * math.cos(slope), centre.r + r * math.sin(slope))
        # The line leans 8 degrees from the face and meets it where z is 0.
        height = leaves.r - leaves.z / math.tan(slope)
        chain.append(Arc(floor_end, leaves, centre, "cw"))
        chain.append(Line(leaves, Point(0.0, height)))
    return tuple(flipped_in_r(element, 0.0) for element in chain) if inside else tuple(chain)
