"""From a point of the plan to what the readout shows, and back.

A point is ``(z, r)`` in millimetres, z from the setup's zero. A reading shows X as a *diameter*
and Z, in the job's units, in steps of the readout.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Move, Reading
from turnsketch.rounding import (
    RoundMode,
    figure_text,
    rough_figure,
    round_step,
    round_x_finish,
    steps_inside,
)
from turnsketch.shop.records import Readout
from turnsketch.units import Units, from_mm, to_mm

__all__ = ["Rounder", "read_moves"]

_CLEAN_DECIMALS = 9
"""Exact readings are shown to a billionth: enough for 1e-6 mm, and free of float noise."""


@dataclass(frozen=True, slots=True)
class Rounder:
    """Turns points into readings and back for one readout and one unit.

    Attributes
    ----------
    x_step, z_step : float
        Steps of the display in `units`; the X step is on diameter.
    units : {"mm", "inch"}
        What the readout shows.
    """

    x_step: float
    z_step: float
    units: Units

    @classmethod
    def of(cls, readout: Readout, units: Units) -> Rounder:
        """Return the rounder of a lathe's readout set to `units`."""
        if units == "inch":
            return cls(readout.x_step_inch, readout.z_step_inch, units)
        return cls(readout.x_step_mm, readout.z_step_mm, units)

    def exact(self, point: Point) -> Reading:
        """Return the reading that an infinitely fine readout would show."""
        x, z = from_mm(2 * point.r, self.units), from_mm(point.z, self.units)
        return Reading(round(x, _CLEAN_DECIMALS) + 0.0, round(z, _CLEAN_DECIMALS) + 0.0)

    def read(
        self, point: Point, x_mode: RoundMode = "nearest", z_mode: RoundMode = "nearest"
    ) -> Reading:
        """Return the reading of `point`, each axis rounded as its mode says."""
        return Reading(
            round_step(from_mm(2 * point.r, self.units), self.x_step, x_mode),
            round_step(from_mm(point.z, self.units), self.z_step, z_mode),
        )

    def read_keep_metal(
        self, point: Point, *, outside: bool = True, metal_toward_chuck: bool = True
    ) -> Reading:
        """Return the reading on the side that leaves metal in both axes.

        Parameters
        ----------
        point : Point
            Exact place of the reference point.
        outside : bool
            Outside work rounds X up, a bore down.
        metal_toward_chuck : bool
            The surface that ends the cut lies toward the chuck: Z is rounded up, else down.
        """
        x_mode: RoundMode = "up" if outside else "down"
        z_mode: RoundMode = "up" if metal_toward_chuck else "down"
        return self.read(point, x_mode, z_mode)

    def rough_x(self, diameter_mm: float, slack_mm: float, *, outside: bool = True) -> float:
        """Return an X for roughing, an easy figure where the slack (on diameter) allows one."""
        diameter, slack = from_mm(diameter_mm, self.units), from_mm(slack_mm, self.units)
        return rough_figure(diameter, slack, self.x_step, self.units, outside=outside)

    def finish_x(self, aim_mm: float, lower_mm: float, upper_mm: float) -> float | None:
        """Return the X for a finished diameter inside its limits; None when no step is."""
        aim, lower, upper = (from_mm(v, self.units) for v in (aim_mm, lower_mm, upper_mm))
        return round_x_finish(aim, lower, upper, self.x_step)

    def x_steps_inside(self, lower_mm: float, upper_mm: float) -> int:
        """Return how many X steps lie clear of both limits of a diameter."""
        return steps_inside(
            from_mm(lower_mm, self.units), from_mm(upper_mm, self.units), self.x_step
        )

    def to_point(self, reading: Reading) -> Point:
        """Return the place, in millimetres, at which the readout shows `reading`."""
        return Point(to_mm(reading.z, self.units), to_mm(reading.x, self.units) / 2)

    def x_text(self, x: float) -> str:
        """Return an X figure with the decimals of the readout."""
        return figure_text(x, self.x_step)

    def z_text(self, z: float) -> str:
        """Return a Z figure with the decimals of the readout."""
        return figure_text(z, self.z_step)


def read_moves(
    rounder: Rounder,
    moves: Sequence[Move],
    modes: Sequence[tuple[RoundMode, RoundMode]] | None = None,
) -> tuple[Reading, ...]:
    """Return one reading per move, at its end.

    Parameters
    ----------
    rounder : Rounder
        Readout and unit.
    moves : sequence of Move
        Exact moves of a pass.
    modes : sequence of (x mode, z mode), optional
        One pair per move; default: nearest in both axes.
    """
    plain: tuple[RoundMode, RoundMode] = ("nearest", "nearest")
    pairs = modes if modes is not None else [plain] * len(moves)
    return tuple(
        rounder.read(move.to, x_mode, z_mode)
        for move, (x_mode, z_mode) in zip(moves, pairs, strict=True)
    )
