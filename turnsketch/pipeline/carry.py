"""From one setup to the next: what remained is the blank, exactly as the replay left it."""

from __future__ import annotations

from shapely import Point as Spot

from turnsketch.checking.records import SetupReplay
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.pipeline.request import Carried
from turnsketch.planning.fold import Planned
from turnsketch.planning.holding import Seat, Stock

__all__ = ["carried"]

_INSIDE_MM = 0.02


def carried(planned: Planned, played: SetupReplay) -> Carried:
    """Return what a setup hands over, in the part frame.

    Raises
    ------
    InputError
        When the part is off the bar already.
    """
    ctx = planned.ctx
    if played.parted:
        raise InputError(
            "the part is parted off in the setup before: nothing of it is held any more; part off "
            "in the last setup",
            f"setups[{ctx.index + 1}]",
        )
    back = Point(-ctx.zero, 0.0)
    stock = Stock(tuple(tuple(p.plus(back) for p in ring) for ring in played.remaining))
    return Carried(stock, _seat_left(ctx.held.seat, stock), ctx.held.grip)


def _seat_left(seat: Seat | None, stock: Stock) -> Seat | None:
    """Return the centre hole, unless it was faced away."""
    if seat is None:
        return None
    region = stock.region
    spot = Spot(float(region.bounds[2]) - _INSIDE_MM, _INSIDE_MM)
    return None if region.covers(spot) else seat
