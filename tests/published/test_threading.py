"""Cutting and measuring threads: three wires, depth, infeed and speed, against worked figures."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from turnsketch.errors import InputError
from turnsketch.part.thread_form import best_wire, over_wires, pitch_diameter_from_wires, wire_range
from turnsketch.part.thread_infeed import infeed, top_slide_travel
from turnsketch.part.threads import read_thread, thread_speed_rpm, wire_check


def over(diameter: float, tpi: float, wire: float) -> float:
    """Return M for the basic thread: d2 = D - 0.649519 / n, inches."""
    return over_wires(diameter - 0.75 * math.sqrt(0.75) / tpi, 1 / tpi, wire)


@pytest.mark.parametrize(
    ("diameter", "tpi", "wire", "reading", "places"),
    [
        # F. D. Jones, Turning and Boring (1914), worked example, seen: 1 1/2 in, 6 threads an
        # inch, wire 0.140: 1.6674. His constant is 1.5155, exact 1.515544.
        (1.5, 6, 0.140, 1.6674, 1e-4),
        # A machinists' society page, seen: 7/16-14, wire 0.045, formula D + 3W - 1.5155/N: 0.464.
        (0.4375, 14, 0.045, 0.464, 5e-4),
        # US Army subcourse OD1645, formula and inputs seen (1/2 in, 12 threads, 0.04811); the
        # result computed from them.
        (0.5, 12, 0.04811, 0.51804, 1e-5),
    ],
)
def test_reading_over_wires_of_inch_threads(
    diameter: float, tpi: float, wire: float, reading: float, places: float
) -> None:
    assert over(diameter, tpi, wire) == pytest.approx(reading, abs=places)


@pytest.mark.parametrize(
    ("text", "best", "reading"),
    # Computed: W = P / sqrt(3), M = d + 3 W - 1.515544 P at basic size.
    [("M10", 0.8660, 10.3248), ("M12", 1.0104, 12.3789), ("M16", 1.1547, 16.4330),
     ("M20", 1.4434, 20.5413), ("M24", 1.7321, 24.6495), ("M36", 2.3094, 36.8660)],
)  # fmt: skip
def test_reading_over_best_wires(text: str, best: float, reading: float) -> None:
    thread = read_thread(text)
    wire = best_wire(thread.pitch)
    assert wire == pytest.approx(best, abs=5e-5)
    found = over_wires(thread.pitch_diameter.nominal, thread.pitch, wire)
    assert found == pytest.approx(reading, abs=6e-5)
    assert pitch_diameter_from_wires(found, thread.pitch, wire) == pytest.approx(
        thread.pitch_diameter.nominal, abs=1e-12
    )


def test_window_over_wires() -> None:
    """Worked: M12x1.75 6g over wires 1.0104: 12.195 to 12.345."""
    check = wire_check(read_thread("M12x1.75-6g"), 1.0104)
    assert (round(check.lower, 3), round(check.upper, 3)) == (12.195, 12.345)
    assert check.usable
    assert check.best == pytest.approx(1.0104, abs=5e-5)


def test_wires_that_do_not_serve() -> None:
    """Shop textbook, seen: 0.560/N to 0.900/N; for 7/16-14 it prints 0.040 to 0.064."""
    least, most = wire_range(1 / 14)
    assert (round(least, 3), round(most, 3)) == (0.040, 0.064)
    thread = read_thread("7/16-14 UNC")
    assert wire_check(thread, 0.045 * 25.4).usable
    assert not wire_check(thread, 0.039 * 25.4).usable
    assert not wire_check(thread, 0.066 * 25.4).usable
    with pytest.raises(InputError, match="plug gauge"):
        wire_check(read_thread("M12-6H"))
    with pytest.raises(InputError, match="greater than zero"):
        wire_check(read_thread("M12"), 0.0)


@pytest.mark.parametrize(("tip", "x"), [(0.10, 9.438), (0.20, 9.638), (0.25, 9.738)])
def test_full_depth_by_the_tools_tip(tip: float, x: float) -> None:
    """Worked: M12x1.75 6g, pitch diameter 10.754, X = d2 - H + 2 rho."""
    thread = read_thread("M12x1.75-6g")
    assert thread.pitch_diameter.aim == pytest.approx(10.754, abs=1e-9)
    assert thread.full_depth(tip) == pytest.approx(x, abs=5e-4)


def test_full_depth_inside() -> None:
    """Computed: X = D2 + H - 2 rho; at H/12 the tip stands H/24 a side beyond the nominal."""
    thread = read_thread("M12-6H")
    height = 1.75 * math.sqrt(0.75)
    x = thread.full_depth(height / 12, thread.pitch_diameter.nominal)
    assert x == pytest.approx(12 + height / 12, abs=1e-9)


def test_largest_tips_at_basic_size() -> None:
    """ISO 68-1: flanks straight to the mate's crest up to H/6 outside and H/12 inside."""
    height = 2 * math.sqrt(0.75)
    outside, inside = read_thread("M16-4h"), read_thread("M16-4H")
    # The aimed pitch diameter lies half the tolerance inside the metal: a third of it more play.
    slack = (outside.pitch_diameter.upper - outside.pitch_diameter.aim) / 3
    assert outside.greatest_tip_radius == pytest.approx(height / 6 + slack, abs=4e-4)
    slack = (inside.pitch_diameter.aim - inside.pitch_diameter.lower) / 3
    assert inside.greatest_tip_radius == pytest.approx(height / 12 + slack, abs=4e-4)


def test_top_slide_travel() -> None:
    """Worked: 1.096 at 29.5 degrees is 1.259."""
    assert top_slide_travel(1.096, math.radians(29.5)) == pytest.approx(1.259, abs=5e-4)


def test_speed_that_a_hand_follows() -> None:
    """Worked: free run 2.5 mm, pitch 1.75, 1 s: 86 rpm."""
    assert thread_speed_rpm(2.5, 1.75, 1.0) == pytest.approx(86, abs=0.5)


def test_passes_of_equal_area() -> None:
    """Computed: depths t sqrt(i / n); the area of a 60 degree groove is t^2 tan 30."""
    passes = infeed(12.0, 10.0, first=0.25, springs=0)
    assert len(passes) == 16
    assert [p.depth for p in passes] == pytest.approx([0.25 * math.sqrt(i) for i in range(1, 17)])
    areas = [b.depth**2 - a.depth**2 for a, b in pairwise(passes)]
    assert areas == pytest.approx([areas[0]] * len(areas))
    assert passes[-1].diameter == 10.0
