"""Sizes of blanks: across flats and corners, rings, volumes, and what does not go together."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.blank_sizes import blank_sizes, blank_words
from turnsketch.errors import InputError
from turnsketch.job import Blank, BlankStep
from turnsketch.units import Units


def swept(ring: tuple[tuple[float, float], ...]) -> float:
    """Return the volume that a closed ring sweeps about the axis (Pappus, edge by edge)."""
    total = 0.0
    for (z0, r0), (z1, r1) in pairwise([*ring, ring[0]]):
        total += math.pi / 3 * (z0 - z1) * (r0 * r0 + r0 * r1 + r1 * r1)
    return total


@pytest.mark.parametrize(
    ("shape", "corners", "area"),
    [
        # A hexagon is 2/sqrt(3) times as wide across its corners, a square sqrt(2) times.
        ("hexagon", 27 * 2 / math.sqrt(3), math.sqrt(3) / 2 * 27**2),
        ("square", 27 * math.sqrt(2), 27.0**2),
        ("round", 27.0, math.pi / 4 * 27**2),
    ],
)
def test_across_flats_corners_and_volume(shape: str, corners: float, area: float) -> None:
    sizes = blank_sizes(Blank("27", "60", shape=shape), "mm")  # type: ignore[arg-type]
    assert 2 * sizes.radius == pytest.approx(corners)
    assert sizes.volume_mm3 == pytest.approx(area * 60)
    flat = sizes.flat_radius
    assert flat is None if shape == "round" else flat == pytest.approx(13.5)
    assert sizes.plain


def test_the_ring_of_a_plain_bar_is_a_rectangle_down_to_the_axis() -> None:
    ring = blank_sizes(Blank("30", "60", "2"), "mm").ring
    assert [tuple(p) for p in ring] == [(2, 0), (2, 15), (-58, 15), (-58, 0)]


@given(
    st.lists(
        st.tuples(st.integers(20, 60), st.integers(5, 40), st.integers(0, 18)),
        min_size=1,
        max_size=5,
    )
)
def test_a_stepped_blank_has_the_volume_of_its_steps(steps: list[tuple[int, int, int]]) -> None:
    blank = Blank(
        str(max(d for d, _, _ in steps)),
        str(sum(n for _, n, _ in steps)),
        "3",
        shape="steps",
        steps=tuple(BlankStep(str(d), str(n), bore=str(b) if b else None) for d, n, b in steps),
    )
    sizes = blank_sizes(blank, "mm")
    volume = sum(math.pi / 4 * (d * d - b * b) * n for d, n, b in steps)
    assert sizes.volume_mm3 == pytest.approx(volume)
    assert swept(sizes.ring) == pytest.approx(volume), "counterclockwise, z to the right"
    assert all(p != q for p, q in pairwise(sizes.ring))
    assert max(p.z for p in sizes.ring) == 3


@pytest.mark.parametrize(
    ("blank", "where", "what"),
    [
        (Blank("30", "60", shape="tube"), "blank.bore", "inner diameter"),
        (Blank("30", "60", bore="10"), "blank.bore", "no bore of its own"),
        (Blank("30", "60", shape="tube", bore="30"), "blank.bore", "as wide"),
        (Blank("30", "60", shape="steps"), "blank.steps", "give the steps"),
        (Blank("30", "60", steps=(BlankStep("30", "60"),)), "blank.steps", "has no steps"),
        (
            Blank("30", "60", shape="steps", steps=(BlankStep("28", "60"),)),
            "blank.diameter",
            "make them agree",
        ),
        (
            Blank("30", "60", shape="steps", steps=(BlankStep("30", "50"),)),
            "blank.length",
            "50 mm long together",
        ),
        (
            Blank("30", "60", shape="steps", steps=(BlankStep("30", "60", bore="30"),)),
            "blank.steps[0].bore",
            "as wide",
        ),
        (
            Blank(
                "30",
                "60",
                shape="steps",
                steps=(BlankStep("30", "30", bore="20"), BlankStep("18", "30")),
            ),
            "blank.steps[1]",
            "hangs on nothing",
        ),
        (Blank("30", "60", "-1"), "blank.front", "no sign"),
        (Blank("R3", "60"), "blank.diameter", ""),
    ],
)
def test_what_does_not_go_together_is_told_with_its_place(
    blank: Blank, where: str, what: str
) -> None:
    with pytest.raises(InputError) as caught:
        blank_sizes(blank, "mm")
    assert caught.value.where == where
    assert what in caught.value.what


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_sizes_are_read_in_the_jobs_units(units: Units) -> None:
    sizes = blank_sizes(Blank("1", "3", "0.04", shape="hexagon"), units)
    assert sizes.flat_radius == pytest.approx(0.5 if units == "mm" else 12.7)


def test_words() -> None:
    assert blank_words(Blank("30", "60"), "mm") == "Ø30 × 60 mm"
    assert blank_words(Blank("27", "60", shape="hexagon")) == "hexagon 27 across flats × 60"
    assert blank_words(Blank("45", "60", shape="tube", bore="17"), "mm") == "tube Ø45/Ø17 × 60 mm"
    steps = (BlankStep("30", "20"), BlankStep("45", "40"))
    assert blank_words(Blank("45", "60", shape="steps", steps=steps)) == "in 2 steps to Ø45 × 60"
