"""Grooves for retaining rings against DIN 471 and DIN 472. Millimetres."""

from __future__ import annotations

import pytest

from turnsketch.errors import InputError
from turnsketch.part.limits import fit_limits
from turnsketch.part.ring_grooves import read_ring, ring_groove, ring_sizes
from turnsketch.part.tables import table


@pytest.mark.parametrize(
    ("shaft", "thickness", "bottom", "deviation", "width", "land"),
    # Seen: a fastener supplier's table of DIN 471, independent of the program's table. Its
    # deviations of d2 are rounded (h10 at 6.7 is 0.058).
    [(3, 0.4, 2.8, 0.04, 0.5, 0.3), (4, 0.4, 3.8, 0.048, 0.5, 0.3), (5, 0.6, 4.8, 0.048, 0.7, 0.3),
     (6, 0.7, 5.7, 0.048, 0.8, 0.5), (7, 0.8, 6.7, 0.06, 0.9, 0.5), (8, 0.8, 7.6, 0.06, 0.9, 0.6),
     (9, 1, 8.6, 0.06, 1.1, 0.6), (10, 1, 9.6, 0.06, 1.1, 0.6), (11, 1, 10.5, 0.11, 1.1, 0.8),
     (12, 1, 11.5, 0.11, 1.1, 0.8), (13, 1, 12.4, 0.11, 1.1, 0.9), (14, 1, 13.4, 0.11, 1.1, 0.9),
     (15, 1, 14.3, 0.11, 1.1, 1.1), (16, 1, 15.2, 0.11, 1.1, 1.2), (17, 1, 16.2, 0.11, 1.1, 1.2),
     (18, 1.2, 17, 0.11, 1.3, 1.5)],
)  # fmt: skip
def test_shafts(
    shaft: float, thickness: float, bottom: float, deviation: float, width: float, land: float
) -> None:
    groove = ring_groove(shaft)
    assert (groove.ring_thickness, groove.bottom.nominal) == (thickness, bottom)
    assert groove.bottom.upper == bottom
    assert bottom - groove.bottom.lower == pytest.approx(deviation, abs=2.1e-3)
    assert (groove.width.nominal, groove.land) == (width, land)
    # H13 to 3 mm: 0.14.
    assert (groove.width.lower, groove.width.upper) == pytest.approx((width, width + 0.14))


@pytest.mark.parametrize(
    ("shaft", "bottom", "width"),
    # DIN 471, from memory.
    [(20, 19, 1.3), (25, 23.9, 1.3), (30, 28.6, 1.6), (35, 33, 1.6), (40, 37.5, 1.85),
     (45, 42.5, 1.85), (50, 47, 2.15), (60, 57, 2.15), (80, 76.5, 2.65), (100, 96.5, 3.15)],
)  # fmt: skip
def test_larger_shafts(shaft: float, bottom: float, width: float) -> None:
    groove = ring_groove(shaft)
    assert (groove.bottom.nominal, groove.width.nominal) == (bottom, width)


@pytest.mark.parametrize(
    ("bore", "bottom", "width"),
    # DIN 472, from memory.
    [(10, 10.4, 1.1), (16, 16.8, 1.1), (20, 21, 1.1), (22, 23, 1.1), (26, 27.2, 1.3),
     (28, 29.4, 1.3), (30, 31.4, 1.3), (32, 33.7, 1.3), (35, 37, 1.6), (40, 42.5, 1.85),
     (47, 49.5, 1.85), (52, 55, 2.15), (62, 65, 2.15), (72, 75, 2.65), (80, 83.5, 2.65),
     (100, 103.5, 3.15)],
)  # fmt: skip
def test_bores(bore: float, bottom: float, width: float) -> None:
    groove = ring_groove(bore, inside=True)
    assert (groove.bottom.nominal, groove.width.nominal) == (bottom, width)
    assert groove.bottom.lower == bottom
    assert groove.designation == f"DIN 472 - {bore:g}x{groove.ring_thickness:g}"


@pytest.mark.parametrize("inside", [False, True])
def test_every_row_is_in_order(inside: bool) -> None:
    """d2 goes t into the metal, n = 3 t to 0.1, and the ring goes in with 0.1 or 0.15 to spare."""
    sizes = ring_sizes(inside=inside)
    assert sizes == tuple(sorted(set(sizes)))
    for size in sizes:
        groove = ring_groove(size, inside=inside)
        assert (groove.bottom.nominal > size) == inside
        assert groove.land == pytest.approx(3 * groove.depth, abs=0.16)
        spare = groove.width.lower - groove.ring_thickness
        assert spare == pytest.approx(0.1 if groove.ring_thickness < 2 else 0.15)
        assert groove.bottom.lower < groove.bottom.aim < groove.bottom.upper


def test_tolerance_class_of_the_bottom() -> None:
    """From memory of DIN 471: h10 to 10 mm, h11 to 22, h12 to 100, then h13; bores alike."""
    for name, letter in (("din471_grooves", "h"), ("din472_grooves", "H")):
        for row in table(name):
            size = float(row["d1"])
            small = 10 if letter == "h" and size <= 10 else 11
            grade = small if size <= 22 else 12 if size <= 100 else 13
            assert row["class"] == f"{letter}{grade}", (name, size)
    assert ring_groove(25).bottom.lower == fit_limits(23.9, "h12")[0]


def test_reading_a_ring() -> None:
    for text in ("25x1.2", "25", "Ø25 x 1,2", "DIN 471 - 25x1.2", " 25X1.2 "):
        assert read_ring(text).size == 25
    with pytest.raises(InputError, match=r"is 1\.2 thick, not 1\.5"):
        read_ring("25x1.5")
    with pytest.raises(InputError, match="no ring for a bore of 27 mm: the next is 26 or 28"):
        read_ring("27", inside=True)
    with pytest.raises(InputError, match="no ring for a shaft of 2 mm: the next is 3;"):
        read_ring("2")
    for text in ("", "ring", "25x", "-25", "25x1.2x3"):
        with pytest.raises(InputError, match="is no retaining ring"):
            read_ring(text)
