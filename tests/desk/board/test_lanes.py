"""Dimensions find their room: no two texts overlap, whatever there is to draw."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.desk.board.lanes import Span, Tag, lay_spans, lay_tags, spread

_PLACES = st.floats(-400, 1400, allow_nan=False, width=32)
_WIDTHS = st.floats(4, 140, allow_nan=False, width=32)


def _span(low: float, high: float, width: float) -> Span:
    return Span(min(low, high), max(low, high), width)


@given(st.lists(st.builds(_span, _PLACES, _PLACES, _WIDTHS), max_size=25))
def test_no_text_of_a_length_touches_another_text_or_line(spans: list[Span]) -> None:
    laid = lay_spans(spans)
    for (a, at_a), (b, at_b) in itertools.permutations(zip(spans, laid, strict=True), 2):
        if at_a.lane != at_b.lane:
            continue
        a_low, a_high = at_a.text_low, at_a.text_low + a.width
        b_low, b_high = at_b.text_low, at_b.text_low + b.width
        assert a_high <= b_low or b_high <= a_low
        assert a_high <= b.low or b.high <= a_low
        assert a.high <= b.low + 0.5001 or b.high <= a.low + 0.5001


def test_a_chain_shares_one_lane_and_the_overall_length_stands_outside_it() -> None:
    spans = [Span(0, 100, 20), Span(100, 200, 20), Span(0, 200, 30)]
    assert [laid.lane for laid in lay_spans(spans)] == [0, 0, 1]


def test_a_text_without_room_stands_beside_its_arrows() -> None:
    (laid,) = lay_spans([Span(0, 20, 30)])
    assert laid.outside
    assert laid.text_low >= 20


@given(st.lists(st.builds(Tag, _PLACES, _WIDTHS), max_size=25))
def test_no_two_tags_overlap_and_no_leader_runs_through_a_text(tags: list[Tag]) -> None:
    laid = lay_tags(tags, 0.0, 1000.0)
    for (a, at_a), (b, at_b) in itertools.permutations(zip(tags, laid, strict=True), 2):
        if at_a.row == at_b.row:
            assert at_a.left + a.width <= at_b.left or at_b.left + b.width <= at_a.left
        elif at_a.row > at_b.row:
            assert not at_b.left <= at_a.way[at_b.row] <= at_b.left + b.width


@given(st.lists(st.tuples(_PLACES, st.floats(4, 60)), min_size=1, max_size=12))
def test_what_has_room_stays_inside(items: list[tuple[float, float]]) -> None:
    items.sort()
    widths = [width for _, width in items]
    centres = spread([x for x, _ in items], widths, 0.0, 1000.0, 5.0)
    assert centres[0] - widths[0] / 2 >= -1e-6
    assert centres[-1] + widths[-1] / 2 <= 1000.0 + 1e-6


def test_tags_with_room_stand_over_their_places() -> None:
    laid = lay_tags([Tag(100, 40), Tag(300, 40)], 0.0, 1000.0)
    assert [tag.left for tag in laid] == pytest.approx([80, 280])
    assert [tag.row for tag in laid] == [0, 0]
