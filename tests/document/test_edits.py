"""Edits give new jobs: what is asked changes, all else stays, numbers follow their sections."""

from __future__ import annotations

import itertools

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.document.demo import demo_names, load_demo
from turnsketch.document.dimension_edit import number_text, with_size
from turnsketch.document.edits import (
    add_length_dimension,
    add_section,
    change_section,
    delete_sections,
    remove_length,
    set_corner,
    set_diameter,
    set_field,
    set_length,
    set_length_text,
    set_part,
    set_title,
)
from turnsketch.document.pencil import pencil_of
from turnsketch.document.vertices import bend, move_vertex, split_section, straighten
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Point
from turnsketch.job import Job, Operation
from turnsketch.part.records import (
    Bore,
    Groove,
    LengthDimension,
    PartRecord,
    Place,
    Section,
    Tie,
)
from turnsketch.part.resolve import resolve
from turnsketch.units import Units


def pin() -> Job:
    return load_demo("stepped_pin")


@pytest.mark.parametrize("name", demo_names())
def test_the_pencil_of_a_demo_part_agrees_with_the_solver(name: str) -> None:
    job = load_demo(name)
    drawn, solved = pencil_of(job.part, job.units), resolve(job.part, job.units)
    assert len(drawn.elements) == len(solved.nominal.elements)
    for ours, theirs in zip(drawn.elements, solved.nominal.elements, strict=True):
        assert ours.shape.start.distance(theirs.shape.start) < 1e-9
        assert ours.role == theirs.role
    assert drawn.fixed == {s.number for s in solved.sections if s.fixed}


def test_what_is_not_dimensioned_is_in_pencil() -> None:
    job = set_length(pin(), 2, None)
    assert pencil_of(job.part, job.units).fixed == {1}


def test_an_added_section_moves_the_numbers_behind_it() -> None:
    job = add_length_dimension(pin(), Place(1, "front"), Place(3, "back"), "66")
    rough = Operation("rough", sections=(2, 3))
    setup = msgspec.structs.replace(job.setups[0], operations=(rough,), sections=(3,))
    job = msgspec.structs.replace(job, setups=(setup,))
    longer = add_section(job, Section("cylinder", diameter="18", length="5"), 2)
    assert longer.part.lengths == (LengthDimension(Place(1, "front"), Place(4, "back"), "66"),)
    assert longer.setups[0].operations == (Operation("rough", sections=(3, 4)),)
    assert longer.setups[0].sections == (4,)
    assert delete_sections(longer, {2}) == job


def test_deleting_takes_the_lengths_that_hang_on_it() -> None:
    job = add_length_dimension(pin(), Place(1, "front"), Place(3, "back"), "66")
    assert delete_sections(job, {3}).part.lengths == ()
    assert len(delete_sections(job, {2}).part.lengths) == 1


def test_ties_and_grooves_go_along_with_their_sections() -> None:
    part = msgspec.structs.replace(
        pin().part,
        ties=(Tie("run-out", (1, 3), "0.02"), Tie("coaxial", (1, 2, 3), "0.05")),
        grooves=(Groove("plain", 1), Groove("ring", 3), Groove("plain", 4)),
        bore=Bore((Section("cylinder", diameter="6", length="10"),)),
    )
    own = (Operation("groove", grooves=(2,)), Operation("finish bore", sections=(4,)))
    setup = msgspec.structs.replace(pin().setups[0], operations=own)
    job = msgspec.structs.replace(pin(), part=part, setups=(setup,))
    more = add_section(job, Section("cylinder", diameter="10", length="5"), 2)
    assert [t.sections for t in more.part.ties] == [(1, 4), (1, 3, 4)]
    assert [g.section for g in more.part.grooves] == [1, 4, 5]
    assert more.setups[0].operations == (own[0], Operation("finish bore", sections=(5,)))
    less = delete_sections(job, {1})
    assert [t.sections for t in less.part.ties] == [(1, 2)]
    assert [(g.kind, g.section) for g in less.part.grooves] == [("ring", 2), ("plain", 3)]
    assert less.setups[0].operations == (
        Operation("groove", grooves=(1,)),
        Operation("finish bore", sections=(3,)),
    )


def test_a_section_that_is_not_there_is_refused() -> None:
    with pytest.raises(InputError):
        set_diameter(pin(), 4, "10")
    with pytest.raises(InputError):
        add_section(pin(), Section("cylinder"), 9)
    with pytest.raises(InputError):
        set_corner(pin(), 0, "front", "R1")
    with pytest.raises(InputError):
        change_section(pin(), 7, Section("cylinder"))


def test_empty_text_takes_a_dimension_away() -> None:
    job = set_corner(pin(), 1, "front", "  ")
    assert job.part.sections[0].front_corner is None
    assert set_corner(job, 1, "front", "1x45°") == pin()
    with pytest.raises(InputError):
        set_field(job, 1, "colour", "teal")


def test_a_length_between_the_ends_of_a_section_is_its_own() -> None:
    job = add_length_dimension(pin(), Place(2, "back"), Place(2, "front"), "40 ±0.1")
    assert job.part.sections[1].length == "40 ±0.1"
    assert job.part.lengths == ()


def test_the_ends_of_a_section_picked_at_its_neighbours_give_its_own_length() -> None:
    places = (Place(1, "back"), Place(2, "front")), (Place(3, "front"), Place(2, "back"))
    for start, end in itertools.product(*places):
        for pair in ((start, end), (end, start)):
            job = add_length_dimension(pin(), *pair, "40")
            assert job == set_length(pin(), 2, "40")


def test_the_same_length_picked_from_the_neighbours_replaces_it() -> None:
    job = add_length_dimension(pin(), Place(1, "front"), Place(2, "back"), "58")
    job = add_length_dimension(job, Place(3, "front"), Place(1, "front"), "59")
    assert [d.text for d in job.part.lengths] == ["59"]
    assert set_length_text(job, 0, "60").part.lengths[0].text == "60"
    assert set_length_text(job, 0, "").part.lengths == remove_length(job, 0).part.lengths == ()


def test_title_block_fields() -> None:
    job = set_title(set_part(pin(), material="brass", name="Pin"), " Spare ")
    assert (job.title, job.part.material, job.part.name) == ("Spare", "brass", "Pin")


# Vertices


def test_a_dragged_corner_moves_alone() -> None:
    job = pin()
    pencil = pencil_of(job.part, job.units)
    moved = move_vertex(job, pencil, 4, Point(-60.0, 13.0))
    after = pencil_of(moved.part, moved.units)
    assert [s.length for s in moved.part.sections] == ["22", "38", "6"]
    assert moved.part.sections[1].diameter == "26 h6"
    for vertex, (a, b) in enumerate(zip(pencil.vertices, after.vertices, strict=True)):
        if vertex not in pencil.level(4) | pencil.ring(4):
            assert a == b


def test_lengths_over_several_sections_follow_a_dragged_corner() -> None:
    job = add_length_dimension(pin(), Place(1, "front"), Place(2, "back"), "58 ±0.2")
    job = set_length(job, 2, None)
    pencil = pencil_of(job.part, job.units)
    moved = move_vertex(job, pencil, 4, Point(-60.0, 12.5))
    assert moved.part.lengths[0].text == "60 ±0.2"
    assert moved.part.sections[2].length == "6"


def test_a_corner_is_not_dragged_past_its_neighbours_nor_through_the_axis() -> None:
    job = pin()
    pencil = pencil_of(job.part, job.units)
    far = move_vertex(job, pencil, 2, Point(-500.0, -30.0))
    after = pencil_of(far.part, far.units).vertices
    assert after[2].z > after[4].z
    assert after[2].r > 0
    assert move_vertex(job, pencil, 0, Point(3.0, 9.0)) == job
    assert move_vertex(job, pencil, 1, Point(-3.0, 6.0)) == job


def test_an_undimensioned_corner_is_kept_as_drawn() -> None:
    job = set_diameter(set_length(pin(), 3, None), 3, None)
    pencil = pencil_of(job.part, job.units)
    moved = move_vertex(job, pencil, len(pencil.vertices) - 2, Point(-70.0, 18.0))
    drawn = moved.part.sections[2].drawn
    assert drawn is not None
    assert drawn.to == Point(-70.0, 18.0)
    assert moved.part.sections[2].diameter is None


def test_split_halves_make_the_same_outline() -> None:
    for name, number in (("stepped_pin", 2), ("shaft_end", 2)):
        job = load_demo(name)
        pencil = pencil_of(job.part, job.units)
        split = split_section(job, pencil, number, -40.0)
        after = pencil_of(split.part, split.units)
        assert len(split.part.sections) == len(job.part.sections) + 1
        assert [p for p in after.vertices if p.z != -40.0] == [
            pytest.approx(p) for p in pencil.vertices
        ]
    with pytest.raises(InputError):
        split_section(pin(), pencil_of(pin().part, "mm"), 2, -5.0)


def test_bent_and_straightened() -> None:
    job = pin()
    pencil = pencil_of(job.part, job.units)
    bent = bend(job, pencil, 2, -0.3)
    arc = bent.part.sections[1]
    assert (arc.kind, arc.sense, arc.front_diameter, arc.length) == (
        "arc",
        "concave",
        "25 h6",
        "36",
    )
    shapes = [e.shape for e in pencil_of(bent.part, bent.units).elements]
    assert any(isinstance(shape, Arc) and shape.turn == "cw" for shape in shapes)
    back = straighten(bent, 2).part.sections[1]
    assert (back.kind, back.diameter, back.length) == ("cylinder", "25 h6", "36")
    assert bend(bent, pencil, 2, 0.0) == straighten(bent, 2)


_STEPS = st.lists(st.tuples(st.integers(4, 40), st.integers(2, 60)), min_size=2, max_size=6).filter(
    lambda steps: all(a[0] != b[0] for a, b in itertools.pairwise(steps))
)


@given(_STEPS, st.data())
def test_any_dragged_corner_moves_alone_and_the_part_still_solves(
    steps: list[tuple[int, int]], data: st.DataObject
) -> None:
    sections = tuple(Section("cylinder", diameter=str(d), length=str(n)) for d, n in steps)
    job = set_part(pin(), name="Steps")
    job = msgspec.structs.replace(job, part=PartRecord("Steps", sections))
    pencil = pencil_of(job.part, "mm")
    vertex = data.draw(st.integers(1, len(pencil.vertices) - 2))
    to = Point(data.draw(st.floats(-300, 5)), data.draw(st.floats(-5, 60)))
    moved = move_vertex(job, pencil, vertex, to)
    after = pencil_of(moved.part, "mm")
    if len(after.vertices) == len(pencil.vertices):  # no shoulder vanished
        still = set(range(len(pencil.vertices))) - pencil.level(vertex) - pencil.ring(vertex)
        for other in still:
            assert after.vertices[other] == pytest.approx(pencil.vertices[other], abs=1e-9)
    resolve(moved.part, "mm")
    assert move_vertex(moved, after, 1, after.vertices[1]) == moved


# Text


@pytest.mark.parametrize(
    ("text", "size", "units", "wanted"),
    [
        ("25 h6", 26.0, "mm", "26 h6"),
        ("Ø25 ±0.1", 25.5, "mm", "Ø25.5 ±0.1"),
        ("(20)", 22.0, "mm", "(22)"),
        ("24.98/25.00", 26.0, "mm", "26"),
        ("1 3/8", 38.1, "inch", "1.5"),
        (".250", 12.7, "inch", "0.500"),
        (None, 12.25, "mm", "12.25"),
        ("no size", 12.0, "mm", "12"),
        ("25 h6", 25.0, "mm", "25 h6"),
    ],
)
def test_a_new_size_keeps_the_form_of_the_text(
    text: str | None, size: float, units: str, wanted: str
) -> None:
    unit: Units = "inch" if units == "inch" else "mm"
    assert with_size(text, size, unit, ("diameter",)) == wanted


def test_numbers_are_written_as_prints_write_them() -> None:
    assert number_text(12.0, "mm") == "12"
    assert number_text(12.346, "mm") == "12.35"
    assert number_text(-0.0001, "mm") == "0"
    assert number_text(6.35, "inch", 3) == "0.250"
