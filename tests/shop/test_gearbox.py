"""What a lathe's gearbox cuts, and when its half-nuts may be opened."""

from __future__ import annotations

import json
from typing import Any

import msgspec
import pytest

from turnsketch.errors import InputError
from turnsketch.shop.files import demo_shop, loads_shop
from turnsketch.shop.gearbox import HalfNuts, thread_gearing
from turnsketch.shop.records import Lathe, ThreadDial
from turnsketch.strict_json import pretty

METRIC = (0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0)
INCH = (8.0, 10.0, 11.0, 13.0, 16.0, 20.0, 24.0)


def lathe(leadscrew: float, dial: tuple[ThreadDial, ...] = ()) -> Lathe:
    return msgspec.structs.replace(
        demo_shop().lathes[0],
        leadscrew_pitch_mm=leadscrew,
        thread_pitches_mm=METRIC,
        threads_per_inch=INCH,
        thread_dial=dial,
    )


DIAL = (
    ThreadDial("any line", pitches_mm=(1.5, 3.0)),
    ThreadDial("1 or 3", pitches_mm=(1.75,), threads_per_inch=(13.0,)),
)


@pytest.mark.parametrize(
    ("leadscrew", "dial", "pitch", "setting", "half_nuts", "marks"),
    [
        # 3 mm leadscrew: a whole multiple of 1, 1.5, 0.75, 0.5 and 3.
        (3.0, (), 1.5, "1.5 mm", "any place", ""),
        (3.0, DIAL, 1.5, "1.5 mm", "any place", ""),
        (3.0, (), 1.75, "1.75 mm", "stay closed", ""),
        (3.0, DIAL, 1.75, "1.75 mm", "by the dial", "1 or 3"),
        (3.0, DIAL, 2.0, "2 mm", "stay closed", ""),
        (3.0, DIAL, 25.4 / 13, "13 threads an inch", "by the dial", "1 or 3"),
        # 8 threads an inch: 16 and 24 come in anywhere, 20 does not.
        (25.4 / 8, (), 25.4 / 16, "16 threads an inch", "any place", ""),
        (25.4 / 8, (), 25.4 / 8, "8 threads an inch", "any place", ""),
        (25.4 / 8, (), 25.4 / 20, "20 threads an inch", "stay closed", ""),
        # A leadscrew finer than the thread never does.
        (1.5, (), 3.0, "3 mm", "stay closed", ""),
        (0.0, (), 1.0, "1 mm", "stay closed", ""),
    ],
)
def test_half_nuts(
    leadscrew: float,
    dial: tuple[ThreadDial, ...],
    pitch: float,
    setting: str,
    half_nuts: HalfNuts,
    marks: str,
) -> None:
    gearing = thread_gearing(lathe(leadscrew, dial), pitch)
    assert gearing.possible
    assert (gearing.setting, gearing.half_nuts, gearing.marks) == (setting, half_nuts, marks)


def test_a_pitch_that_the_lathe_does_not_cut() -> None:
    gearing = thread_gearing(lathe(3.0, DIAL), 25.4 / 18)
    assert not gearing.possible
    assert gearing.half_nuts == "stay closed"
    # 1.4111 mm; the nearest is 1.5.
    assert gearing.nearest == "1.5 mm"
    assert gearing.nearest_pitch == 1.5


def test_a_lathe_without_gears() -> None:
    plain = msgspec.structs.replace(lathe(3.0), thread_pitches_mm=(), threads_per_inch=())
    gearing = thread_gearing(plain, 1.5)
    assert not gearing.possible
    assert (gearing.nearest, gearing.nearest_pitch) == ("", None)


@pytest.mark.parametrize(
    ("field", "value", "place"),
    [
        ("leadscrew_pitch_mm", -1, r"lathes\[0\]\.leadscrew_pitch_mm"),
        ("thread_pitches_mm", [1.0, 0.0], r"lathes\[0\]\.thread_pitches_mm"),
        ("threads_per_inch", [-8], r"lathes\[0\]\.threads_per_inch"),
        ("thread_dial", [{"marks": " "}], r"lathes\[0\]\.thread_dial\[0\]"),
        ("thread_dial", [{"marks": "1", "pitches_mm": [0]}], r"thread_dial\[0\]\.pitches_mm"),
    ],
)
def test_faults_in_a_shop_file(field: str, value: object, place: str) -> None:
    tree: Any = json.loads(pretty(demo_shop()))
    tree["lathes"][0][field] = value
    with pytest.raises(InputError, match=place):
        loads_shop(json.dumps(tree).encode(), "shop.json")


@pytest.mark.parametrize(
    ("number", "wheel_mm", "lines"),
    # A dial turns once while the carriage goes `wheel_mm` with the half-nuts open. First lathe: a
    # wheel of 20 teeth on the 3 mm screw, 4 marks; third: 32 teeth on 8 threads an inch, 8 lines.
    [(0, 20 * 3.0, 4), (2, 32 * 25.4 / 8, 8)],
)
def test_dials_of_the_built_in_shop(number: int, wheel_mm: float, lines: int) -> None:
    """Computed: from line to line the carriage goes a whole number of pitches, and not in less."""
    every = {"any mark": 1, "any line": 1, "any numbered line": 2, "1 or 3": lines // 2, "1": lines}
    lathe = demo_shop().lathes[number]
    assert lathe.thread_dial
    for line in lathe.thread_dial:
        way = wheel_mm / lines * every[line.marks]
        pitches = [*line.pitches_mm, *(25.4 / tpi for tpi in line.threads_per_inch)]
        assert pitches
        for pitch in pitches:
            assert way / pitch == pytest.approx(round(way / pitch), abs=1e-9)
            gearing = thread_gearing(lathe, pitch)
            assert (gearing.half_nuts, gearing.marks) == ("by the dial", line.marks)
            if every[line.marks] > 1:
                half = way / pitch / 2
                assert abs(half - round(half)) > 0.1


def test_common_threads_on_the_built_in_lathes() -> None:
    metric, both, inch = demo_shop().lathes
    assert thread_gearing(metric, 1.5).half_nuts == "any place"
    assert thread_gearing(metric, 1.75).half_nuts == "stay closed"
    assert thread_gearing(metric, 1.75).possible
    assert thread_gearing(both, 25.4 / 13).setting == "13 threads an inch"
    assert not thread_gearing(inch, 1.75).possible
    assert thread_gearing(inch, 25.4 / 16).half_nuts == "any place"
