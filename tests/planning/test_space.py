"""Where a tool may be: clearances, pockets without a way in, and the bar that must stand."""

from __future__ import annotations

import shapely
from shapely import box
from shapely.affinity import translate

from turnsketch.planning.context import Context
from turnsketch.planning.fold import held_metal
from turnsketch.planning.keep import keep_of, keep_region, part_area, with_allowance
from turnsketch.planning.space import allowed_space, safe_point


def test_a_pocket_without_a_way_in_is_no_place_to_be(stepped: Context) -> None:
    """A bottle-shaped valley: the round nose fits its belly and not its mouth."""
    body = box(-60, 0, 0, 30).difference(
        shapely.union_all([box(-32, 8, -28, 31), box(-42, 8, -18, 18)])
    )
    shape = stepped.shapes[5]
    bare = type(shape)(shape.tool, shape.cutting)
    space = allowed_space(stepped, bare, body, -3.0)
    inside = shapely.Point(-33.0, 9.0)
    assert space.pockets.covers(inside)
    assert not space.allowed.covers(inside)
    assert space.allowed.covers(shapely.Point(safe_point(stepped)))


def test_tools_keep_their_clearance_to_the_jaws(stepped: Context) -> None:
    keep = keep_region(keep_of(stepped.part.aim, stepped.held, 3.0).elements, stepped.held, 1e-3)
    for number in (1, 2, 5, 7):
        shape = stepped.shapes[number]
        space = allowed_space(stepped, shape, keep, -shape.nose_radius)
        jaws = stepped.held.blocked(0.0)
        edge = shapely.get_coordinates(space.allowed)[::7]
        near = [p for p in edge.tolist() if p[0] < stepped.held.jaw_face + 30]
        for z, r in near:
            for piece in shape.pieces:
                placed = translate(shapely.Polygon(piece.ring(1e-3)), z, r)
                assert placed.distance(jaws) >= 2.0 - 0.02


def test_the_keep_holds_the_bar_behind_the_part(stepped: Context) -> None:
    keep = keep_of(stepped.part.aim, stepped.held, 3.0)
    region = keep_region(keep.elements, stepped.held, 1e-3)
    bar = box(stepped.held.back, 0.0, -69.0, stepped.held.radius)
    assert bar.difference(region).area < 1e-9
    neck = shapely.clip_by_rect(region, -69.0, 0.0, -66.0, 50.0)
    assert abs(neck.bounds[3] - 15.0) < 1e-9, "joined by a neck of the last section's radius"
    assert keep.sources[-1] is None


def test_allowances_grow_the_part_and_not_the_bar(stepped: Context) -> None:
    keep = keep_region(keep_of(stepped.part.aim, stepped.held, 3.0).elements, stepped.held, 1e-3)
    grown = with_allowance(keep, 0.5, 1.0, -69.0)
    first = shapely.clip_by_rect(grown, -10.0, 0.0, -9.0, 50.0)
    assert abs(first.bounds[3] - 6.5) < 1e-9
    assert abs(grown.bounds[2] - 1.0) < 1e-9
    behind = shapely.clip_by_rect(grown, -200.0, 0.0, -69.0, 50.0)
    assert abs(behind.bounds[3] - stepped.held.radius) < 1e-9


def test_metal_behind_the_back_face_counts_for_nothing(stepped: Context) -> None:
    whole = part_area(stepped.part, stepped.held.region)
    assert abs(whole - (66 + 1) * 16) < 1e-9
    assert part_area(stepped.part, box(-90, 0, -70, 16)) == 0.0


def test_only_what_the_holding_has_is_cut_on() -> None:
    held, loose = box(-60, 0, -40, 12), box(-20, 0, 0, 10)
    assert held_metal(shapely.union_all([held, loose])).equals(held)
