"""From one setup to the next: what remained is the blank, exactly as the replay left it."""

from __future__ import annotations

from shapely import Point as Spot

from turnsketch.checking.records import SetupReplay
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import polygons
from turnsketch.pipeline.held_blank import Carried
from turnsketch.planning.fold import Planned
from turnsketch.planning.holding import Stock
from turnsketch.planning.tailstock import Seat

__all__ = ["carried"]

_INSIDE_MM = 0.02


def carried(planned: Planned, played: SetupReplay, before: Carried | None = None) -> Carried:
    """Return what a setup hands over, in its part frame: the bar, or the part that came off it.

    Parameters
    ----------
    before : Carried, optional
        What the setup itself had been handed.
    """
    ctx = planned.ctx
    back = Point(-ctx.zero, 0.0)
    stock = Stock(tuple(tuple(p.plus(back) for p in ring) for ring in played.remaining))
    if played.parted:
        stock = _foremost(stock)
    reached = () if before is None else before.reached
    return Carried(
        stock,
        _seat_left(ctx.held.seat, stock),
        ctx.held.grip,
        ctx.setup.turned,
        (*reached, (ctx.setup.turned, ctx.limit_z)),
        _back_seat_left(ctx.held.back_seat, stock),
    )


def _foremost(stock: Stock) -> Stock:
    """Return the piece that came off: it stood in front of the bar."""
    piece = max(polygons(stock.region), key=lambda one: one.bounds[2])
    return Stock.of(piece)


def _seat_left(seat: Seat | None, stock: Stock) -> Seat | None:
    """Return the centre hole, unless it was faced away."""
    if seat is None:
        return None
    region = stock.region
    spot = Spot(float(region.bounds[2]) - _INSIDE_MM, _INSIDE_MM)
    return None if region.covers(spot) else seat


def _back_seat_left(seat: Seat | None, stock: Stock) -> Seat | None:
    """Return the back end's centre hole, unless the part was taken off in front of it."""
    if seat is None:
        return None
    region = stock.region
    spot = Spot(float(region.bounds[0]) + _INSIDE_MM, _INSIDE_MM)
    return None if region.covers(spot) else seat
