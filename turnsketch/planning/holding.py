"""The blank in its holding: where it stands, where the jaws are, what must not be hit."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import Polygon, box, union_all
from shapely.geometry.base import BaseGeometry

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point, rectangle
from turnsketch.geometry.rings import rings
from turnsketch.plan_records import Obstacle, Ring
from turnsketch.planning.steady_place import Track
from turnsketch.planning.tailstock import CENTRE_NAMES, Seat, centre_obstacles
from turnsketch.shop.records import Chuck, Driver, Lathe, TailstockCentre

__all__ = ["HeldBlank", "Stock", "hold", "hold_between"]

_TAN_30 = math.tan(math.radians(30))
_EDGE = 1e-3
"""Radial room between a body and what stands in it, so that rings do not touch."""


@dataclass(frozen=True, slots=True)
class Stock:
    """A blank that is no plain bar any more: its half section, part frame."""

    rings: tuple[Ring, ...]

    @classmethod
    def of(cls, region: BaseGeometry) -> Stock:
        """Return the blank with this half section."""
        return cls(rings(region))

    @property
    def region(self) -> BaseGeometry:
        """Half section: a ring inside another is a hole in it."""
        shape: BaseGeometry = Polygon()
        for ring in self.rings:
            shape = shapely.symmetric_difference(shape, Polygon(np.asarray(ring, dtype=float)))
        return shape


@dataclass(frozen=True)
class HeldBlank:
    """A round blank held at its back. Part frame, millimetres; z grows away from the chuck."""

    radius: float
    length: float
    raw_front: float
    """z of the raw front face."""
    grip: float
    jaw_face: float
    """z of the front of the jaws, or of the dog."""
    obstacles: tuple[Obstacle, ...]
    stock: Stock | None = None
    """null: a plain bar."""
    seat: Seat | None = None
    """The centre hole in its front end, when it has one."""
    between_centres: bool = False
    wall: float | None = None
    """Radius to which what stays behind the part reaches; null: that of the blank."""
    flat_radius: float | None = None
    """Distance of a hexagon's or square's flats from the axis; null: the blank is round."""
    inside: bool = False
    """Held in its bore, by jaws that open or by a mandrel."""

    travel: float | None = None
    """Radius over which tools travel; null: that of the blank."""
    back_seat: Seat | None = None
    """The centre hole in its back end, when it has one."""
    track: Track | None = None
    """Where the steady rest is set once its track is turned; null: none, or it stands already."""

    @property
    def over(self) -> float:
        """Radius over which tools travel."""
        return self.radius if self.travel is None else self.travel

    @property
    def behind(self) -> float:
        """Radius of what stays behind the part."""
        return self.radius if self.wall is None else self.wall

    @property
    def back(self) -> float:
        """Z of the blank's back end."""
        return self.raw_front - self.length

    @property
    def stick_out(self) -> float:
        """Length of blank in front of the jaws."""
        return self.length - self.grip

    @property
    def region(self) -> BaseGeometry:
        """Half section of the blank."""
        if self.stock is not None:
            return self.stock.region
        return box(self.back, 0.0, self.raw_front, self.radius)

    @property
    def rings(self) -> tuple[Ring, ...]:
        """Rings of the blank's half section."""
        if self.stock is not None:
            return self.stock.rings
        return (
            (
                Point(self.raw_front, 0.0),
                Point(self.raw_front, self.radius),
                Point(self.back, self.radius),
                Point(self.back, 0.0),
            ),
        )

    @property
    def centre_in(self) -> bool:
        """Whether the tailstock centre stands in the front end."""
        return any(obstacle.name in CENTRE_NAMES for obstacle in self.obstacles)

    def blocked(self, clearance: float) -> BaseGeometry:
        """Return the obstacles grown by `clearance`."""
        rings = [Polygon(obstacle.ring) for obstacle in self.obstacles]
        return union_all(rings).buffer(clearance, join_style="mitre") if rings else Polygon()

    def on_centre(self, centre: TailstockCentre, seat: Seat | None) -> HeldBlank:
        """Return it with the tailstock centre in `seat` (None: against the plain front face)."""
        plain = tuple(o for o in self.obstacles if o.name not in CENTRE_NAMES)
        placed = centre_obstacles(centre, seat, self.raw_front)
        return replace(self, obstacles=(*plain, *placed), seat=seat)


def hold(
    radius: float,
    length: float,
    front: float,
    grip: float,
    chuck: Chuck,
    lathe: Lathe,
    centre: bool,
    *,
    stock: Stock | None = None,
    seat: Seat | None = None,
    flat_radius: float | None = None,
    where: str = "setups[0].holding",
) -> HeldBlank:
    """Return the blank as the chuck holds it.

    Parameters
    ----------
    radius, length : float
        Of the blank.
    front : float
        z of its raw face: how far it stands in front of the finished one.
    grip : float
        Length inside the jaws.
    centre : bool
        The tailstock centre stands in the front end already.
    stock : Stock, optional
        Its half section when it is no plain bar.
    seat : Seat, optional
        Its centre hole.
    flat_radius : float, optional
        Distance of its flats from the axis, when it has some.
    where : str
        Place of the holding in the job, for errors.

    Raises
    ------
    InputError
        When the blank does not fit the chuck, or nothing stands out of it.
    """
    if grip <= 0 or grip >= length:
        raise InputError("the grip must be shorter than the blank", f"{where}.grip")
    jaw_face = front - (length - grip)
    back = jaw_face - chuck.jaw_length_mm
    gripped = _radius_between(stock, back, jaw_face, radius)
    # Jaws stand on the flats, between the corners; as a ring they begin outside the corners.
    size = 2 * gripped if flat_radius is None else 2 * min(gripped, flat_radius)
    _check_size(size, chuck.smallest_mm, chuck.largest_mm, f"{chuck.name} grips", where)
    body = max(chuck.body_diameter_mm / 2, radius + 1.0)
    obstacles = (
        Obstacle("jaws", rectangle(back, jaw_face, gripped, gripped + chuck.jaw_height_mm)),
        Obstacle("chuck body", rectangle(back - chuck.body_length_mm, back, radius + _EDGE, body)),
    )
    held = HeldBlank(
        radius, length, front, grip, jaw_face, obstacles, stock, seat, flat_radius=flat_radius
    )
    return held.on_centre(lathe.centre, seat) if centre else held


def hold_between(
    radius: float,
    length: float,
    front: float,
    grip: float,
    driver: Driver,
    *,
    stock: Stock | None = None,
    back_seat: Seat | None = None,
    seat: Seat | None = None,
    where: str = "setups[0].holding",
) -> HeldBlank:
    """Return the blank between centres: dog, driver plate and headstock centre at its back.

    Parameters are those of `hold`; `grip` is the length under the dog, `back_seat` the hole for the
    headstock centre. The tailstock centre is put in by `HeldBlank.on_centre`.

    Raises
    ------
    InputError
        When the blank does not fit the dog.
    """
    if grip <= 0 or grip >= length:
        raise InputError("the dog must leave most of the blank free", f"{where}.grip")
    if grip < driver.dog_width_mm - 1e-9:
        raise InputError(
            f"the dog of {driver.name} is {driver.dog_width_mm:g} mm wide; give it as much",
            f"{where}.grip",
        )
    back, face = front - length, front - length + grip
    gripped = _radius_between(stock, back, face, radius)
    _check_size(2 * gripped, driver.smallest_mm, driver.largest_mm, f"{driver.name} takes", where)
    rim = back_seat.hole.countersink / 2 if back_seat else 0.0
    obstacles = _driven(driver, back, face, gripped, rim)
    return HeldBlank(
        radius, length, front, grip, face, obstacles, stock, seat, True, back_seat=back_seat
    )


def _driven(
    driver: Driver, back: float, face: float, gripped: float, rim: float
) -> tuple[Obstacle, ...]:
    """Return dog, driver plate and the headstock centre in a hole with the radius `rim`."""
    plate = back - driver.plate_gap_mm
    plate_radius = driver.plate_diameter_mm / 2
    half = driver.centre_point_diameter_mm / 2
    tip = back + rim / _TAN_30
    base = tip - half / _TAN_30
    body = driver.centre_body_diameter_mm / 2
    return (
        Obstacle("dog", rectangle(plate, face, gripped, gripped + driver.dog_height_mm)),
        Obstacle(
            "driver plate",
            rectangle(plate - driver.plate_thickness_mm, plate, body + _EDGE, plate_radius),
        ),
        Obstacle("headstock centre", (Point(tip, 0.0), Point(base, half), Point(base, 0.0))),
        Obstacle(
            "headstock centre body",
            rectangle(base - driver.plate_thickness_mm, base, 0.0, body),
        ),
    )


def _check_size(diameter: float, least: float, most: float, what: str, where: str) -> None:
    if not least <= diameter <= most:
        raise InputError(
            f"{what} Ø{least:g} to Ø{most:g} mm; "
            f"the blank has Ø{diameter:.2f}: choose another holding or bar",
            f"{where}.device",
        )


def _radius_between(stock: Stock | None, low: float, high: float, radius: float) -> float:
    """Return the greatest radius of the blank between two z values."""
    if stock is None:
        return radius
    part = shapely.clip_by_rect(stock.region, low, 0.0, high, 1e4)
    return radius if part.is_empty else float(part.bounds[3])
