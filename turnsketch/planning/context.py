"""What every operation is planned for: the part, how it is held, and what the shop has."""

from __future__ import annotations

import bisect
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from shapely.geometry.base import BaseGeometry

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.job import Job, Operation, Setup
from turnsketch.part.outline_records import ResolvedPart, SectionInfo
from turnsketch.part.records import PartRecord
from turnsketch.part.text import parse
from turnsketch.planning.holding import HeldBlank
from turnsketch.rounding import easy_figure, round_step
from turnsketch.shop.records import Chuck, Lathe, Material, Shop, Tool, ToolKind
from turnsketch.shop.tool_numbers import tools_text
from turnsketch.shop.tool_shape import ToolShape
from turnsketch.units import Units, from_mm, to_mm

_BORE_ROOM_MM = 0.5
"""Radial distance from a bore's wall at which the tool travels in it."""

__all__ = ["Context", "State", "length_mm", "operation_path", "setting_mm"]


@dataclass(frozen=True)
class Context:
    """Everything that stays the same while a setup is planned. Part frame, millimetres."""

    job: Job
    setup: Setup
    part: ResolvedPart
    held: HeldBlank
    lathe: Lathe
    chuck: Chuck
    material: Material | None
    shop: Shop
    shapes: Mapping[int, ToolShape]
    index: int = 0
    """Index of the setup in the job, from 0."""
    limit_z: float | None = None
    """This setup works no farther toward the chuck; null: to the part's back face."""
    ahead: float = 0.0
    """Planning on the side (`turnsketch.planning.across`): where the blank's front stands."""
    axis_r: float | None = None
    """Planning in a bore, where every r stands for ``axis_r - r``: that of the spindle's axis.
    None outside; see `turnsketch.planning.inside_out`."""

    @property
    def part_record(self) -> PartRecord:
        """What the print says, as it stands in the job."""
        return self.job.part

    @property
    def last(self) -> bool:
        """Whether no setup follows."""
        return self.index >= len(self.job.setups) - 1

    @property
    def turned_later(self) -> bool:
        """Whether a setup that follows has the part's other end in front."""
        later = self.job.setups[self.index + 1 :]
        return any(setup.turned != self.setup.turned for setup in later)

    @property
    def turned_before(self) -> bool:
        """Whether a setup before had the part's other end in front."""
        before = self.job.setups[: self.index]
        return any(setup.turned != self.setup.turned for setup in before)

    @property
    def supported(self) -> bool:
        """Whether the tailstock centre supports the front end, sooner or later in the setup."""
        return self.setup.holding.centre or self.held.between_centres

    @property
    def between_centres_mm(self) -> float | None:
        """Length of the work between centres; None when it is held otherwise."""
        return self.held.length if self.held.between_centres else None

    @property
    def over_centre_r(self) -> float:
        """A radius at which a tool travels clear of centre and quill; 0 without a centre."""
        centre = self.lathe.centre
        if not self.supported or self.axis_r is not None:
            return 0.0
        thickest = max(centre.point_diameter_mm, centre.body_diameter_mm, centre.quill_diameter_mm)
        return thickest / 2 + self.shop.clearances.holder_to_jaws + 3.0

    @property
    def extra_front(self) -> float:
        """Length that stays in front of the finished face and goes later with its centre hole."""
        return self.held.seat.face if self.held.seat is not None and self.supported else 0.0

    @property
    def units(self) -> Units:
        """Units of the job's readout."""
        return self.job.units

    @property
    def x_step(self) -> float:
        """Step of the X display (on diameter), in display units."""
        readout = self.lathe.readout
        return readout.x_step_inch if self.units == "inch" else readout.x_step_mm

    @property
    def z_step(self) -> float:
        """Step of the Z display, in display units."""
        readout = self.lathe.readout
        return readout.z_step_inch if self.units == "inch" else readout.z_step_mm

    @property
    def return_z(self) -> float:
        """The fixed Z to which passes come back, in front of all that is to be turned."""
        step = 0.1 if self.units == "inch" else 1.0
        front = self.extra_front + self.ahead
        wanted = from_mm(front + self.shop.clearances.approach, self.units)
        return to_mm(round_step(wanted, step, "up"), self.units)

    @property
    def measure_z(self) -> float:
        """The Z to which the tool goes back before a measure stop, X left alone."""
        return to_mm(1.6, "inch") if self.units == "inch" else 40.0

    @property
    def clear_r(self) -> float:
        """A radius above the blank at which nothing is met, on a whole reading of X."""
        step = 0.1 if self.units == "inch" else 2.0
        room = self.shop.clearances.above_blank
        if self.axis_r is not None:
            # In a bore there is little room, and it is needed on the other side as well.
            step, room = step / 4, _BORE_ROOM_MM
        wanted = from_mm(2 * (self.held.over + room), self.units)
        return to_mm(round_step(wanted, step, "up"), self.units) / 2

    def shape(self, number: int | None, what: str) -> ToolShape:
        """Return a tool's shape; InputError when the shop file has no such tool."""
        if number is None or number not in self.shapes:
            known = tools_text(self.shapes)
            raise InputError(f"the shop file has no tool {number}; it has {known}", what)
        return self.shapes[number]

    def tools(self, *kinds: ToolKind) -> list[Tool]:
        """Return the shop's tools of some kinds."""
        return [s.tool for s in self.shapes.values() if s.tool.kind in kinds]

    def out_radius(self, radius: float) -> float:
        """Return a radius for withdrawing from `radius`: outward to an easy X reading."""
        step = 0.05 if self.units == "inch" else 1.0
        wanted = from_mm(2 * (radius + self.shop.clearances.withdraw), self.units)
        return to_mm(round_step(wanted, step, "up"), self.units) / 2

    def easy_radius(self, lower: float, upper: float, near: float | None = None) -> float:
        """Return the radius in ``[lower, upper]`` whose X reading is the easiest figure.

        Among equally easy ones the nearest to `near` is taken, by default to the middle.
        """
        low, high = from_mm(2 * lower, self.units), from_mm(2 * upper, self.units)
        wanted = None if near is None else from_mm(2 * near, self.units)
        figure = easy_figure(low, high, self.x_step, self.units, wanted)
        if figure is None:
            figure = round_step(low, self.x_step, "up")
        return to_mm(figure, self.units) / 2

    def rough_z(self, z: float) -> float:
        """Return `z` moved away from the chuck to the next easy Z reading."""
        return self._easy_z(z, 1.0)

    def _easy_z(self, z: float, sign: float) -> float:
        step = 0.005 if self.units == "inch" else 0.1
        zero = sign * self.zero
        reading = from_mm(z + zero, self.units)
        return to_mm(round_step(reading, step, "up"), self.units) - zero

    def rough_z_back(self, z: float) -> float:
        """Return `z` moved toward the chuck to the next easy Z reading."""
        return -self._easy_z(-z, -1.0)

    @cached_property
    def sections(self) -> Mapping[int, SectionInfo]:
        """The part's sections by their numbers."""
        return {section.number: section for section in self.part.sections}

    @cached_property
    def _lengths(self) -> tuple[list[float], list[SectionInfo]]:
        """Sections that have a length, front first, and where they end (mirrored, ascending)."""
        long = [s for s in self.part.sections if s.kind != "face"]
        long.sort(key=lambda section: -section.back.z)
        return [-section.back.z for section in long], long

    def sections_between(self, low: float, high: float) -> Iterator[SectionInfo]:
        """Yield the sections with a length that may share some of the z interval."""
        ends, long = self._lengths
        for section in long[bisect.bisect_right(ends, -high) :]:
            if section.front.z <= low and section.back.z <= low:
                return
            yield section

    @cached_property
    def zero(self) -> float:
        """What Z shows at the finished front face, millimetres."""
        return length_mm(self.setup.zero, self.units, f"setups[{self.index}].zero")


@dataclass(frozen=True, slots=True)
class State:
    """Where an operation begins: the metal of the moment and the tool."""

    remaining: BaseGeometry
    """Half section, r >= 0."""
    position: Point
    tool: int | None


def length_mm(text: str, units: Units, where: str) -> float:
    """Return the millimetres of a length typed by the user; InputError names `where`."""
    try:
        return parse(text, units, {"length"}).nominal
    except InputError as error:
        raise error.within(where) from None


def setting_mm(text: str | None, default: float, units: Units, where: str) -> float:
    """Return the millimetres of an operation's setting, or `default` when it gives none."""
    return default if text is None else length_mm(text, units, where)


def operation_path(index: int, operation: Operation, setup: int = 0) -> str:
    """Return the place of an operation in the job file, for errors; both indices from 0."""
    return f"setups[{setup}].operations[{index}] ({operation.kind})"
