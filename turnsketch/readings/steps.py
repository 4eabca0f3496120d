"""Step tables: a taper or an arc cut in steps with two handwheels, without a guided move.

At every step Z stands still and X is fed in. See `step_cusps` for what stays between two steps and
`step_placing` for where they stand; here they are rounded to the readout and judged.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Element, Point
from turnsketch.plan_records import Reading, StepRow, StepTable
from turnsketch.readings.moves import Rounder
from turnsketch.readings.step_cusps import StepTool, greatest_cusp
from turnsketch.readings.step_path import StepPath
from turnsketch.readings.step_placing import EVEN, step_ways
from turnsketch.rounding import RoundMode, opposite, round_step
from turnsketch.units import from_mm

__all__ = ["MANY_STEPS", "StepTool", "SteppedSurface", "many_steps_advice", "step_table"]

MANY_STEPS: Final = 40
"""Over so many steps something better than a step table is proposed (common practice)."""

_EXTRA_SHARE: Final = 0.5
"""Share of steps that is added at most so that the cusp as read stays within the limit."""


@dataclass(frozen=True, slots=True)
class SteppedSurface:
    """A step table and what it leaves. Points are of the reference, lengths millimetres."""

    table: StepTable
    exact: tuple[Point, ...]
    """The steps before rounding, one per row."""
    read: tuple[Point, ...]
    """The steps as the readout will show them."""
    cusp_exact: float
    cusp_read: float
    """What really stays; the table's own cusp."""
    within_limit: bool
    """False when the readout is too coarse for the limit."""


def many_steps_advice(count: int, tangents: int = 0) -> str:
    """Return what is better than so many steps; empty when they are few enough.

    Parameters
    ----------
    count : int
        Steps of the table.
    tangents : int
        Cuts by the top slide that would do as well; 0: not reckoned.
    """
    if count <= MANY_STEPS:
        return ""
    slide = "tangent cuts by the top slide"
    if tangents:
        cuts = "cut" if tangents == 1 else "cuts"
        slide = f"{tangents} tangent {cuts} by the top slide, listed under the table on the sheet,"
    return f"{count} steps are many: a round nose, a form tool or {slide} need fewer"


def step_table(
    path: Sequence[Element],
    tool: StepTool,
    limit_mm: float,
    rounder: Rounder,
    *,
    free_front: bool = True,
    free_back: bool = False,
    as_read: bool = True,
) -> SteppedSurface:
    """Return the fewest steps along a path whose cusps stay within a limit.

    Parameters
    ----------
    path : sequence of Line or Arc
        Exact way of the reference point on outside work, front to back, part on its left.
    tool : StepTool
        Nose or corner that makes the path.
    limit_mm : float
        Largest cusp that may stay, millimetres.
    rounder : Rounder
        Steps of the readout. X is rounded up, Z to the side that leaves metal.
    free_front, free_back : bool
        Z may be rounded past that end of the path. Where a wall stands it is rounded back, and X
        raised to match.
    as_read : bool
        The limit holds for the steps as read (up to half as many again are added for it); False:
        for the exact ones, and rounding adds to the cusp.

    Raises
    ------
    InputError
        When the limit is not positive or asks for too many steps, or the path cannot be stepped.
    """
    if not limit_mm > 0:
        raise InputError("the cusp that may stay must be more than zero")
    steps = StepPath(path)
    target, first_count = limit_mm, 0
    best: SteppedSurface | None = None
    while True:
        ways = step_ways(steps, tool, target)
        first_count = first_count or len(ways)
        found = _surface(steps, ways, tool, rounder, limit_mm, (free_front, free_back))
        if not as_read or found.within_limit:
            return found
        if best is None or found.cusp_read < best.cusp_read:
            best = found
        if len(ways) > first_count * (1 + _EXTRA_SHARE) + 2:
            return best
        # One step more; where there are many anyway, as many as the excess asks for.
        excess = found.cusp_read - limit_mm if len(ways) > MANY_STEPS else 0.0
        target = max(min(target, found.cusp_exact) * (1 - 2 * EVEN) - excess, limit_mm / 20)


def _surface(
    path: StepPath,
    ways: Sequence[float],
    tool: StepTool,
    rounder: Rounder,
    limit_mm: float,
    free: tuple[bool, bool],
) -> SteppedSurface:
    exact: list[Point] = []
    rows: list[Reading] = []
    for way in ways:
        row = _read(path, way, rounder, free)
        if not rows or row != rows[-1]:
            exact.append(path.at(way))
            rows.append(row)
    read = [rounder.to_point(row) for row in rows]
    cusp_read = greatest_cusp(path, tool, read)
    return SteppedSurface(
        StepTable(tuple(StepRow(r.x, r.z) for r in rows), cusp_read),
        tuple(exact),
        tuple(read),
        greatest_cusp(path, tool, exact),
        cusp_read,
        cusp_read <= limit_mm + 1e-9,
    )


def _read(path: StepPath, way: float, rounder: Rounder, free: tuple[bool, bool]) -> Reading:
    """Return the reading of a step, never on the part's side of the path."""
    place = path.at(way)
    front, back = path.at(0.0).z, path.at(path.length).z
    mode: RoundMode = "down" if path.falls(way) else "up"
    z = rounder.read(place, "up", mode).z
    z_mm = rounder.to_point(Reading(0.0, z)).z
    walled = (z_mm > front and not free[0]) or (z_mm < back and not free[1])
    if walled:
        z = rounder.read(place, "up", opposite(mode)).z
        z_mm = rounder.to_point(Reading(0.0, z)).z
    # Near the bottom of a hollow the path may rise between the exact Z and the rounded one.
    beside = path.radius_at(z_mm)
    radius = place.r if beside is None else max(place.r, beside)
    return Reading(round_step(from_mm(2 * radius, rounder.units), rounder.x_step, "up"), z)
