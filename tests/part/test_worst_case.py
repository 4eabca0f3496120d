"""Worst cases: sums of tolerances along chains, and extremes of coupled blocks."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnsketch.errors import InputError
from turnsketch.part.outline_records import Size
from turnsketch.part.records import LengthDimension, PartRecord, Place, Section
from turnsketch.part.sketch import expand
from turnsketch.part.solver import solve
from turnsketch.part.worst_case import worst_case, worst_case_diameter

RULE = "ISO 2768-m"


def front(number: int) -> Place:
    return Place(number, "front")


def back(number: int) -> Place:
    return Place(number, "back")


def length(part: PartRecord, a: Place, b: Place) -> Size:
    sketch = expand(part, "mm")
    return worst_case(sketch, solve(sketch, RULE), a, b, RULE)


def part(*sections: Section, lengths: tuple[LengthDimension, ...] = ()) -> PartRecord:
    return PartRecord("part", sections, lengths=lengths)


def assert_limits(size: Size, lower: float, upper: float) -> None:
    assert size.lower == pytest.approx(lower, abs=1e-9)
    assert size.upper == pytest.approx(upper, abs=1e-9)


STEPPED = part(
    Section("cylinder", diameter="12", length="12 ±0.1"),
    Section("cylinder", diameter="25"),
    Section("cylinder", diameter="30", length="18 +0.2/0"),
    lengths=(LengthDimension(front(1), back(3), "60 ±0.05"),),
)


def test_the_length_between_is_the_sum_of_the_tolerances() -> None:
    for ends in ((front(2), back(2)), (back(2), front(2))):
        size = length(STEPPED, *ends)
        assert size.nominal == pytest.approx(30.0, abs=1e-12)
        assert size.lower == pytest.approx(59.95 - 12.1 - 18.2, abs=1e-9)
        assert size.upper == pytest.approx(60.05 - 11.9 - 18.0, abs=1e-9)
        assert size.aim == pytest.approx(60.0 - 12.0 - 18.1, abs=1e-9)
        assert size.source == "worst case of 12 ±0.1, 18 +0.2/0, 60 ±0.05"


def test_a_printed_length_is_its_own_worst_case() -> None:
    size = length(STEPPED, front(1), back(1))
    assert_limits(size, 11.9, 12.1)


def test_a_repeat_does_not_count() -> None:
    repeated = PartRecord(
        "part",
        (
            *STEPPED.sections[:1],
            Section("cylinder", diameter="25", length="30"),
            STEPPED.sections[2],
        ),
        lengths=STEPPED.lengths,
    )
    size = length(repeated, front(2), back(2))
    assert size.upper == pytest.approx(60.05 - 11.9 - 18.0, abs=1e-9)


def test_both_ends_in_one_plane() -> None:
    size = length(STEPPED, back(1), front(2))
    assert (size.nominal, size.lower, size.upper, size.source) == (0.0, 0.0, 0.0, "exact")


CONE = part(
    Section("taper", angle="1:10", back_diameter="30 ±0.1", length="60 ±0.5"),
    Section("cylinder", diameter="36", length="5"),
)


def test_the_thin_end_of_a_cone() -> None:
    """Largest: thick end large, cone short, angle least; both limits by hand (CALC)."""
    sketch = expand(CONE, "mm")
    solution = solve(sketch, RULE)
    size = worst_case_diameter(sketch, solution, 1, "front", RULE)
    assert size.nominal == pytest.approx(24.0, abs=1e-9)
    # ISO 2768-1 table 3, class m, shorter side 50 to 120 mm: 20 minutes on the included angle.
    half, off = math.atan(0.05), math.radians(20 / 60 / 2)
    assert size.upper == pytest.approx(30.1 - 2 * 59.5 * math.tan(half - off), abs=1e-9)
    assert size.lower == pytest.approx(29.9 - 2 * 60.5 * math.tan(half + off), abs=1e-9)
    own = worst_case_diameter(sketch, solution, 1, "back", RULE)
    assert_limits(own, 29.9, 30.1)


def test_ball_on_a_neck_against_all_extremes() -> None:
    ball = part(
        Section("arc", radius="SR15 ±0.1", centre_diameter="0", sense="convex", long_way=True),
        Section("cylinder", diameter="12 ±0.2", length="20"),
    )
    size = length(ball, front(1), back(1))
    found = [
        radius + math.sqrt(radius**2 - (neck / 2) ** 2)
        for radius, neck in itertools.product((14.9, 15.1), (11.8, 12.2))
    ]
    assert size.lower == pytest.approx(min(found), abs=1e-9)
    assert size.upper == pytest.approx(max(found), abs=1e-9)


def test_the_centre_of_an_arc() -> None:
    ball = part(
        Section("arc", radius="SR15 ±0.1", centre_diameter="0", sense="convex", long_way=True),
        Section("cylinder", diameter="12 ±0.2", length="20"),
    )
    size = length(ball, front(1), Place(1, "centre"))
    assert size.nominal == pytest.approx(15.0, abs=1e-9)
    assert_limits(size, 14.9, 15.1)


def test_what_is_open_has_no_limits() -> None:
    open_part = part(
        Section("cylinder", diameter="12", length="12"), Section("cylinder", diameter="25")
    )
    assert length(open_part, front(1), back(1)).upper > 12.0
    with pytest.raises(InputError, match="do not fix the length"):
        length(open_part, front(2), back(2))


def test_unknown_places_are_refused() -> None:
    with pytest.raises(InputError, match="no section 9"):
        length(STEPPED, front(1), back(9))
    with pytest.raises(InputError, match="only an arc"):
        length(STEPPED, front(1), Place(2, "centre"))


@settings(deadline=None)
@given(st.data())
def test_any_length_of_a_chain_is_bounded_by_its_members(data: st.DataObject) -> None:
    """No choice of sizes inside their limits leads outside the worst case, and two reach it."""
    count = data.draw(st.integers(2, 6))
    sizes = [data.draw(st.integers(100, 5000)) / 100 for _ in range(count)]
    slack = [data.draw(st.integers(1, 50)) / 100 for _ in range(count)]
    # Baseline from the front: position k is printed with a tolerance of its own.
    places = list(itertools.accumulate(sizes))
    lengths = tuple(
        LengthDimension(front(1), back(k + 1), f"{place:.2f} ±{slack[k]:.2f}")
        for k, place in enumerate(places)
    )
    sections = tuple(Section("cylinder", diameter=str(20 + 2 * k)) for k in range(count))
    stepped = PartRecord("part", sections, lengths=lengths)
    k = data.draw(st.integers(1, count - 1))
    size = length(stepped, front(k + 1), back(k + 1))
    assert size.nominal == pytest.approx(sizes[k], abs=1e-9)
    assert size.upper - size.nominal == pytest.approx(slack[k] + slack[k - 1], abs=1e-9)
    assert size.nominal - size.lower == pytest.approx(slack[k] + slack[k - 1], abs=1e-9)
