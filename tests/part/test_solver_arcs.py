"""The solver on arcs: balls, waists, beads, tangency, and arcs that cannot be."""

from __future__ import annotations

import math

import msgspec
import pytest

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
from turnsketch.geometry.elements import Point
from turnsketch.part.records import Drawn, LengthDimension, Place, Section

BALL = Section("arc", radius="SR15", centre_diameter="0", sense="convex")
NECK_Z = -15.0 - math.sqrt(15.0**2 - 6.0**2)


@pytest.mark.parametrize(
    "ball",
    [
        msgspec.structs.replace(BALL, long_way=True),
        msgspec.structs.replace(BALL, drawn=Drawn(Point(-28.0, 6.5), 0.75)),
    ],
)
def test_ball_on_a_neck_runs_behind_its_equator(ball: Section) -> None:
    solution = solved(ball, P("12", "20"))
    assert_all_ink(solution)
    assert solution.issues == ()
    assert_vertices(solution, [(0, 0), (NECK_Z, 6), (NECK_Z - 20, 6), (NECK_Z - 20, 0)])
    assert solution.nominal.turns == ("ccw", None, None)
    centre = solution.nominal.centres[0]
    assert centre is not None
    assert centre.distance(Point(-15.0, 0.0)) < 1e-9


def test_ball_by_its_length_needs_no_word() -> None:
    solution = solved(
        Section("arc", radius="SR13", centre_diameter="0", sense="convex"),
        P("10", "20"),
        lengths=(length(front(1), back(2), "45"),),
    )
    assert_all_ink(solution)
    assert messages(solution, "repeat") == ["SR13 only repeats 20, 45, Ø10 and centre on the axis"]


def test_dome_is_taken_where_nothing_says_ball_and_a_note_says_so() -> None:
    solution = solved(BALL, P("12", "20"))
    assert solution.nominal.vertices[1].z == pytest.approx(-30.0 - NECK_Z, abs=1e-9)
    (message,) = messages(solution, "ill-posed")
    assert message.startswith("section 1 can lie in more than one way")


@pytest.mark.parametrize("tangent", [None, "back"])
def test_ball_into_a_cylinder_of_its_own_diameter(tangent: str | None) -> None:
    """A double root when taken as an intersection: its own equation keeps it within 1e-9."""
    ball = Section(
        "arc",
        radius="SR15",
        centre_diameter="0",
        sense="convex",
        tangent="back" if tangent else None,
    )
    solution = solved(ball, P("30 h6", "20"))
    assert_all_ink(solution)
    assert solution.issues == ()
    assert solution.smooth == (1,)
    assert_vertices(solution, [(0, 0), (-15, 15), (-35, 15), (-35, 0)])
    aimed = solution.aim.vertices[1]
    assert aimed.r == pytest.approx(29.9935 / 2, abs=1e-12)
    assert aimed.z == pytest.approx(-aimed.r, abs=1e-9)


def test_a_ball_too_small_for_its_cylinder_contradicts() -> None:
    solution = solved(msgspec.structs.replace(BALL, tangent="back"), P("30.1", "20"))
    assert messages(solution, "contradiction") == [
        "SR15 disagrees: Ø30.1 and centre on the axis make it R15.05"
    ]
    assert not solution.fixed[0]
    kinked = solved(BALL, P("30.1", "20"))
    assert len(messages(kinked, "contradiction")) == 1
    assert "SR15, Ø30.1" in messages(kinked, "contradiction")[0]


@pytest.mark.parametrize("by", ["length", "centre", "centre length"])
def test_concave_waist_between_two_diameters(by: str) -> None:
    dz = 2.0 * math.sqrt(30.0**2 - 25.0**2)
    waist = Section("arc", radius="R30", sense="concave")
    lengths: tuple[LengthDimension, ...] = ()
    if by == "length":
        waist, dz = msgspec.structs.replace(waist, length="34"), 34.0
    elif by == "centre":
        waist = msgspec.structs.replace(waist, centre_diameter="90")
    else:
        lengths = (length(back(1), Place(2, "centre"), "17"),)
        dz = 34.0
    solution = solved(P("40", "5"), waist, P("40", "5"), lengths=lengths)
    assert_all_ink(solution)
    assert solution.nominal.vertices[3].distance(Point(-5.0 - dz, 20.0)) < 1e-9
    centre = solution.nominal.centres[2]
    assert centre is not None
    assert centre.z == pytest.approx(-5.0 - dz / 2, abs=1e-9)
    assert centre.distance(Point(-5.0, 20.0)) == pytest.approx(30.0, abs=1e-9)
    assert centre.r > 40.0
    assert solution.nominal.turns[2] == "cw"


def test_the_long_way_round() -> None:
    bead = Section("arc", radius="R6", sense="convex", length="8")
    short = solved(P("20", "10"), bead, P("20", "10"))
    long = solved(P("20", "10"), msgspec.structs.replace(bead, long_way=True), P("20", "10"))
    off = math.sqrt(36.0 - 16.0)
    for solution, r in ((short, 10 - off), (long, 10 + off)):
        assert_all_ink(solution)
        assert solution.issues == ()
        centre = solution.nominal.centres[2]
        assert centre is not None
        assert centre.distance(Point(-14.0, r)) < 1e-9


def test_half_round_bead_is_a_double_root_too() -> None:
    bead = Section("arc", radius="R5", sense="convex", length="10 +0.2/0")
    solution = solved(P("20", "10"), bead, P("20", "20"))
    assert_all_ink(solution)
    assert solution.issues == ()
    for shape, middle in ((solution.nominal, -15.0), (solution.aim, -15.05)):
        centre = shape.centres[2]
        assert centre is not None
        assert centre.distance(Point(middle, 10.0)) < 1e-9


def test_arc_tangent_to_the_cylinder_before_it() -> None:
    fillet = Section("arc", radius="R10", sense="concave", tangent="front")
    solution = solved(P("20", "5"), fillet, P("30", "5"))
    assert_all_ink(solution)
    assert solution.smooth == (2,)
    assert solution.nominal.vertices[3].distance(Point(-5 - math.sqrt(75), 15)) < 1e-9


@pytest.mark.parametrize("tangent", ["both", "front"])
def test_quarter_round_from_the_face(tangent: str) -> None:
    nose = Section(
        "arc",
        radius="R3",
        sense="convex",
        tangent="both" if tangent == "both" else "front",
        front_diameter=None if tangent == "both" else "14",
    )
    solution = solved(nose, P("20", "30"))
    assert_all_ink(solution)
    assert_vertices(solution, [(0, 0), (0, 7), (-3, 10), (-33, 10), (-33, 0)])
    assert solution.smooth == (1, 2)


def test_two_tangent_arcs_between_two_cylinders() -> None:
    solution = solved(
        P("20", "5"),
        Section("arc", radius="R10", sense="concave", tangent="both"),
        Section("arc", radius="R8", sense="convex", tangent="both"),
        P("36", "5"),
    )
    assert_all_ink(solution)
    one, two = solution.nominal.centres[2], solution.nominal.centres[3]
    assert one is not None
    assert two is not None
    assert one.distance(two) == pytest.approx(18.0, abs=1e-9)
    assert one.r == pytest.approx(20.0, abs=1e-9)
    assert two.r == pytest.approx(10.0, abs=1e-9)
    assert one.z - two.z == pytest.approx(math.sqrt(18**2 - 10**2), abs=1e-9)


def test_taper_between_two_tangent_arcs() -> None:
    solution = solved(
        P("20", "5"),
        Section("arc", radius="R10", sense="concave", tangent="front"),
        Section("taper", angle="30°", tangent="both"),
        Section("arc", radius="R8", sense="convex", tangent="back"),
        P("36", "5"),
    )
    assert_all_ink(solution)
    a, b = solution.nominal.vertices[3], solution.nominal.vertices[4]
    assert a.distance(Point(-10.0, 10.0 + 10.0 * (1 - math.cos(math.radians(30))))) < 1e-9
    assert (b.r - a.r) / (a.z - b.z) == pytest.approx(math.tan(math.radians(30)), abs=1e-12)


def test_an_arc_that_cannot_reach_contradicts() -> None:
    solution = solved(P("20", "5"), Section("arc", radius="R5", length="20"), P("36", "5"))
    (message,) = messages(solution, "contradiction")
    assert message.startswith("section 2 can't be made with R5, Ø20, Ø36: the nearest way misses")
    assert solution.fixed == (True, True, False, True, True)


def test_an_arc_without_radius_is_open() -> None:
    solution = solved(P("20", "5"), Section("arc", length="10"), P("36", "5"))
    assert solution.free[2] == "in radius"
    assert messages(solution, "open") == ["section 2 is free in radius"]


def test_an_arc_of_unsaid_sense_is_convex_with_a_note() -> None:
    solution = solved(P("20", "5"), Section("arc", radius="R100", length="20"), P("36", "5"))
    assert solution.nominal.turns[2] == "ccw"
    assert "more than one way" in messages(solution, "ill-posed")[0]
    drawn = Section("arc", radius="R100", length="20", drawn=Drawn(Point(-25, 18), -0.05))
    solution = solved(P("20", "5"), drawn, P("36", "5"))
    assert solution.nominal.turns[2] == "cw"
    assert solution.issues == ()
