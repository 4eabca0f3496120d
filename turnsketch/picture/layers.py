"""What each pass takes away, for pictures: the difference between two states of the replay."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.records import Replay, SetupReplay
from turnsketch.checking.replay import replay
from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Plan, Ring, SetupPlan

__all__ = ["Layer", "layers", "plan_layers"]

_PICTURE_CHORD = 0.004
"""Points of an arc that no picture can show are left out, millimetres."""

_LEAST_AREA = 1e-4


@dataclass(frozen=True, slots=True)
class Layer:
    """One pass in the pictures."""

    pass_number: int
    operation_number: int
    removed: tuple[Ring, ...]
    """What it takes, rings even-odd, half section."""
    remaining: tuple[Ring, ...]
    """What stands after it."""


def plan_layers(plan: Plan, played: Replay | None = None) -> tuple[tuple[Layer, ...], ...]:
    """Return the layers of every setup; `played` saves playing the plan once more."""
    seen = played or replay(plan)
    return tuple(layers(setup, seen.setups[i]) for i, setup in enumerate(plan.setups))


def layers(setup: SetupPlan, played: SetupReplay) -> tuple[Layer, ...]:
    """Return what each pass of `setup` takes, in order."""
    stock, found = _region(setup.blank), []
    for step, result in zip(setup.passes, played.passes, strict=False):
        after = _region(result.remaining)
        found.append(
            Layer(
                step.number,
                step.operation_number,
                tuple(_rings(stock.difference(after))),
                tuple(_rings(after)),
            )
        )
        stock = after
    return tuple(found)


def _region(rings: Sequence[Ring]) -> BaseGeometry:
    region: BaseGeometry = Polygon()
    for ring in rings:
        region = region.symmetric_difference(Polygon(ring))
    return region


def _rings(region: BaseGeometry) -> Iterable[Ring]:
    pieces: Any = getattr(region, "geoms", [region])
    for piece in pieces:
        if not isinstance(piece, Polygon) or piece.area < _LEAST_AREA:
            continue
        plain = piece.simplify(_PICTURE_CHORD)
        if not isinstance(plain, Polygon) or plain.is_empty:
            continue
        for line in (plain.exterior, *plain.interiors):
            yield tuple(Point(float(z), float(r)) for z, r in list(line.coords)[:-1])
