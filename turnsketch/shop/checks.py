"""What a shop file must fulfil beyond its types, so that a plan can be made from it."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from typing import TypeVar

from msgspec.structs import asdict

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.shop.records import Chuck, Dial, Driver, Lathe, Material, Shop, Tool
from turnsketch.shop.tool_shape import tool_shape
from turnsketch.strict_json import inside, normalised

__all__ = ["checked_shop"]

R = TypeVar("R")

_MOST = {"lathes": 50, "chucks": 100, "drivers": 100, "tools": 500, "materials": 500, "bars": 2000}

_MAY_BE_ZERO = ("nose_length_mm", "carriage_room_mm")


def checked_shop(shop: Shop) -> Shop:
    """Return `shop` when a plan can be made from it.

    Raises
    ------
    InputError
        With the place inside the shop file.
    """
    shop = normalised(shop, Shop)
    for field, most in _MOST.items():
        if len(getattr(shop, field)) > most:
            raise InputError(f"at most {most} are read", field)
    _unique("lathes", [lathe.name for lathe in shop.lathes])
    _unique("chucks", [chuck.name for chuck in shop.chucks])
    _unique("drivers", [driver.name for driver in shop.drivers])
    _unique("materials", [material.name for material in shop.materials])
    _unique("tools", [tool.number for tool in shop.tools])
    _each("lathes", shop.lathes, _check_lathe)
    _each("chucks", shop.chucks, _check_chuck)
    _each("drivers", shop.drivers, _check_driver)
    _each("tools", shop.tools, _check_tool)
    _each("materials", shop.materials, _check_material)
    with inside("clearances"):
        _not_below_zero(shop.clearances, *asdict(shop.clearances))
    with inside("limits"):
        _above_zero(shop.limits, *asdict(shop.limits))
    return shop


def _unique(field: str, names: Sequence[str | int]) -> None:
    seen: set[str | int] = set()
    for index, name in enumerate(names):
        where = f"{field}[{index}]"
        if name == "":
            raise InputError("the name is empty", f"{where}.name")
        if name in seen:
            raise InputError(f'"{name}" stands twice; a job could not tell which is meant', where)
        seen.add(name)


def _each(field: str, records: Sequence[R], check: Callable[[R], None]) -> None:
    for index, record in enumerate(records):
        with inside(f"{field}[{index}]"):
            check(record)


def _above_zero(record: object, *fields: str) -> None:
    for field in fields:
        value = getattr(record, field)
        if value is not None and value <= 0:
            raise InputError("must be greater than 0", field)


def _not_below_zero(record: object, *fields: str) -> None:
    for field in fields:
        if getattr(record, field) < 0:
            raise InputError("must not be below 0", field)


def _ascending(field: str, numbers: Sequence[float]) -> None:
    if numbers[0] <= 0 or any(b <= a for a, b in itertools.pairwise(numbers)):
        raise InputError("must be numbers above 0, each greater than the one before", field)


def _angle(field: str, value: float, most: float) -> None:
    if not 0 <= value <= most:
        raise InputError(f"must lie between 0 and {most:g} degrees", field)


def _check_lathe(lathe: Lathe) -> None:
    _above_zero(lathe, "swing_mm", "between_centres_mm", "power_kw", "efficiency")
    if lathe.efficiency > 1:
        raise InputError("must not be greater than 1", "efficiency")
    if bool(lathe.speeds_rpm) == (lathe.speed_range_rpm is not None):
        raise InputError(
            "a lathe has either the steps of its geared head (speeds_rpm) or a range "
            "(speed_range_rpm): give one of them"
        )
    if lathe.speeds_rpm:
        _ascending("speeds_rpm", lathe.speeds_rpm)
    if lathe.speed_range_rpm is not None:
        _ascending("speed_range_rpm", lathe.speed_range_rpm)
    _ascending("feed_range_mm_per_rev", lathe.feed_range_mm_per_rev)
    _check_slides(lathe)
    _not_below_zero(lathe, "set_over_mm", "taper_attachment_deg", "taper_attachment_length_mm")
    _check_threading(lathe)
    _check_steady(lathe)
    with inside("centre"):
        _above_zero(lathe.centre, *(f for f in asdict(lathe.centre) if f not in _MAY_BE_ZERO))
        _not_below_zero(lathe.centre, *_MAY_BE_ZERO)
    if lathe.change_point.r <= 0:
        raise InputError("r must be above 0: tools are changed clear of the axis", "change_point")


def _check_threading(lathe: Lathe) -> None:
    _not_below_zero(lathe, "leadscrew_pitch_mm")
    _all_above_zero(lathe, "thread_pitches_mm", "threads_per_inch")
    for index, line in enumerate(lathe.thread_dial):
        with inside(f"thread_dial[{index}]"):
            if not line.marks.strip():
                raise InputError('the marks are empty: write them as on the plate, "1 or 3"')
            _all_above_zero(line, "pitches_mm", "threads_per_inch")


def _all_above_zero(record: object, *fields: str) -> None:
    for field in fields:
        if any(value <= 0 for value in getattr(record, field)):
            raise InputError("must be numbers above 0", field)


def _check_slides(lathe: Lathe) -> None:
    with inside("readout"):
        _above_zero(lathe.readout, "x_step_mm", "z_step_mm", "x_step_inch", "z_step_inch")
    with inside("cross_dial"):
        _check_dial(lathe.cross_dial)
    with inside("carriage_dial"):
        _check_dial(lathe.carriage_dial)
    if lathe.top_slide is not None:
        with inside("top_slide"):
            _above_zero(lathe.top_slide, "travel_mm")
            _angle("greatest_angle_deg", lathe.top_slide.greatest_angle_deg, 180)
            with inside("dial"):
                _check_dial(lathe.top_slide.dial)


def _check_dial(dial: Dial) -> None:
    _above_zero(dial, "per_turn", "divisions", "fine_per_turn", "fine_divisions")
    if (dial.fine_per_turn is None) != (dial.fine_divisions is None):
        raise InputError("a fine wheel has both fine_per_turn and fine_divisions, or neither")


def _check_steady(lathe: Lathe) -> None:
    _not_below_zero(lathe, "steady_smallest_mm", "steady_largest_mm", "steady_width_mm")
    if lathe.steady_largest_mm > 0:
        _above_zero(lathe, "steady_width_mm")
        if lathe.steady_smallest_mm >= lathe.steady_largest_mm:
            raise InputError("must be smaller than steady_largest_mm", "steady_smallest_mm")


def _check_chuck(chuck: Chuck) -> None:
    _above_zero(chuck, "jaw_length_mm", "body_diameter_mm", "body_length_mm", "greatest_rpm")
    _not_below_zero(chuck, "smallest_mm", "least_grip_mm", "bore_mm", "soft_least_grip_mm")
    _not_below_zero(chuck, "inside_smallest_mm", "inside_largest_mm")
    if chuck.inside_largest_mm > 0 and chuck.inside_smallest_mm >= chuck.inside_largest_mm:
        raise InputError("must be smaller than inside_largest_mm", "inside_smallest_mm")
    if chuck.kind == "mandrel":
        _above_zero(chuck, "inside_largest_mm")
        return
    _above_zero(chuck, "largest_mm", "jaw_height_mm")
    if chuck.smallest_mm >= chuck.largest_mm:
        raise InputError("must be smaller than largest_mm", "smallest_mm")


def _check_driver(driver: Driver) -> None:
    sizes = [name for name in asdict(driver) if name not in ("name", "smallest_mm")]
    _above_zero(driver, *sizes)
    _not_below_zero(driver, "smallest_mm")
    if driver.smallest_mm >= driver.largest_mm:
        raise InputError("must be smaller than largest_mm", "smallest_mm")


_TOOL_LENGTHS = (
    "centre_size_mm",
    "nose_radius_mm",
    "width_mm",
    "corner_radius_mm",
    "reach_mm",
    "side_depth_mm",
    "form_radius_mm",
    "thinnest_cut_mm",
)


def _check_tool(tool: Tool) -> None:
    if not 1 <= tool.number <= 9999:
        raise InputError("must be a whole number from 1 to 9999", "number")
    _not_below_zero(tool, *_TOOL_LENGTHS)
    _above_zero(tool, "edge_length_mm", "usable_edge_mm", "greatest_depth_mm")
    _above_zero(tool, "rough_feed_mm", "finish_feed_mm")
    _angle("edge_angle_deg", tool.edge_angle_deg, 175)
    _angle("end_edge_angle_deg", tool.end_edge_angle_deg, 175)
    _angle("chamfer_angle_deg", tool.chamfer_angle_deg, 89)
    _angle("plunge_angle_deg", tool.plunge_angle_deg, 90)
    for index, ring in enumerate(tool.holder):
        if not _is_convex(ring):
            raise InputError(
                "a holder outline needs three corners or more and must be convex: cut a bent "
                "holder into convex pieces",
                f"holder[{index}]",
            )
    try:
        tool_shape(tool)
    except InputError as error:
        raise InputError(error.what) from None


def _is_convex(ring: Sequence[Point]) -> bool:
    """Tell whether an open ring turns one way at every corner, once around."""
    if len(ring) < 3:
        return False
    sides = [b.minus(a) for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)]
    turns = [a.z * b.r - a.r * b.z for a, b in zip(sides, (*sides[1:], sides[0]), strict=True)]
    if min(turns) < -1e-9 and max(turns) > 1e-9:
        return False
    # One way at every corner still lets a star pass; a convex ring changes its z direction twice.
    ways = [side.z > 0 for side in sides if side.z != 0]
    return any(abs(turn) > 1e-9 for turn in turns) and _changes(ways) == 2


def _changes(ways: Sequence[bool]) -> int:
    return sum(a != b for a, b in zip(ways, (*ways[1:], *ways[:1]), strict=True))


def _check_material(material: Material) -> None:
    _above_zero(material, "kc11_n_mm2", "modulus_gpa", "density_kg_m3")
    _not_below_zero(material, "mc")
    if not material.speeds:
        raise InputError("give a surface speed for one tool material at least", "speeds")
    seen = [speed.tool_material for speed in material.speeds]
    if len(set(seen)) < len(seen):
        raise InputError("a tool material stands twice", "speeds")
    for index, speed in enumerate(material.speeds):
        with inside(f"speeds[{index}]"):
            _above_zero(speed, "rough_m_min", "finish_m_min", "part_off_m_min")
