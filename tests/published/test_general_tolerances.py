"""ISO 2768-1 and inch practice: values seen on several copies, from memory, or common practice."""

from __future__ import annotations

import math

import pytest

from turnsketch.errors import InputError
from turnsketch.part.limits import general_limits
from turnsketch.part.text import Kind, parse
from turnsketch.units import INCH_MM, Units


def half_width(text: str, kind: Kind, rule: str, units: Units = "mm", side: float = 5) -> float:
    dimension = parse(text, units, {kind})
    lower, upper = general_limits(dimension, rule, side)
    assert upper - dimension.nominal == pytest.approx(dimension.nominal - lower, abs=1e-12)
    return upper - dimension.nominal


@pytest.mark.parametrize(
    ("text", "grade", "expected"),
    [
        # ISO 2768-1:1989 table 1, seen on several copies, agrees with memory
        ("2", "m", 0.1),
        ("6", "m", 0.1),
        ("6.01", "m", 0.2),
        ("30", "m", 0.2),
        ("120", "m", 0.3),
        ("120", "f", 0.15),
        ("45", "c", 0.8),
        ("0.5", "f", 0.05),
        ("3", "m", 0.1),
        ("400", "m", 0.5),
        ("400.1", "m", 0.8),
        ("1001", "f", 0.5),
        ("2001", "m", 2),
        ("4000", "v", 8),
        ("3.1", "v", 0.5),
        # the withdrawn DIN 7168 has 0.15 and 0.20 here, and some copies print them for ISO 2768
        ("3", "c", 0.2),
        ("6", "c", 0.3),
    ],
)
def test_linear(text: str, grade: str, expected: float) -> None:
    assert half_width(text, "length", f"ISO 2768-{grade}") == pytest.approx(expected, abs=1e-9)
    assert half_width(text, "diameter", f"ISO 2768-{grade}") == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "grade"), [("3", "v"), ("0.4", "m"), ("0.49", "c"), ("2001", "f"), ("4001", "v")]
)
def test_no_linear_tolerance(text: str, grade: str) -> None:
    """ISO 2768-1 table 1: empty cells, and sizes below 0.5 mm."""
    with pytest.raises(InputError, match="write the tolerance at the dimension"):
        half_width(text, "length", f"ISO 2768-{grade}")


@pytest.mark.parametrize(
    ("size", "fine", "coarse"),
    [
        ("0.5", 0.2, 0.4),
        ("3", 0.2, 0.4),
        ("3.1", 0.5, 1),
        ("6", 0.5, 1),
        ("6.1", 1, 2),
        ("60", 1, 2),
    ],
)
def test_radii_and_chamfers(size: str, fine: float, coarse: float) -> None:
    """ISO 2768-1 table 2, seen on web copies, agrees with memory."""
    for grade, expected in [("f", fine), ("m", fine), ("c", coarse), ("v", coarse)]:
        for text, kind in [(f"R{size}", "radius"), (f"{size}x45°", "chamfer")]:
            dimension = parse(text, "mm", {kind})  # type: ignore[arg-type]
            _, upper = general_limits(dimension, f"ISO 2768-{grade}")
            assert upper - dimension.nominal == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("side", "minutes"),
    # f and m, c, v in minutes of arc, by the shorter side
    [
        (10, (60, 90, 180)),
        (10.1, (30, 60, 120)),
        (50, (30, 60, 120)),
        (50.1, (20, 30, 60)),
        (120, (20, 30, 60)),
        # class c here: 0°15' from memory of the standard (one copy prints 0°20')
        (120.1, (10, 15, 30)),
        (400, (10, 15, 30)),
        # over 400: from memory
        (400.1, (5, 10, 20)),
    ],
)
def test_angles(side: float, minutes: tuple[int, int, int]) -> None:
    """ISO 2768-1 table 3, seen on web copies except where said."""
    middle, coarse, very_coarse = minutes
    for grade, expected in [("f", middle), ("m", middle), ("c", coarse), ("v", very_coarse)]:
        width = half_width("15°", "angle", f"ISO 2768-{grade}", side=side)
        assert math.degrees(width) * 60 == pytest.approx(expected, abs=1e-9)
        included = half_width("30° incl", "angle", f"ISO 2768-{grade}", side=side)
        assert math.degrees(included) * 60 == pytest.approx(expected / 2, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("1 3/8", 1 / 64),
        ("2", 1 / 64),
        ("1.2", 0.030),
        ("1.25", 0.010),
        ("1.250", 0.005),
        (".5000", 0.0005),
    ],
)
def test_by_decimals(text: str, inches: float) -> None:
    """Common practice of inch title blocks."""
    width = half_width(text, "length", "decimals", "inch")
    assert width == pytest.approx(inches * INCH_MM, abs=1e-9)


def test_angles_by_decimals() -> None:
    """Common practice of inch title blocks: half a degree on the angle as it is written."""
    assert math.degrees(half_width("15°", "angle", "decimals", "inch")) == pytest.approx(0.5)
    assert math.degrees(half_width("30° incl", "angle", "decimals", "inch")) == pytest.approx(0.25)
