"""Morse tapers 0 to 6 and other cones by name. Inches where the sources have them."""

from __future__ import annotations

import math

import pytest

from turnsketch.errors import InputError
from turnsketch.part.cones import cone_names, read_cone

# Taper an inch and a foot, diameter at the end of the socket, plug depth and diameter at the
# plug's small end: seen on an engineering reference page and (but for the plug depth) a
# vintage-machinery wiki, which agree.
MORSE = [
    (0, 0.62460, 0.3561, 2.0, 0.252),
    (1, 0.59858, 0.475, 2.125, 0.369),
    (2, 0.59941, 0.700, 2.5625, 0.572),
    (3, 0.60235, 0.938, 3.1875, 0.778),
    (4, 0.62326, 1.231, 4.0625, 1.020),
    (5, 0.63151, 1.748, 5.1875, 1.475),
    (6, 0.62565, 2.494, 7.25, 2.116),
]


@pytest.mark.parametrize(("number", "per_foot", "gauge", "depth", "small"), MORSE)
def test_morse(number: int, per_foot: float, gauge: float, depth: float, small: float) -> None:
    cone = read_cone(f"Morse {number}")
    # The ratios 1:x have five figures.
    assert cone.taper * 12 == pytest.approx(per_foot, abs=3e-5)
    # Inches there are rounded to 0.001 (Morse 0: 0.0001).
    assert cone.gauge is not None
    assert cone.gauge / 25.4 == pytest.approx(gauge, abs=5.1e-4)
    assert cone.diameter_at(depth * 25.4) / 25.4 == pytest.approx(small, abs=6e-4)


@pytest.mark.parametrize(
    ("number", "gauge"),
    # Seen on a woodturning page (1 to 6); Morse 0 also on an arbor page.
    [(0, 9.045), (1, 12.065), (2, 17.780), (3, 23.825), (4, 31.267), (5, 44.399), (6, 63.348)],
)
def test_gauge_diameter(number: int, gauge: float) -> None:
    assert read_cone(f"MT{number}").gauge == gauge


@pytest.mark.parametrize(
    ("number", "half"),
    # Half angles by atan(C / 2) of the ratios 1:x.
    [(0, 1.4908), (1, 1.4287), (2, 1.4307), (3, 1.4377), (4, 1.4876), (5, 1.5073), (6, 1.4933)],
)
def test_half_angle(number: int, half: float) -> None:
    assert math.degrees(read_cone(f"MK {number}").half_angle) == pytest.approx(half, abs=6e-5)


@pytest.mark.parametrize(
    ("number", "protrusion"),
    # Seen on an arbor page: how far the cone stands out of the socket, mm.
    [(0, 3.0), (1, 3.5), (2, 5.0), (3, 5.0), (4, 6.5), (5, 6.5)],
)
def test_protrusion(number: int, protrusion: float) -> None:
    assert read_cone(f"Morse {number}").protrusion == protrusion


@pytest.mark.parametrize(
    ("name", "large"),
    # D1 of ISO 296, from memory, there rounded to 0.1.
    [("Morse 0", 9.2), ("Morse 1", 12.2), ("Morse 2", 18), ("Morse 3", 24.1), ("Morse 4", 31.6),
     ("Morse 5", 44.7), ("Morse 6", 63.8), ("metric 4", 4.1), ("metric 6", 6.2),
     ("metric 80", 80.4), ("metric 100", 100.5)],
)  # fmt: skip
def test_large_end(name: str, large: float) -> None:
    # Morse 0 is 9.201, Morse 3 24.076, Morse 6 63.765.
    assert read_cone(name).large == pytest.approx(large, abs=0.06)


def test_lengths_hold_together() -> None:
    """Computed: the small end is gauge - C x length, to the table's 0.1."""
    shanks = [name for name in cone_names() if name.startswith(("Morse", "metric"))]
    assert len(shanks) == 14
    for name in shanks:
        cone = read_cone(name)
        assert cone.length is not None
        assert cone.diameter_at(cone.length) == pytest.approx(cone.small, abs=0.0501), name


@pytest.mark.parametrize(
    ("text", "included"),
    # ISO 1119, membership from memory; computed by 2 atan(C / 2).
    [("1:10", 5.724810), ("1:20", 2.864192), ("1:3", 18.924644), ("7:24", 16.594290),
     ("1:50", 1.145877), ("metric 80", 2.864192)],
)  # fmt: skip
def test_ratios(text: str, included: float) -> None:
    cone = read_cone(text)
    assert 2 * math.degrees(cone.half_angle) == pytest.approx(included, abs=1e-6)


def test_gauge_that_stands_off() -> None:
    """Common practice: it stands off by e, feed in e C on the diameter."""
    assert read_cone("1:10").infeed_for(2.5) == pytest.approx(0.25)
    assert read_cone("1:10").diameter_at(80, 40) == pytest.approx(32)


def test_cones_that_are_none() -> None:
    with pytest.raises(InputError, match=r"no Morse taper 8: there are 0, 1, 2, 3, 4, 5, 6"):
        read_cone("MT 8")
    with pytest.raises(InputError, match="metric taper 90"):
        read_cone("metric 90")
    for text in ("", "cone", "1:", "0:5", "1:0", "9:1", "Morse"):
        with pytest.raises(InputError, match="is no cone"):
            read_cone(text)
    with pytest.raises(InputError, match="no gauge diameter"):
        read_cone("1:10").diameter_at(5)
