"""What a setup is played with: its part, obstacles and tools, and the metal it begins with."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.cover import ToolPart, tool_parts
from turnsketch.checking.frames import blank_events, moved_to_frame
from turnsketch.checking.metal import region
from turnsketch.checking.records import Event
from turnsketch.geometry.constants import GOUGE
from turnsketch.geometry.elements import Point
from turnsketch.plan_records import SetupPlan
from turnsketch.units import Units

__all__ = ["Scene", "State", "scene_of", "starting_metal"]


@dataclass(frozen=True, slots=True)
class Scene:
    """What stays the same while a setup is played."""

    setup: SetupPlan
    units: Units
    as_read: bool
    part: BaseGeometry
    core: BaseGeometry
    """The part less a skin of GOUGE."""
    obstacles: tuple[tuple[str, BaseGeometry, int], ...]
    """Name, shape, and number of the first pass that finds it there."""
    tools: dict[int, tuple[ToolPart, ...]]


@dataclass(frozen=True, slots=True)
class State:
    """What changes from pass to pass."""

    metal: BaseGeometry
    """Held metal, r >= 0."""
    parted: BaseGeometry
    """The part, once it is cut off; empty before."""
    tool: int | None
    at: Point | None


def scene_of(setup: SetupPlan, units: Units, as_read: bool) -> Scene:
    """Return what stays the same while `setup` is played, by the readings or exactly."""
    where = f"setup {setup.number}"
    part = region(setup.part, f"{where}: part")
    mirror = shapely.transform(part, lambda points: points * (1.0, -1.0))
    core = shapely.buffer(shapely.union_all([part, mirror]), -GOUGE, quad_segs=4)
    obstacles = tuple(
        (o.name, region((o.ring,), f"{where}: obstacle {o.name}"), o.from_pass or 0)
        for o in setup.obstacles
    )
    for shape in (core, *(shape for _, shape, _ in obstacles)):
        shapely.prepare(shape)
    tools = {tool.number: tool_parts(tool) for tool in setup.tools}
    return Scene(setup, units, as_read, part, core, obstacles, tools)


def starting_metal(
    scene: Scene, before: tuple[Scene, State] | None, events: list[Event]
) -> BaseGeometry:
    """Return the metal at the start of a setup: its blank, or what the setup before left.

    What was left is what is played on; of bar and parted part it is the one that the blank shows.
    """
    setup = scene.setup
    blank = region(setup.blank, f"setup {setup.number}: blank")
    if before is None:
        return blank
    last, state = before
    left = [
        moved_to_frame(metal, last.setup.frame, setup.frame)
        for metal in (state.metal, state.parted)
        if not metal.is_empty
    ]
    if not left:
        return blank
    found = min(left, key=lambda metal: shapely.symmetric_difference(metal, blank).area)
    if not scene.as_read:
        events.extend(blank_events(setup.number, found, blank))
    return found
