"""Thread reliefs and run-outs of DIN 76-1 for metric threads. Millimetres.

The table stands in ``resources/tables/din76_reliefs.csv`` with its source (from memory). Outside:
forms A (regular) and B (short); inside: C and D.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final, Literal

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.part.limits import fit_limits
from turnsketch.part.outline_records import Size
from turnsketch.part.tables import table

__all__ = [
    "ThreadRelief",
    "read_relief",
    "relief_chain",
    "relief_pitches",
    "run_out_length",
    "thread_relief",
]

_RUN_OUT_ANGLE: Final = math.radians(30.0)
_RUN_OUT: Final = {"regular": 2.5, "short": 1.25, "long": 5.0}
_TEXT = re.compile(
    r"(?:DIN ?76(?:-1)?(?: ?- ?| |$))?(?:([ABCD])(?: |$|(?=[0-9])))?(.*)", re.ASCII | re.I
)
_SMALL_MM: Final = 3.0
"""Threads up to it have the relief's diameter to h12, larger ones to h13."""


@dataclass(frozen=True, slots=True)
class ThreadRelief:
    """A relief of form A, B (outside), C or D (inside) for one pitch."""

    pitch: float
    inside: bool
    short: bool
    offset: float
    """Floor against the thread's nominal diameter: dg = d - offset, inside d + offset."""
    floor_length: float
    """g1, at least: what the tool or the mate needs."""
    length: float
    """g2, at most: from the shoulder to where the thread begins."""
    radius: float
    """At the floor's end."""

    @property
    def designation(self) -> str:
        """As a print writes it: "DIN 76-1 - D"."""
        return f"DIN 76-1 - {self.form}"

    @property
    def form(self) -> Literal["A", "B", "C", "D"]:
        """Letter of DIN 76-1."""
        if self.inside:
            return "D" if self.short else "C"
        return "B" if self.short else "A"

    def diameter(self, thread: float) -> Size:
        """Return dg for a thread of nominal diameter `thread`, with its limits (h13 or H13)."""
        nominal = thread + self.offset if self.inside else thread - self.offset
        code = "H13" if self.inside else ("h12" if thread <= _SMALL_MM else "h13")
        lower, upper = fit_limits(nominal, code)
        return Size(nominal, lower, upper, (lower + upper) / 2, f"{code} (DIN 76-1)")


def relief_pitches(*, inside: bool = False) -> tuple[float, ...]:
    """Return the pitches that the table holds, ascending."""
    kind = "inside" if inside else "outside"
    return tuple(float(row["pitch"]) for row in table("din76_reliefs") if row["thread"] == kind)


def thread_relief(pitch: float, *, inside: bool = False, short: bool = False) -> ThreadRelief:
    """Return the relief for a thread of that pitch.

    Between two pitches of the table (inch threads) the coarser one's sizes hold: it is long
    enough for both.

    Raises
    ------
    InputError
        The pitch is beyond the table (0.5 to 4 mm).
    """
    kind = "inside" if inside else "outside"
    least = relief_pitches(inside=inside)[0]
    for row in table("din76_reliefs"):
        if row["thread"] == kind and float(row["pitch"]) >= pitch - 1e-6 and pitch > least - 1e-6:
            form = "short" if short else "regular"
            return ThreadRelief(
                pitch=pitch,
                inside=inside,
                short=short,
                offset=float(row["off"]),
                floor_length=float(row[f"g1_{form}"]),
                length=float(row[f"g2_{form}"]),
                radius=float(row["r"]),
            )
    raise InputError(
        f"the table of DIN 76-1 here runs from pitch 0.5 to 4 mm, not {pitch:.4g}: "
        "give width and diameter of the relief"
    )


def read_relief(text: str, *, inside: bool = False) -> tuple[bool, str]:
    """Return what a relief's designation says: whether it is the short form, and its pitch's text.

    "B", "DIN 76-1 - D" and "C 1.5" name a form, with or without a pitch; "1.5" alone is of the
    regular form. The pitch is given back as it stands, empty where there is none.

    Raises
    ------
    InputError
        The form belongs to the other side.
    """
    match = _TEXT.fullmatch(" ".join(text.split()))
    form, pitch = (match[1], match[2]) if match is not None else (None, text)
    if form is None:
        return False, pitch.strip()
    if (form.upper() in "CD") != inside:
        own, other = ("C", "D") if inside else ("A", "B"), "inside" if inside else "outside"
        raise InputError(
            f"form {form.upper()} of DIN 76-1 is for the other side: {other} a relief is of form "
            f"{own[0]}, or {own[1]} where it has to be short"
        )
    return form.upper() in "BD", pitch.strip()


def run_out_length(pitch: float, kind: Literal["regular", "short", "long"] = "regular") -> float:
    """Return the greatest length x1 of incomplete thread: 2.5 P, short 1.25 P, long 5 P.

    DIN 76-1, from memory.
    """
    return _RUN_OUT[kind] * pitch


def relief_chain(relief: ThreadRelief, thread: float, surface: float) -> tuple[Element, ...]:
    """Return the relief's outline from the thread to the shoulder's face.

    The face stands at z = 0 and the thread at +z; r is a radius from the axis. The chain starts
    at (g2, surface / 2), runs to the floor at 30 degrees, along it, and round the radius onto the
    face. Where the run-out and g2 leave less floor than g1, the floor is g1 long and the chain
    starts a little farther out.

    Parameters
    ----------
    relief : ThreadRelief
        Nominal sizes are taken.
    thread : float
        Nominal diameter of the thread, mm.
    surface : float
        Diameter of the cylinder (outside: the blank) or bore that carries the thread, mm.

    Raises
    ------
    InputError
        The floor does not lie below that surface.
    """
    floor = relief.diameter(thread).nominal / 2
    way = 1.0 if relief.inside else -1.0
    depth = way * (floor - surface / 2)
    if depth <= 0:
        raise InputError(
            "the relief's floor stands above the surface that carries the thread: "
            "mend one of the diameters"
        )
    r = relief.radius
    ramp = depth / math.tan(_RUN_OUT_ANGLE)
    ramp_end = Point(max(relief.length - ramp, relief.floor_length), floor)
    centre = Point(r, floor - way * r)
    floor_end = Point(r, floor)
    turn: Literal["cw", "ccw"] = "ccw" if relief.inside else "cw"
    return (
        Line(Point(ramp_end.z + ramp, surface / 2), ramp_end),
        Line(ramp_end, floor_end),
        Arc(floor_end, Point(0.0, centre.r), centre, turn),
    )
