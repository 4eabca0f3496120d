"""One planner for each kind of operation: the table that the fold goes by.

A planner takes a request and returns the passes and the state after them. A new kind of operation
is a module with a planner, and a line here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from turnsketch.job import Operation, OperationKind
from turnsketch.part.outline_records import Outline
from turnsketch.planning.across import plan_across
from turnsketch.planning.centre import plan_centre_hole
from turnsketch.planning.chamfer import plan_chamfer
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.drill import plan_drill
from turnsketch.planning.face import plan_face
from turnsketch.planning.finish import plan_finish
from turnsketch.planning.groove import plan_groove
from turnsketch.planning.inside import INSIDE_TOOLS, inside_work
from turnsketch.planning.inside_out import outward
from turnsketch.planning.knurl import plan_knurl
from turnsketch.planning.part_off import behind_bore, plan_part_off
from turnsketch.planning.rough import plan_rough
from turnsketch.planning.run_past import run_past
from turnsketch.planning.steady_track import down_to_track, not_faced
from turnsketch.planning.tap import plan_tap_or_die
from turnsketch.planning.thread import plan_thread

__all__ = ["PLANNERS", "Answer", "Request", "planned"]


@dataclass(frozen=True)
class Request:
    """What a planner is asked."""

    ctx: Context
    operation: Operation
    state: State
    where: str
    """Place of the operation in the job, for errors."""
    outline: Outline
    """What turning tools leave outside."""
    overrun: float
    """Room behind the back face."""
    mouth: bool = True
    """The boring bar makes the corner at the bore's mouth, too."""


Answer = tuple[list[DraftPass], State]
Planner = Callable[[Request], Answer]


def planned(request: Request) -> Answer:
    """Return the passes of an operation, and what remains after it."""
    return PLANNERS[request.operation.kind](request)


def _face(q: Request) -> Answer:
    return plan_face(q.ctx, q.operation, q.state, q.where)


def _centre_hole(q: Request) -> Answer:
    return plan_centre_hole(q.ctx, q.operation, q.state, q.where)


def _drill(q: Request) -> Answer:
    behind = max(q.overrun, behind_bore(q.ctx))
    return plan_drill(q.ctx, q.operation, q.state, q.where, behind)


def _rough(q: Request) -> Answer:
    q = _unfaced(q)
    q = replace(q, outline=down_to_track(q.ctx, q.operation, q.outline))
    if q.operation.direction == "across":
        return plan_across(q.ctx, q.operation, q.state, q.where, q.outline, q.overrun)
    return plan_rough(q.ctx, q.operation, q.state, q.where, q.outline, _overrun(q))


def _unfaced(q: Request) -> Request:
    """Return the request with the front end left raw while a steady rest waits for its track."""
    front = float(q.state.remaining.bounds[2])
    return replace(q, outline=not_faced(q.ctx, q.operation, q.outline, front))


def _finish(q: Request) -> Answer:
    q = _unfaced(q)
    return plan_finish(q.ctx, q.operation, q.state, q.where, q.outline, _overrun(q))


def _overrun(q: Request) -> float:
    """Return the room behind what is turned: past a free edge it is the nose's own."""
    return max(q.overrun, run_past(q.ctx, q.ctx.shape(q.operation.tool, q.where), q.outline))


def _chamfer(q: Request) -> Answer:
    return plan_chamfer(q.ctx, q.operation, q.state, q.where, q.overrun)


def _knurl(q: Request) -> Answer:
    return plan_knurl(q.ctx, q.operation, q.state, q.where)


def _part_off(q: Request) -> Answer:
    return plan_part_off(q.ctx, q.operation, q.state, q.where)


def _groove(q: Request) -> Answer:
    shape = q.ctx.shape(q.operation.tool, q.where)
    if q.ctx.axis_r is None and shape.tool.kind in INSIDE_TOOLS:
        return _in_bore(_groove)(q)
    return plan_groove(q.ctx, q.operation, q.state, q.where, q.outline, q.overrun)


def _thread(q: Request) -> Answer:
    shape = q.ctx.shape(q.operation.tool, q.where)
    if q.ctx.axis_r is None and shape.tool.kind == "inside threading":
        return _in_bore(_thread)(q)
    return plan_thread(q.ctx, q.operation, q.state, q.where, q.outline, q.overrun)


def _tap_or_die(q: Request) -> Answer:
    return plan_tap_or_die(q.ctx, q.operation, q.state, q.where, q.outline, q.overrun)


def _in_bore(plan: Planner) -> Planner:
    """Return the planner that works in the front end's bore as `plan` does outside."""

    def inside(q: Request) -> Answer:
        tool = q.ctx.shape(q.operation.tool, q.where).tool
        behind = max(q.overrun, behind_bore(q.ctx))
        work = inside_work(q.ctx, q.state, behind, mouth=q.mouth)
        if work is None or tool.number not in work.ctx.shapes:
            return [], q.state
        made, after = plan(
            replace(q, ctx=work.ctx, state=work.state, outline=work.outline, overrun=work.overrun)
        )
        return outward(work.ctx, q.state, made, after)

    return inside


PLANNERS: Mapping[OperationKind, Planner] = MappingProxyType(
    {
        "face": _face,
        "centre hole": _centre_hole,
        "drill": _drill,
        "ream": _drill,
        "countersink": _drill,
        "rough": _rough,
        "bore": _in_bore(_rough),
        "finish": _finish,
        "finish bore": _in_bore(_finish),
        "groove": _groove,
        "chamfer": _chamfer,
        "thread": _thread,
        "tap": _tap_or_die,
        "die": _tap_or_die,
        "knurl": _knurl,
        "part off": _part_off,
    }
)
