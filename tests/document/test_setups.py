"""Setups come, go and change places; the others stay held where they were."""

from __future__ import annotations

import pytest

from turnsketch.document.demo import load_demo
from turnsketch.document.setups import (
    add_setup,
    change_holding,
    change_setup,
    grips_mm,
    move_setup,
    remove_setup,
    set_grip_mm,
)
from turnsketch.errors import InputError
from turnsketch.job import Holding, Job, Setup

PIN = load_demo("stepped_pin")


def job(*setups: Setup) -> Job:
    return Job(PIN.part, PIN.blank, PIN.lathe, setups)


def held(grip: str | None, pull_out: str | None = None, name: str = "") -> Setup:
    return Setup(Holding("Three-jaw 160", grip), name, pull_out=pull_out)


THREE = job(held("70", None, "a"), held(None, "30", "b"), held(None, "15", "c"))


def told(made: Job) -> list[tuple[str, str | None, str | None]]:
    return [(s.name, s.holding.grip, s.pull_out) for s in made.setups]


def test_grips_follow_from_what_is_pulled_out() -> None:
    assert grips_mm(THREE) == (70.0, 40.0, 25.0)
    assert grips_mm(job(held(None), held(None, "5"))) == (None, None)


def test_without_the_middle_one_the_last_is_pulled_out_all_the_way() -> None:
    assert told(remove_setup(THREE, 1)) == [("a", "70", None), ("c", None, "45")]


def test_without_the_first_the_next_one_says_its_grip() -> None:
    made = remove_setup(THREE, 0)
    assert told(made) == [("b", "40", None), ("c", None, "15")]
    assert grips_mm(made) == (40.0, 25.0)


def test_the_only_setup_stays() -> None:
    with pytest.raises(InputError, match="at least one setup"):
        remove_setup(PIN, 0)


def test_moved_setups_hold_what_they_held() -> None:
    made = move_setup(THREE, 2, -1)
    assert told(made) == [("a", "70", None), ("c", None, "45"), ("b", "40", None)]
    assert grips_mm(made) == (70.0, 25.0, 40.0)
    assert move_setup(THREE, 0, -1) == THREE
    assert move_setup(THREE, 2, 5) == THREE


def test_a_setup_put_in_leaves_the_later_ones_where_they_were() -> None:
    made = add_setup(THREE, held(None, "10", "new"), 1)
    assert told(made)[1:3] == [("new", None, "10"), ("b", None, "20")]
    assert grips_mm(made) == (70.0, 60.0, 40.0, 25.0)
    with pytest.raises(InputError, match="a setup can stand at 1 to 4"):
        add_setup(THREE, held("5"), 7)


def test_a_grip_that_is_set_moves_the_way_of_the_bar() -> None:
    assert told(set_grip_mm(THREE, 1, 50.0))[1] == ("b", None, "20")
    assert told(set_grip_mm(THREE, 0, 60.0))[0] == ("a", "60", None)
    assert told(set_grip_mm(THREE, 1, 75.0))[1] == ("b", "75", None), "further in than before"


def test_fields_of_one_setup_and_of_its_holding() -> None:
    made = change_holding(change_setup(THREE, 1, zero="5"), 1, centre=True)
    assert (made.setups[1].zero, made.setups[1].holding.centre) == ("5", True)
    assert made.setups[0] == THREE.setups[0]
    with pytest.raises(InputError, match="no setup 4"):
        change_setup(THREE, 3, zero="1")


def test_inches_are_told_in_inches() -> None:
    inch = Job(PIN.part, PIN.blank, PIN.lathe, (held("3"), held(None, "1.5"), held(None, ".25")),
               units="inch")  # fmt: skip
    assert [s.pull_out for s in remove_setup(inch, 1).setups] == [None, "1.75"]
