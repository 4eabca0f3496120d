"""Thread designations: what is read, what holds where nothing is written, what is refused."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnsketch.errors import InputError
from turnsketch.part.threads import Thread, read_thread
from turnsketch.part.threads_metric import metric_class, rounded_r40


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("M12", "M12x1.75-6g"),
        ("M12x1.75", "M12x1.75-6g"),
        ("M12x1.75-6g", "M12x1.75-6g"),
        ("M12x1.5 LH", "M12x1.5-6g LH"),
        ("m12 × 1,5 – 5g6g lh", "M12x1.5-5g6g LH"),
        ("M8-6H-LH", "M8x1.25-6H LH"),
        ("M10 x 1 6H", "M10x1-6H"),
        ("M1.2", "M1.2x0.25-6h"),
        ("M8 RH", "M8x1.25-6g"),
        ("1/2-13 UNC-2A", "1/2-13 UNC-2A"),
        ("1/4-20 UNC LH", "1/4-20 UNC-2A LH"),
        ("1/4-20UNC-2B-LH", "1/4-20 UNC-2B LH"),
        ("1/2-13", "1/2-13 UNC-2A"),
        ("1/2 UNF", "1/2-20 UNF-2A"),
        ("#10-32 UNF", "#10-32 UNF-2A"),
        ("10-32 unf", "#10-32 UNF-2A"),
        ("2-56 UNC", "#2-56 UNC-2A"),
        ("2-4.5 UNC", "2-4.5 UNC-2A"),
        ("1-8 UNC", "1-8 UNC-2A"),
        ("1 1/2-6 UNC-3A", "1 1/2-6 UNC-3A"),
        ("1-1/2-6 UNC", "1 1/2-6 UNC-2A"),
        ('1/2"-13 UNC', "1/2-13 UNC-2A"),
        (".5-13", ".5-13 UNC-2A"),
        ("5/8-16 UN", "5/8-16 UN-2A"),
        ("5/8-15 UNS", "5/8-15 UNS-2A"),
    ],
)
def test_designations(typed: str, read: str) -> None:
    thread = read_thread(typed)
    assert thread.text == read
    assert thread.left_hand == read.endswith("LH")
    # What it says of itself means the same thread.
    assert read_thread(thread.text) == thread


def test_inside_by_the_class_or_by_the_place() -> None:
    assert read_thread("M12-6H").inside
    assert not read_thread("M12").inside
    bore = read_thread("M12", inside=True)
    assert bore.text == "M12x1.75-6H"
    assert bore.blank == bore.minor
    assert read_thread("M1.2", inside=True).tolerance == "5H"
    assert read_thread("1/4-20 UNC", inside=True).tolerance == "2B"
    outside = read_thread("M12-6g", inside=False)
    assert outside.blank == outside.major
    with pytest.raises(InputError, match=r"6g is an outside class.*write 6H"):
        read_thread("M12-6g", inside=True)
    with pytest.raises(InputError, match=r"2B is an inside class.*write 2A"):
        read_thread("1/4-20 UNC-2B", inside=False)


def test_what_a_thread_tells() -> None:
    thread = read_thread("M12x1.75-6g")
    assert (thread.diameter, thread.pitch, thread.tpi) == (12, 1.75, None)
    assert (thread.series, thread.standard, thread.note) == ("coarse", "ISO 965-1", "")
    assert thread.major.aim == pytest.approx((11.701 + 11.966) / 2)
    assert thread.major.source == "6g (ISO 965-1)"
    assert thread.lead_angle == pytest.approx(0.05175, abs=5e-5)
    assert thread.least_tip_radius == pytest.approx(1.75 / 8)
    inch = read_thread("1/2-13 UNC LH")
    assert (inch.tpi, inch.series, inch.standard) == (13, "UNC", "ASME B1.1")
    assert inch.pitch == pytest.approx(25.4 / 13)


def test_a_pitch_that_no_standard_has() -> None:
    thread = read_thread("M12x0.9")
    assert thread.series == "special"
    assert thread.note == "ISO 261 has no pitch 0.9 for M12 (it has 1.75, 1.5, 1.25, 1)"
    assert "UNS" in read_thread("1/2-18").note
    # The formulas serve where the tables end: the limits are about as wide as their neighbours'.
    near = read_thread("M12x1").pitch_diameter
    assert thread.pitch_diameter.upper - thread.pitch_diameter.lower == pytest.approx(
        near.upper - near.lower, rel=0.1
    )


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "where the text is empty"),
        ("12", "has no pitch"),
        ("thread", "is no thread"),
        ("M", "is no thread"),
        ("M0", "greater than zero"),
        ("M12x0", "greater than zero"),
        ("M13", "M13 has no coarse pitch: write it"),
        ("M80", r"ISO 261 has 6, 4, 3, 2, 1\.5"),
        ("M12-5h", "write both grades, such as"),
        ("M12-3H", "inside, the pitch diameter has grades 4 to 8"),
        ("M12-6k", "is no class of ISO 965-1"),
        ("M12-6G6h", "mixes an outside and an inside position"),
        ("M16xPh3P1.5", "several starts"),
        ("M0.8x0.1", "threads from 1 to 355 mm"),
        ("M400x4", "threads from 1 to 355 mm"),
        ("M3x2", "the pitch is too coarse"),
        ("1/2-20 UNC", "1/2 UNC has 13 threads an inch, not 20: mend the pitch, or write UNF"),
        ("1/2-13 UNX", "no series of Unified threads"),
        ("1/2-13 UNC-2C", "no class of Unified threads"),
        ("1/2-0 UNC", "greater than zero"),
        ("1/3-20 UNC", "an inch fraction is such as"),
        ("#7-32", "number sizes are #0 to #6"),
        ("7-8 UN", "whole inches run to 4"),
        ("2 UNC", "may be a number or inches"),
        ("11/16 UNC", "has no pitch in UNC"),
        ("0.0-20 UNC", "greater than zero"),
        ("9.5-4 UN", "ASME B1.1 runs to 6 in"),
        ("1/4-4 UN", "the pitch is too coarse"),
        ("M12x1.75-6g" * 5, "at most 40 characters"),
        ("M12\x00", "is no thread"),
    ],
)
def test_refusals(text: str, sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        read_thread(text)


def read_or_refusal(text: str) -> Thread | str:
    try:
        return read_thread(text)
    except InputError as error:
        return str(error)


@given(st.text(max_size=45) | st.from_regex(r"\AM[0-9]{1,3}[x.\-0-9gGHhL ]{0,12}\Z"))
def test_any_text_is_read_or_refused_in_one_sentence(text: str) -> None:
    found = read_or_refusal(text)
    if isinstance(found, str):
        assert "\n" not in found
        assert len(found) < 300
    else:
        assert found.minor.lower > 0
        assert found.major.lower < found.major.upper
        assert found.pitch_diameter.lower < found.pitch_diameter.upper


@given(
    st.sampled_from(["M3", "M8", "M12x1", "M20", "M36", "M64", "1/4-20 UNC", "1-8 UNC", "#4-40"]),
    st.booleans(),
)
def test_diameters_stand_in_order(text: str, inside: bool) -> None:
    thread = read_thread(text, inside=inside)
    for size in (thread.major, thread.pitch_diameter, thread.minor):
        assert size.lower <= size.aim <= size.upper
    assert thread.minor.upper < thread.pitch_diameter.lower
    assert thread.pitch_diameter.upper < thread.major.lower
    # A nut and a bolt of the usual classes go together.
    bolt, nut = read_thread(text), read_thread(text, inside=True)
    assert bolt.major.upper <= nut.major.lower
    assert bolt.pitch_diameter.upper <= nut.pitch_diameter.lower
    assert bolt.minor.upper <= nut.minor.lower


def test_classes_are_told_apart_by_their_letters() -> None:
    assert not metric_class("4g6g").inside
    assert metric_class("4g6g").crest_grade == 6
    assert metric_class("5H6H").inside
    for text in ("", "6", "g6", "66", "6g6", "2g"):
        with pytest.raises(InputError, match=re.escape(f'"{text}" is no class')):
            metric_class(text)


@pytest.mark.parametrize(
    ("value", "number"), [(101, 100), (104, 106), (1.31, 1.32), (97, 95), (0.99, 1)]
)
def test_preferred_numbers(value: float, number: float) -> None:
    assert rounded_r40(value) == pytest.approx(number)
