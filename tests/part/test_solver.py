"""The solver: dimensioning styles, chains that repeat or contradict, arcs, tangency, freedom."""

from __future__ import annotations

import math
import sys
from collections import Counter
from types import FrameType

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.part.dimension_sets import DimensionSet, Span, dimension_sets, text
from tests.part.solving import (
    P,
    assert_all_ink,
    assert_vertices,
    back,
    front,
    length,
    messages,
    solved,
)
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.part.records import Drawn, LengthDimension, PartRecord, Section
from turnsketch.part.sketch import Sketch, expand
from turnsketch.part.solver import Solution, solve

PROPERTY = settings(
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


STEPS: list[tuple[float, float]] = [
    (0, 0),
    (0, 6),
    (-12, 6),
    (-12, 12.5),
    (-42, 12.5),
    (-42, 15),
    (-60, 15),
    (-60, 0),
]


@pytest.mark.parametrize(
    ("own", "lengths"),
    [
        pytest.param(("12", "30", "18"), (), id="chain"),
        pytest.param(
            (None, None, None),
            (
                length(front(1), back(1), "12"),
                length(front(1), back(2), "42"),
                length(front(1), back(3), "60"),
            ),
            id="baseline",
        ),
        pytest.param(
            (None, None, None),
            (
                length(front(1), back(3), "60"),
                length(back(3), front(3), "18"),
                length(back(3), back(1), "48"),
            ),
            id="from the back",
        ),
        pytest.param(("12", None, "18"), (length(front(1), back(3), "60"),), id="overall"),
        pytest.param(
            (None, "30", None),
            (length(front(1), back(2), "42"), length(front(2), back(3), "48")),
            id="mixed",
        ),
    ],
)
def test_every_style_of_lengths_gives_the_same_part(
    own: tuple[str | None, ...], lengths: tuple[LengthDimension, ...]
) -> None:
    solution = solved(P("12", own[0]), P("25 h6", own[1]), P("30", own[2]), lengths=lengths)
    assert_all_ink(solution)
    assert_vertices(solution, STEPS)
    assert solution.issues == ()


def test_aims_are_the_middles_of_the_limits() -> None:
    solution = solved(P("12 +0.2/0", "12"), P("25 h6", "30 +0.1/0"), P("30", "18"))
    assert solution.aim.vertices[1].r == pytest.approx(6.05, abs=1e-12)
    assert solution.aim.vertices[3].r == pytest.approx(24.9935 / 2, abs=1e-12)
    assert solution.aim.vertices[5].z == pytest.approx(-42.05, abs=1e-12)
    assert solution.nominal.vertices[5] == Point(-42.0, 15.0)


def test_a_chain_that_does_not_close_names_its_gap_and_stays_in_pencil() -> None:
    solution = solved(
        P("12", "12"),
        P("25 h6", "30"),
        P("30", "18"),
        lengths=(length(front(1), back(3), "60.5"),),
    )
    assert messages(solution, "contradiction") == [
        "lengths close 0.50 mm short: 12 + 30 + 18 against 60.5"
    ]
    assert solution.fixed == (True, False, False, False, False, False, False)


def test_a_contradiction_in_inches() -> None:
    solution = solved(
        P("1 3/8", ".500"),
        P("1.250", "3/4"),
        lengths=(length(front(1), back(2), "1.230"),),
        units="inch",
        rule="decimals",
    )
    assert messages(solution, "contradiction") == [
        "lengths close 0.020 in long: .500 + 3/4 against 1.230"
    ]


def test_a_small_gap_is_not_rounded_away() -> None:
    solution = solved(P("12", "12"), P("25", "30"), lengths=(length(front(1), back(2), "42.003"),))
    assert messages(solution, "contradiction") == [
        "lengths close 0.003 mm short: 12 + 30 against 42.003"
    ]


def test_two_loops_are_named_apart() -> None:
    solution = solved(
        P("12", "10"),
        P("20", "20"),
        P("30", "5"),
        P("40", "5"),
        lengths=(length(front(1), back(2), "31"), length(front(3), back(4), "9")),
    )
    assert sorted(messages(solution, "contradiction")) == [
        "lengths close 1.00 mm long: 5 + 5 against 9",
        "lengths close 1.00 mm short: 10 + 20 against 31",
    ]


def test_a_repeat_is_named_and_the_tightest_dimensions_fix() -> None:
    sections = (P("12", "12"), P("25", "30 +0.5/0"), P("30", "18"))
    solution = solved(*sections, lengths=(length(front(1), back(3), "60 ±0.01"),))
    assert messages(solution, "repeat") == ["60 ±0.01 only repeats 12 + 30 +0.5/0 + 18"]
    assert_all_ink(solution)
    assert solution.aim.vertices[-1].z == pytest.approx(-60.0, abs=1e-12)
    (issue,) = solution.issues
    assert issue.remedy.startswith("take 18 out")


def test_one_diameter_written_twice() -> None:
    taper = Section("taper", front_diameter="20", back_diameter="26", length="30")
    assert solved(P("20", "10"), taper).issues == ()
    solution = solved(P("20 h6", "10"), taper)
    assert messages(solution, "repeat") == ["Ø20 only repeats Ø20 h6"]
    tangent = Section("arc", front_diameter="21", radius="R40", length="5", tangent="front")
    solution = solved(P("20", "10"), tangent, P("30", "5"))
    assert messages(solution, "contradiction")[0] == "diameters differ by 1.00 mm: Ø20 against Ø21"


def test_open_sections_in_words() -> None:
    solution = solved(P("12", "12"), P("25 h6"), P(None, "18"))
    assert solution.fixed == (True, True, True, False, False, False, False)
    assert solution.free == (
        "",
        "",
        "",
        "in length",
        "in place",
        "in diameter, in place",
        "in place",
    )
    assert messages(solution, "open") == [
        "section 2 is free in length",
        "section 3 is free in diameter",
    ]
    assert [i.remedy for i in solution.issues] == [
        "give its length, or a length over it",
        "give its diameter",
    ]
    assert [i.section for i in solution.issues] == [2, 3]
    z = [vertex.z for vertex in solution.nominal.vertices]
    assert z == sorted(z, reverse=True)


def test_references_fix_nothing_but_are_checked() -> None:
    agree = solved(P("12", "12"), P("25", "30"), lengths=(length(front(1), back(2), "(42)"),))
    assert agree.issues == ()
    off = solved(P("12", "12"), P("25", "30"), lengths=(length(front(1), back(2), "(45)"),))
    assert_all_ink(off)
    assert messages(off, "ill-posed") == [
        "the reference (45) does not agree with the others, which make it 42.00"
    ]
    alone = solved(P("12", "12"), P("25", "(30)"))
    assert alone.free[3] == "in length"
    assert alone.nominal.vertices[4].z == pytest.approx(-42.0)


def test_pencil_follows_the_drawn_lines() -> None:
    solution = solved(
        P("12", "12"),
        Section("cylinder", diameter="25", drawn=Drawn(Point(-37.0, 12.0))),
        P("30", "18"),
    )
    assert solution.nominal.vertices[4].z == pytest.approx(-37.0)
    assert solution.nominal.vertices[-1].z == pytest.approx(-55.0)


# Tapers


def test_cone_by_ratio_one_diameter_and_a_length() -> None:
    solution = solved(Section("taper", angle="1:10", back_diameter="30", length="60"), P("36", "5"))
    assert_all_ink(solution)
    assert_vertices(solution, [(0, 0), (0, 12), (-60, 15), (-60, 18), (-65, 18), (-65, 0)])


@pytest.mark.parametrize("angle", ["15°", "30° incl"])
def test_cone_by_two_diameters_and_an_angle(angle: str) -> None:
    solution = solved(Section("taper", angle=angle, front_diameter="20", back_diameter="30"))
    assert_all_ink(solution)
    z = -5.0 / math.tan(math.radians(15))
    assert_vertices(solution, [(0, 0), (0, 10), (z, 15), (z, 0)])


def test_cone_that_narrows() -> None:
    section = Section("taper", angle="1:5", narrows=True, front_diameter="30", length="20")
    assert_vertices(solved(section), [(0, 0), (0, 15), (-20, 13), (-20, 0)])
    by_diameters = Section("taper", angle="1:5", front_diameter="30", back_diameter="26")
    assert_vertices(solved(by_diameters), [(0, 0), (0, 15), (-20, 13), (-20, 0)])


def test_a_taper_too_many_repeats_or_contradicts() -> None:
    def taper(angle: str) -> Solution:
        return solved(
            Section("taper", angle=angle, front_diameter="20", back_diameter="26", length="60")
        )

    assert messages(taper("1:10"), "repeat") == ["1:10 only repeats 60, Ø20 and Ø26"]
    assert messages(taper("2.862°"), "repeat") == ["2.862° only repeats 60, Ø20 and Ø26"]
    wrong = taper("1:12")
    assert messages(wrong, "contradiction") == ["1:12 disagrees: 60, Ø20 and Ø26 make it 1:10"]
    assert wrong.fixed == (True, False, True)


def test_a_taper_that_lacks_a_dimension_is_open() -> None:
    solution = solved(Section("taper", front_diameter="20", length="60"), P("40", "10"))
    assert solution.fixed[1]
    solution = solved(Section("taper", front_diameter="20", angle="1:10"), P(None, "10"))
    assert solution.free[1] == "in length, in back diameter"
    assert messages(solution, "open")[0] == "section 1 is free in length"


def test_what_stands_behind_an_open_length_floats_with_it() -> None:
    cone = Section("taper", angle="15°", front_diameter="20", back_diameter="30")
    solution = solved(P("20"), cone, P("36", "5"))
    assert solution.fixed == (True, False, False, False, False, False)
    assert solution.free[1:] == ("in length", "in place", "in place", "in place", "in place")
    assert messages(solution, "open") == ["section 1 is free in length"]
    back_z, front_z = solution.nominal.vertices[3].z, solution.nominal.vertices[2].z
    assert front_z - back_z == pytest.approx(5.0 / math.tan(math.radians(15)), abs=1e-9)


def test_cones_in_a_ring_with_an_overall_length() -> None:
    """The first cone's length comes from its diameters, the second's from what is left over."""
    solution = solved(
        P("20", "5"),
        Section("taper", angle="1:10", back_diameter="26"),
        Section("taper", angle="15°"),
        P(None, "5"),
        lengths=(length(front(1), back(4), "100"),),
    )
    assert_all_ink(solution)
    assert solution.issues == ()
    r = 13.0 + 30.0 * math.tan(math.radians(15))
    assert_vertices(
        solution,
        [(0, 0), (0, 10), (-5, 10), (-65, 13), (-95, r), (-100, r), (-100, 0)],
    )


def test_a_tiny_angle_is_ill_posed() -> None:
    section = Section("taper", angle="0.1°", front_diameter="20", back_diameter="20.2")
    (message,) = messages(solved(section), "ill-posed")
    assert message == (
        "0.1° and two diameters fix the length of section 1 badly: "
        "0.01 mm on a diameter moves it 2.86 mm"
    )


# Refusals


def test_a_section_that_runs_backwards_is_refused() -> None:
    lengths = (length(front(1), back(1), "12"), length(front(1), back(2), "10"))
    with pytest.raises(InputError) as caught:
        solved(P("12"), P("25"), P("30", "8"), lengths=lengths)
    assert caught.value.where == "part.sections[1]"
    assert "section 2 runs backwards" in caught.value.what
    assert "2.00 mm" in caught.value.what


def test_a_taper_below_the_axis_is_refused() -> None:
    with pytest.raises(InputError, match="section 1 goes below the axis"):
        solved(Section("taper", angle="1:2", back_diameter="20", length="60"))


def test_an_arc_below_the_axis_is_refused() -> None:
    arc = Section("arc", sense="concave", centre_diameter="0", length="20")
    with pytest.raises(InputError, match="section 2 goes below the axis"):
        solved(P("20", "5"), arc, P("20", "5"))


# Properties


@PROPERTY
@given(dimension_sets())
def test_any_set_of_dimensions_that_fixes_gives_the_outline(drawn: DimensionSet) -> None:
    solution = solve(expand(drawn.part, "mm"), "ISO 2768-m")
    assert_all_ink(solution)
    assert not messages(solution, "repeat")
    for found, wanted in zip(solution.nominal.vertices, drawn.vertices, strict=True):
        assert found.distance(wanted) < 1e-9
    for i, centre in enumerate(solution.nominal.centres):
        if centre is not None:
            ends = solution.nominal.vertices[i : i + 2]
            assert abs(ends[0].distance(centre) - ends[1].distance(centre)) < 1e-9


@PROPERTY
@given(dimension_sets(), st.data())
def test_one_dimension_less_leaves_something_open(drawn: DimensionSet, data: st.DataObject) -> None:
    part = drawn.part
    choice = data.draw(st.integers(0, len(drawn.removable) + len(part.lengths) - 1))
    if choice < len(drawn.removable):
        number, name = drawn.removable[choice]
        less = msgspec.structs.replace(part.sections[number], **{name: None})
        sections = (*part.sections[:number], less, *part.sections[number + 1 :])
        part = msgspec.structs.replace(part, sections=sections)
    else:
        out = choice - len(drawn.removable)
        part = msgspec.structs.replace(part, lengths=part.lengths[:out] + part.lengths[out + 1 :])
    solution = solve(expand(part, "mm"), "ISO 2768-m")
    assert not all(solution.fixed)
    assert messages(solution, "open")
    assert not messages(solution, "contradiction")


ROUGH = (
    Section("arc", radius="SR13", centre_diameter="0", sense="convex", tangent="back"),
    Section("arc", radius="R6", sense="concave", tangent="both"),
    Section("cylinder", diameter="10", length="20"),
    Section("arc", radius="R12", sense="concave", tangent="front", back_diameter="24"),
    Section("taper", angle="10°", back_diameter="32"),
    Section("cylinder", diameter="32", length="10"),
)


@settings(deadline=None)
@given(st.lists(st.floats(-3.0, 3.0), min_size=12, max_size=12))
def test_rough_pencil_lines_lead_to_the_drawn_branch(noise: list[float]) -> None:
    """Up to 3 mm off on a part of 90 mm."""
    clean = solved(*ROUGH)
    assert_all_ink(clean)
    sections = []
    for i, section in enumerate(ROUGH):
        to = clean.nominal.vertices[i + 1]
        centre, bulge = clean.nominal.centres[i], 0.0
        if centre is not None:
            start = clean.nominal.vertices[i]
            half = math.asin(start.distance(to) / 2.0 / start.distance(centre))
            if i == 0:
                half = math.pi - half
            bulge = math.tan(half / 2.0) * (1.0 if clean.nominal.turns[i] == "ccw" else -1.0)
        moved = Point(to.z + noise[2 * i], to.r + noise[2 * i + 1])
        sections.append(msgspec.structs.replace(section, drawn=Drawn(moved, bulge)))
    solution = solved(*sections)
    assert_all_ink(solution)
    for found, wanted in zip(solution.nominal.vertices, clean.nominal.vertices, strict=True):
        assert found.distance(wanted) < 1e-9


def _with_span(part: PartRecord, span: Span, hundredths: int) -> PartRecord:
    extra = length(front(span.first + 1), back(span.last + 1), text(hundredths))
    return msgspec.structs.replace(part, lengths=(*part.lengths, extra))


@PROPERTY
@given(dimension_sets(), st.data())
def test_one_length_more_repeats_and_a_wrong_one_contradicts_by_its_gap(
    drawn: DimensionSet, data: st.DataObject
) -> None:
    if not drawn.spare:
        return
    span = data.draw(st.sampled_from(drawn.spare))
    same = solve(expand(_with_span(drawn.part, span, span.hundredths), "mm"), "ISO 2768-m")
    assert all(same.fixed)
    assert len(messages(same, "repeat")) == 1
    error = data.draw(st.sampled_from((-30, -1, 1, 25)))
    if span.hundredths + error < 50:
        return
    part = _with_span(drawn.part, span, span.hundredths + error)
    wrong = solve(expand(part, "mm"), "ISO 2768-m")
    (message,) = messages(wrong, "contradiction")
    assert message.startswith(f"lengths close {abs(error) / 100:.2f} mm ")
    assert not all(wrong.fixed)


# Speed


def _long(thirds: int) -> Sketch:
    """Return cylinders, hollows and tapers in turn, three sections for each of `thirds`."""
    sections: list[Section] = []
    for k in range(thirds):
        size = str(20 + 2 * k)
        sections += [
            P(size, "10"),
            Section("arc", radius="R30", sense="concave", length="30"),
            Section("taper", angle="1:10", length="10", front_diameter=size),
        ]
    return expand(PartRecord("long", tuple(sections)), "mm")


def _calls(sketch: Sketch) -> Counter[str]:
    """Return how often each function is called while a sketch is solved."""
    calls: Counter[str] = Counter()

    def count(frame: FrameType, event: str, _: object) -> None:
        if event == "call":
            calls[frame.f_code.co_name] += 1

    sys.setprofile(count)
    try:
        solution = solve(sketch, "ISO 2768-m")
    finally:
        sys.setprofile(None)
    assert_all_ink(solution)
    return calls


def test_work_grows_with_the_sections_and_no_faster() -> None:
    """Small blocks one by one, not one large one: twice the sections are twice the calls.

    One dense block would show as fewer, larger decompositions, and anything that compares all
    sections with all others as four times the calls.
    """
    solve(_long(1), "ISO 2768-m")  # what is imported or remembered at the first use
    few, many = _calls(_long(10)), _calls(_long(20))
    assert many.total() < 2.2 * few.total()
    assert few["svd"] == 30
    assert many["svd"] == 60
