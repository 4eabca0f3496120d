"""Threads of a print: where a thread may be written, its blank, its place, its rows."""

from __future__ import annotations

import pytest

from tests.thread_jobs import but, cap, pin, relieved, tapped
from turnsketch.errors import InputError
from turnsketch.part.records import Bore, Section
from turnsketch.part.resolve import resolve
from turnsketch.part.thread_sections import looks_like_thread, thread_of
from turnsketch.part.turned import turned_part


@pytest.mark.parametrize(
    "text", ["M12", "m8", "M12x1.75-6g", "1/2-13 UNC", "#10-32", "1 1/4-12 UN"]
)
def test_a_thread_is_known_by_its_text(text: str) -> None:
    assert looks_like_thread(text)


@pytest.mark.parametrize(
    "text", ["12", "12 h6", "Ø25", "1/2", "3/8 in", "24.98/25.00", "12 -0.1/-0.2"]
)
def test_a_diameter_is_no_thread(text: str) -> None:
    assert not looks_like_thread(text)


@pytest.mark.parametrize(
    "end",
    [
        {"thread": "M12"},
        {"thread": "M12", "diameter": "12"},
        {"thread": None, "diameter": "M12"},
        {"thread": "M12", "diameter": "M12x1.75-6g"},
    ],
)
def test_the_blank_is_the_threads_major_diameter(end: dict[str, str | None]) -> None:
    """ISO 965-1: 11.701 to 11.966 for M12 6g."""
    part = resolve(pin(**end), "mm")  # type: ignore[arg-type]
    info, place = part.sections[0], part.threads[0]
    assert info.diameter is not None
    assert (info.diameter.lower, info.diameter.upper) == pytest.approx((11.701, 11.966))
    assert 2 * info.front.r == pytest.approx(11.8335)
    assert info.label == "end M12x1.75-6g"
    assert (place.front_z, place.back_z) == pytest.approx((0.0, -22.0))


def test_a_typed_blank_with_limits_stays() -> None:
    part = resolve(pin(diameter="11.9 ±0.05"), "mm")
    assert 2 * part.sections[0].front.r == pytest.approx(11.9)


def test_an_inch_thread_in_an_inch_job() -> None:
    part = resolve(
        but(
            pin(), sections=(Section("cylinder", thread="1/2-13 UNC", diameter="1/2", length=".8"),)
        ),
        "inch",
    )
    low, high = 12.38504, 12.6619  # ASME B1.1: .4876 to .4985 in
    assert low < 2 * part.sections[0].front.r < high
    assert part.threads[0].text == "1/2-13 UNC-2A"


def test_a_bore_is_aimed_at_the_tapping_drill() -> None:
    part = resolve(tapped(), "mm")
    assert part.bore is not None
    info = part.bore.sections[0]
    assert info.diameter is not None
    assert (info.diameter.lower, info.diameter.upper) == pytest.approx((6.647, 6.912))
    assert 2 * info.front.r == pytest.approx(6.8)
    assert part.threads[0].inside
    assert part.threads[0].back_z == pytest.approx(-15.0)


def test_a_thread_ends_where_its_relief_begins() -> None:
    part = resolve(relieved(), "mm")
    relief = part.grooves[0]
    assert part.threads[0].back_z == pytest.approx(max(e.start.z for e in relief.elements))


def test_the_back_bore_is_told_in_the_parts_frame() -> None:
    hole = Section("cylinder", thread="M8", length="20", thread_length="12")
    part = resolve(but(pin(), bore_back=Bore((hole,))), "mm")
    place = next(t for t in part.threads if t.inside)
    length = part.total_length
    assert (place.front_z, place.back_z) == pytest.approx((12.0 - length, -length))
    turned = next(t for t in turned_part(part).threads if t.inside)
    assert (turned.front_z, turned.back_z) == pytest.approx((0.0, -12.0))


def test_rows_for_the_inspection() -> None:
    """Over best wires of 1.0104 on M12 6g: 12.195 to 12.345 (ASME B1.2's formula)."""
    rows = {row.what: row for row in resolve(pin(), "mm").inspection}
    over = rows["section 1 (end), over three wires of 1.0104 mm"].size
    assert (over.lower, over.upper) == pytest.approx((12.195, 12.345), abs=5e-4)
    middle = rows["section 1 (end), pitch diameter"].size
    assert (middle.lower, middle.upper) == pytest.approx((10.679, 10.829))
    assert rows["section 1 (end), Ø turned before the thread"].text == "M12x1.75-6g"
    bored = {row.what for row in resolve(tapped(), "mm").inspection}
    assert "section 2, pitch diameter, by plug gauge" in bored
    assert not any("wires" in what for what in bored)


@pytest.mark.parametrize(
    ("end", "field", "words"),
    [
        ({"thread": "M12x"}, "thread", "is no thread"),
        ({"thread": None, "diameter": "M13"}, "diameter", "no coarse pitch"),
        ({"thread": "M12-6H"}, "thread", "6H is an inside class"),
        ({"thread": None, "diameter": "12", "thread_length": "10"}, "thread_length", "its thread"),
        ({"thread_length": "30"}, "thread_length", "inside the section"),
        ({"thread_length": "0.5"}, "thread_length", "inside the section"),
        ({"thread_length": "long"}, "thread_length", ""),
    ],
)
def test_errors_name_the_field(end: dict[str, str | None], field: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        resolve(pin(**end), "mm")  # type: ignore[arg-type]
    assert caught.value.where.startswith(f"part.sections[0].{field}")
    assert words in caught.value.what


def test_two_threads_on_one_cylinder_are_refused() -> None:
    with pytest.raises(InputError, match=r"the diameter says M10x1\.5-6g, the thread M12x1\.75-6g"):
        resolve(pin(diameter="M10"), "mm")


def test_errors_in_a_bore_name_its_path() -> None:
    with pytest.raises(InputError) as caught:
        resolve(tapped("M8-6g"), "mm")
    assert caught.value.where.startswith("part.bore.sections[0].thread")
    assert "write 6H" in caught.value.what


def test_a_thread_needs_a_cylinder() -> None:
    cone = Section("taper", thread="M12", front_diameter="10", back_diameter="12", length="20")
    with pytest.raises(InputError, match="a thread stands on a cylinder, and this is a taper"):
        resolve(but(pin(), sections=(cone,)), "mm")


def test_the_full_record_comes_back() -> None:
    part = resolve(cap(Section("cylinder", thread="M24x1.5 LH", length="20")), "mm")
    thread = thread_of(part.threads[0])
    assert (thread.inside, thread.left_hand, thread.pitch) == (True, True, 1.5)
