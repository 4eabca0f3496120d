"""Knurls of DIN 82. Millimetres."""

from __future__ import annotations

import math

import pytest

from turnsketch.errors import InputError
from turnsketch.part.knurls import PITCHES, read_knurl


@pytest.mark.parametrize(
    ("text", "growth"),
    # RGV and RKV 0.33 t: RKV seen in a copy of DIN 82:1973-01. RAA 0.5 t: seen as tooth height in
    # a works guideline (0.4 for 0.8). RGE, RKE 0.67 t: from memory.
    [("RAA 0.8", 0.4), ("RAA 1.0", 0.5), ("RKV 1.0", 0.33), ("RGV 1.6", 0.528), ("RGE 1.0", 0.67),
     ("RKE 0.5", 0.335), ("RBL 1.2", 0.6)],
)  # fmt: skip
def test_blank_before_knurling(text: str, growth: float) -> None:
    knurl = read_knurl(text)
    assert knurl.growth == pytest.approx(growth, abs=1e-12)
    assert knurl.blank(20) == pytest.approx(20 - growth, abs=1e-12)


@pytest.mark.parametrize(
    ("wheel", "pitch", "straight", "slanting"),
    # DIN 403, wheels: diameter, pitch, teeth of form AA and of BL, BR, GE, GV. Seen in two copies.
    [(20, 0.5, 126, 109), (20, 0.6, 105, 91), (20, 0.8, 79, 68), (20, 1.0, 63, 54),
     (20, 1.2, 52, 45), (20, 1.6, 39, 34), (15, 0.5, 94, 82), (15, 0.8, 59, 51), (15, 1.2, 39, 34)],
)  # fmt: skip
def test_pitches_round_a_wheel(wheel: float, pitch: float, straight: int, slanting: int) -> None:
    """The same geometry round the work: t, and t / cos 30 degrees for slanting wheels."""
    assert read_knurl(f"RAA {pitch}").teeth(wheel) == pytest.approx(straight, abs=1)
    assert read_knurl(f"RGE {pitch}").teeth(wheel) == pytest.approx(slanting, abs=1)
    assert read_knurl(f"RKE {pitch}").teeth(wheel) == read_knurl(f"RAA {pitch}").teeth(wheel)


def test_a_blank_that_tracks() -> None:
    """Computed: a whole number of pitches goes round; less than one pitch is taken off."""
    for pitch in PITCHES:
        for form in ("RAA", "RGE"):
            knurl = read_knurl(f"{form} {pitch}")
            blank = knurl.tracking_blank(24)
            teeth = knurl.teeth(blank)
            assert teeth == pytest.approx(round(teeth), abs=1e-9)
            assert 0 <= knurl.blank(24) - blank < pitch / math.pi / math.cos(math.pi / 6)


def test_designation() -> None:
    """Seen: RGE 08 DIN 82 is pitch 0.8; RGE 08 - 105 DIN 82 has the flat profile."""
    knurl = read_knurl("RGE 08 DIN 82")
    assert (knurl.form, knurl.pitch, knurl.angle_deg) == ("RGE", 0.8, 90)
    assert knurl.designation == "RGE 0.8"
    flat = read_knurl("RGE 08 – 105 DIN 82")
    assert (flat.angle_deg, flat.designation) == (105, "RGE 0.8 - 105")
    assert flat.growth < knurl.growth
    assert read_knurl("DIN 82-RAA 0,8").straight
    assert not knurl.straight
    assert read_knurl("raa 1").pitch == 1
    assert read_knurl(knurl.designation) == knurl
    assert read_knurl(flat.designation) == flat


def test_knurls_that_are_none() -> None:
    with pytest.raises(InputError, match="no knurl RXX: it has RAA"):
        read_knurl("RXX 1.0")
    with pytest.raises(InputError, match=r"no knurl of pitch 0\.9: it has 0\.5, "):
        read_knurl("RAA 0.9")
    with pytest.raises(InputError, match="90 and 105 degrees, not 60"):
        read_knurl("RAA 1.0-60")
    for text in ("", "1.0", "RAA", "knurl"):
        with pytest.raises(InputError, match="is no knurl"):
            read_knurl(text)
