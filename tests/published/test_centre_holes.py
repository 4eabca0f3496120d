"""Centre holes against their standards, as far as these were read."""

from __future__ import annotations

import pytest

from turnsketch.errors import InputError
from turnsketch.part.centre_holes import centre_hole, centre_hole_sizes, usual_size


@pytest.mark.parametrize(
    ("size", "rim", "depth", "cutoff"),
    [(1.0, 2.12, 1.9, 3), (1.6, 3.35, 2.9, 5), (2.5, 5.3, 4.6, 7), (6.3, 13.2, 11.5, 18)],
)
def test_form_a(size: float, rim: float, depth: float, cutoff: float) -> None:
    """DIN 332-1 and ISO 6411 in an extract of the Swiss standards (innorat.ch)."""
    hole = centre_hole(size)
    assert (hole.countersink, hole.depth, hole.cutoff) == (rim, depth, cutoff)


@pytest.mark.parametrize(("size", "cone"), [(1.0, 0.970), (2.5, 2.425), (10.0, 9.699)])
def test_depth_of_the_countersink(size: float, cone: float) -> None:
    """CALC: (d2 - d1) / 2 / tan 30 deg."""
    assert centre_hole(size).cone_depth == pytest.approx(cone, abs=6e-4)


def test_designation() -> None:
    """ISO 6411 - A 2.5/5.3 (Austrian schoolbook)."""
    assert centre_hole(2.5).designation == "ISO 6411 - A 2.5/5.3"


@pytest.mark.parametrize(
    ("diameter", "size"),
    [(6, 1.0), (8, 1.0), (8.5, 1.6), (12, 1.6), (18, 2.0), (25, 2.5), (40, 3.15), (60, 4.0),
     (150, 6.3), (400, 6.3)],
)  # fmt: skip
def test_usual_size_for_a_shaft(diameter: float, size: float) -> None:
    """The ranges of the Swiss extract; "over 180" begins where its list ends (guide only)."""
    assert usual_size(diameter) == size


def test_the_pilot_holds_its_point() -> None:
    for size in centre_hole_sizes():
        hole = centre_hole(size)
        assert 0.0 < hole.tip < hole.pilot_length < hole.depth


def test_a_size_that_is_none() -> None:
    with pytest.raises(InputError, match=r"1, 1\.25, 1\.6"):
        centre_hole(3.0)
