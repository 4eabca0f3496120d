"""From part record to resolved part: outlines, sections, inspection rows, issues and refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import HealthCheck, given, settings

from tests.strategies import prints
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Point
from turnsketch.geometry.intersect import turn_between
from turnsketch.part.measures import volume
from turnsketch.part.outline import outline_without
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.records import Drawn, LengthDimension, PartRecord, Place, Section
from turnsketch.part.resolve import length_limits, resolve
from turnsketch.units import Units

PIN = PartRecord(
    name="rudder pin",
    sections=(
        Section(
            "cylinder",
            name="nose",
            diameter="20",
            length="30",
            front_corner="2x45°",
            back_corner="R3",
            roughness="Ra 1.6",
        ),
        Section("cylinder", name="seat", diameter="⌀ 30 h6", length="30"),
        Section("taper", front_diameter="32", angle="15°", length="(20)"),
        Section("cylinder", diameter="45", length="10 aim 10.1"),
    ),
    lengths=(
        LengthDimension(Place(1, "front"), Place(3, "front"), "(60)"),
        LengthDimension(Place(4, "back"), Place(1, "front"), "90 ±0.1"),
    ),
    inside_corners="R0.8",
    roughness="Ra 3.2",
)


def cylinder(
    diameter: str, length: str, *, front_corner: str | None = None, back_corner: str | None = None
) -> Section:
    return Section(
        "cylinder",
        diameter=diameter,
        length=length,
        front_corner=front_corner,
        back_corner=back_corner,
    )


def part(*sections: Section, lengths: tuple[LengthDimension, ...] = ()) -> PartRecord:
    return PartRecord("part", sections, lengths=lengths)


def roles(resolved: ResolvedPart) -> list[tuple[str, int | None]]:
    return [(e.role, e.section) for e in resolved.aim.elements]


@pytest.fixture(scope="module")
def pin() -> ResolvedPart:
    return resolve(PIN, "mm")


def test_outline_has_sections_shoulders_and_corners(pin: ResolvedPart) -> None:
    assert roles(pin) == [
        ("face", None),
        ("chamfer", 1),
        ("cylinder", 1),
        ("round", 1),
        ("face", None),
        ("cylinder", 2),
        ("face", None),
        ("taper", 3),
        ("face", None),
        ("cylinder", 4),
        ("face", None),
    ]
    assert pin.aim.joins[2:4] == ("smooth", "smooth")
    assert pin.issues == ()
    assert [(c.kind, c.size, c.text, c.between) for c in pin.corners] == [
        ("chamfer", 2.0, "2x45°", (None, 1)),
        ("round", 3.0, "R3", (1, None)),
    ]
    assert pin.corners[0].angle == pytest.approx(math.pi / 4)


def test_aim_is_the_middle_of_the_limits_and_nominal_the_print(pin: ResolvedPart) -> None:
    assert pin.aim.elements[5].shape.start.r == pytest.approx((29.987 + 30.0) / 4, abs=1e-12)
    assert pin.nominal.elements[5].shape.start.r == 15.0
    last = pin.aim.elements[9].shape
    assert last.start.z - last.end.z == pytest.approx(10.1, abs=1e-12)
    assert pin.total_length == pytest.approx(90.0, abs=1e-12)
    assert pin.greatest_diameter == 45.0
    assert pin.inside_corner_mm == 0.8


def test_corner_is_cut_to_its_aim() -> None:
    record = part(cylinder("20", "30", front_corner="R2 +0.4/0", back_corner="R3 aim 3.1"))
    resolved = resolve(record, "mm")
    assert [corner.size for corner in resolved.corners] == pytest.approx([2.2, 3.1])
    rounds = [e.shape for e in resolved.nominal.elements if isinstance(e.shape, Arc)]
    assert [shape.radius for shape in rounds] == pytest.approx([2.0, 3.0])


def test_sections_for_people_and_planner(pin: ResolvedPart) -> None:
    assert [s.label for s in pin.sections] == ["nose Ø20", "seat Ø30 h6", "taper 15°", "Ø45"]
    seat, taper = pin.sections[1], pin.sections[2]
    assert seat.diameter is not None
    assert (seat.diameter.lower, seat.diameter.upper) == (29.987, 30.0)
    assert seat.diameter.source == "h6 (ISO 286-2)"
    assert taper.half_angle == pytest.approx(math.radians(15), abs=1e-9)
    assert taper.front_diameter is not None
    assert (taper.back_diameter, taper.radius, taper.centre) == (None, None, None)
    assert [s.roughness_um for s in pin.sections] == [1.6, 3.2, 3.2, 3.2]
    assert all(s.fixed for s in pin.sections)
    assert seat.front == Point(-30.0, seat.back.r)


def test_inspection_rows_stand_in_the_order_of_the_print(pin: ResolvedPart) -> None:
    assert [(row.what, row.text, row.quantity) for row in pin.inspection] == [
        ("section 1 (nose), diameter", "20", "diameter"),
        ("section 1 (nose), length", "30", "length"),
        ("section 1 (nose), chamfer at its front end", "2x45°", "chamfer"),
        ("section 1 (nose), round at its back end", "R3", "radius"),
        ("section 2 (seat), diameter", "⌀ 30 h6", "diameter"),
        ("section 2 (seat), length", "30", "length"),
        ("section 3, front diameter", "32", "diameter"),
        ("section 3, length", "(20)", "length"),
        ("section 3, angle", "15°", "angle"),
        ("section 4, diameter", "45", "diameter"),
        ("section 4, length", "10", "length"),
        ("length, front of nose to front of section 3", "(60)", "length"),
        ("overall length", "90 ±0.1", "length"),
    ]
    assert [row.text for row in pin.inspection if row.reference] == ["(20)", "(60)"]
    overall = pin.inspection[-1].size
    assert (overall.lower, overall.upper) == pytest.approx((89.9, 90.1))
    assert pin.inspection[10].size.aim == pytest.approx(10.1)
    assert [row.section for row in pin.inspection][-3:] == [4, None, None]


def test_angle_tolerance_goes_by_the_length_of_the_taper(pin: ResolvedPart) -> None:
    angle = next(row.size for row in pin.inspection if row.quantity == "angle")
    # ISO 2768-1, table 3: 30' for a shorter side over 10 and up to 50 mm.
    assert angle.upper - angle.nominal == pytest.approx(math.radians(0.5))


def test_part_without_some_corners_can_be_had(pin: ResolvedPart) -> None:
    assert pin.sharp is not None
    assert outline_without(pin, {0, 1}) == pin.sharp
    assert outline_without(pin, ()) == pin.aim
    only_fillet = outline_without(pin, {0})
    assert volume(only_fillet) > volume(pin.aim)
    assert [e.corner for e in only_fillet.elements if e.role == "round"] == [1]


def test_ball_runs_smoothly_into_its_own_cylinder() -> None:
    ball = Section("arc", name="ball", radius="R15", sense="convex", centre_diameter="0",
                   tangent="back")  # fmt: skip
    resolved = resolve(part(ball, cylinder("30", "20")), "mm")
    assert resolved.aim.joins == ("smooth", "convex")
    info = resolved.sections[0]
    assert info.label == "ball R15"
    assert info.centre == Point(-15.0, 0.0)
    assert info.radius is not None
    assert info.radius.nominal == 15.0
    assert resolved.total_length == pytest.approx(35.0, abs=1e-9)
    # The centre's "0" is no size to measure.
    assert [row.text for row in resolved.inspection] == ["R15", "30", "20"]


def test_inch_job_with_concave_waist() -> None:
    waist = Section("arc", name="waist", radius="R1.000", sense="concave", length="1.500",
                    front_diameter="1.500", back_diameter="1.500")  # fmt: skip
    record = PartRecord(
        "rope roller",
        (cylinder("1.750", ".500"), waist, cylinder("1.750", ".500")),
        general_tolerance="decimals",
        inside_corners="R.030",
    )
    resolved = resolve(record, "inch")
    assert resolved.issues == ()
    assert resolved.total_length == pytest.approx(2.5 * 25.4, abs=1e-9)
    arc = resolved.aim.elements[3].shape
    assert isinstance(arc, Arc)
    assert arc.radius == pytest.approx(25.4, abs=1e-9)
    assert resolved.inside_corner_mm == pytest.approx(0.762)
    assert [s.label for s in resolved.sections] == ["Ø1.750", "waist R1.000", "Ø1.750"]


def test_one_nominal_with_two_fits_has_its_shoulder_in_the_aim_alone() -> None:
    resolved = resolve(part(cylinder("25 k6", "20"), cylinder("25 h6", "20")), "mm")
    assert len(resolved.aim.elements) == 5
    assert [e.role for e in resolved.nominal.elements] == ["face", "cylinder", "cylinder", "face"]
    assert resolved.nominal.joins == ("convex", "smooth", "convex")


def test_diameter_that_only_follows_has_its_worst_case() -> None:
    taper = Section("taper", front_diameter="20 ±0.1", angle="1:10", length="30")
    follower = Section("cylinder", length="10")
    info = resolve(part(taper, follower), "mm").sections[1]
    assert info.fixed
    assert info.diameter is not None
    assert info.diameter.nominal == pytest.approx(23.0, abs=1e-9)
    assert info.diameter.lower < 22.9
    assert info.diameter.upper > 23.1


def test_open_print_stands_in_pencil_with_its_issue() -> None:
    loose = Section("cylinder", diameter="30", drawn=Drawn(Point(-50.0, 15.0)))
    resolved = resolve(part(cylinder("25", "20"), loose), "mm")
    assert [s.fixed for s in resolved.sections] == [True, False]
    assert [(i.kind, i.section) for i in resolved.issues] == [("open", 2)]
    assert roles(resolved)[3] == ("cylinder", 2)


def test_where_the_pencil_makes_no_outline_the_open_dimension_is_named() -> None:
    loose = Section("cylinder", diameter="30", front_corner="R2.5",
                    drawn=Drawn(Point(-20.5, 15.0)))  # fmt: skip
    with pytest.raises(InputError, match="section 2 is free in length") as caught:
        resolve(part(cylinder("25", "20"), loose), "mm")
    assert caught.value.where == "section 2"


def test_contradiction_is_passed_on_with_its_gap() -> None:
    overall = LengthDimension(Place(1, "front"), Place(2, "back"), "41")
    resolved = resolve(part(cylinder("25", "20"), cylinder("30", "20"), lengths=(overall,)), "mm")
    assert [issue.kind for issue in resolved.issues] == ["contradiction"]
    assert "1.00 mm" in resolved.issues[0].message


@pytest.mark.parametrize(
    ("record", "message"),
    [
        (
            part(cylinder("20", "30", back_corner="R5"), cylinder("28", "30")),
            "section 1, back corner: R5 is too large for the 4.00 mm shoulder: at most R4.00",
        ),
        (
            part(cylinder("20", "30", front_corner="11x45°")),
            "section 1, front corner: 11x45° is too large for the 10.00 mm front face: "
            "at most 10.00x45°",
        ),
        (
            part(
                cylinder("20", "30"),
                lengths=(LengthDimension(Place(1, "front"), Place(3, "back"), "41"),),
            ),
            "part.lengths[0].to.section: the part has no section 3",
        ),
        (part(), "part.sections: the part has no sections"),
        (part(cylinder("20 aim 25", "30")), "part.sections[0].diameter: the aim"),
        (part(cylinder("20", "30", back_corner="R5 aim 9")), "part.sections[0].back_corner: the"),
    ],
)
def test_refusals_name_their_place(record: PartRecord, message: str) -> None:
    with pytest.raises(InputError) as caught:
        resolve(record, "mm")
    assert str(caught.value).startswith(message)


def test_section_that_runs_backwards_is_refused() -> None:
    overall = LengthDimension(Place(1, "front"), Place(2, "back"), "20")
    record = part(cylinder("20", "30"), Section("cylinder", diameter="28"), lengths=(overall,))
    with pytest.raises(InputError, match="section 2 runs backwards"):
        resolve(record, "mm")


def test_what_can_this_length_come_out_as() -> None:
    size = length_limits(PIN, "mm", Place(2, "back"), Place(4, "front"))
    # 90 ±0.1 less 30 ±0.2, 30 ±0.2 and 10 ±0.2 (ISO 2768-m).
    assert size.nominal == pytest.approx(20.0, abs=1e-12)
    assert (size.lower, size.upper) == pytest.approx((19.3, 20.7), abs=1e-9)
    assert size.aim == pytest.approx(19.9, abs=1e-12)
    with pytest.raises(InputError, match="no section 9"):
        length_limits(PIN, "mm", Place(1, "front"), Place(9, "back"))


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(prints())
def test_any_dimensioned_print_resolves_in_ink(drawn: tuple[PartRecord, Units]) -> None:
    record, units = drawn
    resolved = resolve(record, units)
    assert resolved.issues == ()
    assert all(section.fixed for section in resolved.sections)
    assert all(row.size.lower <= row.size.aim <= row.size.upper for row in resolved.inspection)
    for outline in (resolved.aim, resolved.nominal):
        for before, after, join in zip(
            outline.elements, outline.elements[1:], outline.joins, strict=False
        ):
            assert before.shape.end.distance(after.shape.start) <= 1e-9
            kink = turn_between(before.shape.end_direction, after.shape.start_direction)
            if join == "smooth":
                assert abs(kink) < 1e-9
    for info in resolved.sections:
        if info.diameter is not None:
            assert 2 * info.front.r == pytest.approx(info.diameter.aim, abs=1e-9)
        if info.radius is not None and info.centre is not None:
            assert info.front.distance(info.centre) == pytest.approx(info.radius.aim, abs=1e-9)
