"""The steady rest: a place along the work that stays clear while it is there.

Where the blank runs true it stands from the start. Where the setup itself makes the surface under
it, that track is turned first (common practice: light cuts), the steady rest is set on it, and
all that lies in front of it is made with its help.
"""

from __future__ import annotations

from dataclasses import replace

import shapely
from shapely import box
from shapely.geometry.base import BaseGeometry

from turnsketch.errors import InputError
from turnsketch.geometry.elements import rectangle
from turnsketch.part.outline_records import OutlineElement
from turnsketch.plan_records import Obstacle
from turnsketch.planning.context import Context, length_mm
from turnsketch.planning.holding import HeldBlank
from turnsketch.planning.stage import made_here
from turnsketch.planning.steady_place import Track
from turnsketch.shop.records import Lathe

__all__ = ["EDGE_MM", "STEADY", "on_steady", "set_on", "track_stands", "with_steady"]

STEADY = "steady rest"
"""Name of its obstacle."""

EDGE_MM = 1e-3
"""Radial room between the work and the ring, so that they do not touch."""

_SAME_MM = 1e-6
_TRUE_MM = 0.01
"""The fingers run on a surface that is within this of the track's radius."""

_TO_TURN_MM = 0.02
"""With no more metal over it the surface under the steady rest counts as made before."""


def with_steady(ctx: Context) -> Context:
    """Return the setup with its steady rest: in place, or waiting for its track.

    Raises
    ------
    InputError
        The lathe has none, or it does not go around the work at that place.
    """
    text = ctx.setup.holding.steady
    if text is None:
        return ctx
    where = f"setups[{ctx.index}].holding"
    place = -length_mm(text, ctx.units, f"{where}.steady")
    low, high = _span(ctx.held, place, ctx.lathe, where)
    under = _made_under(ctx, low, high)
    if under is None or under.section is None:
        return replace(ctx, held=on_steady(ctx.held, place, ctx.lathe, where))
    radius = under.shape.start.r
    _check_size(ctx.lathe, radius, where)
    track = Track(low, high, radius, _outer(ctx.lathe, radius), under.section)
    return replace(ctx, held=replace(ctx.held, track=track))


def on_steady(held: HeldBlank, place: float, lathe: Lathe, where: str) -> HeldBlank:
    """Return the blank with the steady rest around it, as it stands when the setup begins.

    Its fingers run on what is there then: bar, or a seat that a setup before has turned.

    Parameters
    ----------
    place : float
        z of its middle, part frame; millimetres.
    where : str
        Place of the holding in the job, for errors.

    Raises
    ------
    InputError
        The lathe has none, or it does not go around the work at that place.
    """
    low, high = _span(held, place, lathe, where)
    strip = shapely.clip_by_rect(held.region, low, 0.0, high, 1e4)
    seat = 0.0 if strip.is_empty else float(strip.bounds[3])
    _check_size(lathe, seat, where)
    return _around(held, Track(low, high, seat, _outer(lathe, seat), 0))


def set_on(held: HeldBlank) -> HeldBlank:
    """Return the blank with the steady rest set on the track that was turned for it."""
    return held if held.track is None else _around(replace(held, track=None), held.track)


def track_stands(track: Track, metal: BaseGeometry) -> bool:
    """Return whether `metal` has the track's diameter all along the steady rest."""
    strip = shapely.clip_by_rect(metal, track.low, 0.0, track.high, 1e4)
    if strip.is_empty or float(strip.bounds[3]) > track.radius + _TRUE_MM:
        return False
    skin = box(track.low, track.radius - 2 * _TRUE_MM, track.high, track.radius - _TRUE_MM)
    return bool(strip.buffer(_SAME_MM).covers(skin))


def _around(held: HeldBlank, track: Track) -> HeldBlank:
    inner = track.radius + EDGE_MM
    ring = rectangle(track.low, track.high, inner, track.outer)
    return replace(held, obstacles=(*held.obstacles, Obstacle(STEADY, ring)))


def _made_under(ctx: Context, low: float, high: float) -> OutlineElement | None:
    """Return the cylinder under the steady rest that this setup still has to turn; else None."""
    if not made_here(ctx, low) or _broken(ctx, low, high):
        return None
    strip = shapely.clip_by_rect(ctx.held.region, low, 0.0, high, 1e4)
    for element in ctx.part.aim.elements:
        ends = element.shape.start, element.shape.end
        over = ends[0].z >= high - _SAME_MM and ends[1].z <= low + _SAME_MM
        if element.role == "cylinder" and over and not strip.is_empty:
            return element if float(strip.bounds[3]) > ends[0].r + _TO_TURN_MM else None
    return None


def _broken(ctx: Context, low: float, high: float) -> bool:
    """Return whether a groove, a thread or a knurl stands under the steady rest."""
    spans = [(t.back_z, t.front_z) for t in ctx.part.threads if not t.inside]
    spans += [(k.back_z, k.front_z) for k in ctx.part.knurls]
    for groove in ctx.part.grooves:
        ends = [p.z for e in groove.elements for p in (e.start, e.end)]
        if ends and not groove.inside:
            spans.append((min(ends), max(ends)))
    return any(start < high - _SAME_MM and end > low + _SAME_MM for start, end in spans)


def _span(held: HeldBlank, place: float, lathe: Lathe, where: str) -> tuple[float, float]:
    """Return both sides of the steady rest, where the lathe has one and it finds room."""
    if lathe.steady_largest_mm <= 0 or lathe.steady_width_mm <= 0:
        raise InputError(f"{lathe.name} has no steady rest: leave it out", f"{where}.steady")
    low, high = place - lathe.steady_width_mm / 2, place + lathe.steady_width_mm / 2
    if low < held.jaw_face or high > held.raw_front:
        raise InputError(
            f"the steady rest is {lathe.steady_width_mm:g} mm wide and does not stand between "
            "the jaws and the front end there: move it",
            f"{where}.steady",
        )
    return low, high


def _check_size(lathe: Lathe, radius: float, where: str) -> None:
    least, most = lathe.steady_smallest_mm, lathe.steady_largest_mm
    if not least <= 2 * radius <= most:
        raise InputError(
            f"the steady rest takes Ø{least:g} to Ø{most:g} mm; the work has Ø{2 * radius:.2f} "
            "there: move it, or leave it out",
            f"{where}.steady",
        )


def _outer(lathe: Lathe, radius: float) -> float:
    return max(lathe.swing_mm / 2, radius + 1.0)
