"""From one setup's frame to another's, and whether a blank is what the setup before left."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.depth import Surface, farthest, samples
from turnsketch.checking.records import Event
from turnsketch.checking.sweep import Coordinates
from turnsketch.geometry.constants import GOUGE
from turnsketch.plan_records import Frame

__all__ = ["blank_events", "moved_to_frame"]

_SPECK = 1e-9
"""Square millimetres: smaller differences cannot be thicker than GOUGE."""


def moved_to_frame(metal: BaseGeometry, old: Frame, new: Frame) -> BaseGeometry:
    """Return metal of one setup's frame in another's.

    A frame's `z0` is its zero in the first setup's frame; in a mirrored one z counts the other way.
    """

    def turned(points: Coordinates) -> Coordinates:
        z = np.where(old.mirrored, -points[:, 0], points[:, 0]) + old.z0 - new.z0
        return np.column_stack([np.where(new.mirrored, -z, z), points[:, 1]])

    return shapely.transform(metal, turned)


def blank_events(setup: int, left: BaseGeometry, blank: BaseGeometry) -> list[Event]:
    """Return an event when a setup's blank is not what the setup before left."""
    other = shapely.symmetric_difference(left, blank)
    if other.is_empty or other.area <= _SPECK:
        return []
    worst = farthest(samples(other, Surface(left)), Surface(left))
    if worst is None or worst.distance <= GOUGE:
        return []
    what = (
        f"the blank differs by {worst.distance:.3f} mm from what the setup before left "
        f"at Z {worst.place.z:.2f}"
    )
    return [Event("blank mismatch", setup, 0, 0, worst.distance, worst.place, what)]
