"""ISO metric threads against ISO 724 and ISO 965 as printed elsewhere. Millimetres.

"seen": the values themselves stood in the source named. The tolerance tables of the program are
from memory, so these sources are independent of them. Slips of the web copies (one digit in
M9x1, M11x1.5) are left out.
"""

from __future__ import annotations

import math

import pytest

from turnsketch.part.tables import table
from turnsketch.part.thread_form import (
    basic_minor,
    basic_pitch_diameter,
    root_diameter,
    sharp_height,
)
from turnsketch.part.threads import Thread, read_thread
from turnsketch.part.threads_metric import coarse_pitch, fine_pitches, metric_class, metric_limits


def shown(value: float) -> float:
    return round(value, 3)


# ISO 724, basic sizes: seen in a technical handbook's extract of DIN 13-1 (d2, d3, D1; M3 to M64).
Basic = tuple[float, float, float, float, float]

HANDBOOK: list[Basic] = [
    (3, 0.5, 2.675, 2.387, 2.459), (4, 0.7, 3.545, 3.141, 3.242), (5, 0.8, 4.480, 4.019, 4.134),
    (6, 1, 5.350, 4.773, 4.917), (8, 1.25, 7.188, 6.466, 6.647), (10, 1.5, 9.026, 8.160, 8.376),
    (12, 1.75, 10.863, 9.853, 10.106), (16, 2, 14.701, 13.546, 13.835),
    (20, 2.5, 18.376, 16.933, 17.294), (24, 3, 22.051, 20.319, 20.752),
    (30, 3.5, 27.727, 25.706, 26.211), (36, 4, 33.402, 31.093, 31.670),
    (42, 4.5, 39.077, 36.479, 37.129), (48, 5, 44.752, 41.866, 42.587),
    (56, 5.5, 52.428, 49.252, 50.046), (64, 6, 60.103, 56.639, 57.505),
]  # fmt: skip

# The sizes of second choice: seen in a tap catalogue of 2022 (d2, d3, D1).
SECOND: list[Basic] = [
    (3.5, 0.6, 3.110, 2.764, 2.850), (7, 1, 6.350, 5.773, 5.917), (14, 2, 12.701, 11.546, 11.835),
    (18, 2.5, 16.376, 14.933, 15.294),
]  # fmt: skip

# Fine pitches: computed by d2 = d - 0.649519 P, d3 = d - 1.226869 P, D1 = d - 1.082532 P.
FINE: list[Basic] = [
    (6, 0.75, 5.513, 5.080, 5.188), (8, 1, 7.350, 6.773, 6.917), (8, 0.75, 7.513, 7.080, 7.188),
    (10, 1.25, 9.188, 8.466, 8.647), (10, 1, 9.350, 8.773, 8.917),
    (12, 1.5, 11.026, 10.160, 10.376), (12, 1.25, 11.188, 10.466, 10.647),
    (14, 1.5, 13.026, 12.160, 12.376), (16, 1.5, 15.026, 14.160, 14.376),
    (20, 1.5, 19.026, 18.160, 18.376), (20, 2, 18.701, 17.546, 17.835),
    (24, 2, 22.701, 21.546, 21.835), (30, 2, 28.701, 27.546, 27.835),
    (36, 3, 34.051, 32.319, 32.752),
]  # fmt: skip


@pytest.mark.parametrize(("d", "pitch", "d2", "d3", "bore"), HANDBOOK + SECOND + FINE)
def test_basic_sizes(d: float, pitch: float, d2: float, d3: float, bore: float) -> None:
    assert shown(basic_pitch_diameter(d, pitch)) == d2
    assert shown(root_diameter(d, pitch)) == d3
    assert shown(basic_minor(d, pitch)) == bore


@pytest.mark.parametrize(("d", "pitch", "d2", "d3", "bore"), HANDBOOK + SECOND)
def test_coarse_pitches(d: float, pitch: float, d2: float, d3: float, bore: float) -> None:
    """ISO 261, seen on the same pages."""
    assert coarse_pitch(d) == pitch


@pytest.mark.parametrize(("d", "pitch", "d2", "d3", "bore"), FINE)
def test_fine_pitches(d: float, pitch: float, d2: float, d3: float, bore: float) -> None:
    """ISO 261, from memory and seen on several web lists."""
    assert pitch in fine_pitches(d)


def test_profile() -> None:
    """H = 0.866025 P, thread depth 0.54125 P (seen: Wikipedia, ISO metric screw thread)."""
    assert sharp_height(1) == pytest.approx(0.866025, abs=5e-7)
    assert 5 / 8 * sharp_height(1) == pytest.approx(0.54125, abs=2e-5)


# Outside 6g: major max and min, pitch diameter max and min. Seen: metric external thread chart
# after ASME B1.13M on four web pages, which agree.
OUTSIDE_6G = [
    ("M1.6x0.35", 1.581, 1.496, 1.354, 1.291), ("M2x0.4", 1.981, 1.886, 1.721, 1.654),
    ("M2.5x0.45", 2.480, 2.380, 2.188, 2.117), ("M3", 2.980, 2.874, 2.655, 2.580),
    ("M3x0.35", 2.981, 2.896, 2.754, 2.687), ("M3.5", 3.479, 3.354, 3.089, 3.004),
    ("M4", 3.978, 3.838, 3.523, 3.433), ("M4x0.5", 3.980, 3.874, 3.655, 3.580),
    ("M5", 4.976, 4.826, 4.456, 4.361), ("M5x0.5", 4.980, 4.874, 4.655, 4.580),
    ("M6", 5.974, 5.794, 5.324, 5.212), ("M6x0.75", 5.978, 5.838, 5.491, 5.391),
    ("M6x0.5", 5.980, 5.874, 5.655, 5.570), ("M7", 6.974, 6.794, 6.324, 6.212),
    ("M8", 7.972, 7.760, 7.160, 7.042), ("M8x1", 7.974, 7.794, 7.324, 7.212),
    ("M8x0.75", 7.978, 7.838, 7.491, 7.391), ("M8x0.5", 7.980, 7.874, 7.655, 7.570),
    ("M9x1.25", 8.972, 8.760, 8.160, 8.042), ("M10", 9.968, 9.732, 8.994, 8.862),
    ("M10x1.25", 9.972, 9.760, 9.160, 9.042), ("M10x1", 9.974, 9.794, 9.324, 9.212),
    ("M10x0.75", 9.978, 9.838, 9.491, 9.391), ("M11", 10.968, 10.732, 9.994, 9.862),
    ("M11x1", 10.974, 10.794, 10.324, 10.212), ("M12x1.25", 11.972, 11.760, 11.160, 11.028),
    ("M12x1", 11.974, 11.794, 11.324, 11.206), ("M12x0.5", 11.980, 11.874, 11.655, 11.565),
]  # fmt: skip

# The larger ones. M12, M20, M24: package screw_thread_lib 0.0.6 (values of ASME B1.13M; its pitch
# diameter min of M12, 10.674, is a slip); M16, M30, M36: from memory of ISO 965-2.
OUTSIDE_6G_LARGE = [
    ("M12", 11.966, 11.701, 10.829, 10.679), ("M16", 15.962, 15.682, 14.663, 14.503),
    ("M20", 19.958, 19.623, 18.334, 18.164), ("M24", 23.952, 23.577, 22.003, 21.803),
    ("M30", 29.947, 29.522, 27.674, 27.462), ("M36", 35.940, 35.465, 33.342, 33.118),
]  # fmt: skip


def outside(thread: Thread) -> tuple[float, float, float, float]:
    major, middle = thread.major, thread.pitch_diameter
    return shown(major.upper), shown(major.lower), shown(middle.upper), shown(middle.lower)


@pytest.mark.parametrize(
    ("text", "major_max", "major_min", "pitch_max", "pitch_min"), OUTSIDE_6G + OUTSIDE_6G_LARGE
)
def test_limits_outside_6g(
    text: str, major_max: float, major_min: float, pitch_max: float, pitch_min: float
) -> None:
    assert outside(read_thread(text)) == (major_max, major_min, pitch_max, pitch_min)


@pytest.mark.parametrize(
    ("text", "limits"),
    # Seen: metric thread chart of an engineering reference page (classes 6h and 4g6g).
    [
        ("M1.6-6h", (1.600, 1.515, 1.373, 1.310)), ("M1.6-4g6g", (1.581, 1.496, 1.354, 1.314)),
        ("M2-6h", (2.000, 1.905, 1.740, 1.673)), ("M2-4g6g", (1.981, 1.886, 1.721, 1.679)),
        ("M2.5-4g6g", (2.480, 2.380, 2.188, 2.143)), ("M3-6h", (3.000, 2.894, 2.675, 2.600)),
        ("M3-4g6g", (2.980, 2.874, 2.655, 2.607)), ("M3.5-4g6g", (3.479, 3.354, 3.089, 3.036)),
        ("M4-6h", (4.000, 3.860, 3.545, 3.455)), ("M4-4g6g", (3.978, 3.838, 3.523, 3.467)),
        ("M5-6h", (5.000, 4.850, 4.480, 4.385)), ("M5-4g6g", (4.976, 4.826, 4.456, 4.396)),
    ],
)  # fmt: skip
def test_limits_of_other_classes(text: str, limits: tuple[float, float, float, float]) -> None:
    assert outside(read_thread(text)) == limits


@pytest.mark.parametrize(
    ("text", "flat", "round_root"),
    # Minor diameter, flat root max and round root min; the same chart.
    [("M3", 2.438, 2.272), ("M4", 3.220, 3.002), ("M5", 4.110, 3.868), ("M6", 4.891, 4.596),
     ("M8", 6.619, 6.272), ("M10", 8.344, 7.938), ("M10x1", 8.891, 8.596),
     ("M12x1", 10.891, 10.590)],
)  # fmt: skip
def test_root_of_an_outside_thread(text: str, flat: float, round_root: float) -> None:
    thread = read_thread(text)
    # The chart rounds on another way: one unit of its last place.
    assert thread.minor.upper == pytest.approx(flat, abs=1.01e-3)
    assert thread.minor.lower == pytest.approx(round_root, abs=1.01e-3)
    # It is what a tip of radius P/8 leaves at the least pitch diameter.
    tip = thread.full_depth(thread.pitch / 8, thread.pitch_diameter.lower)
    assert tip == pytest.approx(round_root, abs=1.01e-3)


# Inside 6H: bore min and max, pitch diameter min and max, major max.
# Seen: internal thread chart after ASME B1.13M-1995 of an engineering reference page.
INSIDE_6H = [
    ("M9x1.25", 7.647, 7.912, 8.188, 8.348, 9.340), ("M9x0.75", 8.188, 8.378, 8.513, 8.645, 9.240),
    ("M9x0.5", 8.459, 8.599, 8.675, 8.787, 9.184), ("M10", 8.376, 8.676, 9.026, 9.206, 10.396),
    ("M10x1.25", 8.647, 8.912, 9.188, 9.348, 10.340), ("M10x1", 8.917, 9.153, 9.350, 9.500, 10.294),
    ("M10x0.75", 9.188, 9.378, 9.513, 9.645, 10.240),
    ("M10x0.5", 9.459, 9.599, 9.675, 9.787, 10.184),
    ("M11x1", 9.917, 10.153, 10.350, 10.500, 11.294),
    ("M12", 10.106, 10.441, 10.863, 11.063, 12.453),
    ("M12x1.5", 10.376, 10.676, 11.026, 11.216, 12.406),
    ("M12x1.25", 10.647, 10.912, 11.188, 11.368, 12.360),
    ("M12x1", 10.917, 11.153, 11.350, 11.510, 12.304),
    ("M14", 11.835, 12.210, 12.701, 12.913, 14.501),
    ("M14x1.5", 12.376, 12.676, 13.026, 13.216, 14.406),
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "bore_min", "bore_max", "pitch_min", "pitch_max", "major_max"), INSIDE_6H
)
def test_limits_inside_6h(
    text: str,
    bore_min: float,
    bore_max: float,
    pitch_min: float,
    pitch_max: float,
    major_max: float,
) -> None:
    thread = read_thread(f"{text}-6H")
    assert (shown(thread.minor.lower), shown(thread.minor.upper)) == (bore_min, bore_max)
    middle = thread.pitch_diameter
    assert (shown(middle.lower), shown(middle.upper)) == (pitch_min, pitch_max)
    # A reference: flat of P/24 at the root; the chart cuts off or rounds the last place.
    assert thread.major.upper == pytest.approx(major_max, abs=1.01e-3)


def test_a_pitch_beyond_the_table() -> None:
    """M12x0.5 6H: the same page has 11.795; the formula's 0.1187 is rounded to 0.118, not 0.120."""
    found = read_thread("M12x0.5-6H").pitch_diameter
    assert (found.lower, found.upper) == pytest.approx((11.675, 11.795), abs=2.1e-3)


@pytest.mark.parametrize(
    ("text", "bore_max", "pitch_max"),
    # M20, M24: package screw_thread_lib 0.0.6; the others from memory of ISO 965-2.
    [("M3", 2.599, 2.775), ("M4", 3.422, 3.663), ("M5", 4.334, 4.605), ("M6", 5.153, 5.500),
     ("M8", 6.912, 7.348), ("M16", 14.210, 14.913), ("M20", 17.744, 18.600),
     ("M24", 21.252, 22.316), ("M30", 26.771, 28.007), ("M36", 32.270, 33.702)],
)  # fmt: skip
def test_limits_inside_6h_coarse(text: str, bore_max: float, pitch_max: float) -> None:
    thread = read_thread(text, inside=True)
    assert shown(thread.minor.upper) == bore_max
    assert shown(thread.pitch_diameter.upper) == pitch_max


@pytest.mark.parametrize(
    ("text", "upper"),
    # Seen: limits of nuts ISO 6H in a tap catalogue of 2022.
    [("M1.6", 1.458), ("M2", 1.830), ("M2.5", 2.303), ("M3", 2.775), ("M3.5", 3.222),
     ("M4", 3.663), ("M5", 4.605), ("M6", 5.500), ("M7", 6.500), ("M8", 7.348), ("M9", 8.348),
     ("M10", 9.206), ("M11", 10.206), ("M12", 11.063), ("M14", 12.913), ("M16", 14.913),
     ("M18", 16.600)],
)  # fmt: skip
def test_pitch_diameter_inside_6h(text: str, upper: float) -> None:
    assert shown(read_thread(f"{text}-6H").pitch_diameter.upper) == upper


@pytest.mark.parametrize(
    ("d", "grades"),
    # Seen: a tap catalogue of 2021, tolerances of classes 4H, 5H and 6H in micrometres.
    [(2, (56, 71, 90)), (2.5, (60, 75, 95)), (3, (63, 80, 100)), (3.5, (71, 90, 112)),
     (4, (75, 95, 118)), (5, (80, 100, 125)), (6, (95, 118, 150)), (8, (100, 125, 160))],
)  # fmt: skip
def test_grades_inside(d: float, grades: tuple[int, int, int]) -> None:
    pitch = coarse_pitch(d)
    assert pitch is not None
    for grade, width in zip((4, 5, 6), grades, strict=True):
        middle = metric_limits(d, pitch, metric_class(f"{grade}H")).pitch_diameter
        assert (middle.upper - middle.lower) * 1000 == pytest.approx(width, abs=1e-6)


@pytest.mark.parametrize(
    ("pitch", "um"),
    # ISO 965-1, from memory; 2 mm is 38, where the formula 15 + 11 P gives 37. Seen in the same
    # catalogue for 0.5 to 1.25.
    [(0.5, 20), (0.6, 21), (0.7, 22), (0.8, 24), (1, 26), (1.25, 28), (1.5, 32), (1.75, 34),
     (2, 38), (2.5, 42), (3, 48), (3.5, 53), (4, 60)],
)  # fmt: skip
def test_position_g(pitch: float, um: float) -> None:
    outer = metric_limits(30, pitch, metric_class("6g"))
    inner = metric_limits(30, pitch, metric_class("6G"))
    assert (30 - outer.major.upper) * 1000 == pytest.approx(um, abs=1e-6)
    basic = round(basic_minor(30, pitch), 3)
    assert (inner.minor.lower - basic) * 1000 == pytest.approx(um, abs=1e-6)


@pytest.mark.parametrize("grade", [3, 4, 5, 6, 7, 8, 9])
@pytest.mark.parametrize(
    ("low", "high", "pitch"),
    [(2.8, 5.6, 0.8), (5.6, 11.2, 1.0), (5.6, 11.2, 1.5), (11.2, 22.4, 1.75), (11.2, 22.4, 2.5),
     (22.4, 45.0, 3.0), (22.4, 45.0, 4.0), (45.0, 90.0, 6.0)],
)  # fmt: skip
def test_grades_follow_the_formula(low: float, high: float, pitch: float, grade: int) -> None:
    """ISO 965-1: Td2 = 90 P^0.4 d^0.1 for grade 6, others by ratio, rounded to R 40.

    The formula was seen in a public script that follows ASME B1.13M-2005; a step of R 40 is 6 %.
    """
    ratio = {3: 0.5, 4: 0.63, 5: 0.8, 6: 1, 7: 1.25, 8: 1.6, 9: 2}[grade]
    limits = metric_limits(high, pitch, metric_class(f"{grade}h6h")).pitch_diameter
    formula = 90 * pitch**0.4 * math.sqrt(low * high) ** 0.1 * ratio
    assert (limits.upper - limits.lower) * 1000 == pytest.approx(formula, rel=0.06)


def test_every_cell_of_the_tables_follows_its_formula() -> None:
    """The tables of ISO 965-1 are from memory; a step of R 40 is 6 %, the formula off it 1 %.

    Crest tolerances: Td = 180 P^(2/3) - 3.15 P^(-1/2), TD1 = 230 P^0.7, below 1 mm
    433 P - 190 P^1.22 (the same script, seen).
    """
    ratio = {3: 0.5, 4: 0.63, 5: 0.8, 6: 1, 7: 1.25, 8: 1.6, 9: 2}
    cells = 0
    for row in table("iso965_pitch_diameter"):
        mean = math.sqrt(float(row["over_mm"]) * float(row["upto_mm"]))
        basic = 90 * float(row["pitch"]) ** 0.4 * mean**0.1
        basic *= 1.32 if row["thread"] == "inside" else 1
        for grade, share in ratio.items():
            if row[f"g{grade}"]:
                cells += 1
                assert float(row[f"g{grade}"]) == pytest.approx(basic * share, rel=0.07), row
    for row in table("iso965_crests"):
        pitch = float(row["pitch"])
        crest = 180 * pitch ** (2 / 3) - 3.15 / math.sqrt(pitch)
        bore = 230 * pitch**0.7 if pitch >= 1 else 433 * pitch - 190 * pitch**1.22
        for name, basic in (("td", crest), ("td1", bore)):
            for grade, share in ratio.items():
                if row.get(f"{name}_{grade}"):
                    cells += 1
                    found = float(row[f"{name}_{grade}"])
                    assert found == pytest.approx(basic * share, rel=0.07), row
        for column, start in (("es_e", -50), ("es_f", -30), ("es_g", -15), ("ei_G", 15)):
            if row[column]:
                cells += 1
                away = start + math.copysign(11 * pitch, start)
                assert float(row[column]) == pytest.approx(away, rel=0.101), row
    assert cells == 703
