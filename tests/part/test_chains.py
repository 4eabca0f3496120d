"""Weighted union-find: positions, repeats and gaps, checked against sums made by hand."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from turnsketch.part.chains import Link, Member, close_chains


def link(start: int, end: int, size: str, number: int = 0) -> Link:
    return Link(start, end, Fraction(size), number)


def test_a_chain_adds_up() -> None:
    chains = close_chains(4, [link(0, 1, "12"), link(1, 2, "30"), link(2, 3, "18")])
    assert chains.root == (0, 0, 0, 0)
    assert list(chains.offset) == [0, -12, -42, -60]
    assert chains.tree == (0, 1, 2)
    assert chains.closures == ()


def test_a_link_against_its_direction_and_late_joining() -> None:
    chains = close_chains(4, [link(3, 2, "-18"), link(1, 2, "30"), link(0, 1, "12")])
    assert list(chains.offset) == [0, -12, -42, -60]


def test_a_repeat_has_no_gap_and_names_its_path() -> None:
    links = [link(0, 1, "12"), link(1, 2, "30"), link(0, 2, "42")]
    (closure,) = close_chains(3, links).closures
    assert closure.link == 2
    assert closure.gap == 0
    assert closure.path == (Member(0, 1), Member(1, 1))


def test_the_gap_is_exact() -> None:
    links = [link(0, 1, "12"), link(1, 2, "30"), link(2, 3, "18"), link(0, 3, "60.5")]
    (closure,) = close_chains(4, links).closures
    assert closure.gap == Fraction(-1, 2)
    third = [link(0, 1, "1/3"), link(1, 2, "1/3"), link(2, 3, "1/3"), link(0, 3, "1")]
    assert close_chains(4, third).closures[0].gap == 0


def test_two_loops_are_named_apart() -> None:
    links = [
        link(0, 1, "10"),
        link(1, 2, "20"),
        link(0, 2, "31"),
        link(2, 3, "5"),
        link(3, 4, "5"),
        link(2, 4, "9"),
    ]
    first, second = close_chains(5, links).closures
    assert [m.link for m in first.path] == [0, 1]
    assert first.gap == -1
    assert [m.link for m in second.path] == [3, 4]
    assert second.gap == 1


def test_what_hangs_apart_has_its_own_root() -> None:
    chains = close_chains(5, [link(0, 1, "10"), link(3, 4, "7")])
    assert chains.root == (0, 0, 2, 3, 3)
    assert chains.offset[4] == -7


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_positions_come_back_from_any_spanning_tree(data: st.DataObject) -> None:
    places = data.draw(st.integers(2, 25))
    positions = [
        Fraction(data.draw(st.integers(-9999, 9999)), data.draw(st.sampled_from([1, 64, 1000])))
        for _ in range(places)
    ]
    order = data.draw(st.permutations(range(places)))
    links = []
    for i in range(1, places):
        a, b = order[i], order[data.draw(st.integers(0, i - 1))]
        links.append(Link(a, b, positions[a] - positions[b], i))
    a, b = data.draw(st.permutations(range(places)))[:2]
    error = Fraction(data.draw(st.integers(-50, 50)), 100)
    shuffled = data.draw(st.permutations(links))
    chains = close_chains(places, [*shuffled, Link(a, b, positions[a] - positions[b] + error, 99)])
    assert chains.root == (0,) * places
    assert all(chains.offset[i] == positions[i] - positions[0] for i in range(places))
    (closure,) = chains.closures
    assert closure.gap == -error
    total = sum(m.sign * shuffled[m.link].size for m in closure.path)
    assert total == positions[a] - positions[b]
