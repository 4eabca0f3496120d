"""The blank in its holding: where it stands, where the jaws are, what must not be hit."""

from __future__ import annotations

from dataclasses import dataclass

from shapely import Polygon, box, union_all
from shapely.geometry.base import BaseGeometry

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Obstacle, Ring
from turnsketch.shop.records import Chuck, Lathe

__all__ = ["HeldBlank", "hold"]


@dataclass(frozen=True)
class HeldBlank:
    """A round blank held at its back. Part frame, millimetres; z grows away from the chuck."""

    radius: float
    length: float
    raw_front: float
    """z of the raw front face (>= 0)."""
    grip: float
    jaw_face: float
    """z of the jaws' front."""
    obstacles: tuple[Obstacle, ...]

    @property
    def back(self) -> float:
        """Z of the blank's back end."""
        return self.raw_front - self.length

    @property
    def stick_out(self) -> float:
        """Length of blank in front of the jaws."""
        return self.length - self.grip

    @property
    def region(self) -> Polygon:
        """Half section of the blank."""
        return box(self.back, 0.0, self.raw_front, self.radius)

    @property
    def ring(self) -> Ring:
        """Corners of the blank's half section."""
        return (
            Point(self.raw_front, 0.0),
            Point(self.raw_front, self.radius),
            Point(self.back, self.radius),
            Point(self.back, 0.0),
        )

    def blocked(self, clearance: float) -> BaseGeometry:
        """Return the obstacles grown by `clearance`."""
        rings = [Polygon(obstacle.ring) for obstacle in self.obstacles]
        return union_all(rings).buffer(clearance, join_style="mitre") if rings else Polygon()


def hold(
    radius: float,
    length: float,
    front: float,
    grip: float,
    chuck: Chuck,
    lathe: Lathe,
    centre: bool,
) -> HeldBlank:
    """Return the blank as the chuck holds it.

    Parameters
    ----------
    radius, length : float
        Of the blank.
    front : float
        How far its raw face stands in front of the finished one.
    grip : float
        Length inside the jaws.
    centre : bool
        The tailstock centre stands in the front end.

    Raises
    ------
    InputError
        When the blank does not fit the chuck, or nothing stands out of it.
    """
    if grip <= 0 or grip >= length:
        raise InputError("the grip must be shorter than the blank", "setups[0].holding.grip")
    if not chuck.smallest_mm <= 2 * radius <= chuck.largest_mm:
        raise InputError(
            f"{chuck.name} grips Ø{chuck.smallest_mm:g} to Ø{chuck.largest_mm:g} mm; "
            f"the blank has Ø{2 * radius:.2f}: choose another holding or bar",
            "setups[0].holding.device",
        )
    jaw_face = front - (length - grip)
    back = jaw_face - chuck.jaw_length_mm
    obstacles = [
        Obstacle("jaws", _rectangle(back, jaw_face, radius, radius + chuck.jaw_height_mm)),
        Obstacle(
            "chuck body",
            _rectangle(
                back - chuck.body_length_mm,
                back,
                radius + 1e-3,
                max(chuck.body_diameter_mm / 2, radius + 1.0),
            ),
        ),
    ]
    if centre:
        obstacles += _centre(front, lathe)
    return HeldBlank(radius, length, front, grip, jaw_face, tuple(obstacles))


def _rectangle(z0: float, z1: float, r0: float, r1: float) -> Ring:
    return (Point(z0, r0), Point(z1, r0), Point(z1, r1), Point(z0, r1))


def _centre(front: float, lathe: Lathe) -> list[Obstacle]:
    """Return the centre's point (as far as it stands outside), its body and the quill."""
    centre = lathe.centre
    half = centre.point_diameter_mm / 2
    slope = half * 3**0.5  # a 60 degree point: length = radius / tan 30 deg
    point = (Point(front, 0.0), Point(front + slope, half), Point(front + slope, 0.0))
    body_end = front + slope + centre.body_length_mm
    return [
        Obstacle("centre", point),
        Obstacle(
            "centre body",
            _rectangle(front + slope, body_end, 0.0, centre.body_diameter_mm / 2),
        ),
        Obstacle(
            "quill",
            _rectangle(
                body_end, body_end + centre.quill_reach_mm, 0.0, centre.quill_diameter_mm / 2
            ),
        ),
    ]
