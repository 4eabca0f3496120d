"""Passes of a thread end at full depth, rise, and are as thick as was asked."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from turnsketch.errors import InputError
from turnsketch.part.thread_infeed import infeed
from turnsketch.part.threads import read_thread


@given(
    total=st.floats(0.05, 4.0),
    first=st.floats(0.05, 0.6),
    least=st.floats(0.0, 0.1),
    springs=st.integers(0, 4),
    inside=st.booleans(),
)
def test_passes(total: float, first: float, least: float, springs: int, inside: bool) -> None:
    blank = 20.0
    end = blank + 2 * total if inside else blank - 2 * total
    # More than 200 passes are refused; this many are surely fewer.
    assume((total / first) ** 2 < 200 or (least > 0 and total / least < 200))
    passes = infeed(blank, end, first=first, least=least, springs=springs)
    cuts = [p for p in passes if not p.spring]
    assert [p.number for p in passes] == list(range(1, len(passes) + 1))
    assert len(passes) - len(cuts) == springs
    assert passes[-1].diameter == end
    assert passes[-1].depth == pytest.approx(total, abs=1e-12)
    assert all(p.step == 0 and p.depth == cuts[-1].depth for p in passes if p.spring)
    assert cuts[0].step <= max(first, least) + 1e-12
    for a, b in pairwise(cuts):
        assert b.step <= a.step + 1e-9
        assert abs(b.diameter - a.diameter) == pytest.approx(2 * b.step, abs=1e-9)
    # The thinnest pass is as thick as asked, unless the whole depth does not divide so.
    assert cuts[-1].step >= min(least, total / len(cuts)) - 1e-9


def test_one_pass_does_for_a_shallow_thread() -> None:
    passes = infeed(6.0, 5.8, first=0.15, springs=1)
    assert [(p.diameter, p.spring) for p in passes] == [(5.8, False), (5.8, True)]


def test_top_slide_along_the_flank() -> None:
    thread = read_thread("M12-6g")
    end = thread.full_depth(0.2)
    angle = math.radians(29.5)
    straight = infeed(thread.blank.aim, end, first=0.25, least=0.05)
    flank = infeed(thread.blank.aim, end, first=0.25, least=0.05, top_slide_angle=angle)
    for a, b in zip(straight, flank, strict=True):
        assert a.top_slide is None
        assert b.top_slide == pytest.approx(a.depth / math.cos(angle))
        assert a.diameter == b.diameter


def test_refusals() -> None:
    with pytest.raises(InputError, match="no depth"):
        infeed(10, 10, first=0.2)
    with pytest.raises(InputError, match="first depth of a thread is greater than zero"):
        infeed(12, 10, first=0)
    with pytest.raises(InputError, match="more than 200 passes"):
        infeed(12, 10, first=0.001)
