"""The blank in a setup's holding: the bar, or what the setup before hands over."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shapely import Polygon

from turnsketch.blank_sizes import blank_sizes
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.job import Holding, Job
from turnsketch.part.centre_holes import CentreHole, centre_hole, usual_size
from turnsketch.part.turned import turned_point
from turnsketch.pipeline.lengths import said
from turnsketch.pipeline.shop_records import chuck_of, driver_of, lathe_of
from turnsketch.planning.context import length_mm
from turnsketch.planning.holding import HeldBlank, Stock, hold, hold_between
from turnsketch.planning.holding_inside import hold_inside
from turnsketch.planning.tailstock import Seat
from turnsketch.shop.records import Shop

__all__ = ["Carried", "carried_blank", "fresh_blank", "grip_of"]


@dataclass(frozen=True)
class Carried:
    """What the setup before hands over, in the part frame, millimetres."""

    stock: Stock
    seat: Seat | None
    """The front end's centre hole."""
    grip: float
    turned: bool
    """The frame of the stock has the part's back end in front."""
    reached: tuple[tuple[bool, float | None], ...]
    """For each setup so far: whether it was turned, and z in its frame to which it made the part;
    None: to its far end."""
    back_seat: Seat | None = None
    """The back end's centre hole."""


def fresh_blank(job: Job, shop: Shop, grip: float) -> HeldBlank:
    """Return the job's blank in the first setup's holding."""
    holding, blank = job.setups[0].holding, blank_sizes(job.blank, job.units)
    sizes = (blank.radius, blank.length, blank.front, grip)
    between = holding.kind == "between centres"
    if not (holding.centred_blank and (holding.centre or between)):
        stock = None if blank.plain else Stock((blank.ring,))
        return _held(job, shop, 0, sizes, stock, None, None)
    if any(step.bore for step in blank.steps):
        raise InputError(
            "a blank with a bore has no centre hole: leave it out",
            "setups[0].holding.centred_blank",
        )
    hole, front, back = _blank_hole(holding, blank.radius), blank.front, blank.front - blank.length
    region = Polygon(blank.ring).difference(Polygon(hole.section(front)))
    if between:
        behind = [Point(front + back - p.z, p.r) for p in hole.section(front)]
        region = region.difference(Polygon(behind))
    ends = (Seat(hole, front), Seat(hole, back) if between else None)
    return _held(job, shop, 0, sizes, Stock.of(region), *ends)


def carried_blank(
    job: Job, shop: Shop, index: int, grip: float, before: Carried, length: float
) -> HeldBlank:
    """Return what the setup before left, in this setup's holding."""
    stock, seat, back_seat = before.stock, before.seat, before.back_seat
    if before.turned != job.setups[index].turned:
        rings = (tuple(turned_point(p, length) for p in ring[::-1]) for ring in stock.rings)
        stock = Stock(tuple(rings))
        seat, back_seat = _turned_seat(back_seat, length), _turned_seat(seat, length)
    low, _, high, radius = stock.region.bounds
    sizes = (radius, high - low, high, grip)
    return _held(job, shop, index, sizes, stock, seat, back_seat)


def _turned_seat(seat: Seat | None, length: float) -> Seat | None:
    """Return a centre hole where it stands once the part is turned around."""
    return None if seat is None else Seat(seat.hole, -length - seat.face)


def _held(
    job: Job,
    shop: Shop,
    index: int,
    sizes: tuple[float, float, float, float],
    stock: Stock | None,
    seat: Seat | None,
    back_seat: Seat | None,
) -> HeldBlank:
    where = f"setups[{index}].holding"
    if job.setups[index].holding.kind == "between centres":
        driver = driver_of(job, shop, index)
        return hold_between(
            *sizes, driver, stock=stock, seat=seat, back_seat=back_seat, where=where
        )
    chuck, lathe, holding = (
        chuck_of(job, shop, index),
        lathe_of(job, shop),
        job.setups[index].holding,
    )
    flats = _flat_radius(job, sizes[0])
    if holding.inside or chuck.kind == "mandrel":
        stock = stock or Stock((blank_sizes(job.blank, job.units).ring,))
        held = hold_inside(*sizes, chuck, stock=stock, seat=seat, flat_radius=flats, where=where)
    else:
        held = hold(
            *sizes, chuck, lathe, False, stock=stock, seat=seat, flat_radius=flats, where=where
        )
    return replace(held, back_seat=back_seat)


def _flat_radius(job: Job, radius: float) -> float | None:
    """Return where the blank's flats stand; None when what is left of it runs round."""
    flat = blank_sizes(job.blank, job.units).flat_radius
    return None if flat is None or radius <= flat + 1e-6 else flat


def _blank_hole(holding: Holding, radius: float) -> CentreHole:
    """Return the hole with which the blank comes."""
    if holding.centre_size is None:
        return centre_hole(usual_size(2 * radius))
    where = "setups[0].holding.centre_size"
    try:
        return centre_hole(length_mm(holding.centre_size, "mm", where))
    except InputError as error:
        raise InputError(error.what, where) from None


def grip_of(job: Job, index: int, before: Carried | None) -> float:
    """Return how much of the blank is held: the holding says it, or how far the bar is pulled."""
    setup, units = job.setups[index], job.units
    where = f"setups[{index}]"
    given = setup.holding.grip
    stated = None if given is None else length_mm(given, units, f"{where}.holding.grip")
    if setup.pull_out is None:
        if stated is None:
            raise InputError("say how much of the blank is held", f"{where}.holding.grip")
        return stated
    if before is None:
        raise InputError("only a setup after another pulls the bar out", f"{where}.pull_out")
    pulled = before.grip - length_mm(setup.pull_out, units, f"{where}.pull_out")
    if stated is not None and abs(stated - pulled) > 0.01:
        raise InputError(
            f"pulled out so far the jaws hold {said(pulled, job)}, the grip says "
            f"{said(stated, job)}: "
            "leave one of them out",
            f"{where}.pull_out",
        )
    return pulled
