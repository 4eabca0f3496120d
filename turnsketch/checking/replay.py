"""Play a plan: sweep every tool along every move and take away what it meets.

The planner's judge. It knows the plan alone and shares no code with the planner: neither
`turnsketch.planning` nor the Minkowski module is imported, and a test keeps it so.

Metal is the half section of blank and part; what a tool does below the axis it does above it too,
because the work turns. Cutting pieces take metal in "cut" moves, at full size. "thread" moves are
checked for collisions and take nothing; deeper in the part than their pitch they are gouges. In
"position" moves nothing may touch metal. After each pass only what is held stays; the part, cut off
by an operation "part off", is kept aside. Other loose pieces are events, but for curls thinner than
MIN_LENGTH.

A setup after the first begins with the metal that the one before left, moved from frame to frame;
a blank that differs from it is an event. An obstacle put in place before a pass is there from that
pass on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.as_read import Motion, motions, pass_ends
from turnsketch.checking.contact import Danger, closest
from turnsketch.checking.cover import Cover, ToolPart, cover, tool_parts
from turnsketch.checking.deviation import PartDeviation, part_deviation
from turnsketch.checking.event_log import EventLog
from turnsketch.checking.frames import blank_events, moved_to_frame
from turnsketch.checking.metal import held, joined, pieces, region, volume
from turnsketch.checking.records import (
    Clearance,
    Event,
    PassResult,
    Replay,
    SetupReplay,
)
from turnsketch.errors import InputError
from turnsketch.geometry.constants import GOUGE, MIN_LENGTH
from turnsketch.geometry.elements import Point
from turnsketch.geometry.rings import rings
from turnsketch.plan_records import Finished, Pass, Plan, SetupPlan
from turnsketch.units import Units

__all__ = ["replay"]

_MOST_OF_PART = 0.5
"""A loose piece that holds more than this share of the part's area is the part."""


@dataclass(frozen=True, slots=True)
class _Scene:
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
class _State:
    """What changes from pass to pass."""

    metal: BaseGeometry
    """Held metal, r >= 0."""
    parted: BaseGeometry
    """The part, once it is cut off; empty before."""
    tool: int | None
    at: Point | None


def replay(plan: Plan, as_read: bool = False) -> Replay:
    """Play `plan` and return what happens and what comes of it.

    Parameters
    ----------
    plan : Plan
        Only its setups (part, blank, obstacles, change point, tools, passes, sections) and its
        display units are used.
    as_read : bool, default False
        Move to the printed readings in place of the exact points: r from the X diameter, z as
        read, in display units from the same zero; see `turnsketch.checking.as_read` for arcs.
        Events then include what rounding does; their depth says how much.

    Returns
    -------
    Replay
        Its finished part is the last setup's.

    Raises
    ------
    InputError
        When the plan cannot be played: a ring without area, a tool or a reading missing.
    """
    events: list[Event] = []
    setups: list[SetupReplay] = []
    deviation = PartDeviation(Finished(0.0, 0.0), (), 0.0)
    before: tuple[_Scene, _State] | None = None
    for setup in plan.setups:
        scene = _scene(setup, plan.display_units, as_read)
        blank = _blank(scene, before, events)
        result, state = _play(scene, blank, events)
        setups.append(result)
        deviation = part_deviation(_made(scene, state), scene.part, setup.sections)
        before = scene, state
    return Replay(
        as_read,
        tuple(setups),
        tuple(events),
        deviation.finished,
        deviation.left_over,
        deviation.over_total_mm,
    )


def _scene(setup: SetupPlan, units: Units, as_read: bool) -> _Scene:
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
    return _Scene(setup, units, as_read, part, core, obstacles, tools)


def _blank(
    scene: _Scene, before: tuple[_Scene, _State] | None, events: list[Event]
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


def _play(scene: _Scene, blank: BaseGeometry, events: list[Event]) -> tuple[SetupReplay, _State]:
    setup = scene.setup
    state = _State(blank, Polygon(), None, None)
    results: list[PassResult] = []
    for cut in setup.passes:
        state, result, seen = _play_pass(scene, state, cut)
        results.append(result)
        events.extend(seen)
    left = volume(state.metal) + volume(state.parted)
    whole = volume(blank)
    removed = sum(result.removed_mm3 for result in results)
    remaining = rings(state.metal) + rings(state.parted)
    parted = not state.parted.is_empty
    return (
        SetupReplay(setup.number, tuple(results), remaining, parted, whole, removed, left),
        state,
    )


def _made(scene: _Scene, state: _State) -> BaseGeometry:
    """Return the body that became the part: parted off, or held and taken from its back on.

    As read, a cut that ends at the part's back may end half a readout step before it: the disc of
    bar that then reaches into the part's range is no deviation of a surface.
    """
    if not state.parted.is_empty:
        return state.parted
    if scene.part.is_empty or state.metal.is_empty:
        return Polygon()
    back = scene.part.bounds[0]
    _, _, front, top = state.metal.bounds
    body = shapely.intersection(state.metal, shapely.box(back, 0.0, max(front, back) + 1, top + 1))
    if not scene.as_read:
        return body
    slice_of_bar = shapely.box(back, 0.0, back + MIN_LENGTH, top + 1)
    return shapely.difference(body, shapely.difference(slice_of_bar, scene.part))


def _play_pass(scene: _Scene, state: _State, cut: Pass) -> tuple[_State, PassResult, list[Event]]:
    parts = scene.tools.get(cut.tool)
    if parts is None:
        raise InputError(f"tool {cut.tool} is not among the setup's tools", _where(scene, cut))
    ends = pass_ends(cut, scene.units, scene.as_read)
    if len(ends) != len(cut.moves) + 1:
        raise InputError("every move needs one reading", _where(scene, cut))
    moves = motions(cut, scene.units, scene.as_read)
    covered = cover(moves, parts)
    log = EventLog(scene.setup.number, cut)
    log.start(_expected_start(scene, state, cut), ends[0])
    metal, near = _cut(state.metal, moves, covered, log)
    present = [(name, shape) for name, shape, since in scene.obstacles if since <= cut.number]
    log.obstacles(present, covered)
    log.gouges(scene.part, scene.core, covered.only(_of_kind(moves, "cut"), cuts=True))
    _thread_gouges(scene, cut, covered, log)
    after, parted, loose = _settled(scene, state, metal, log)
    gone = volume(state.metal) - volume(after) - volume(parted)
    result = PassResult(
        cut.number,
        gone,
        loose,
        rings(after) + rings(state.parted) + rings(parted),
        closest(Danger(name, shape, covered) for name, shape in present),
        near,
    )
    piece = state.parted if parted.is_empty else parted
    return _State(after, piece, cut.tool, ends[-1]), result, log.events


def _thread_gouges(scene: _Scene, cut: Pass, covered: Cover, log: EventLog) -> None:
    """Note thread moves that run into more than the thread itself: a shoulder, a bottom.

    No groove of a thread is as deep as its pitch is long.
    """
    threading = [i for i, move in enumerate(cut.moves) if move.kind == "thread" and move.pitch]
    if not threading:
        return
    pitch = max(cut.moves[index].pitch or 0.0 for index in threading)
    core = shapely.buffer(scene.core, -pitch, quad_segs=4)
    log.thread_gouges(scene.part, core, covered.only(threading, cuts=True))


def _where(scene: _Scene, cut: Pass) -> str:
    return f"setup {scene.setup.number}: pass {cut.number}"


def _expected_start(scene: _Scene, state: _State, cut: Pass) -> Point | None:
    """Return where a pass must start; None for a tool change as read (it has no reading)."""
    if state.tool == cut.tool:
        return state.at
    return None if scene.as_read else scene.setup.change_point


def _of_kind(moves: Sequence[Motion], *kinds: str) -> list[int]:
    return [index for index, move in enumerate(moves) if move.kind in kinds]


def _is_swarf(piece: Polygon) -> bool:
    """Tell whether a loose piece is no more than a curl: thinner than any cut that is a pass."""
    return bool(piece.buffer(-MIN_LENGTH / 2).is_empty)


def _cut(
    metal: BaseGeometry, moves: Sequence[Motion], covered: Cover, log: EventLog
) -> tuple[BaseGeometry, Clearance | None]:
    """Play the moves in order; return what is left and the closest approach of a holder."""
    near: list[Danger] = []
    for kind, group in groupby(range(len(moves)), key=lambda index: moves[index].kind):
        run = list(group)
        if kind == "position":
            shapely.prepare(metal)
            log.metal("positioning through metal", metal, covered.only(run, cuts=True))
            passive = covered.only(run, cuts=False)
            log.metal("holder touches metal", metal, passive)
            near.append(Danger("metal", metal, passive))
        elif kind == "cut":
            taken = covered.only(run, cuts=True)
            if len(taken.shapes):
                metal = joined(pieces(shapely.difference(metal, taken.union())))
    shapely.prepare(metal)
    passive = covered.only(_of_kind(moves, "cut", "thread"), cuts=False)
    log.metal("holder touches metal", metal, passive)
    near.append(Danger("metal", metal, passive))
    return metal, closest(near)


def _settled(
    scene: _Scene, state: _State, metal: BaseGeometry, log: EventLog
) -> tuple[BaseGeometry, BaseGeometry, float]:
    """Return what stays held, the part when it came off, and the volume of what fell off."""
    parts = pieces(metal)
    if len(parts) < 2:
        return metal, Polygon(), 0.0
    kept = held(parts, scene.setup.obstacles)
    parted: BaseGeometry = Polygon()
    fallen = 0.0
    for piece, stays in zip(parts, kept, strict=True):
        if stays:
            continue
        share = piece.intersection(scene.part).area
        is_part = state.parted.is_empty and share > _MOST_OF_PART * scene.part.area
        if is_part:
            parted = piece
        else:
            fallen += volume(piece)
        expected = log.cut.operation == "part off" if is_part else _is_swarf(piece)
        if not expected:
            log.loose(piece, is_part)
    return joined(p for p, stays in zip(parts, kept, strict=True) if stays), parted, fallen
