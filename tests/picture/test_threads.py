"""Threads in pictures after ISO 6410-1."""

from __future__ import annotations

import pytest

from tests.thread_jobs import BEFORE, job, pin, planned, relieved, tapped
from turnsketch.checking.replay import replay
from turnsketch.job import Operation
from turnsketch.picture.display_list import Stroke
from turnsketch.picture.figures import operation_picture
from turnsketch.picture.layers import layers
from turnsketch.picture.setup_figure import setup_picture
from turnsketch.picture.threads import thread_strokes


def roots(strokes: list[Stroke]) -> list[tuple[float, float]]:
    """Return z and r of thin lines along the axis, above it."""
    thin = [s for s in strokes if s.role == "narrow" and s.points[0].r == s.points[1].r > 0]
    return [(s.points[0].z, s.points[0].r) for s in thin]


def test_roots_are_thin_lines_outside_at_the_minor_diameter() -> None:
    plan = planned(job(relieved(), *BEFORE, Operation("thread", 32)))
    strokes = list(thread_strokes(plan.setups[0]))
    assert len(roots(strokes)) == 1
    z, r = roots(strokes)[0]
    assert z == pytest.approx(-15.9)
    assert 2 * r == pytest.approx(9.853, abs=1e-3)
    below = [s for s in strokes if s.points[0].r < 0]
    assert len(below) == len(strokes) / 2, "both halves"


def test_inside_at_the_major_diameter_with_a_thick_end() -> None:
    strokes = list(thread_strokes(planned(job(tapped())).setups[0]))
    ((z, r),) = roots(strokes)
    assert (z, r) == pytest.approx((-15.0, 4.0))
    thick = [s for s in strokes if s.role == "outline"]
    assert [s.points[0].z for s in thick] == pytest.approx([-15.0, -15.0])


def test_where_the_outline_ends_the_thread_no_second_line_is_drawn() -> None:
    strokes = list(thread_strokes(planned(job(pin(front_corner=None))).setups[0]))
    assert {s.role for s in strokes} == {"narrow"}


def test_an_operation_shows_the_threads_that_are_cut_by_then() -> None:
    plan = planned(job(relieved(), *BEFORE, Operation("thread", 32)))
    setup = plan.setups[0]
    assert not list(thread_strokes(setup, 5))
    assert list(thread_strokes(setup, 6))
    cuts = layers(setup, replay(plan).setups[0])
    before, after = (operation_picture(setup, cuts, n, 60, 40).items for n in (5, 6))
    assert len(after) > 0
    shown = set(thread_strokes(setup, 6))
    assert shown & {i for i in after if isinstance(i, Stroke)}
    assert not shown & {i for i in before if isinstance(i, Stroke)}
    whole = setup_picture(setup, 120, 80, str, str).items
    assert shown <= {i for i in whole if isinstance(i, Stroke)}
