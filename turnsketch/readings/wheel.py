"""The way of a handwheel in turns and divisions of its own dial.

A dial stays in its own unit whatever the readout shows, and a cross slide's dial counts either
the slide's travel (a radius) or the diameter. Turns are counted after the slack is out; the last
motion onto a reading is in the cutting direction (common practice).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from turnsketch.plan_records import Reading
from turnsketch.shop.records import Dial, Lathe
from turnsketch.units import Units, from_mm, to_mm

__all__ = ["Axis", "Direction", "WheelWay", "wheel_between", "wheel_way"]

Axis = Literal["cross", "carriage", "top slide"]
Direction = Literal["in", "out", "toward chuck", "away", "forward", "back", ""]

_DIRECTIONS: dict[Axis, tuple[Direction, Direction]] = {
    "cross": ("in", "out"),
    "carriage": ("toward chuck", "away"),
    "top slide": ("back", "forward"),
}
"""Words for a negative and a positive way."""

_DUST = 1e-6
"""Fractions of a division below this are float noise."""


@dataclass(frozen=True, slots=True)
class WheelWay:
    """How far to turn a wheel, and which way.

    Without a fine wheel the divisions may be a fraction, to be judged by eye. With one, the main
    wheel goes whole divisions and the fine wheel the rest.
    """

    direction: Direction
    turns: int
    divisions: float
    fine_turns: int = 0
    fine_divisions: float = 0.0
    dial_divisions: int = 0
    """Divisions of the main dial in a turn, so that the text never shows a full turn of them."""

    @property
    def text(self) -> str:
        """Return the way as "0t 84d", with "fine 0t 3d" behind it where the fine wheel moves."""
        turns, divisions = self.turns, round(self.divisions, 1)
        if self.dial_divisions and divisions >= self.dial_divisions:
            turns, divisions = turns + 1, divisions - self.dial_divisions
        main = f"{turns}t {_figure(divisions)}d"
        if self.fine_turns or self.fine_divisions:
            return f"{main} fine {self.fine_turns}t {_figure(self.fine_divisions)}d"
        return main

    @property
    def text_with_direction(self) -> str:
        """Return the way as "in 0t 84d"."""
        return f"{self.direction} {self.text}".strip()

    def travel_mm(self, dial: Dial, axis: Axis) -> float:
        """Return the slide's travel that this way makes on `dial`, signed, millimetres."""
        amount = self.turns * dial.per_turn + self.divisions * dial.per_turn / dial.divisions
        if dial.fine_per_turn is not None:
            fine = dial.fine_per_turn
            per_division = fine / (dial.fine_divisions or dial.divisions)
            amount += self.fine_turns * fine + self.fine_divisions * per_division
        sign = -1.0 if self.direction == _DIRECTIONS[axis][0] else 1.0
        return sign * to_mm(amount, dial.unit) / _dial_factor(dial, axis)


def wheel_way(travel_mm: float, dial: Dial, axis: Axis) -> WheelWay:
    """Return the way of a wheel for a travel of its slide.

    Parameters
    ----------
    travel_mm : float
        Travel of the slide in millimetres, signed: a difference of radii for the cross slide
        (negative is in), of z for the carriage (negative is toward the chuck), along the slide
        for the top slide (positive is forward, into the work).
    dial : Dial
        Its unit, what a turn counts, and whether it counts diameter or travel.
    axis : {"cross", "carriage", "top slide"}
        Only a cross slide's dial may count a diameter.

    Examples
    --------
    From X30.00 to X25.80 on a dial with 5.00 on diameter a turn in 100 divisions:

    >>> wheel_way(-2.1, Dial("mm", 5.0, 100, "diameter"), "cross").text_with_direction
    'in 0t 84d'
    """
    per_division = dial.per_turn / dial.divisions
    amount = from_mm(abs(travel_mm), dial.unit) * _dial_factor(dial, axis)
    divisions = _settled(amount / per_division)
    if divisions == 0:
        return WheelWay("", 0, 0.0)
    direction = _DIRECTIONS[axis][travel_mm > 0]
    if dial.fine_per_turn is None:
        turns, rest = divmod(divisions, dial.divisions)
        return WheelWay(direction, int(turns), rest, dial_divisions=dial.divisions)
    whole = math.floor(divisions)
    turns, rest = divmod(whole, dial.divisions)
    fine_count = dial.fine_divisions or dial.divisions
    fine = _settled((divisions - whole) * per_division / (dial.fine_per_turn / fine_count))
    fine_turns, fine_rest = divmod(fine, fine_count)
    return WheelWay(direction, int(turns), float(rest), int(fine_turns), fine_rest, dial.divisions)


def wheel_between(
    last: Reading, to: Reading, units: Units, lathe: Lathe
) -> tuple[WheelWay, WheelWay]:
    """Return the ways of the cross slide's and the carriage's wheel from one reading to the next.

    Parameters
    ----------
    last, to : Reading
        In `units`, X as a diameter.
    units : {"mm", "inch"}
        Unit of the readings; the dials keep their own.
    lathe : Lathe
        Whose dials are turned.
    """
    across = to_mm(to.x - last.x, units) / 2
    along = to_mm(to.z - last.z, units)
    cross = wheel_way(across, lathe.cross_dial, "cross")
    return cross, wheel_way(along, lathe.carriage_dial, "carriage")


def _dial_factor(dial: Dial, axis: Axis) -> float:
    return 2.0 if axis == "cross" and dial.reads == "diameter" else 1.0


def _settled(divisions: float) -> float:
    """Return `divisions`, whole where only float noise keeps it from being whole."""
    near = round(divisions)
    return float(near) if abs(divisions - near) < _DUST else divisions


def _figure(divisions: float) -> str:
    """Return divisions to a tenth, whole ones without a decimal."""
    return f"{divisions:.1f}".removesuffix(".0")
