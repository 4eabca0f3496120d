"""Findings about how far the work stands out of what holds it.

What counts is the stretch between supports, and how far from the nearest one is cut: a bar that
was pulled out carries its finished end along, and is cut beside the jaws.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from turnsketch.findings.metal import metal_before, region
from turnsketch.findings.room import room_behind
from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding

__all__ = ["stick_out", "track_far_out"]

_SPRINGS = "times it springs and chatters (common practice)"

_SPECK_MM = 1e-3
"""What is thinner was not cut: chords of the same curve differ so much."""


@dataclass(frozen=True, slots=True)
class _Span:
    """A stretch of work between supports, or from the last one to the farthest cut."""

    length: float
    held: bool
    """At both its ends, or nothing is cut at the free one: the limit of work on a centre."""
    place: str
    free: bool = False
    """Its front end is free."""


def stick_out(view: PlanView) -> Iterator[Finding]:
    """Stick-out over diameter, free or between supports (common practice: 3 and 10)."""
    diameter, spans = view.blank_diameter, list(_spans(view))
    over = [(s.length / diameter / _limit(view, s), s) for s in spans]
    worst = max(over, key=lambda one: one[0], default=None)
    if worst is None or worst[0] <= 1.0 + 1e-9:
        return
    span = worst[1]
    limit = _limit(view, span)
    yield finding(
        "stick-out",
        "caution",
        f"the blank stands out {view.text(span.length)}, {span.length / diameter:.1f} times its "
        f"diameter, {span.place}; over {limit:g} {_SPRINGS}",
        _steadier(view, span, span.length - limit * diameter),
        z=view.setup.raw_front_z,
    )


def track_far_out(view: PlanView) -> Iterator[Finding]:
    """What is turned before the steady rest is there: its track, and all that it takes to reach it.

    What counts is the farthest place at which metal is taken till then, and how far the end stands
    out that turns along with it.
    """
    steady = view.setup.steady
    if steady is None or steady.from_pass is None:
        return
    since = steady.from_pass
    first = min((p.number for p in view.setup.passes if p.number < since), default=since)
    before = metal_before(view, first), metal_before(view, since)
    taken = before[0].difference(before[1]).buffer(-_SPECK_MM)
    farthest = steady.high_z if taken.is_empty else float(taken.bounds[2])
    span = _Span(farthest - view.setup.jaw_face_z, view.on_centre, "")
    limit, ratio = _limit(view, span), span.length / view.blank_diameter
    if ratio <= limit + 1e-9:
        return
    passes = f"pass {first} works" if since - first < 2 else f"passes {first} to {since - 1} work"
    slow = "turn it slowly with light cuts"
    yield finding(
        "track-far-out",
        "caution",
        f"before the steady rest is set {passes} up to {view.text(span.length)} from the jaws, "
        f"{ratio:.1f} times the diameter, to turn its track; over {limit:g} {_SPRINGS}",
        slow
        if span.held
        else f"{slow}, or support the front end with a centre until it is set, or turn the track "
        "in a setup before, with the bar short in the chuck",
        z=steady.high_z,
    )


def _limit(view: PlanView, span: _Span) -> float:
    limits = view.shop.limits
    return limits.centre_ratio if span.held else limits.unsupported_ratio


def _spans(view: PlanView) -> Iterator[_Span]:
    """Yield the stretches that spring: up to a steady rest, behind it, up to a centre."""
    setup, centre = view.setup, view.on_centre
    start = setup.jaw_face_z + (setup.grip_mm if view.setup_held_inside else 0.0)
    start = max(start, setup.raw_front_z - setup.stick_out_mm)
    steady = setup.steady
    held = "on a centre" if centre else "without support"
    if steady is not None and steady.stands:
        yield _Span(steady.low_z - start, True, "between the jaws and the steady rest")
        start = steady.high_z
        held = "between steady rest and centre" if centre else "beyond the steady rest"
    end = setup.raw_front_z if centre else min(setup.raw_front_z, _farthest_cut(view))
    yield _Span(max(0.0, end - start), centre, held, free=not centre)
    free = setup.raw_front_z - start
    if not centre and free > end - start + 1e-6:
        # What is not cut only has to run still: held to the limit of a supported bar.
        yield _Span(free, True, "with a free end", free=True)


def _farthest_cut(view: PlanView) -> float:
    """Return the greatest z at which this setup takes metal; without any the front face."""
    before, after = region(view.setup.blank), region(view.exact.setups[view.index].remaining)
    taken = before.difference(after).buffer(-_SPECK_MM)
    return view.setup.raw_front_z if taken.is_empty else float(taken.bounds[2])


def _steadier(view: PlanView, span: _Span, more: float) -> str:
    """Return what holds the blank better; gripping more only where nothing is cut there."""
    setup, steady = view.setup, view.setup.steady
    if steady is not None and steady.stands:
        other = "support the front end with a centre" if span.free else "take light cuts"
        return f"move the steady rest toward that stretch, or {other}"
    if span.held and span.free:
        return "support the front end with a centre or a steady rest: a long free end whips"
    if span.held:
        return "set a steady rest and take light cuts; measure both ends for the centre's error"
    free = view.chuck.bore_mm >= view.blank_diameter
    jaws = math.inf if free else view.chuck.jaw_length_mm - setup.grip_mm
    room = room_behind(view)
    spare = view.back_z - room.blade_mm - setup.never_beyond_z
    if more <= min(jaws, spare) + 1e-6:
        return f"grip {view.text(more)} more, or support the front end with a centre"
    return "support the front end with a centre, or take light cuts"
