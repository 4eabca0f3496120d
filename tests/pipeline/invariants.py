"""What holds for every plan of a part that fits its bar: one small check each."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise

from turnsketch.checking.records import Replay
from turnsketch.checking.replay import replay
from turnsketch.geometry.constants import GOUGE
from turnsketch.plan_records import Pass, Plan, Reading, Ring
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Readout
from turnsketch.units import from_mm, to_mm

__all__ = [
    "all_hold",
    "comes_out_true",
    "cuts_keep_to_the_depth",
    "events_within",
    "half_step_mm",
    "left_overs_are_explained",
    "no_event",
    "passes_join_up",
    "readings_reproduce_moves",
    "steps_of",
    "still_wheels_keep_their_reading",
    "volumes_add_up",
]

DEPTH_SLACK_MM = 0.011
"""A cut may be so much deeper than the setting: an easy figure, and what counts as the same."""


def steps_of(plan: Plan, lathe: str) -> tuple[float, float]:
    """Return the steps of X (on diameter) and Z in display units."""
    readout: Readout = next(m for m in demo_shop().lathes if m.name == lathe).readout
    if plan.display_units == "inch":
        return readout.x_step_inch, readout.z_step_inch
    return readout.x_step_mm, readout.z_step_mm


def half_step_mm(plan: Plan, lathe: str) -> float:
    """Return how far rounding to the nearest step of both axes moves a point at most."""
    x_step, z_step = steps_of(plan, lathe)
    return math.hypot(to_mm(x_step, plan.display_units) / 4, to_mm(z_step, plan.display_units) / 2)


def all_hold(plan: Plan, lathe: str) -> None:
    """Ask everything that holds of a plan whose tools fit its part, exactly and as read."""
    half_step = half_step_mm(plan, lathe)
    no_event(replay(plan))
    events_within(replay(plan, as_read=True), half_step)
    volumes_add_up(plan)
    comes_out_true(plan, half_step)
    left_overs_are_explained(plan)
    passes_join_up(plan)
    readings_reproduce_moves(plan, lathe)
    still_wheels_keep_their_reading(plan)


def no_event(replayed: Replay) -> None:
    assert not replayed.events, [event.what for event in replayed.events]


def events_within(replayed: Replay, half_step: float) -> None:
    """Ask that rounding alone explains what happens as read.

    The part stands where it stands: half a step into it. Metal was left at a rounded place and the
    tool goes to another one: twice that.
    """
    worse = [
        event
        for event in replayed.events
        if event.depth_mm > (1 if event.kind == "gouge" else 2) * half_step + GOUGE
    ]
    assert not worse, [(e.what, e.depth_mm) for e in worse]


def volumes_add_up(plan: Plan) -> None:
    for setup in plan.setups:
        blank, left = _volume(setup.blank), _volume(setup.remaining)
        removed = sum(p.removed_mm3 for p in setup.passes)
        assert math.isclose(removed + left, blank, rel_tol=1e-6)
    every = sum(p.removed_mm3 for setup in plan.setups for p in setup.passes)
    assert math.isclose(plan.totals.removed_mm3, every, rel_tol=1e-9)


def _volume(rings: Iterable[Ring]) -> float:
    """Return the volume that rings (holes clockwise) sweep about the axis, after Pappus."""
    return sum(_swept(ring) for ring in rings)


def _swept(ring: Sequence[tuple[float, float]]) -> float:
    total = 0.0
    for (z0, r0), (z1, r1) in pairwise([*ring, ring[0]]):
        total += math.pi / 3 * (z0 - z1) * (r0 * r0 + r0 * r1 + r1 * r1)
    return total


def comes_out_true(plan: Plan, half_step: float) -> None:
    assert plan.finished.over_mm <= 0.005
    assert plan.finished.under_mm <= GOUGE
    assert plan.finished_as_read.under_mm <= half_step + GOUGE


def left_overs_are_explained(plan: Plan) -> None:
    for left in plan.finished.left_over:
        assert left.cause, left
        assert left.reason, left
        assert left.remedy, left


def passes_join_up(plan: Plan) -> None:
    for setup in plan.setups:
        here, tool = setup.change_point, None
        for made in setup.passes:
            assert made.start == (here if made.tool == tool else setup.change_point)
            here, tool = made.moves[-1].to, made.tool
        assert [p.number for p in setup.passes] == list(range(1, len(setup.passes) + 1))


def readings_reproduce_moves(plan: Plan, lathe: str) -> None:
    x_step, z_step = steps_of(plan, lathe)
    units = plan.display_units
    for made in _passes(plan):
        for move, shown in zip(made.moves, made.readings, strict=True):
            assert abs(shown.x - from_mm(2 * move.to.r, units)) <= x_step * (1 + 1e-6), made
            assert abs(shown.z - from_mm(move.to.z, units)) <= z_step * (1 + 1e-6), made


def still_wheels_keep_their_reading(plan: Plan) -> None:
    last: tuple[Pass, Reading] | None = None
    for made in _passes(plan):
        if made.number > 1 and last is not None and last[0].tool == made.tool:
            assert made.start_reading == last[1], made.number
        here, reading = made.start, made.start_reading
        for move, shown in zip(made.moves, made.readings, strict=True):
            if move.to.r == here.r and move.centre is None:
                assert shown.x == reading.x, (made.number, move)
            if move.to.z == here.z and move.centre is None:
                assert shown.z == reading.z, (made.number, move)
            here, reading = move.to, shown
        last = made, reading


def cuts_keep_to_the_depth(plan: Plan) -> None:
    """Ask of turned cuts (and of facing the raw end) that none is deeper than its operation's.

    Plunges and steps are fed by hand in X at a fixed Z; shoulders are faced as thick as their
    allowance: none of them has a radial depth.
    """
    for setup in plan.setups:
        operations = {operation.number: operation for operation in setup.operations}
        for made in setup.passes:
            if made.direction not in ("turn", "taper", "arc") and made.operation != "face":
                continue
            most = operations[made.operation_number].depth_mm
            assert most is None or made.depth <= most + DEPTH_SLACK_MM, (made.number, made.depth)


def _passes(plan: Plan) -> list[Pass]:
    return [made for setup in plan.setups for made in setup.passes]
