"""A part turned around: the same metal, seen from its other end."""

from __future__ import annotations

import dataclasses

import pytest
import shapely
from hypothesis import given, settings

from tests.strategies import part_records
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.part.resolve import resolve
from turnsketch.part.turned import turned_part, turned_point, turned_section
from turnsketch.planning.part_solid import part_region

BUSH = PartRecord(
    "bush",
    (
        Section("cylinder", name="body", diameter="32", length="32", front_corner="1x45°"),
        Section("cylinder", name="flange", diameter="48", length="8", back_corner="R1"),
    ),
    bore=Bore((Section("cylinder", diameter="20 H7"),), through=True),
    bore_back=Bore((Section("cylinder", diameter="28", length="4"),)),
)


def same_metal(part: ResolvedPart, turned: ResolvedPart) -> None:
    length = part.total_length
    here = part_region(part, 1e-4)
    there = shapely.transform(
        part_region(turned, 1e-4), lambda zr: zr * (-1.0, 1.0) + (-length, 0.0)
    )
    assert here.symmetric_difference(there).area < 1e-3


def test_metal_and_bores_are_the_same_from_behind() -> None:
    part = resolve(BUSH, "mm")
    turned = turned_part(part)
    same_metal(part, turned)
    assert (turned.bore, turned.bore_back) == (part.bore_back, part.bore)


def test_a_through_bore_is_told_from_its_other_mouth() -> None:
    sections = (
        Section("cylinder", diameter="28", length="4", front_corner="R1"),
        Section("cylinder", diameter="20 H7", back_corner="1x45°"),
    )
    through = PartRecord("bush", BUSH.sections, bore=Bore(sections, through=True))
    part = resolve(through, "mm")
    turned = turned_part(part)
    same_metal(part, turned)
    assert turned.bore is not None
    assert turned.bore_back is None
    assert turned.bore.mouth is not None
    assert turned.bore.far_mouth is not None
    assert (turned.bore.mouth.text, turned.bore.far_mouth.text) == ("1x45°", "R1")
    assert [s.number for s in turned.bore.sections] == [4, 3]
    assert turned.bore.sections[0].front.z == pytest.approx(0.0)
    again = turned_part(turned)
    assert again.bore is not None
    same_metal(part, turned_part(again))
    assert [s.number for s in again.bore.sections] == [3, 4]


def test_sections_keep_their_numbers_and_swap_their_ends() -> None:
    part = resolve(BUSH, "mm")
    turned = {s.number: s for s in turned_part(part).sections}
    assert turned[2].front.z == pytest.approx(0.0)
    assert turned[2].back.z == pytest.approx(-8.0)
    assert turned[1].front.z == pytest.approx(-8.0)
    assert turned_section(part.sections[0], 40.0) == turned[1]


def test_corners_keep_their_text() -> None:
    part = resolve(BUSH, "mm")
    places = {c.text: c.at for c in turned_part(part).corners}
    assert places["R1"].z == pytest.approx(0.0)
    assert places["1x45°"].z == pytest.approx(-40.0)


def test_a_point_of_the_front_comes_to_the_back() -> None:
    assert turned_point(Point(0.0, 5.0), 40.0) == Point(-40.0, 5.0)
    assert turned_point(Point(-40.0, 5.0), 40.0) == Point(0.0, 5.0)


@given(record=part_records())
@settings(deadline=None, max_examples=max(1, settings().max_examples // 3))
def test_turned_twice_it_is_the_same(record: PartRecord) -> None:
    try:
        part = resolve(record, "mm")
    except InputError:
        return  # a print that makes no outline is none to be turned
    turned = turned_part(part)
    same_metal(part, turned)
    again = turned_part(turned)
    for before, after in zip(part.aim.elements, again.aim.elements, strict=True):
        assert before.shape.start.distance(after.shape.start) < 1e-9
        assert dataclasses.replace(after, shape=before.shape) == before
