"""Play a plan: sweep every tool along every move and take away what it meets.

The planner's judge. It knows the plan alone and shares no code with the planner: neither
`turnsketch.planning` nor the Minkowski module is imported, and a test keeps it so.

Metal is the half section of blank and part; what a tool does below the axis it does above it too,
because the work turns. Cutting pieces take metal in "cut" moves, at full size. "thread" moves are
checked for collisions and take nothing; deeper in the part than their pitch they are gouges, and
a tap's front end may meet no metal. In "position" moves nothing may touch metal. After each pass
only what is held stays; the part, cut off by an operation "part off", is kept aside. Other loose
pieces are events, but for curls and feathers thinner than 0.1 mm.

A setup after the first begins with the metal that the one before left, moved from frame to frame;
a blank that differs from it is an event. An obstacle put in place before a pass is there from that
pass on.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.as_read import Motion, motions, pass_ends
from turnsketch.checking.contact import Danger, closest
from turnsketch.checking.cover import Cover, ToolPart, cover
from turnsketch.checking.deviation import PartDeviation, part_deviation
from turnsketch.checking.event_log import EventLog
from turnsketch.checking.metal import held, joined, pieces, volume
from turnsketch.checking.records import Clearance, Event, PassResult, Replay, SetupReplay
from turnsketch.checking.scene import Scene, State, scene_of, starting_metal
from turnsketch.checking.tap_end import front_ends
from turnsketch.errors import InputError
from turnsketch.geometry.constants import MIN_LENGTH, TOUCH
from turnsketch.geometry.elements import Point
from turnsketch.geometry.rings import rings
from turnsketch.plan_records import Finished, Pass, Plan

__all__ = ["replay"]

_FEATHER_MM = 0.1
"""A loose piece so thin is a chip."""

_MOST_OF_PART = 0.5
"""A loose piece that holds more than this share of the part's area is the part."""


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
    before: tuple[Scene, State] | None = None
    for setup in plan.setups:
        scene = scene_of(setup, plan.display_units, as_read)
        blank = starting_metal(scene, before, events)
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


def _play(scene: Scene, blank: BaseGeometry, events: list[Event]) -> tuple[SetupReplay, State]:
    setup = scene.setup
    state = State(blank, Polygon(), None, None)
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


def _made(scene: Scene, state: State) -> BaseGeometry:
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


def _play_pass(scene: Scene, state: State, cut: Pass) -> tuple[State, PassResult, list[Event]]:
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
    _tap_ends(state.metal, cut, moves, parts, log)
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
    return State(after, piece, cut.tool, ends[-1]), result, log.events


def _thread_gouges(scene: Scene, cut: Pass, covered: Cover, log: EventLog) -> None:
    """Note thread moves that run into more than the thread itself: a shoulder, a bottom.

    No groove of a thread is as deep as its pitch is long.
    """
    threading = [i for i, move in enumerate(cut.moves) if move.kind == "thread" and move.pitch]
    if not threading:
        return
    pitch = max(cut.moves[index].pitch or 0.0 for index in threading)
    core = shapely.buffer(scene.core, -pitch, quad_segs=4)
    log.thread_gouges(scene.part, core, covered.only(threading, cuts=True))


def _tap_ends(
    metal: BaseGeometry,
    cut: Pass,
    moves: Sequence[Motion],
    parts: Sequence[ToolPart],
    log: EventLog,
) -> None:
    """Note thread moves along the axis on which a tap's front end comes to metal."""
    threading = [i for i in _of_kind(moves, "thread") if abs(cut.moves[i].to.r) < TOUCH]
    ends = front_ends(parts) if threading else ()
    if ends:
        log.metal("tap meets metal", metal, cover(moves, ends).only(threading))


def _where(scene: Scene, cut: Pass) -> str:
    return f"setup {scene.setup.number}: pass {cut.number}"


def _expected_start(scene: Scene, state: State, cut: Pass) -> Point | None:
    """Return where a pass must start; None for a tool change as read (it has no reading)."""
    if state.tool == cut.tool:
        return state.at
    return None if scene.as_read else scene.setup.change_point


def _of_kind(moves: Sequence[Motion], *kinds: str) -> list[int]:
    return [index for index, move in enumerate(moves) if move.kind in kinds]


def _is_swarf(piece: Polygon) -> bool:
    """Tell whether a loose piece is no more than a curl, or a feather that goes with the chips."""
    return bool(piece.buffer(-_FEATHER_MM / 2).is_empty)


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
    scene: Scene, state: State, metal: BaseGeometry, log: EventLog
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
