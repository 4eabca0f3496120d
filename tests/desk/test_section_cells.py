from __future__ import annotations

import pytest

from turnsketch.desk.section_cells import COLUMNS, cell_text, with_cell
from turnsketch.document.demo import demo_names, load_demo
from turnsketch.errors import InputError
from turnsketch.part.records import LengthDimension, PartRecord, Place, Section


def part(*sections: Section) -> PartRecord:
    return PartRecord("part", sections)


def typed(record: PartRecord, *cells: tuple[int, str, str]) -> PartRecord:
    for row, column, text in cells:
        record = with_cell(record, row, column, text, "mm")
    return record


@pytest.mark.parametrize("name", demo_names())
def test_what_a_cell_shows_can_be_typed_again(name: str) -> None:
    job = load_demo(name)
    for row in range(len(job.part.sections)):
        for column in COLUMNS:
            text = cell_text(job.part, row, column)
            assert with_cell(job.part, row, column, text, job.units) == job.part


def test_typing_below_the_last_row_makes_a_section() -> None:
    made = typed(part(), (0, "diameter", " 25  h6 "), (0, "length", "36"), (1, "length", "8"))
    assert made.sections == (
        Section("cylinder", diameter="25 h6", length="36"),
        Section("cylinder", length="8"),
    )


@pytest.mark.parametrize(
    ("column", "text", "expected"),
    [
        ("diameter", "20 / 26", Section("taper", front_diameter="20", back_diameter="26")),
        ("slope", "1:10", Section("taper", front_diameter="12", angle="1:10")),
        ("slope", "15° narrows", Section("taper", front_diameter="12", angle="15°", narrows=True)),
        ("slope", "R8", Section("arc", front_diameter="12", radius="R8")),
        (
            "slope",
            "R8 concave tangent back",
            Section("arc", front_diameter="12", radius="R8", sense="concave", tangent="back"),
        ),
        (
            "slope",
            "R15 convex long way centre 0",
            Section(
                "arc", front_diameter="12", radius="R15", sense="convex", long_way=True,
                centre_diameter="0",
            ),
        ),
        ("section", "t cone", Section("taper", name="cone", front_diameter="12")),
        ("section", "seat", Section("cylinder", name="seat", diameter="12")),
        ("section", "face", Section("face", back_diameter="12")),
        (
            "corner",
            "1x45°; R2",
            Section("cylinder", diameter="12", front_corner="1x45°", back_corner="R2"),
        ),
        ("corner", "; R2", Section("cylinder", diameter="12", back_corner="R2")),
        ("roughness", "1.6", Section("cylinder", diameter="12", roughness="Ra 1.6")),
    ],
)  # fmt: skip
def test_a_cell_makes_what_the_print_says(column: str, text: str, expected: Section) -> None:
    made = typed(part(Section("cylinder", diameter="12")), (0, column, text))
    assert made.sections == (expected,)


def test_an_emptied_slope_is_a_cylinder_again() -> None:
    made = typed(part(Section("cylinder", diameter="12")), (0, "slope", "1:10"), (0, "slope", ""))
    assert made.sections == (Section("cylinder", diameter="12"),)


def test_places_from_either_end_are_lengths_of_the_part() -> None:
    sections = [Section("cylinder", diameter=d) for d in ("10", "20", "30")]
    made = typed(part(*sections), (1, "length", "58 from front"), (2, "length", "8 from b"))
    assert made.lengths == (
        LengthDimension(Place(1, "front"), Place(2, "back"), "58"),
        LengthDimension(Place(3, "front"), Place(3, "back"), "8"),
    )
    assert [cell_text(made, r, "length") for r in range(3)] == ["", "58 from front", "8 from back"]
    plain = typed(made, (1, "length", "36"))
    assert (plain.sections[1].length, len(plain.lengths)) == ("36", 1)


def test_a_place_from_the_back_stays_one_when_sections_follow() -> None:
    made = typed(
        part(), (0, "diameter", "10"), (0, "length", "40 from front"), (1, "diameter", "20"),
        (1, "length", "44 from back"), (2, "diameter", "30"),
    )  # fmt: skip
    assert cell_text(made, 0, "length") == "40 from front"
    assert cell_text(made, 1, "length") == "44 from back"
    assert made.lengths[1].end == Place(3, "back")


def test_a_place_is_known_by_either_neighbour() -> None:
    sections = [Section("cylinder", diameter=d) for d in ("10", "20", "30")]
    lengths = (LengthDimension(Place(1, "front"), Place(3, "front"), "58"),)
    assert (
        cell_text(PartRecord("p", tuple(sections), lengths=lengths), 1, "length") == "58 from front"
    )


@pytest.mark.parametrize(
    ("column", "text", "said"),
    [
        ("diameter", "abc", "diameter"),
        ("length", "2x", "length"),
        ("length", "5 from side", "which end"),
        ("slope", "R8 centre", "centre 0"),
        ("slope", "1:10 concave", "not known"),
        ("corner", "3", "chamfer"),
        ("roughness", "rough", "surface texture"),
    ],
)
def test_what_does_not_read_is_refused(column: str, text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        typed(part(Section("cylinder", diameter="12")), (0, column, text))


def test_a_face_takes_neither_length_nor_slope() -> None:
    for column in ("length", "slope"):
        with pytest.raises(InputError, match="face"):
            typed(part(Section("face", back_diameter="12")), (0, column, "5"))
