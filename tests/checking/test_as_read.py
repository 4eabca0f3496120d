"""Moves as read: where the points go, and arcs that rounding could turn around."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import msgspec
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from turnsketch.checking.as_read import motions, read_point
from turnsketch.geometry.elements import Point, Turn
from turnsketch.plan_records import Reading

if TYPE_CHECKING:
    from tests.checking.conftest import Bench


def test_a_reading_is_a_diameter_in_display_units() -> None:
    assert read_point(Reading(25.0, -3.0), "mm") == Point(-3.0, 12.5)
    assert read_point(Reading(1.0, -0.5), "inch") == Point(-12.7, 12.7)


@given(
    st.floats(0.5, 20),
    st.floats(-math.pi, math.pi),
    st.floats(0.2, 5.5),
    st.sampled_from(["cw", "ccw"]),
)
@settings(max_examples=60, deadline=None)
def test_no_point_of_an_arc_moves_farther_than_its_ends(
    bench: Bench, radius: float, begin: float, sweep: float, turn: Turn
) -> None:
    """Twice the farther end's shift, to the first order; half a turn is no exception."""
    stop = begin + (sweep if turn == "ccw" else -sweep)
    first, last = ((radius * math.cos(a), 30 + radius * math.sin(a)) for a in (begin, stop))
    steps = (("position", *first), ("cut", *last, 0.0, 30.0, turn))
    (cut,) = bench.plan([bench.cut(steps)], x_step=0.02, z_step=0.01).setups[0].passes
    exact, read = (motions(cut, "mm", as_read)[1].points for as_read in (False, True))
    share = np.linspace(0, 1, 50)
    moved = [
        np.column_stack([np.interp(share, np.linspace(0, 1, len(p)), p[:, k]) for k in (0, 1)])
        for p in (exact, read)
    ]
    shift = np.hypot(*(moved[1] - moved[0]).T)
    assert shift.max() <= 2 * max(shift[0], shift[-1]) + 3e-4


def test_a_tiny_arc_never_goes_round(bench: Bench) -> None:
    """The end is read 0.01 before the start: a line, not nearly a full circle."""
    steps = (("position", 2.004, 20.0), ("cut", 2.0, 20.0, 2.002, 10.0, "ccw"))
    (cut,) = bench.plan([bench.cut(steps)]).setups[0].passes
    read = msgspec.structs.replace(cut, readings=(Reading(40.0, 2.0), Reading(40.0, 2.01)))
    (_, motion) = motions(read, "mm", True)
    assert motion.straight
    assert np.ptp(motion.points, axis=0).max() < 0.011
