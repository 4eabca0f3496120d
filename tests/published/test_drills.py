"""Drills: sizes, points, pecks, drills for tapping and reaming."""

from __future__ import annotations

import csv
import math
from itertools import pairwise
from pathlib import Path

import pytest

from turnsketch.errors import InputError
from turnsketch.part.drills import (
    REAM_SPEED_SHARE,
    DrillKind,
    drill_at_least,
    drill_at_most,
    drill_sizes,
    pecks,
    point_length,
    ream_allowance,
    ream_drill,
    tap_drill,
)
from turnsketch.part.threads import read_thread

INCH: tuple[DrillKind, ...] = ("fraction", "number", "letter")


@pytest.mark.parametrize(
    ("degrees", "share"),
    # Computed: 1 / (2 tan(angle / 2)).
    [(90, 0.500000), (118, 0.300430), (120, 0.288675), (135, 0.207107), (140, 0.181985), (180, 0)],
)
def test_point_length(degrees: float, share: float) -> None:
    assert point_length(1, math.radians(degrees)) == pytest.approx(share, abs=6e-7)
    assert point_length(10, math.radians(degrees)) == pytest.approx(10 * share, abs=6e-6)


def test_a_point_that_is_none() -> None:
    for angle in (0, -1, 4):
        with pytest.raises(InputError, match="included angle over 0 up to 180"):
            point_length(10, angle)


@pytest.mark.parametrize(
    ("name", "inches"),
    # Seen: package bd_warehouse 0.4.0, and as handbooks print them.
    [("#7", 0.2010), ("#21", 0.1590), ("#29", 0.1360), ("#36", 0.1065), ("F", 0.257),
     ("U", 0.368), ("A", 0.234), ("Z", 0.413), ("#1", 0.2280), ("#60", 0.0400),
     ("27/64", 0.421875), ("1 1/2", 1.5), ("1 in", 1.0)],
)  # fmt: skip
def test_inch_drills(name: str, inches: float) -> None:
    found = {drill.name: drill.diameter for drill in drill_sizes(*INCH)}
    assert found[name] / 25.4 == pytest.approx(inches, abs=1e-12)


def test_stock_is_in_order() -> None:
    for stock in (drill_sizes("mm"), drill_sizes(*INCH), drill_sizes("mm", *INCH)):
        sizes = [drill.diameter for drill in stock]
        assert sizes == sorted(sizes)
    assert drill_sizes() == drill_sizes("mm")
    numbers = [d.diameter for d in drill_sizes("number")]
    assert len(numbers) == 60
    assert len(drill_sizes("letter")) == 26
    metric = {drill.diameter for drill in drill_sizes()}
    assert {0.5, 1.05, 3.3, 6.8, 10.2, 13.9, 14, 14.25, 17.5, 32, 32.5, 50} <= metric


def test_nearest_in_stock() -> None:
    stock = drill_sizes()
    low, high = drill_at_most(6.85, stock), drill_at_least(6.85, stock)
    assert low is not None
    assert high is not None
    assert (low.name, high.name) == ("6.8 mm", "6.9 mm")
    assert drill_at_least(60, stock) is None
    assert drill_at_most(0.2, stock) is None


@pytest.mark.parametrize(
    ("thread", "name"),
    # Seen: tap drills of the package bd_warehouse 0.4.0 (soft materials); the rule is the
    # program's own, three quarters of full thread.
    [("#4-40", "#43"), ("#6-32", "#36"), ("#8-32", "#29"), ("#10-24", "#25"), ("#10-32", "#21"),
     ("#12-24", "#16"), ("#12-28", "#14"), ("1/4-20", "#7"), ("1/4-28", "#3"), ("5/16-18", "F"),
     ("5/16-24", "I"), ("3/8-16", "5/16"), ("3/8-24", "Q"), ("7/16-14", "U"), ("7/16-20", "25/64"),
     ("1/2-13", "27/64"), ("1/2-20", "29/64"), ("9/16-12", "31/64"), ("9/16-18", "33/64"),
     ("5/8-11", "17/32"), ("5/8-18", "37/64"), ("3/4-10", "21/32"), ("3/4-16", "11/16"),
     ("7/8-9", "49/64"), ("7/8-14", "13/16"), ("1-8", "7/8")],
)  # fmt: skip
def test_inch_tap_drills(thread: str, name: str) -> None:
    drill = tap_drill(read_thread(thread, inside=True), drill_sizes(*INCH))
    assert drill is not None
    assert drill.name == name


@pytest.mark.parametrize(
    ("thread", "diameter"),
    # ISO 2306 from memory; seen in the same package but M12 (10.3 there), M14 (12.1) and the
    # sizes over M22.
    [("M3", 2.5), ("M4", 3.3), ("M5", 4.2), ("M6", 5.0), ("M8", 6.8), ("M10", 8.5), ("M12", 10.2),
     ("M14", 12.0), ("M16", 14.0), ("M20", 17.5), ("M24", 21.0), ("M30", 26.5), ("M36", 32.0),
     ("M8x1", 7.0), ("M10x1.25", 8.8), ("M12x1.5", 10.5), ("M16x1.5", 14.5)],
)  # fmt: skip
def test_metric_tap_drills(thread: str, diameter: float) -> None:
    drill = tap_drill(read_thread(thread, inside=True), drill_sizes())
    assert drill is not None
    assert drill.diameter == diameter


def test_every_tap_drill_keeps_the_bore() -> None:
    """Whatever pitch: the hole lies within the limits of the thread's bore."""
    for text in ("M5x0.5", "M7", "M13x1", "M18x1", "M22x1.5", "M27", "M33x2", "M45"):
        thread = read_thread(text, inside=True)
        drill = tap_drill(thread, drill_sizes())
        assert drill is not None, text
        assert thread.minor.lower <= drill.diameter <= thread.minor.upper
    with pytest.raises(InputError, match="outside thread"):
        tap_drill(read_thread("M8"), drill_sizes())
    assert tap_drill(read_thread("M3-6H"), drill_sizes("letter")) is None


def test_pecks() -> None:
    """Common practice: three diameters, then one at a time, half of one beyond six."""
    assert pecks(25, 10) == (25,)
    assert pecks(30, 10) == (30,)
    assert pecks(45, 10) == (30, 40, 45)
    assert pecks(60, 10) == (30, 40, 50, 60)
    assert pecks(75, 10) == (30, 40, 50, 60, 65, 70, 75)
    # What is left is shared, so that no peck is a mere scratch.
    assert pecks(41, 10) == (30, 35.5, 41)
    for depth in (1, 33, 52, 61.7, 99):
        stops = pecks(depth, 8)
        assert stops[-1] == depth
        assert all(a < b for a, b in pairwise(stops))
    with pytest.raises(InputError, match="greater than zero"):
        pecks(0, 8)


def test_reaming() -> None:
    """Common practice: 0.2 to 0.3 left on 20 mm; a third to a half of the drilling speed."""
    assert ream_allowance(20) == (0.2, 0.3)
    assert ream_allowance(20.0105) == (0.2, 0.3), "a reamer 20 H7 lies a little over 20"
    assert ream_allowance(20.5) == (0.3, 0.5)
    assert pytest.approx((1 / 3, 1 / 2)) == REAM_SPEED_SHARE
    drill = ream_drill(20, drill_sizes())
    assert drill is not None
    assert drill.diameter == 19.75
    assert ream_drill(4, drill_sizes()) is not None
    # No drill of the stock leaves so little: bore it.
    assert ream_drill(20, drill_sizes("letter")) is None


def test_number_drills_are_in_the_table() -> None:
    folder = Path(__file__).parents[2] / "resources" / "tables"
    lines = (folder / "drill_numbers_letters.csv").read_text("utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    assert len(rows) == 86
