"""From a job and a shop file to what the planner works on."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol, TypeVar

import shapely
from shapely import Polygon

from turnsketch.blank_sizes import blank_sizes
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.job import Holding, Job
from turnsketch.part.bright_bar import left_as_bar
from turnsketch.part.centre_holes import CentreHole, centre_hole, usual_size
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.resolve import resolve
from turnsketch.part.turned import turned_part, turned_point
from turnsketch.planning.context import Context, length_mm
from turnsketch.planning.holding import HeldBlank, Seat, Stock, hold, hold_between
from turnsketch.planning.holding_inside import hold_inside
from turnsketch.planning.stage import FACE_ALONE_MM, limit_behind
from turnsketch.planning.steady import on_steady
from turnsketch.shop.records import Chuck, Driver, Lathe, Material, Shop
from turnsketch.shop.tool_shape import tool_shape

__all__ = [
    "Carried",
    "chuck_of",
    "context_of",
    "driver_of",
    "lathe_of",
    "material_of",
    "planned_part",
]


_OUTSIDE = ("rough", "finish", "groove", "chamfer", "thread", "die", "knurl", "part off")
"""Operations that work on the outside."""


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


class _Named(Protocol):
    @property
    def name(self) -> str: ...


N = TypeVar("N", bound=_Named)


def _find(records: Iterable[N], name: str, what: str, where: str) -> N:
    known = list(records)
    for record in known:
        if record.name == name:
            return record
    names = [record.name for record in known]
    near = difflib.get_close_matches(name, names, 1)
    hint = f'did you mean "{near[0]}"?' if near else "it has " + ", ".join(names)
    raise InputError(f'the shop file has no {what} "{name}"; {hint}', where)


def lathe_of(job: Job, shop: Shop) -> Lathe:
    """Return the job's lathe; InputError when the shop file has none of that name."""
    return _find(shop.lathes, job.lathe, "lathe", "lathe")


def chuck_of(job: Job, shop: Shop, setup: int = 0) -> Chuck:
    """Return what holds a setup's work: chuck, collet, or a driver told as one.

    InputError when the shop file has it not.
    """
    holding = job.setups[setup].holding
    if holding.kind == "between centres":
        return _as_chuck(driver_of(job, shop, setup))
    return _find(shop.chucks, holding.device, "chuck or collet", _device(setup))


def driver_of(job: Job, shop: Shop, setup: int = 0) -> Driver:
    """Return the driver of a setup between centres; InputError when the shop file has it not."""
    name = job.setups[setup].holding.device
    return _find(shop.drivers, name, "driver", _device(setup))


def _as_chuck(driver: Driver) -> Chuck:
    """Return a driver in the words of a chuck: its dog grips, its plate is the body."""
    return Chuck(
        driver.name,
        "driver",
        driver.smallest_mm,
        driver.largest_mm,
        driver.dog_width_mm,
        driver.dog_height_mm,
        driver.plate_diameter_mm,
        driver.plate_thickness_mm,
        driver.greatest_rpm,
        driver.dog_width_mm,
    )


def material_of(job: Job, shop: Shop) -> Material | None:
    """Return the part's material, or None when the job names none."""
    if not job.part.material:
        return None
    return _find(shop.materials, job.part.material, "material", "part.material")


def planned_part(job: Job) -> ResolvedPart:
    """Return the part as it is planned: sections that may stay as the bright bar is are left so.

    Raises
    ------
    InputError
        When text cannot be read, or the sizes make no outline.
    """
    part = job.part
    if job.blank.skin == "bright" and job.blank.shape not in ("tube", "steps"):
        # A section across the corners of a hexagon or square stays as that bar is.
        part = left_as_bar(part, job.units, 2 * blank_sizes(job.blank, job.units).radius)
    return resolve(part, job.units)


def context_of(
    job: Job,
    shop: Shop,
    part: ResolvedPart | None = None,
    index: int = 0,
    before: Carried | None = None,
) -> Context:
    """Return what one setup is planned for.

    Parameters
    ----------
    part : ResolvedPart, optional
        The job's part, where it is known already.
    index : int
        Of the setup, from 0.
    before : Carried, optional
        What the setup before hands over; None for the first.

    Raises
    ------
    InputError
        When text cannot be read, a record is missing, or the blank does not fit its holding.
    """
    lathe, chuck = lathe_of(job, shop), chuck_of(job, shop, index)
    part = part if part is not None else planned_part(job)
    if job.setups[index].turned:
        part = turned_part(part)
    grip = _grip(job, index, before)
    held = (
        _fresh(job, shop, grip)
        if before is None
        else _carried(job, shop, index, grip, before, part.total_length)
    )
    ctx = Context(
        job=job,
        setup=job.setups[index],
        part=part,
        held=held,
        lathe=lathe,
        chuck=chuck,
        material=material_of(job, shop),
        shop=shop,
        shapes={tool.number: tool_shape(tool) for tool in shop.tools},
        index=index,
    )
    return replace(ctx, limit_z=_limit(ctx, () if before is None else before.reached))


def _fresh(job: Job, shop: Shop, grip: float) -> HeldBlank:
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
    outside = shapely.get_coordinates(shapely.orient_polygons(region).exterior)[:-1]
    ring = tuple(Point(z, r) for z, r in outside.tolist())
    ends = (Seat(hole, front), Seat(hole, back) if between else None)
    return _held(job, shop, 0, sizes, Stock((ring,)), *ends)


def _carried(
    job: Job, shop: Shop, index: int, grip: float, before: Carried, length: float
) -> HeldBlank:
    """Return what the setup before left, in this setup's holding."""
    stock, seat = before.stock, before.seat
    if before.turned != job.setups[index].turned:
        rings = (tuple(turned_point(p, length) for p in ring[::-1]) for ring in stock.rings)
        stock, seat = Stock(tuple(rings)), None
    low, _, high, radius = stock.region.bounds
    sizes = (radius, high - low, high, grip)
    return _held(job, shop, index, sizes, stock, seat, None)


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
    if holding.steady is None:
        return held
    place = -length_mm(holding.steady, job.units, f"{where}.steady")
    return on_steady(held, place, lathe, where)


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


def _grip(job: Job, index: int, before: Carried | None) -> float:
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
            f"pulled out so far the jaws hold {pulled:.2f} mm, the grip says {stated:.2f}: "
            "leave one of them out",
            f"{where}.pull_out",
        )
    return pulled


def _limit(ctx: Context, reached: Sequence[tuple[bool, float | None]]) -> float | None:
    """Return where the setup ends, when another one or the list of sections goes farther."""
    outside = {n for n in ctx.setup.sections or () if n in ctx.sections}
    if outside:
        return limit_behind(ctx.part.aim, tuple(outside))
    made = _made_before(ctx, reached)
    ahead = None if ctx.last else _ahead(ctx)
    limits = [limit for limit in (made, ahead) if limit is not None]
    return max(limits, default=None)


def _made_before(ctx: Context, reached: Sequence[tuple[bool, float | None]]) -> float | None:
    """Return where the surfaces begin that a setup from the part's other end has made."""
    length = ctx.part.total_length
    ends = [
        -FACE_ALONE_MM if limit is None else min(-length - limit, -FACE_ALONE_MM)
        for turned, limit in reached
        if turned != ctx.setup.turned
    ]
    return max(ends, default=None)


def _ahead(ctx: Context) -> float | None:
    """Return where a setup ends that another one follows: at the last section it can make."""
    outline = ctx.part.aim
    line = ctx.held.jaw_face + ctx.shop.clearances.never_beyond_jaws
    within = tuple(s.number for s in ctx.part.sections if min(s.front.z, s.back.z) >= line - 1e-6)
    if len(within) == len(ctx.part.sections):
        return None
    if not within and _outside_alone(ctx):
        return -FACE_ALONE_MM
    if not within:
        raise InputError(
            "no whole section of the part stands clear of the jaws; pull the bar out further, or "
            "name the sections that this setup makes",
            f"setups[{ctx.index}].sections",
        )
    return limit_behind(outline, within)


def _outside_alone(ctx: Context) -> bool:
    """Return whether the setup's list leaves the outside alone: it makes the end and its bore."""
    listed = ctx.setup.operations
    return listed is not None and not any(o.enabled and o.kind in _OUTSIDE for o in listed)


def _device(setup: int) -> str:
    return f"setups[{setup}].holding.device"
