"""The outline from sharp elements: corners, joins, and refusals that name their place."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Literal

import pytest
import shapely
from hypothesis import HealthCheck, given, settings

from tests.strategies import corner_specs, outlines, sharp_chains
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Line, Point
from turnsketch.geometry.intersect import turn_between
from turnsketch.part.measures import ring, volume
from turnsketch.part.outline import build_outline, outline_without, sharp_outline
from turnsketch.part.outline_records import (
    CornerSpec,
    Outline,
    OutlineElement,
    ResolvedPart,
)

Role = Literal["face", "cylinder", "taper", "arc"]
RIGHT = math.pi / 4


def chain(*items: tuple[float, float, int | None, Role]) -> tuple[OutlineElement, ...]:
    """Return straight elements from the axis through the given ends, each (z, r, section, role)."""
    here = Point(0.0, 0.0)
    elements = []
    for z, r, section, role in items:
        elements.append(OutlineElement(Line(here, Point(z, r)), section, role))
        here = Point(z, r)
    return tuple(elements)


PIN = chain(
    (0, 10, None, "face"),
    (-30, 10, 1, "cylinder"),
    (-30, 14, None, "face"),
    (-60, 14, 2, "cylinder"),
    (-90, 20, 3, "taper"),
    (-100, 20, 4, "cylinder"),
    (-100, 0, None, "face"),
)


def round_at(vertex: int, radius: float, index: int = 0, section: int = 1) -> CornerSpec:
    return CornerSpec(index, vertex, "round", radius, 0.0, f"R{radius:g}", section, "back")


def chamfer_at(vertex: int, leg: float, index: int = 0, degrees: float = 45.0) -> CornerSpec:
    text = f"{leg:g}x{degrees:g}°"
    return CornerSpec(index, vertex, "chamfer", leg, math.radians(degrees), text, 1, "front")


def is_closed_chain(outline: Outline) -> bool:
    shapes = [e.shape for e in outline.elements]
    return all(a.end.distance(b.start) <= 1e-9 for a, b in pairwise(shapes))


def test_sharp_chain_passes_unchanged_with_its_joins() -> None:
    outline, infos = build_outline(PIN)
    assert outline.elements == PIN
    assert outline.joins == ("convex", "reflex", "convex", "reflex", "convex", "convex")
    assert infos == ()


def test_corners_become_elements_with_their_numbers() -> None:
    outline, infos = build_outline(PIN, [chamfer_at(1, 1.0, 0), round_at(2, 3.0, 1)])
    roles = [(e.role, e.corner) for e in outline.elements]
    assert roles[:5] == [
        ("face", None),
        ("chamfer", 0),
        ("cylinder", None),
        ("round", 1),
        ("face", None),
    ]
    assert outline.joins[:4] == ("convex", "convex", "smooth", "smooth")
    assert is_closed_chain(outline)
    chamfer, fillet = infos
    assert (chamfer.kind, chamfer.convex, chamfer.at, chamfer.between) == (
        "chamfer",
        True,
        Point(0, 10),
        (None, 1),
    )
    assert (chamfer.size, chamfer.angle, chamfer.text) == (1.0, RIGHT, "1x45°")
    assert (fillet.kind, fillet.convex, fillet.size, fillet.angle) == ("round", False, 3.0, 0.0)
    assert fillet.between == (1, None)


def test_round_that_takes_the_whole_shoulder_leaves_none_of_it() -> None:
    outline, _ = build_outline(PIN, [round_at(2, 4.0)])
    assert [e.role for e in outline.elements][:4] == ["face", "cylinder", "round", "cylinder"]
    assert outline.joins[:3] == ("convex", "smooth", "convex")
    assert is_closed_chain(outline)
    outer, _ = build_outline(PIN, [round_at(3, 4.0)])
    assert [e.role for e in outer.elements][:4] == ["face", "cylinder", "round", "cylinder"]
    assert outer.joins[:3] == ("convex", "reflex", "smooth")


def test_two_rounds_that_share_a_shoulder_run_into_each_other_smoothly() -> None:
    outline, _ = build_outline(PIN, [round_at(2, 2.5), round_at(3, 1.5, 1, 2)])
    assert [e.role for e in outline.elements][1:5] == ["cylinder", "round", "round", "cylinder"]
    assert outline.joins[1:4] == ("smooth", "smooth", "smooth")
    kink = turn_between(
        outline.elements[2].shape.end_direction, outline.elements[3].shape.start_direction
    )
    assert abs(kink) < 1e-9


def test_solver_flag_makes_a_join_smooth_where_directions_are_off_by_rounding() -> None:
    kinked = chain(
        (0, 10, None, "face"),
        (-30, 10, 1, "cylinder"),
        (-60, 10 + 30e-8, 2, "taper"),
        (-60, 0, None, "face"),
    )
    assert build_outline(kinked)[0].joins[1] == "reflex"
    assert build_outline(kinked, smooth=[2])[0].joins[1] == "smooth"


def test_ball_into_its_own_cylinder_is_smooth_by_direction() -> None:
    ball = Arc(Point(0, 0), Point(-15, 15), Point(-15, 0), "ccw")
    rest = Line(Point(-15, 15), Point(-40, 15))
    elements = (
        OutlineElement(ball, 1, "arc"),
        OutlineElement(rest, 2, "cylinder"),
        OutlineElement(Line(Point(-40, 15), Point(-40, 0)), None, "face"),
    )
    assert build_outline(elements)[0].joins == ("smooth", "convex")


@pytest.mark.parametrize(
    ("spec", "message"),
    [
        (
            round_at(2, 5.0),
            "section 1, back corner: R5 is too large for the 4.00 mm shoulder: at most R4.00",
        ),
        (
            round_at(1, 11.0),
            "section 1, back corner: R11 is too large for the 10.00 mm front face: at most R10.00",
        ),
        (
            chamfer_at(2, 9.0),
            "section 1, front corner: 9x45° is too large for the 4.00 mm shoulder: "
            "at most 4.00x45°",
        ),
        (
            # 10 / tan(atan(0.2) / 2): the taper rises 6 on 30.
            round_at(5, 110.0, section=3),
            "section 3, back corner: R110 is too large for the 10.00 mm cylinder of section 4: "
            "at most R100.99",
        ),
    ],
)
def test_corner_too_large_names_place_neighbour_and_limit(spec: CornerSpec, message: str) -> None:
    with pytest.raises(InputError) as caught:
        build_outline(PIN, [spec])
    assert str(caught.value) == message


def test_limit_in_inches_for_an_inch_job() -> None:
    with pytest.raises(InputError, match=r"0\.157 in shoulder: at most R0\.157$"):
        build_outline(PIN, [round_at(2, 5.0)], units="inch")


def test_second_corner_on_a_shoulder_gets_what_the_first_left() -> None:
    with pytest.raises(InputError) as caught:
        build_outline(PIN, [round_at(2, 3.0), round_at(3, 2.0, 1, 2)])
    assert str(caught.value) == (
        "section 2, back corner: R2 is too large for the 4.00 mm shoulder beside the R3 at its "
        "other end: at most R1.00"
    )


def test_the_limit_in_the_message_is_accepted_and_a_hair_more_is_not() -> None:
    build_outline(PIN, [round_at(2, 3.0), round_at(3, 1.0, 1, 2)])
    with pytest.raises(InputError):
        build_outline(PIN, [round_at(2, 3.0), round_at(3, 1.001, 1, 2)])


@pytest.mark.parametrize(
    ("specs", "words"),
    [
        ([round_at(7, 1.0)], "stands on the axis"),
        ([round_at(0, 1.0)], "stands on the axis"),
        ([round_at(2, 1.0), chamfer_at(2, 1.0, 1)], "stands where R1 already is"),
        ([round_at(2, 0.0)], "has no size"),
        ([round_at(2, math.nan)], "has no size"),
        ([chamfer_at(2, 1.0, degrees=90.0)], "between 0° and 90°"),
        ([chamfer_at(4, 1.0, degrees=45.0)], "does not lie between section 2 and section 3"),
    ],
)
def test_corner_that_cannot_be(specs: list[CornerSpec], words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        build_outline(PIN, specs)
    assert caught.value.where.startswith("section 1, ")


def test_corner_where_nothing_turns_is_refused() -> None:
    straight = chain(
        (0, 10, None, "face"),
        (-30, 10, 1, "cylinder"),
        (-60, 10, 2, "cylinder"),
        (-60, 0, None, "face"),
    )
    with pytest.raises(InputError, match="section 1 runs into section 2 without a kink"):
        build_outline(straight, [round_at(2, 1.0)])


@pytest.mark.parametrize(
    ("elements", "where", "words"),
    [
        ((), "sections", "no sections"),
        (
            chain((0, 10, None, "face"), (3, 10, 1, "cylinder"), (3, 0, None, "face")),
            "section 1",
            "runs backwards: its back end lies 3.00 mm in front",
        ),
        (
            chain(
                (0, 10, None, "face"),
                (-30, 10, 1, "cylinder"),
                (-20, 15, 2, "taper"),
                (-20, 0, None, "face"),
            ),
            "section 2",
            "runs backwards",
        ),
        (
            chain((0, 10, None, "face"), (0, 10, 1, "cylinder"), (0, 0, None, "face")),
            "section 1",
            "has no length",
        ),
        (
            chain((0, -2, None, "face"), (-9, -2, 1, "cylinder"), (-9, 0, None, "face")),
            "the front face",
            "2.00 mm below the axis",
        ),
        (
            chain((0, 5, None, "face"), (-9, 5, 1, "cylinder"), (-9, 2, None, "face")),
            "the back face",
            "end on the axis",
        ),
        (
            chain(
                (0, 5, None, "face"),
                (-9, 0, 1, "taper"),
                (-18, 5, 2, "taper"),
                (-18, 0, None, "face"),
            ),
            "section 1",
            "would fall in two",
        ),
        (
            chain((0, math.inf, None, "face"), (-9, 5, 1, "taper"), (-9, 0, None, "face")),
            "the front face",
            "no finite size",
        ),
    ],
)
def test_chain_that_is_no_outline_names_its_place(
    elements: tuple[OutlineElement, ...], where: str, words: str
) -> None:
    with pytest.raises(InputError, match=words) as caught:
        build_outline(elements)
    assert caught.value.where == where


def test_gap_in_the_chain_is_refused() -> None:
    broken = (*PIN[:3], OutlineElement(Line(Point(-31, 14), Point(-60, 14)), 2, "cylinder"))
    with pytest.raises(InputError, match="section 2: does not begin where the shoulder behind"):
        build_outline(broken)


def test_arc_below_the_axis_and_arc_without_circle_are_refused() -> None:
    def with_arc(arc: Arc) -> tuple[OutlineElement, ...]:
        return (
            OutlineElement(Line(Point(0, 0), Point(0, 4)), None, "face"),
            OutlineElement(arc, 1, "arc"),
            OutlineElement(Line(Point(-16, 4), Point(-16, 0)), None, "face"),
        )

    deep = Arc(Point(0, 4), Point(-16, 4), Point(-8, 5), "cw")
    with pytest.raises(InputError, match=r"section 1: reaches 3\.06 mm below the axis"):
        build_outline(with_arc(deep))
    off = Arc(Point(0, 4), Point(-16, 4), Point(-7, 30), "cw")
    with pytest.raises(InputError, match="section 1: no arc of this radius"):
        build_outline(with_arc(off))


def test_section_folding_back_is_refused() -> None:
    folded = chain(
        (0, 10, None, "face"),
        (-30, 10, 1, "cylinder"),
        (-30, 20, None, "face"),
        (-30, 5, 2, "face"),
        (-60, 5, 3, "cylinder"),
        (-60, 0, None, "face"),
    )
    with pytest.raises(InputError, match="section 2: folds back on the shoulder behind section 1"):
        build_outline(folded)


def test_self_crossing_names_both_sections_and_the_place() -> None:
    # The bulge of section 1 swings back over the cylinder behind it.
    bulge = Arc(Point(0, 10), Point(-10, 10), Point(-5, 14), "ccw")
    elements = (
        OutlineElement(Line(Point(0, 0), Point(0, 10)), None, "face"),
        OutlineElement(bulge, 1, "arc"),
        OutlineElement(Line(Point(-10, 10), Point(-10, 12)), None, "face"),
        OutlineElement(Line(Point(-10, 12), Point(-30, 12)), 2, "cylinder"),
        OutlineElement(Line(Point(-30, 12), Point(-30, 0)), None, "face"),
    )
    with pytest.raises(InputError) as caught:
        build_outline(elements)
    assert caught.value.where == "section 1"
    assert "meets section 2 near Z-11.08 Ø24.00" in caught.value.what


def test_neighbours_that_meet_again_beyond_their_joint_are_refused() -> None:
    bulge = Arc(Point(0, 10), Point(-10, 10), Point(-5, 14), "ccw")
    elements = (
        OutlineElement(Line(Point(0, 0), Point(0, 10)), None, "face"),
        OutlineElement(bulge, 1, "arc"),
        OutlineElement(Line(Point(-10, 10), Point(-20, 30)), 2, "taper"),
        OutlineElement(Line(Point(-20, 30), Point(-20, 0)), None, "face"),
    )
    with pytest.raises(InputError, match=r"section 1: meets section 2 near Z-11\.20 Ø24\.80"):
        build_outline(elements)


def test_lobe_that_hangs_on_one_point_is_refused() -> None:
    elements = (
        OutlineElement(Line(Point(0, 0), Point(0, 10)), None, "face"),
        OutlineElement(Line(Point(0, 10), Point(-10, 10)), 1, "cylinder"),
        OutlineElement(Arc(Point(-10, 10), Point(-10, 14), Point(-11, 12), "ccw"), 2, "arc"),
        OutlineElement(Line(Point(-10, 14), Point(-10, 10)), None, "face"),
        OutlineElement(Line(Point(-10, 10), Point(-20, 10)), 3, "cylinder"),
        OutlineElement(Line(Point(-20, 10), Point(-20, 0)), None, "face"),
    )
    with pytest.raises(InputError, match=r"near Z-10\.00 Ø20\.00"):
        build_outline(elements)


def test_touching_itself_is_refused_too() -> None:
    # Two bulges that overhang and just touch at z -10, over a neck between them.
    first = Arc(Point(0, 5), Point(-8, 5), Point(-4, 8), "ccw")
    second = Arc(Point(-10, 5), Point(-18, 5), Point(-14, 8), "ccw")
    elements = (
        OutlineElement(Line(Point(0, 0), Point(0, 5)), None, "face"),
        OutlineElement(first, 1, "arc"),
        OutlineElement(Line(Point(-8, 5), Point(-10, 5)), 2, "cylinder"),
        OutlineElement(second, 3, "arc"),
        OutlineElement(Line(Point(-18, 5), Point(-18, 0)), None, "face"),
    )
    with pytest.raises(InputError, match=r"section 1: meets section 3 near Z-9\.00 Ø16\.00"):
        build_outline(elements)


def resolved(elements: tuple[OutlineElement, ...], specs: tuple[CornerSpec, ...]) -> ResolvedPart:
    outline, infos = build_outline(elements, specs)
    return ResolvedPart(
        name="pin",
        aim=outline,
        nominal=outline,
        corners=infos,
        sections=(),
        inspection=(),
        issues=(),
        inside_corner_mm=None,
        total_length=100.0,
        greatest_diameter=40.0,
        sharp=sharp_outline(elements),
        corner_specs=specs,
    )


def test_outline_without_some_corners_leaves_them_sharp() -> None:
    specs = (chamfer_at(1, 1.0, 0), round_at(2, 4.0, 1), chamfer_at(6, 0.5, 2))
    part = resolved(PIN, specs)
    assert outline_without(part, ()) == part.aim
    assert outline_without(part, {0, 1, 2}) == part.sharp
    some = outline_without(part, {1})
    assert [e.corner for e in some.elements if e.corner is not None] == [0, 2]
    assert Point(-30, 14) in [e.shape.end for e in some.elements]


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(outlines())
def test_any_outline_is_closed_smooth_where_flagged_and_simple(outline: Outline) -> None:
    assert is_closed_chain(outline)
    assert len(outline.joins) == len(outline.elements) - 1
    for before, after, join in zip(
        outline.elements, outline.elements[1:], outline.joins, strict=False
    ):
        turn = turn_between(before.shape.end_direction, after.shape.start_direction)
        if join == "smooth":
            assert abs(turn) < 1e-9
        else:
            assert (turn > 0) == (join == "convex")
    polygon = shapely.Polygon(ring(outline, 1e-3))
    assert polygon.is_valid
    assert polygon.exterior.is_ccw
    for element in outline.elements:
        if isinstance(element.shape, Arc):
            gap = element.shape.radius - element.shape.end.distance(element.shape.centre)
            assert abs(gap) < 1e-9


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(sharp_chains().flatmap(lambda c: corner_specs(c).map(lambda s: (c, s))))
def test_each_convex_corner_takes_metal_and_each_reflex_one_leaves_it(
    drawn: tuple[tuple[OutlineElement, ...], tuple[CornerSpec, ...]],
) -> None:
    elements, specs = drawn
    sharp = volume(sharp_outline(elements))
    for spec in specs:
        outline, (info,) = build_outline(elements, [spec])
        assert (volume(outline) < sharp) == info.convex
