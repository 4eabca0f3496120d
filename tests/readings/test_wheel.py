from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.plan_records import Reading
from turnsketch.readings.wheel import Axis, WheelWay, wheel_between, wheel_way
from turnsketch.shop.records import Dial, Lathe, Readout

ON_DIAMETER = Dial("mm", 5.0, 100, "diameter")
ON_TRAVEL = Dial("mm", 2.5, 100, "travel")
INCH = Dial("inch", 0.125, 125, "diameter")
FINE = Dial("mm", 18.0, 180, fine_per_turn=1.0, fine_divisions=50)
DIALS = st.sampled_from([ON_DIAMETER, ON_TRAVEL, INCH, FINE, Dial("inch", 0.2, 200)])
AXES: list[Axis] = ["cross", "carriage", "top slide"]


@given(st.floats(-300, 300), DIALS, st.sampled_from(AXES))
def test_the_way_reproduces_the_travel(travel: float, dial: Dial, axis: Axis) -> None:
    way = wheel_way(travel, dial, axis)
    assert way.travel_mm(dial, axis) == pytest.approx(travel, abs=1e-6 * 0.1)
    assert 0 <= way.divisions < dial.divisions
    assert 0 <= way.fine_divisions < (dial.fine_divisions or 1)


def test_from_30_to_25_80() -> None:
    # Worked from common practice: X30.00 to X25.80, dial 5.00 a turn on Ø in 100: 0t 84d.
    way = wheel_way((25.8 - 30.0) / 2, ON_DIAMETER, "cross")
    assert way.text == "0t 84d"
    assert way.text_with_direction == "in 0t 84d"


def test_a_dial_cut_in_travel_turns_the_same_screw_the_same_way() -> None:
    # The same screw: 2.5 mm of slide a turn is 5 mm on diameter.
    for travel in (-2.1, 7.77, 0.01):
        a, b = (wheel_way(travel, dial, "cross") for dial in (ON_DIAMETER, ON_TRAVEL))
        assert a.turns == b.turns
        assert a.divisions == pytest.approx(b.divisions)


def test_a_dial_keeps_its_unit() -> None:
    lathe = Lathe("old", 300.0, 600.0, Readout(), INCH, FINE)
    cross, carriage = wheel_between(Reading(30.0, 2.0), Reading(25.8, -57.8), "mm", lathe)
    # 4.2 mm on diameter are 0.16535 in: one turn of 0.125 and 40.4 thousandths.
    assert cross.text_with_direction == "in 1t 40.4d"
    # 59.8 mm: three turns of 18, 58 divisions of 0.1.
    assert carriage.text_with_direction == "toward chuck 3t 58d"
    cross, carriage = wheel_between(Reading(1.0, 0.0), Reading(1.25, 0.1), "inch", lathe)
    assert cross.text_with_direction == "out 2t 0d"
    assert carriage.direction == "away"


def test_the_fine_wheel_does_the_rest() -> None:
    way = wheel_way(-2.34, FINE, "carriage")
    assert (way.turns, way.divisions, way.fine_turns) == (0, 23.0, 0)
    assert way.fine_divisions == pytest.approx(2.0)
    assert way.text == "0t 23d fine 0t 2d"


def test_no_way_and_a_full_turn() -> None:
    assert wheel_way(0.0, ON_TRAVEL, "cross") == WheelWay("", 0, 0.0)
    assert wheel_way(0.0, ON_TRAVEL, "cross").text == "0t 0d"
    assert wheel_way(2.5, ON_TRAVEL, "cross").text_with_direction == "out 1t 0d"
    assert wheel_way(2.4999, ON_TRAVEL, "cross").text == "1t 0d"
    assert wheel_way(10.0, ON_TRAVEL, "top slide").text_with_direction == "forward 4t 0d"
