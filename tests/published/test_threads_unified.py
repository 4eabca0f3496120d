"""Unified threads against ASME B1.1 as printed elsewhere. Inches.

The program has the formulas of the standard and no table of limits, so every source is
independent of it.
"""

from __future__ import annotations

import pytest

from turnsketch.part.threads import read_thread
from turnsketch.units import INCH_MM


def limits(text: str) -> tuple[float, ...]:
    """Return lower and upper limit of major, pitch and minor diameter, inches."""
    thread = read_thread(text)
    sizes = (thread.major, thread.pitch_diameter, thread.minor)
    return tuple(round(v / INCH_MM, 4) for size in sizes for v in (size.lower, size.upper))


@pytest.mark.parametrize(
    ("size", "pitch_diameter", "bore"),
    # Basic sizes, computed: D - 0.649519/n and D - 1.082532/n.
    [("#6-32", 0.1177, 0.1042), ("#8-32", 0.1437, 0.1302), ("#10-24", 0.1629, 0.1449),
     ("#10-32", 0.1697, 0.1562), ("1/4-20", 0.2175, 0.1959), ("1/4-28", 0.2268, 0.2113),
     ("3/8-16", 0.3344, 0.3073), ("1/2-13", 0.4500, 0.4167), ("1/2-20", 0.4675, 0.4459),
     ("5/8-11", 0.5660, 0.5266), ("3/4-10", 0.6850, 0.6417), ("1-8", 0.9188, 0.8647)],
)  # fmt: skip
def test_basic_sizes(size: str, pitch_diameter: float, bore: float) -> None:
    thread = read_thread(size, inside=True)
    assert round(thread.pitch_diameter.nominal / INCH_MM, 4) == pitch_diameter
    assert round(thread.minor.nominal / INCH_MM, 4) == bore


# 2A: major max, min; pitch diameter max, min; minor max (flat root), min (round root).
# 2B: minor min, max; pitch diameter min, max.
# Package screw_thread_lib 0.0.6 (MIT), "values from ASME B1.1-2019".
PACKAGE = [
    ("#10-24", (0.1890, 0.1818, 0.1619, 0.1586, 0.1439, 0.1315), (0.145, 0.155, 0.1629, 0.1672)),
    ("#10-32", (0.1891, 0.1831, 0.1688, 0.1658, 0.1553, 0.1455), (0.156, 0.164, 0.1697, 0.1736)),
    ("1/4-20", (0.2489, 0.2408, 0.2164, 0.2127, 0.1948, 0.1802), (0.196, 0.207, 0.2175, 0.2224)),
    ("1/4-28", (0.2490, 0.2425, 0.2258, 0.2225, 0.2103, 0.1993), (0.211, 0.220, 0.2268, 0.2311)),
    ("1/2-13", (0.4985, 0.4876, 0.4485, 0.4435, 0.4152, 0.3935), (0.417, 0.434, 0.4500, 0.4565)),
    ("1/2-20", (0.4987, 0.4906, 0.4662, 0.4619, 0.4446, 0.4294), (0.446, 0.457, 0.4675, 0.4731)),
    ("3/4-10", (0.7482, 0.7353, 0.6832, 0.6773, 0.6399, 0.6123), (0.642, 0.663, 0.6850, 0.6927)),
    ("3/4-16", (0.7485, 0.7391, 0.7079, 0.7029, 0.6808, 0.6623), (0.682, 0.696, 0.7094, 0.7159)),
    ("1-8", (0.9980, 0.9830, 0.9168, 0.9101, 0.8627, 0.8289), (0.865, 0.890, 0.9188, 0.9276)),
    ("1-12", (0.9982, 0.9868, 0.9441, 0.9382, 0.9080, 0.8841), (0.910, 0.928, 0.9459, 0.9535)),
]  # fmt: skip


@pytest.mark.parametrize(("text", "outside", "inside"), PACKAGE)
def test_classes_2a_and_2b(
    text: str, outside: tuple[float, ...], inside: tuple[float, ...]
) -> None:
    major_low, major, low, high, root, flat = limits(f"{text}-2A")
    assert (major, major_low, high, low, flat, root) == outside
    _, _, low, high, bore_low, bore = limits(f"{text}-2B")
    assert (bore_low, bore, low, high) == inside


def test_a_special_thread() -> None:
    """1-14 UNS, the same package. Its bore, at most 0.938, is 0.938516 by the other rows' rule."""
    major_low, major, low, high, root, flat = limits("1-14 UNS-2A")
    assert (major, major_low, high, low, flat, root) == (
        0.9984,
        0.9881,
        0.9520,
        0.9467,
        0.9211,
        0.9003,
    )
    _, _, low, high, bore_low, bore = limits("1-14 UNS-2B")
    assert (bore_low, low, high) == (0.923, 0.9536, 0.9605)
    assert bore == pytest.approx(0.938, abs=1.01e-3)


# Outside: major max, min; pitch diameter max, min. Inside: minor max, min; pitch diameter max, min.
# Seen: an engineering reference site's table "Unified screw threads, standard series".
SMALL = [
    ("#0-80 UNF", "2", (0.0595, 0.0563, 0.0514, 0.0496), (0.0514, 0.0465, 0.0542, 0.0519)),
    ("#0-80 UNF", "3", (0.0600, 0.0568, 0.0519, 0.0506), (0.0514, 0.0465, 0.0536, 0.0519)),
    ("#1-64 UNC", "2", (0.0724, 0.0686, 0.0623, 0.0603), (0.0623, 0.0561, 0.0655, 0.0629)),
    ("#1-64 UNC", "3", (0.0730, 0.0692, 0.0629, 0.0614), (0.0623, 0.0561, 0.0648, 0.0629)),
    ("#1-72 UNF", "2", (0.0724, 0.0689, 0.0634, 0.0615), (0.0635, 0.0580, 0.0665, 0.0640)),
    ("#1-72 UNF", "3", (0.0730, 0.0695, 0.0640, 0.0626), (0.0635, 0.0580, 0.0659, 0.0640)),
    ("#2-56 UNC", "2", (0.0854, 0.0813, 0.0738, 0.0717), (0.0737, 0.0667, 0.0772, 0.0744)),
    ("#2-56 UNC", "3", (0.0860, 0.0819, 0.0744, 0.0728), (0.0737, 0.0667, 0.0765, 0.0744)),
    ("#2-64 UNF", "2", (0.0854, 0.0816, 0.0753, 0.0733), (0.0753, 0.0691, 0.0786, 0.0759)),
    ("#2-64 UNF", "3", (0.0860, 0.0822, 0.0759, 0.0744), (0.0753, 0.0691, 0.0779, 0.0759)),
    ("15/16-20 UNEF", "2", (0.9361, 0.9280, 0.9036, 0.8991), (0.8950, 0.8830, 0.9109, 0.9050)),
]  # fmt: skip


@pytest.mark.parametrize(("text", "grade", "outside", "inside"), SMALL)
def test_classes_2_and_3(
    text: str, grade: str, outside: tuple[float, ...], inside: tuple[float, ...]
) -> None:
    major_low, major, low, high, _, _ = limits(f"{text}-{grade}A")
    assert (major, major_low, high, low) == outside
    _, _, low, high, bore_low, bore = limits(f"{text}-{grade}B")
    assert (bore, bore_low, high, low) == inside


@pytest.mark.parametrize(
    ("text", "grade", "outside", "inside"),
    # The same table.
    [
        ("15/16-12 UN", "2", (0.9358, 0.9244, 0.8817, 0.8760), (0.8650, 0.8470, 0.8908, 0.8834)),
        ("15/16-12 UN", "3", (0.9375, 0.9261, 0.8834, 0.8793), (0.8575, 0.8470, 0.8889, 0.8834)),
        ("15/16-16 UN", "2", (0.9360, 0.9266, 0.8954, 0.8904), (0.8840, 0.8700, 0.9034, 0.8969)),
        ("15/16-16 UN", "3", (0.9375, 0.9281, 0.8969, 0.8932), (0.8783, 0.8700, 0.9018, 0.8969)),
    ],
)  # fmt: skip
def test_constant_pitch_series(
    text: str, grade: str, outside: tuple[float, ...], inside: tuple[float, ...]
) -> None:
    """The printed limits of these series were rounded on another way: 0.0001 in at most."""
    major_low, major, low, high, _, _ = limits(f"{text}-{grade}A")
    assert (major, major_low, high, low) == pytest.approx(outside, abs=1.01e-4)
    _, _, low, high, bore_low, bore = limits(f"{text}-{grade}B")
    assert (bore, bore_low, high, low) == pytest.approx(inside, abs=1.01e-4)


def test_all_classes_of_one_size() -> None:
    """5/8-11 UNC; seen: a web copy of the tables of ASME B1.1 (major, bore, pitch min outside)."""
    for grade, major, low, pitch_min in (
        ("1A", 0.6234, 0.6052, 0.5561),
        ("2A", 0.6234, 0.6113, None),
        ("3A", 0.6250, 0.6129, 0.5619),
    ):
        found = limits(f"5/8-11 UNC-{grade}")
        assert found[:2] == (low, major)
        if pitch_min is not None:
            assert found[2] == pitch_min
    for grade, bore in (("1B", 0.546), ("2B", 0.546), ("3B", 0.5391)):
        found = limits(f"5/8-11 UNC-{grade}")
        assert found[4:] == (0.527, bore)
        assert found[2] == 0.566


@pytest.mark.parametrize(
    ("text", "pitch_max", "bore_max", "bore_min"),
    # Seen: a sheet "Internal thread dimensions for UNC screw threads", 2B; its slips at 1/2
    # (bore min), 9/16 and 1 1/2 (pitch max) are left out.
    [("#4-40", 0.0991, 0.0939, 0.0849), ("#6-32", 0.1214, 0.1140, 0.1040),
     ("#8-32", 0.1475, 0.1390, 0.1300), ("#12-24", 0.1933, 0.1810, 0.1710),
     ("1/4-20", 0.2224, 0.2070, 0.1960), ("5/16-18", 0.2817, 0.2650, 0.2520),
     ("3/8-16", 0.3401, 0.3210, 0.3070), ("7/16-14", 0.3972, 0.3760, 0.3600),
     ("5/8-11", 0.5732, 0.5460, 0.5270), ("3/4-10", 0.6927, 0.6630, 0.6420),
     ("7/8-9", 0.8110, 0.7780, 0.7550), ("1-8", 0.9276, 0.8900, 0.8650),
     ("1 1/8-7", 1.0416, 0.9980, 0.9700), ("1 1/4-7", 1.1668, 1.1230, 1.0950),
     ("1 3/8-6", 1.2771, 1.2250, 1.1950), ("1 3/4-5", 1.6317, 1.5680, 1.5340),
     ("2-4.5", 1.8681, 1.7950, 1.7590)],
)  # fmt: skip
def test_coarse_series_2b(text: str, pitch_max: float, bore_max: float, bore_min: float) -> None:
    _, _, _, high, low, bore = limits(f"{text} UNC-2B")
    assert high == pitch_max
    assert (bore, low) == (bore_max, bore_min)


def test_number_sizes() -> None:
    """Seen: D = 0.060 + 0.013 N."""
    for number, tpi in ((0, 80), (4, 40), (8, 32), (12, 24)):
        thread = read_thread(f"#{number}-{tpi}")
        assert thread.diameter / INCH_MM == pytest.approx(0.060 + 0.013 * number, abs=1e-12)


def test_ratio_of_inside_to_outside() -> None:
    """ASME B1.1, from memory: 2B is 1.3 times 2A; 1A twice 3A. Limits are rounded to 0.0001."""
    for text in ("1/4-20 UNC", "1/2-13 UNC", "1-8 UNC", "2-4.5 UNC"):
        width = {
            g: limits(f"{text}-{g}")[3] - limits(f"{text}-{g}")[2] for g in ("1A", "2A", "3A", "2B")
        }
        assert width["2B"] == pytest.approx(1.3 * width["2A"], abs=1.5e-4)
        assert width["1A"] == pytest.approx(2 * width["3A"], abs=2e-4)
