"""Bores: the void solved as a body, its mouth and bottom, its numbers, and bad input."""

from __future__ import annotations

import math

import pytest
from shapely import Polygon

from turnsketch.errors import InputError
from turnsketch.geometry.elements import chain_chords
from turnsketch.part.bore_mouths import from_mouth
from turnsketch.part.outline_records import Outline, ResolvedBore, ResolvedPart
from turnsketch.part.records import Bore, LengthDimension, PartRecord, Place, Section, Tie
from turnsketch.part.resolve import resolve

OUTSIDE = (
    Section("cylinder", name="body", diameter="40", length="30"),
    Section("cylinder", name="flange", diameter="60", length="10"),
)


def cylinder(diameter: str, length: str | None = None, **more: str) -> Section:
    return Section("cylinder", diameter=diameter, length=length, **more)  # type: ignore[arg-type]


def part_with(bore: Bore | None = None, back: Bore | None = None, **more: object) -> ResolvedPart:
    record = PartRecord("bush", OUTSIDE, bore=bore, bore_back=back, **more)  # type: ignore[arg-type]
    return resolve(record, "mm")


def bore_of(*sections: Section, through: bool = False, bottom: str | None = None) -> ResolvedBore:
    bore = part_with(Bore(sections, through=through, bottom=bottom)).bore
    assert bore is not None
    return bore


def volume(outline: Outline) -> float:
    """Return the volume of a void after Pappus, from chords."""
    ring = Polygon([(p.z, p.r) for p in chain_chords([e.shape for e in outline.elements], 1e-5)])
    return float(2 * math.pi * ring.centroid.y * ring.area)


@pytest.mark.parametrize(
    ("text", "upper_um"),
    # ISO 286-2: 25 H7 seen in the worked fit 25 H7/g6 of the package pressfit, the others from
    # memory; the lower limit of H is 0 by definition.
    [("12 H7", 18), ("20 H7", 21), ("25 H7", 21), ("32 H7", 25), ("12 H11", 110)],
)
def test_limits_of_a_bore(text: str, upper_um: float) -> None:
    (section,) = bore_of(cylinder(text), through=True).sections
    size = section.diameter
    assert size is not None
    assert size.lower == pytest.approx(size.nominal, abs=1e-9)
    assert size.upper - size.nominal == pytest.approx(upper_um / 1000, abs=1e-9)
    assert size.aim == pytest.approx((size.lower + size.upper) / 2, abs=1e-9)


def test_sections_are_numbered_after_the_outside_and_run_inward() -> None:
    bore = bore_of(cylinder("24 H7", "12"), cylinder("16", "8"))
    assert [s.number for s in bore.sections] == [3, 4]
    assert [(round(s.front.z, 6), round(s.back.z, 6)) for s in bore.sections] == [
        (0, -12),
        (-12, -20),
    ]
    assert bore.depth == pytest.approx(20)
    assert [s.label for s in bore.sections] == ["bore Ø24 H7", "bore Ø16"]


def test_a_through_bore_is_as_long_as_the_part() -> None:
    bore = bore_of(cylinder("24", "12"), cylinder("16"), through=True)
    assert bore.through
    assert bore.depth == pytest.approx(40)
    assert volume(bore.aim) == pytest.approx(math.pi * (144 * 12 + 64 * 28), rel=1e-6)


@pytest.mark.parametrize("length", ["99.9999999", "100", "123.4567891", "1250"])
def test_a_through_bore_of_a_long_part(length: str) -> None:
    outside = (Section("cylinder", diameter="40", length=length),)
    made = resolve(PartRecord("tube", outside, bore=Bore((cylinder("20"),), through=True)), "mm")
    assert made.bore is not None
    assert made.bore.depth == pytest.approx(float(length), abs=1e-7)


def test_a_length_over_several_sections() -> None:
    sections = (cylinder("24"), cylinder("16", "8"))
    lengths = (LengthDimension(Place(3, "front"), Place(4, "back"), "25"),)
    bore = part_with(Bore(sections, lengths)).bore
    assert bore is not None
    assert bore.sections[0].back.z == pytest.approx(-17)


@pytest.mark.parametrize(
    ("corner", "more"),
    [
        # Computed: a frustum of 10 to 11 over 1 less the cylinder.
        ("1x45°", math.pi / 3 * (121 + 110 + 100) - math.pi * 100),
        # Computed: a square ring less a quarter of a disc turned about the axis (Pappus).
        ("R1", math.pi * 21 - 2 * math.pi * (math.pi / 4) * (11 - 4 / (3 * math.pi))),
    ],
)
def test_a_corner_at_the_mouth_widens_the_void(corner: str, more: float) -> None:
    plain = bore_of(cylinder("20", "15"))
    dressed = bore_of(cylinder("20", "15", front_corner=corner))
    assert volume(dressed.aim) - volume(plain.aim) == pytest.approx(more, rel=2e-4)
    assert volume(dressed.plain) == pytest.approx(volume(plain.aim), rel=1e-9)
    assert dressed.mouth is not None
    assert dressed.mouth.text == corner


def test_a_corner_at_the_far_mouth_of_a_through_bore_widens_it_too() -> None:
    plain = bore_of(cylinder("24", "12"), cylinder("16"), through=True)
    dressed = bore_of(
        cylinder("24", "12", front_corner="1x45°"), cylinder("16", back_corner="0.5x45°"),
        through=True,
    )  # fmt: skip
    # Computed: frustums of 12 to 13 over 1 and of 8 to 8.5 over 0.5, less their cylinders.
    near = math.pi / 3 * (169 + 156 + 144) - math.pi * 144
    far = math.pi / 3 * 0.5 * (72.25 + 68 + 64) - math.pi * 64 * 0.5
    assert volume(dressed.aim) - volume(plain.aim) == pytest.approx(near + far, rel=1e-6)
    assert volume(dressed.plain) == pytest.approx(volume(plain.aim), rel=1e-9)
    assert volume(from_mouth(dressed)) - volume(plain.aim) == pytest.approx(near, rel=1e-6)
    assert dressed.far_mouth is not None
    assert (dressed.far_mouth.text, dressed.far_mouth.section) == ("0.5x45°", 4)
    edges = {c.text: c for c in dressed.corners}
    assert edges["0.5x45°"].convex
    assert edges["0.5x45°"].at.z == pytest.approx(-40)


def test_both_mouths_are_measured() -> None:
    part = part_with(Bore((cylinder("20", front_corner="1x45°", back_corner="R1"),), through=True))
    rows = [row.what for row in part.inspection if row.what.startswith("bore")]
    assert rows == [
        "bore: section 1, diameter",
        "bore: section 1, chamfer at its front end",
        "bore: section 1, round at its back end",
    ]


def test_a_corner_at_the_bottom_of_a_blind_bore_stays_inside_it() -> None:
    blind = bore_of(cylinder("20", "15", back_corner="R2"))
    assert blind.far_mouth is None
    assert volume(blind.aim) < volume(bore_of(cylinder("20", "15")).aim)


def test_a_drills_point_at_the_bottom() -> None:
    bore = bore_of(cylinder("10", "15"), bottom="118°")
    # Computed: 5 / tan 59 degrees = 3.0043, as handbooks print it for 10 mm.
    assert bore.aim.elements[-1].shape.end.z == pytest.approx(-18.0043, abs=1e-4)


def test_a_taper_and_an_arc_inside() -> None:
    bore = bore_of(
        Section("taper", front_diameter="24", back_diameter="20", length="10"),
        Section("arc", front_diameter="20", back_diameter="16", length="6", radius="R20",
                sense="concave"),
    )  # fmt: skip
    assert [s.kind for s in bore.sections] == ["taper", "arc"]
    assert bore.sections[0].half_angle == pytest.approx(math.atan(0.2))
    assert bore.sections[1].back.r == pytest.approx(8)


def test_a_bore_in_the_back_end_has_its_own_front() -> None:
    part = part_with(Bore((cylinder("20"),), through=True), Bore((cylinder("28 H11", "4"),)))
    back = part.bore_back
    assert back is not None
    assert [s.number for s in back.sections] == [4]
    assert back.sections[0].front.z == pytest.approx(0)
    assert back.sections[0].back.z == pytest.approx(-4)


def test_every_size_has_its_row_for_the_inspection() -> None:
    bore = Bore((cylinder("24 H7", "12", name="seat", front_corner="1x45°"), cylinder("16")),
                through=True)  # fmt: skip
    rows = [r for r in part_with(bore).inspection if r.what.startswith("bore")]
    assert [(r.what, r.text, r.section) for r in rows] == [
        ("bore: section 1 (seat), diameter", "24 H7", 3),
        ("bore: section 1 (seat), length", "12", 3),
        ("bore: section 1 (seat), chamfer at its front end", "1x45°", 3),
        ("bore: section 2, diameter", "16", 4),
    ]


def test_a_tie_may_name_a_bore() -> None:
    ties = (Tie("coaxial", (1, 3), "0.02"),)
    bore = Bore((cylinder("20 H7", name="bearing"),), through=True)
    rows = [r for r in part_with(bore, ties=ties).inspection if r.what.startswith("coaxial")]
    assert [r.what for r in rows] == ["coaxial, body to bearing"]
    with pytest.raises(InputError, match="no section 4; the last is 3"):
        part_with(bore, ties=(Tie("coaxial", (1, 4), "0.02"),))


@pytest.mark.parametrize(
    ("bore", "what", "where"),
    [
        (Bore(()), "no sections", "part.bore.sections"),
        (Bore((cylinder("20", "50"),)), "50.00 mm deep, the part 40.00 mm long", "part.bore"),
        (Bore((cylinder("20", "40"),)), "mark it as a through bore", "part.bore"),
        (Bore((cylinder("41", "10"),)), "leaves no wall", "section 3"),
        (Bore((cylinder("20", "10"),), bottom="200°"), "118°", "part.bore.bottom"),
        (Bore((cylinder("20", "x"),)), "x", "part.bore.sections[0].length"),
        (
            Bore((cylinder("20", "2", front_corner="3x45°"),)),
            "longer than its cylinder", "part.bore.sections[0].front_corner",
        ),
        (
            Bore((cylinder("20", None), cylinder("18", "2", back_corner="3x45°")), through=True),
            "longer than its cylinder", "part.bore.sections[1].back_corner",
        ),
        (
            Bore((Section("taper", front_diameter="24", back_diameter="20", length="9",
                          front_corner="1x45°"),)),
            "needs a cylinder behind it", "part.bore",
        ),
    ],
)  # fmt: skip
def test_bad_input_is_told_with_its_place(bore: Bore, what: str, where: str) -> None:
    with pytest.raises(InputError, match=what) as caught:
        part_with(bore)
    assert caught.value.where.startswith(where)


def test_a_bores_taper_by_ratio_alone_narrows_inward() -> None:
    """A socket: nobody bores one that opens behind its mouth, unless both diameters say so."""
    taper = Section("taper", angle="1:10", front_diameter="25", length="25")
    socket = bore_of(taper).sections[0]
    assert 2 * socket.front.r == pytest.approx(25.0)
    assert 2 * socket.back.r == pytest.approx(22.5)
    opening = Section("taper", front_diameter="22.5", back_diameter="25", length="25")
    assert 2 * bore_of(opening).sections[0].back.r == pytest.approx(25.0)
    behind = Section("taper", angle="1:10", back_diameter="22.5", length="25")
    assert 2 * bore_of(behind).sections[0].front.r == pytest.approx(25.0)


WAISTED = (
    Section("cylinder", diameter="30", length="5"),
    Section(
        "arc",
        front_diameter="30",
        back_diameter="30",
        length="26",
        radius="R16",
        sense="concave",
    ),
    Section("cylinder", diameter="30", length="5"),
)


@pytest.mark.parametrize("back", [False, True])
@pytest.mark.parametrize(("diameter", "fits"), [("16", True), ("18", False)])
def test_a_bore_wider_than_a_waist_is_refused(diameter: str, fits: bool, back: bool) -> None:
    """The waist is Ø16.66: 15 - (16 - sqrt(16² - 13²)) = 8.33 from the axis."""
    bore = Bore((cylinder(diameter, "24"),))
    part = PartRecord("spool", WAISTED, **{"bore_back" if back else "bore": bore})  # type: ignore[arg-type]
    if fits:
        resolve(part, "mm")
        return
    with pytest.raises(InputError, match="breaks through the outside") as caught:
        resolve(part, "mm")
    assert caught.value.where == ("part.bore_back" if back else "part.bore")
