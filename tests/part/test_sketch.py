"""From record to sketch: where faces are understood, what is refused, and with which path."""

from __future__ import annotations

import pytest

from turnsketch.errors import InputError
from turnsketch.part.records import LengthDimension, PartRecord, Place, Section
from turnsketch.part.sketch import Sketch, SketchPlace, expand

CYLINDER = Section("cylinder", diameter="20", length="10")
LARGE = Section("cylinder", diameter="30", length="10")
ARC = Section("arc", radius="R10")


def sketch(*sections: Section, lengths: tuple[LengthDimension, ...] = ()) -> Sketch:
    return expand(PartRecord("part", sections, lengths=lengths), "mm")


def kinds(*sections: Section, lengths: tuple[LengthDimension, ...] = ()) -> list[str]:
    """Return the sections with understood faces in brackets."""
    return [
        f"({s.kind})" if s.number is None else s.kind
        for s in sketch(*sections, lengths=lengths).sections
    ]


def taper(**fields: str | bool) -> Section:
    return Section("taper", **fields)  # type: ignore[arg-type]


def refused(*sections: Section, lengths: tuple[LengthDimension, ...] = ()) -> InputError:
    with pytest.raises(InputError) as caught:
        sketch(*sections, lengths=lengths)
    return caught.value


# Understood faces


def test_front_shoulder_and_back_are_understood() -> None:
    assert kinds(CYLINDER, LARGE) == ["(face)", "cylinder", "(face)", "cylinder", "(face)"]


def test_two_cylinders_of_one_nominal_keep_a_shoulder_for_their_aims() -> None:
    fitted = Section("cylinder", diameter="20 h6", length="10")
    assert kinds(CYLINDER, fitted) == ["(face)", "cylinder", "(face)", "cylinder", "(face)"]
    assert kinds(CYLINDER, CYLINDER) == ["(face)", "cylinder", "cylinder", "(face)"]


@pytest.mark.parametrize(
    ("front", "faces"),
    [
        (None, ["(face)", "cylinder", "taper", "(face)"]),
        ("20", ["(face)", "cylinder", "taper", "(face)"]),
        ("(26)", ["(face)", "cylinder", "taper", "(face)"]),
        ("26", ["(face)", "cylinder", "(face)", "taper", "(face)"]),
    ],
)
def test_a_taper_behind_a_cylinder(front: str | None, faces: list[str]) -> None:
    section = Section("taper", front_diameter=front, angle="15°", length="5")
    assert kinds(CYLINDER, section) == faces


def test_a_cone_with_its_large_diameter_keeps_the_shoulder_to_a_thin_thread() -> None:
    cone = taper(angle="1:10", back_diameter="30", length="60")
    assert kinds(CYLINDER, cone, LARGE) == [
        "(face)",
        "cylinder",
        "(face)",
        "taper",
        "cylinder",
        "(face)",
    ]
    thread = Section("cylinder", diameter="24", length="10")
    assert kinds(thread, cone, LARGE) == ["(face)", "cylinder", "taper", "cylinder", "(face)"]


def test_the_length_of_such_a_cone_may_come_from_a_chain() -> None:
    cone = taper(angle="1:10", back_diameter="30")
    over = LengthDimension(Place(1, "front"), Place(2, "back"), "70")
    faces = ["(face)", "cylinder", "(face)", "taper", "(face)"]
    assert kinds(CYLINDER, cone, lengths=(over,)) == faces
    assert kinds(CYLINDER, cone) == ["(face)", "cylinder", "taper", "(face)"]


def test_a_rounded_end_of_a_cone_is_no_shoulder() -> None:
    cone = taper(angle="15°", back_diameter="30", length="10")
    thread = Section("cylinder", diameter="24.64", length="10")
    assert kinds(thread, cone) == ["(face)", "cylinder", "taper", "(face)"]


def test_a_taper_without_diameters_starts_at_the_section_in_front() -> None:
    cone = taper(angle="1:10", length="60")
    wide = Section("cylinder", diameter="40", length="10")
    assert kinds(CYLINDER, cone, wide) == [
        "(face)",
        "cylinder",
        "taper",
        "(face)",
        "cylinder",
        "(face)",
    ]
    fits = Section("cylinder", diameter="26", length="10")
    assert kinds(CYLINDER, cone, fits) == ["(face)", "cylinder", "taper", "cylinder", "(face)"]


def test_tangency_leaves_no_shoulder() -> None:
    arc = Section("arc", radius="R10", front_diameter="26", tangent="front")
    assert kinds(CYLINDER, arc) == ["(face)", "cylinder", "arc"]
    assert sketch(CYLINDER, arc).sections[1].tangent_back
    own = Section("arc", radius="R10", front_diameter="26", back_diameter="28")
    assert kinds(CYLINDER, own) == ["(face)", "cylinder", "(face)", "arc", "(face)"]


def test_where_a_part_begins() -> None:
    assert kinds(ARC, CYLINDER) == ["arc", "cylinder", "(face)"]
    tangent = Section("arc", radius="R10", tangent="front")
    assert kinds(tangent, CYLINDER) == ["(face)", "arc", "cylinder", "(face)"]
    cut = Section("arc", radius="R10", front_diameter="8")
    assert kinds(cut, CYLINDER) == ["(face)", "arc", "cylinder", "(face)"]
    assert kinds(taper(angle="30°"), CYLINDER) == ["(face)", "taper", "cylinder", "(face)"]
    point = taper(front_diameter="0", angle="30°")
    assert kinds(point, CYLINDER) == ["taper", "cylinder", "(face)"]
    face = Section("face", back_diameter="8")
    assert kinds(face, ARC, CYLINDER) == ["face", "arc", "cylinder", "(face)"]


def test_where_a_part_ends() -> None:
    assert kinds(CYLINDER, ARC) == ["(face)", "cylinder", "arc"]
    assert kinds(CYLINDER, taper(back_diameter="0", angle="30°")) == ["(face)", "cylinder", "taper"]
    assert kinds(CYLINDER, Section("face")) == ["(face)", "cylinder", "face"]


# Places and corners


def test_corners_lie_at_vertices() -> None:
    first = Section("cylinder", diameter="20", front_corner="1x45°", back_corner="R1")
    second = Section("cylinder", diameter="30", front_corner="R0.5")
    corners = sketch(first, second).corners
    assert [(c.index, c.vertex, c.section, c.end) for c in corners] == [
        (0, 1, 1, "front"),
        (1, 2, 1, "back"),
        (2, 3, 2, "front"),
    ]
    assert corners[0].path == "part.sections[0].front_corner"


def test_both_sides_may_not_give_one_corner() -> None:
    error = refused(
        Section("cylinder", diameter="20", back_corner="R1"),
        Section("taper", angle="15°", front_corner="R1"),
    )
    assert error.where == "part.sections[1].front_corner"
    assert "part.sections[0].back_corner" in error.what


def test_no_corner_on_the_axis() -> None:
    ball = Section("arc", radius="R10", front_corner="R1")
    assert refused(ball, CYLINDER).where == "part.sections[0].front_corner"


def test_lengths_go_from_front_to_back_whichever_way_they_are_written() -> None:
    lengths = (
        LengthDimension(Place(2, "back"), Place(1, "front"), "20"),
        LengthDimension(Place(1, "back"), Place(1, "front"), "(10)"),
    )
    own, own_too, whole, first = sketch(CYLINDER, LARGE, lengths=lengths).lengths
    assert (own.front, own.back) == (SketchPlace(1, None), SketchPlace(2, None))
    assert own_too.path == "part.sections[1].length"
    assert (whole.front, whole.back) == (SketchPlace(1, None), SketchPlace(4, None))
    assert whole.path == "part.lengths[0].text"
    assert first.dimension.reference


def test_centres_of_arcs_are_places() -> None:
    lengths = (LengthDimension(Place(2, "centre"), Place(1, "front"), "30"),)
    found = sketch(CYLINDER, ARC, LARGE, lengths=lengths).lengths[-1]
    assert (found.front, found.back) == (SketchPlace(1, None), SketchPlace(None, 2))


# Refusals


def test_bad_text_has_its_path() -> None:
    error = refused(CYLINDER, CYLINDER, Section("cylinder", diameter="2o"))
    assert error.where == "part.sections[2].diameter"


@pytest.mark.parametrize(
    ("section", "field"),
    [
        (Section("cylinder", radius="R3"), "radius"),
        (Section("face", length="5"), "length"),
        (Section("taper", sense="convex"), "sense"),
        (Section("arc", angle="15°"), "angle"),
        (Section("cylinder", long_way=True), "long_way"),
        (Section("arc", diameter="20"), "diameter"),
    ],
)
def test_fields_of_another_kind_are_refused(section: Section, field: str) -> None:
    error = refused(section, CYLINDER)
    assert error.where == f"part.sections[0].{field}"
    assert "takes no" in error.what


def test_a_size_of_zero_is_refused_where_it_means_nothing() -> None:
    assert refused(Section("cylinder", diameter="0")).where == "part.sections[0].diameter"
    assert refused(Section("arc", radius="R0")).where == "part.sections[0].radius"


def test_places_that_do_not_exist_are_refused() -> None:
    wrong = LengthDimension(Place(1, "front"), Place(7, "back"), "20")
    error = refused(CYLINDER, LARGE, lengths=(wrong,))
    assert error.where == "part.lengths[0].to.section"
    assert "sections go from 1 to 2" in error.what
    centre = LengthDimension(Place(1, "centre"), Place(2, "back"), "20")
    assert refused(CYLINDER, LARGE, lengths=(centre,)).where == "part.lengths[0].from.at"


def test_other_refusals() -> None:
    assert refused().where == "part.sections"
    assert "two faces" in refused(Section("face"), Section("face"), CYLINDER).what
    last = Section("face", back_diameter="10")
    assert refused(CYLINDER, last).where == "part.sections[1].back_diameter"
    straight = taper(angle="15°", tangent="front")
    assert refused(CYLINDER, straight).where == "part.sections[1].tangent"
    pole = Section("arc", radius="R10", front_diameter="0", tangent="front")
    assert "on the axis" in refused(pole, CYLINDER).what
