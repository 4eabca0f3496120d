"""What stands around the work: jaws, dog, and the centre in its hole."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from shapely import Polygon, box

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.part.centre_holes import centre_hole
from turnsketch.planning.holding import (
    HeldBlank,
    Stock,
    hold,
    hold_between,
)
from turnsketch.planning.tailstock import Seat, centre_obstacles
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import TailstockCentre

SHOP = demo_shop()
LATHE = SHOP.lathes[0]
CHUCK = SHOP.chucks[0]
DRIVER = SHOP.drivers[0]


def held(**changes: object) -> HeldBlank:
    given = {"stock": None, "seat": None} | changes
    return hold(10.0, 120.0, 1.0, 25.0, CHUCK, LATHE, False, **given)  # type: ignore[arg-type]


def by_name(blank: HeldBlank) -> dict[str, Polygon]:
    return {o.name: Polygon(o.ring) for o in blank.obstacles}


def test_jaws_stand_on_the_blank_and_the_body_behind_them() -> None:
    shapes = by_name(held())
    assert shapes["jaws"].bounds == (-94.0 - 32.0, 10.0, -94.0, 38.0)
    assert shapes["chuck body"].bounds[2] == -126.0
    assert not held().centre_in


def test_jaws_grip_what_is_left_of_a_turned_bar() -> None:
    turned = Stock(((Point(1, 0), Point(1, 10), Point(-60, 10), Point(-60, 8), Point(-119, 8),
                     Point(-119, 0)),))  # fmt: skip
    shapes = by_name(held(stock=turned))
    assert shapes["jaws"].bounds[1] == 8.0
    assert held(stock=turned).region.area == pytest.approx(61 * 10 + 59 * 8)


@pytest.mark.parametrize("size", [1.6, 2.0, 2.5, 4.0])
def test_the_point_lies_in_the_countersink(size: float) -> None:
    """Cone and countersink share the rim, and the tip stays clear of the hole's end."""
    hole = centre_hole(size)
    point = centre_obstacles(LATHE.centre, Seat(hole, 0.0), 0.0)[0]
    tip, base, _ = point.ring
    assert tip.z == pytest.approx(-hole.countersink / 2 / math.tan(math.radians(30)))
    assert tip.z > -hole.depth - 2e-3
    share = -tip.z / (base.z - tip.z)
    assert share * base.r == pytest.approx(hole.countersink / 2)
    inside = Polygon(point.ring).intersection(box(-100, 0, 0, 100))
    assert inside.difference(Polygon(hole.section(0.0)).buffer(2e-3)).area < 1e-6


def test_behind_the_point_come_nose_body_and_quill() -> None:
    hole = centre_hole(2.5)
    placed = centre_obstacles(LATHE.centre, Seat(hole, -1.0), 0.0)
    assert [o.name for o in placed] == ["centre", "centre nose", "centre body", "quill"]
    spans = [Polygon(o.ring).bounds for o in placed]
    assert all(a[2] == pytest.approx(b[0]) for a, b in pairwise(spans))
    assert [b[3] for b in spans] == [5.0, 5.0, 17.0, 20.0]
    assert spans[3][2] - spans[3][0] == pytest.approx(LATHE.centre.quill_reach_mm)


def test_without_a_hole_the_tip_stands_on_the_face() -> None:
    point = centre_obstacles(TailstockCentre(), None, 1.0)[0]
    assert point.ring[0] == Point(1.0, 0.0)


def test_a_centre_is_put_in_once() -> None:
    seat = Seat(centre_hole(2.5), 0.0)
    once = held().on_centre(LATHE.centre, seat)
    assert once.centre_in
    assert once.on_centre(LATHE.centre, seat) == once
    assert [o.name for o in once.obstacles][:2] == ["jaws", "chuck body"]


def test_dog_and_plate_stand_behind_the_work() -> None:
    seat = Seat(centre_hole(2.5), -120.0)
    blank = hold_between(10.0, 120.0, 0.0, 16.0, DRIVER, back_seat=seat)
    shapes = by_name(blank)
    assert blank.jaw_face == -104.0
    assert shapes["dog"].bounds == (-132.0, 10.0, -104.0, 32.0)
    assert shapes["driver plate"].bounds[2] == -132.0
    tip = shapes["headstock centre"].bounds[2]
    assert tip == pytest.approx(-120.0 + 2.65 / math.tan(math.radians(30)))
    assert blank.between_centres


@pytest.mark.parametrize(
    ("radius", "grip", "field"),
    [(10.0, 10.0, "grip"), (10.0, 120.0, "grip"), (25.0, 16.0, "device"), (2.0, 16.0, "device")],
)
def test_a_dog_that_does_not_fit(radius: float, grip: float, field: str) -> None:
    with pytest.raises(InputError) as caught:
        hold_between(radius, 120.0, 0.0, grip, DRIVER, where="setups[1].holding")
    assert caught.value.where == f"setups[1].holding.{field}"


@pytest.mark.parametrize("grip", [0.0, -1.0, 120.0])
def test_a_grip_that_cannot_be(grip: float) -> None:
    with pytest.raises(InputError, match="grip"):
        hold(10.0, 120.0, 1.0, grip, CHUCK, LATHE, False)


def test_the_blank_must_fit_the_jaws() -> None:
    with pytest.raises(InputError, match="Ø4 to Ø150"):
        hold(80.0, 120.0, 1.0, 25.0, CHUCK, LATHE, False)
