"""Work held from inside, and the steady rest: obstacles, and what cannot be."""

from __future__ import annotations

import pytest
from shapely import Polygon

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.planning.holding import HeldBlank, Stock, hold
from turnsketch.planning.holding_inside import JAWS_INSIDE, MANDREL, hold_inside
from turnsketch.planning.steady import STEADY, on_steady
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Chuck

SHOP = demo_shop()
CHUCKS = {c.name: c for c in SHOP.chucks}
SLIPWAY = SHOP.lathes[0]


def tube(outer: float, inner: float, length: float, bottom: float = 0.0) -> Stock:
    """Return a tube with its front at z = 0, closed over `bottom` at its back."""
    back = -length
    ring = [Point(0, inner), Point(0, outer), Point(back, outer)]
    if bottom:
        ring += [Point(back, 0), Point(back + bottom, 0), Point(back + bottom, inner)]
    else:
        ring.append(Point(back, inner))
    return Stock((tuple(ring),))


def held(device: str, inner: float, grip: float, bottom: float = 0.0) -> HeldBlank:
    return hold_inside(40.0, 50.0, 0.0, grip, CHUCKS[device], stock=tube(40.0, inner, 50.0, bottom))


def test_jaws_open_in_the_bore_and_leave_the_outside_free() -> None:
    made = held("Three-jaw 160", 30.0, 20.0)
    jaws = next(o for o in made.obstacles if o.name == JAWS_INSIDE)
    shape = Polygon(jaws.ring)
    # Three jaws 28 high: a ring with a hole, through which a drill goes on.
    assert shape.bounds == pytest.approx((-50 + 20 - 32, 29.999 - 28.0, -30.0, 29.999))
    assert made.jaw_face == pytest.approx(-62.0), "behind the work, where the chuck's body begins"
    assert made.stick_out == 30.0
    assert made.inside
    assert shape.intersection(made.region).area == 0.0


def test_a_mandrel_may_reach_right_through() -> None:
    made = held("Mandrel 18-25", 11.0, 50.0)
    assert [o.name for o in made.obstacles] == [MANDREL, "chuck body"]
    assert made.jaw_face == pytest.approx(-60.0)


@pytest.mark.parametrize(
    ("device", "inner", "grip", "bottom", "where", "words"),
    [
        ("Three-jaw 160", 20.0, 20.0, 0.0, "device", "opens in bores Ø45 to Ø140"),
        ("Collet chuck 40", 20.0, 20.0, 0.0, "device", "does not hold from inside"),
        ("Mandrel 18-25", 11.0, 20.0, 10.0, "device", "no bore through the work"),
        ("Three-jaw 160", 30.0, 20.0, 10.0, "device", "no bore in the gripped end"),
        ("Three-jaw 160", 30.0, 40.0, 0.0, "grip", "reaches 32 mm into a bore"),
        ("Mandrel 18-25", 11.0, 51.0, 0.0, "grip", "longer than the blank"),
        ("Mandrel 18-25", 15.0, 30.0, 0.0, "device", "this one has Ø30.00"),
    ],
)
def test_what_cannot_be_held_from_inside(
    device: str, inner: float, grip: float, bottom: float, where: str, words: str
) -> None:
    with pytest.raises(InputError) as caught:
        held(device, inner, grip, bottom)
    assert caught.value.where == f"setups[0].holding.{where}"
    assert words in caught.value.what


def bar(chuck: Chuck) -> HeldBlank:
    return hold(15.0, 150.0, 1.0, 25.0, chuck, SLIPWAY, False)


def test_the_steady_is_a_ring_around_the_work() -> None:
    made = on_steady(bar(CHUCKS["Three-jaw 160"]), -60.0, SLIPWAY, "setups[0].holding")
    ring = next(o for o in made.obstacles if o.name == STEADY)
    low, near, high, far = Polygon(ring.ring).bounds
    assert (low, high) == pytest.approx((-72.0, -48.0))
    assert near == pytest.approx(15.001)
    assert far == SLIPWAY.swing_mm / 2


@pytest.mark.parametrize(
    ("place", "words"), [(-5.0, "does not stand between"), (-120.0, "does not stand between")]
)
def test_a_steady_stands_between_jaws_and_front(place: float, words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        on_steady(bar(CHUCKS["Three-jaw 160"]), place, SLIPWAY, "setups[0].holding")
    assert caught.value.where == "setups[0].holding.steady"


def test_a_lathe_without_a_steady_says_so() -> None:
    boathouse = next(m for m in SHOP.lathes if m.steady_largest_mm == 0)
    with pytest.raises(InputError, match="has no steady rest"):
        on_steady(bar(CHUCKS["Three-jaw 160"]), -60.0, boathouse, "setups[0].holding")
