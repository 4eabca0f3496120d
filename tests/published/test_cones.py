"""Tapers and cones: ratio, included and half angle.

The series is that of ISO 1119 (membership from memory); angles by 2 atan(C / 2).
"""

from __future__ import annotations

import math

import pytest

from turnsketch.part.tables import table
from turnsketch.part.text import parse


def half_deg(text: str) -> float:
    return math.degrees(parse(text, "mm", {"angle", "ratio"}).nominal)


@pytest.mark.parametrize(
    ("ratio", "included", "printed"),
    [
        # computed by 2 atan(C / 2), with the angle as handbooks print it
        ("1:3", 18.924644, "18°55'28.7\""),
        ("1:5", 11.421186, "11°25'16.3\""),
        ("1:10", 5.724810, "5°43'29.3\""),
        ("1:12", 4.771888, None),
        ("1:20", 2.864192, "2°51'51.1\""),
        ("1:30", 1.909683, None),
        ("1:50", 1.145877, "1°8'45.2\""),
        ("7:24", 16.594290, "16°35'39.4\""),
        ("1:0.5", 90, "90°"),
        ("1:0.8660254", 60, "60°"),
    ],
)
def test_ratio_and_included_angle(ratio: str, included: float, printed: str | None) -> None:
    assert half_deg(ratio) * 2 == pytest.approx(included, abs=1e-6)
    if printed is not None:
        assert half_deg(f"{printed} incl") * 2 == pytest.approx(included, abs=0.05 / 3600 + 1e-6)


def test_half_angle_of_a_worked_example() -> None:
    """ISO 3040 example, seen: 1:40 has a half angle of 0.716 degrees."""
    assert half_deg("1:40") == pytest.approx(0.716, abs=5e-4)


def test_cone_from_two_diameters_and_a_length() -> None:
    """C = (D - d) / L: 40 to 32 on 80 mm is 1:10, half angle 2.862405 degrees (computed)."""
    assert float(parse("1:10", "mm", {"ratio"}).exact) == (40 - 32) / 80
    assert half_deg("1:10") == pytest.approx(2.862405, abs=1e-6)


def test_half_angle_is_not_the_included_angle() -> None:
    """Jones, Turning and Boring (1914), seen: included 90 degrees sets the slide at 45."""
    assert half_deg("90° incl") == pytest.approx(45, abs=1e-12)
    assert half_deg("45°") == pytest.approx(45, abs=1e-12)


def test_lathe_centre() -> None:
    """US Army subcourse OD1645, seen: a 60 degree centre is cut with the slide at 30 degrees."""
    assert half_deg("60° incl") == pytest.approx(30, abs=1e-12)


@pytest.mark.parametrize(
    ("ratio", "half"),
    [
        # Morse tapers 0 to 6, ratios from memory, half angles computed
        ("1:19.212", 1.4908),
        ("1:20.047", 1.4287),
        ("1:20.020", 1.4307),
        ("1:19.922", 1.4377),
        ("1:19.254", 1.4876),
        ("1:19.002", 1.5073),
        ("1:19.180", 1.4933),
    ],
)
def test_morse_tapers(ratio: str, half: float) -> None:
    assert half_deg(ratio) == pytest.approx(half, abs=6e-5)


@pytest.mark.parametrize(
    ("ratio", "inches_per_foot"),
    # taper per foot = 12 C; values seen in handbook tables, ratios from memory
    [("1:19.212", 0.62460), ("1:20.047", 0.59858), ("1:19.254", 0.62326), ("1:19.180", 0.62565)],
)
def test_taper_per_foot(ratio: str, inches_per_foot: float) -> None:
    exact = parse(ratio, "inch", {"ratio"}).exact
    assert float(exact) * 12 == pytest.approx(inches_per_foot, abs=3e-5)


def test_the_series() -> None:
    """Every row of the table of ISO 1119 cones agrees with the parser."""
    for row in table("cones_iso1119"):
        text = row["taper"].split("=")[-1].strip()
        assert half_deg(text) == pytest.approx(float(row["half_deg"]), abs=2e-5), row["taper"]
