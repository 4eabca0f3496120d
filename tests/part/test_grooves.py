"""Grooves: their exact shapes, what the standards add, where they stand, and bad input."""

from __future__ import annotations

import dataclasses
import math
from itertools import pairwise
from typing import Any

import msgspec
import pytest
from shapely import Polygon

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Element, Line, chain_chords, flipped_in_r
from turnsketch.part.groove_walls import groove_walls
from turnsketch.part.grooved_outline import grooved, left_for_grooves
from turnsketch.part.outline_records import Outline, ResolvedGroove, ResolvedPart
from turnsketch.part.records import Bore, Groove, PartRecord, Section
from turnsketch.part.resolve import resolve
from turnsketch.planning.inside import inside_outline
from turnsketch.planning.inside_out import AXIS_R

SECTIONS = (
    Section("cylinder", name="end", diameter="12", length="22"),
    Section("cylinder", name="seat", diameter="25", length="36"),
    Section("cylinder", name="head", diameter="32", length="10"),
)


def part_with(*grooves: Groove, sections: tuple[Section, ...] = SECTIONS) -> ResolvedPart:
    return resolve(PartRecord("pin", sections, grooves=grooves), "mm")


def only(*grooves: Groove, sections: tuple[Section, ...] = SECTIONS) -> ResolvedGroove:
    (found,) = part_with(*grooves, sections=sections).grooves
    return found


def corners(groove: ResolvedGroove) -> list[tuple[float, float]]:
    ends = [groove.elements[0].start, *(e.end for e in groove.elements)]
    return [(round(p.z, 9), round(p.r, 9)) for p in ends]


def area(outline: Outline) -> float:
    return float(Polygon(chain_chords([e.shape for e in outline.elements], 1e-5)).area)


def tangent(before: Element, after: Element) -> bool:
    a, b = before.end_direction, after.start_direction
    return abs(a.z * b.r - a.r * b.z) < 1e-9 and a.z * b.z + a.r * b.r > 0


PLAIN = Groove("plain", 2, from_front="5", width="4", diameter="20")


def test_a_plain_groove_is_wall_bottom_wall() -> None:
    groove = only(PLAIN)
    assert corners(groove) == [(-27, 12.5), (-27, 10), (-31, 10), (-31, 12.5)]
    assert groove.label == "groove 4 wide Ø20"
    assert groove.width is not None
    assert groove.width.source == "ISO 2768-m"
    assert (groove.diameter.lower, groove.diameter.upper) == (19.8, 20.2)


def test_its_place_from_the_back_and_from_both_ends() -> None:
    back = only(msgspec.structs.replace(PLAIN, from_front=None, from_back="5"))
    assert corners(back)[0] == (-49, 12.5)
    assert corners(back)[-1] == (-53, 12.5)
    both = only(msgspec.structs.replace(PLAIN, width=None, from_back="20"))
    assert both.width is not None
    assert both.width.aim == pytest.approx(11)
    # 5 +/-0.1 and 20 +/-0.2 leave the width to come out so much wider or narrower
    assert both.width.upper - both.width.lower == pytest.approx(0.6)


def test_corner_rounds_are_tangent_and_keep_the_bottom() -> None:
    groove = only(msgspec.structs.replace(PLAIN, corner="R0.5", angle="10°"))
    wall, first, bottom, second, other = groove.elements
    for before, after in pairwise((wall, first, bottom, second, other)):
        assert tangent(before, after)
    assert isinstance(first, Arc)
    assert first.radius == pytest.approx(0.5)
    assert isinstance(bottom, Line)
    assert bottom.start.r == pytest.approx(10)
    # the walls lean by 10 degrees from square and stand 4 apart at the surface
    way = wall.start_direction
    assert math.degrees(math.atan2(abs(way.z), abs(way.r))) == pytest.approx(10)
    assert (wall.start.z, other.end.z) == pytest.approx((-27, -31))


def test_a_round_bottom_is_half_a_circle_under_walls_or_less_of_one() -> None:
    deep = only(Groove("round", 2, from_front="5", width="3", diameter="20"))
    arcs = [e for e in deep.elements if isinstance(e, Arc)]
    assert {round(a.radius, 9) for a in arcs} == {1.5}
    assert deep.elements[0].end.r == pytest.approx(11.5)
    shallow = only(Groove("round", 2, from_front="5", width="8", diameter="23"))
    # sagitta 1 over a chord of 8: R = (16 + 1) / 2
    assert {round(a.radius, 9) for a in shallow.elements if isinstance(a, Arc)} == {8.5}
    assert min(a.end.r for a in shallow.elements) == pytest.approx(11.5)


def test_a_vee_by_its_angle_and_bottom_or_width() -> None:
    sharp = only(Groove("vee", 2, from_front="5", angle="60°", diameter="21"))
    assert sharp.width is not None
    assert sharp.width.aim == pytest.approx(2 * 2 * math.tan(math.radians(30)))
    blunt = only(Groove("vee", 2, from_front="5", angle="90° incl", width="4", corner="R0.5"))
    # the sharp vee of 90 degrees is 2 deep; the round stands R (1 / sin 45 - 1) higher
    assert blunt.diameter.aim / 2 == pytest.approx(12.5 - 2 + 0.5 * (math.sqrt(2) - 1))
    lowest = min(p.r for p in chain_chords(blunt.elements, 1e-6))
    assert lowest == pytest.approx(blunt.diameter.aim / 2, abs=1e-6)


def test_a_ring_groove_takes_its_sizes_from_din_471() -> None:
    # DIN 471, shaft 25: ring 1.2 thick, groove 1.3 H13 wide, bottom 23.9 h12 (table and memory)
    groove = only(Groove("ring", 2, from_front="3"))
    assert groove.label == "ring groove 1.3 wide Ø23.9"
    assert (groove.diameter.lower, groove.diameter.upper) == pytest.approx((23.69, 23.9))
    assert groove.width is not None
    assert groove.width.aim == groove.width.lower == pytest.approx(1.3)
    assert corners(groove)[0] == (-25, 12.5)
    named = only(Groove("ring", 2, from_front="3", size="25x1.2"))
    assert named.elements == groove.elements


@pytest.mark.parametrize("form", ["E", "F"])
def test_an_undercut_goes_in_front_of_its_shoulder(form: str) -> None:
    # DIN 509 - 0.6 x 0.3 for Ø18 to 80 (1998 extract): r 0.6, t1 0.3 +0.1, f 2.5, t2 0.2
    groove = only(Groove("undercut E" if form == "E" else "undercut F", 2))
    assert groove.source == f"DIN 509 - {form} 0.6 x 0.3"
    start, end = groove.elements[0].start, groove.elements[-1].end
    assert (start.z, start.r) == pytest.approx((-58 + 2.5, 12.5))
    assert end.z == pytest.approx(-58)
    arc = next(e for e in groove.elements if isinstance(e, Arc))
    assert arc.radius == pytest.approx(0.6)
    lowest = min(p.r for e in groove.elements for p in (e.start, e.end))
    assert lowest == pytest.approx(12.5 - 0.35), "t1 is aimed at the middle of its tolerance"
    deepest = min(p.z for p in chain_chords(groove.elements, 1e-6))
    assert deepest == pytest.approx(-58 if form == "E" else -58.2, abs=1e-5)


def test_an_undercut_turns_to_a_shoulder_in_front() -> None:
    sections = (
        Section("cylinder", diameter="32", length="10"),
        Section("cylinder", diameter="25", length="30"),
    )
    groove = only(Groove("undercut F", 2), sections=sections)
    assert groove.elements[0].start.z == pytest.approx(-10)
    assert groove.elements[-1].end.z == pytest.approx(-12.5)
    assert max(p.z for p in chain_chords(groove.elements, 1e-6)) == pytest.approx(-9.8, abs=1e-5)


def test_a_thread_relief_has_its_floor_and_length_from_din_76() -> None:
    # DIN 76-1 form A, P 1.75 (from memory): dg = d - 2.6, g1 3.9, g2 6.1, r 1
    groove = only(Groove("thread relief", 1, size="1.75"))
    assert groove.diameter.nominal == pytest.approx(9.4)
    start, end = groove.elements[0].start, groove.elements[-1].end
    assert (start.z, end.z) == pytest.approx((-22 + 6.1, -22))
    first, foot, floor, corner, _ = groove.elements
    assert isinstance(first, Line)
    assert isinstance(floor, Line)
    assert all(isinstance(e, Arc) and math.isclose(e.radius, 1) for e in (foot, corner))
    # the slope is 30 degrees; produced to the floor's aim it ends 3.9 from the shoulder, rounded
    way = first.start_direction
    assert math.atan2(-way.r, -way.z) == pytest.approx(math.radians(30))
    share = (first.start.r - floor.start.r) / (first.start.r - first.end.r)
    foot_z = first.start.z + share * (first.end.z - first.start.z)
    assert -22 + 3.9 - 0.2 <= foot_z <= -22 + 3.9


@pytest.mark.parametrize("size", [None, "1.75"])
def test_a_relief_counts_from_the_thread_and_not_from_its_blank(size: str | None) -> None:
    # DIN 76-1 (from memory): dg = d - 2.6 for P 1.75, whatever the blank is turned to
    sections = (
        Section("cylinder", thread="M12x1.75-6g", length="22"),
        Section("cylinder", diameter="25", length="30"),
    )
    groove = only(Groove("thread relief", 1, size=size), sections=sections)
    assert groove.diameter.nominal == pytest.approx(9.4)


def test_a_groove_takes_its_place_in_the_outline() -> None:
    part = part_with(PLAIN, Groove("vee", 3, from_front="3", angle="90°", diameter="30"))
    made = grooved(part.aim, part.grooves)
    for before, after in pairwise(made.elements):
        assert before.shape.end.distance(after.shape.start) < 1e-9
    # 4 wide and 2.5 deep; a triangle 1 deep and 2 wide
    assert area(part.aim) - area(made) == pytest.approx(4 * 2.5 + 1.0)
    seat = [e for e in made.elements if e.section == 2]
    assert len(seat) == 2
    joins = dict(
        zip(((e.role, a.role) for e, a in pairwise(made.elements)), made.joins, strict=True)
    )
    assert joins["cylinder", "groove"] == "convex"
    assert joins["groove", "groove"] == "reflex"


def test_turning_leaves_the_fillet_that_a_large_undercut_wants() -> None:
    small = part_with(Groove("undercut F", 2))
    assert left_for_grooves(small.aim, small.grooves) == small.aim
    sections = (
        Section("cylinder", diameter="130", length="60"),
        Section("cylinder", diameter="150", length="20"),
    )
    large = part_with(Groove("undercut F", 1, size="4x0.5"), sections=sections)
    left = left_for_grooves(large.aim, large.grooves)
    (fillet,) = [e.shape for e in left.elements if e.role == "round"]
    assert isinstance(fillet, Arc)
    assert fillet.radius == pytest.approx(4)
    assert fillet.start.r == pytest.approx(65)
    assert fillet.end.z == pytest.approx(-60)
    assert area(left) > area(large.aim)
    # with its undercut the part stands nowhere beyond what turning leaves
    whole = Polygon(chain_chords([e.shape for e in left.elements], 1e-5))
    cut = grooved(large.aim, large.grooves)
    inner = Polygon(chain_chords([e.shape for e in cut.elements], 1e-5))
    assert inner.difference(whole).area < 1e-3


def test_a_ring_groove_in_a_bore_goes_outward() -> None:
    bore = Bore((Section("cylinder", diameter="20 H7", length="30"),))
    record = PartRecord(
        "bush",
        (Section("cylinder", diameter="40", length="45"),),
        bore=bore,
        grooves=(Groove("ring", 2, from_front="4"),),
    )
    (groove,) = resolve(record, "mm").grooves
    # DIN 472, bore 20: groove 21 (from memory), 1.1 wide
    assert groove.inside
    assert groove.diameter.nominal == pytest.approx(21)
    assert groove.elements[0].start.z == pytest.approx(-4)
    assert groove.elements[1].start.r == pytest.approx(groove.diameter.aim / 2)


def test_grooves_alike_have_labels_of_their_own() -> None:
    part = part_with(
        Groove("ring", 2, from_front="3"),
        Groove("ring", 2, from_back="5"),
        Groove("ring", 2, from_front="15"),
    )
    assert [g.label.rpartition("Ø")[2] for g in part.grooves] == ["23.9", "23.9 (2)", "23.9 (3)"]


def test_the_inspection_names_place_width_and_bottom() -> None:
    part = part_with(PLAIN, Groove("undercut E", 2))
    rows = [r for r in part.inspection if "groove" in r.what or "undercut" in r.what]
    assert [r.what for r in rows] == [
        "groove 1, from the section's front end",
        "groove 1, width",
        "groove 1, bottom diameter",
        "undercut E 2, width",
        "undercut E 2, bottom diameter",
    ]
    assert rows[3].size.lower == pytest.approx(2.5)


@pytest.mark.parametrize(
    ("changes", "where", "words"),
    [
        ({"section": 9}, "section", "there is no section 9; the last is 3"),
        ({"width": None}, "width", "give its width"),
        ({"diameter": None}, "diameter", "give its diameter"),
        ({"diameter": "26"}, "diameter", "smaller diameter than its section"),
        ({"from_front": None}, "from_front", "no place"),
        ({"from_back": "20"}, "width", "leave one of the three out"),
        ({"from_front": "33"}, "from_front", "leaves section 2"),
        ({"width": "0"}, "width", "more than zero"),
        ({"width": "4 h6x"}, "width", "h6"),
        ({"corner": "R2.4"}, "grooves[0]", "corner radius is too large"),
        ({"angle": "50°"}, "grooves[0]", "walls meet above the bottom"),
        ({"size": "25x1.2"}, "size", "no designation"),
        ({"kind": "vee"}, "angle", "included angle"),
        ({"kind": "vee", "angle": "60°"}, "width", "give the width"),
        ({"kind": "vee", "angle": "60°", "width": None, "diameter": None}, "diameter", "needs its"),
        ({"kind": "round", "corner": "R1"}, "corner", "leave it out"),
        ({"kind": "ring", "section": 3}, "grooves[0]", "overlap"),
        ({"kind": "undercut E", "width": None, "diameter": None}, "from_front", "at its shoulder"),
    ],
)
def test_bad_input_names_the_field(changes: dict[str, Any], where: str, words: str) -> None:
    record = msgspec.structs.replace(PLAIN, **changes)
    if changes.get("section") == 3:
        record = msgspec.structs.replace(PLAIN, section=2)
        with pytest.raises(InputError) as caught:
            part_with(record, msgspec.structs.replace(PLAIN, from_front="7"))
        assert caught.value.where == "part.grooves[1]"
        assert words in caught.value.what
        return
    with pytest.raises(InputError) as caught:
        part_with(record)
    assert caught.value.where.startswith("part.grooves[0]")
    assert where in caught.value.where
    assert words in caught.value.what


@pytest.mark.parametrize(
    ("groove", "words"),
    [
        (Groove("undercut E", 3), "ends at no shoulder"),
        (Groove("undercut F", 2, size="0.7x0.3"), "DIN 509 has no undercut"),
        (Groove("undercut F", 2, size="2.5x0.4"), "shoulder is too low"),
        (Groove("thread relief", 1), "needs the thread's pitch"),
        (Groove("thread relief", 1, size="9"), "DIN 76-1"),
        (Groove("ring", 2, from_front="3", size="30x1.5"), "does not belong on Ø25"),
        (Groove("ring", 2, from_front="3", size="ring"), "no retaining ring"),
        (Groove("ring", 3, from_front="3", angle="5°"), "upright walls"),
    ],
)
def test_what_a_standard_or_a_place_refuses(groove: Groove, words: str) -> None:
    with pytest.raises(InputError) as caught:
        part_with(groove)
    assert caught.value.where.startswith("part.grooves[0]")
    assert words in str(caught.value)


def test_a_groove_stands_in_a_cylinder_alone() -> None:
    sections = (
        Section("taper", front_diameter="20", back_diameter="25", length="30"),
        Section("cylinder", diameter="30", length="10"),
    )
    with pytest.raises(InputError, match="no cylinder"):
        part_with(msgspec.structs.replace(PLAIN, section=1), sections=sections)


def test_a_groove_that_meets_a_chamfer_is_refused() -> None:
    seat = msgspec.structs.replace(SECTIONS[1], front_corner="2x45°")
    sections = (SECTIONS[0], seat, SECTIONS[2])
    part_with(msgspec.structs.replace(PLAIN, from_front="2.5"), sections=sections)
    with pytest.raises(InputError, match="begins or ends in a chamfer") as caught:
        part_with(msgspec.structs.replace(PLAIN, from_front="1"), sections=sections)
    assert caught.value.where == "part.grooves[0]"


def bored(*grooves: Groove, outside: str = "40", back: bool = False, **bore: Any) -> ResolvedPart:
    """Return a bush 30 long with a bore 20 deep in front, or in its back end."""
    section = Section("cylinder", **{"diameter": "20", "length": "20"} | bore)
    made = Bore((section,))
    record = PartRecord(
        "bush",
        (Section("cylinder", diameter=outside, length="30"),),
        bore=None if back else made,
        bore_back=made if back else None,
        grooves=grooves,
    )
    return resolve(record, "mm")


@pytest.mark.parametrize(
    ("size", "source", "start"),
    # DIN 76-1, P 1.5 inside (from memory): C 6 and 7.8 long, D 3.8 and 5.6; dg = d + 0.5
    [(None, "DIN 76-1 - C", 7.8), ("C 1.5", "DIN 76-1 - C", 7.8), ("D", "DIN 76-1 - D", 5.6),
     ("DIN 76-1 - D", "DIN 76-1 - D", 5.6)],
)  # fmt: skip
@pytest.mark.parametrize("back", [False, True])
def test_a_relief_in_a_bore_has_its_form(
    size: str | None, source: str, start: float, back: bool
) -> None:
    part = bored(Groove("thread relief", 2, size=size), back=back, diameter="M20x1.5")
    (groove,) = part.grooves
    assert groove.source == source
    assert groove.diameter.nominal == pytest.approx(20.5)
    ends = [groove.elements[0].start.z, groove.elements[-1].end.z]
    # from its shoulder, the bore's bottom; the bore in the back end opens at z = -30
    wanted = [-10, -10 - start] if back else [-20 + start, -20]
    # the run-out of 30 degrees meets the bore where its tolerances put it
    assert ends == pytest.approx(wanted, abs=0.15)
    assert any(source in row.text for row in part.inspection)


def test_the_short_form_outside_is_b() -> None:
    # P 1.75 (from memory): A 6.1 long, B 4.3
    for size, long in (("1.75", 6.1), ("B 1.75", 4.3)):
        groove = only(Groove("thread relief", 1, size=size))
        assert groove.elements[0].start.z == pytest.approx(-22 + long, abs=0.15)
        assert groove.label == f"thread relief {size}"
    with pytest.raises(InputError, match="for the other side") as caught:
        only(Groove("thread relief", 1, size="D 1.75"))
    assert caught.value.where == "part.grooves[0].size"


@pytest.mark.parametrize("back", [False, True])
def test_a_bores_groove_that_meets_a_chamfer_is_refused(back: bool) -> None:
    groove = Groove("plain", 2, from_front="2.5", width="3", diameter="23")
    bored(groove, back=back, front_corner="2x45°")
    near = msgspec.structs.replace(groove, from_front="1")
    with pytest.raises(InputError, match="begins or ends in a chamfer") as caught:
        bored(near, back=back, front_corner="2x45°")
    assert caught.value.where == "part.grooves[0]"


@pytest.mark.parametrize("back", [False, True])
def test_a_groove_that_cuts_through_the_wall_is_refused(back: bool) -> None:
    bore = Groove("plain", 2, from_front="5", width="3", diameter="30")
    assert len(bored(bore, outside="31", back=back).grooves) == 1
    with pytest.raises(InputError, match="the outside is Ø28") as caught:
        bored(bore, outside="28", back=back)
    assert caught.value.where == "part.grooves[0].diameter"
    place = {"from_back": "5"} if back else {"from_front": "5"}
    outer = Groove("plain", 1, width="3", diameter="19", **place)
    with pytest.raises(InputError, match="into the bore"):
        bored(outer, back=back)
    # where no bore lies under it nothing is cut through
    bored(Groove("plain", 1, width="3", diameter="19", **dict.fromkeys(place, "23")), back=back)


def test_the_wall_between_two_grooves_is_the_thinnest() -> None:
    inner = Groove("plain", 2, from_front="5", width="3", diameter="24")
    outer = Groove("plain", 1, from_front="6", width="5", diameter="30")
    walls = groove_walls(bored(inner, outer))
    assert [w.thickness for _, w in walls] == pytest.approx([3, 3])
    ((_, alone),) = groove_walls(bored(inner))
    assert (alone.thickness, alone.diameter) == pytest.approx((8, 40))
    assert groove_walls(part_with(PLAIN)) == []


def test_a_large_undercut_in_a_bore_leaves_its_fillet() -> None:
    # DIN 509 - E 1x0.2: the round stands over the sharp corner, as outside
    part = bored(Groove("undercut E", 2, size="1x0.2"))
    assert part.bore is not None
    told = inside_outline(part.bore.aim)
    flipped = [
        dataclasses.replace(g, elements=tuple(flipped_in_r(e, AXIS_R) for e in g.elements))
        for g in part.grooves
    ]
    left = left_for_grooves(told, flipped, inside=True)
    (fillet,) = [e.shape for e in left.elements if e.role == "round"]
    assert isinstance(fillet, Arc)
    assert fillet.radius == pytest.approx(1)
    assert left_for_grooves(told, flipped) == told, "those of the outside alone"
