"""Knurls on the part: the blank before them, what is measured over them, what is refused."""

from __future__ import annotations

import math

import msgspec
import pytest

from turnsketch.errors import InputError
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.part.resolve import resolve
from turnsketch.part.turned import turned_part

but = msgspec.structs.replace

GRIP = Section("cylinder", "grip", diameter="24", length="30", knurl="RGE 1.0")
COLLAR = Section("cylinder", "collar", diameter="28", length="8")


def part(**fields: object) -> PartRecord:
    return PartRecord("grip", (but(GRIP, **fields), COLLAR))


def made(**fields: object) -> ResolvedPart:
    return resolve(part(**fields), "mm")


def refusal(record: PartRecord) -> InputError:
    with pytest.raises(InputError) as caught:
        resolve(record, "mm")
    return caught.value


def test_the_blank_is_smaller_by_the_growth() -> None:
    grip = made().sections[0]
    # d2 = d1 - 0.67 t
    assert grip.diameter is not None
    assert grip.diameter.lower == pytest.approx(23.8 - 0.67)
    assert grip.diameter.upper == pytest.approx(24.2 - 0.67)
    assert 2 * grip.front.r == pytest.approx(23.33)
    assert grip.label == "grip RGE 1.0"


def test_the_print_s_limits_hold_over_the_knurl() -> None:
    (knurl,) = made(diameter="24 +0/-0.3").knurls
    assert (knurl.over.lower, knurl.over.upper) == pytest.approx((23.7, 24.0))
    assert (knurl.blank.lower, knurl.blank.upper) == pytest.approx((23.03, 23.33))


def test_a_blank_that_holds_whole_pitches_is_aimed_at_where_the_limits_have_one() -> None:
    (knurl,) = made(diameter="24 ±0.8").knurls
    # 63 wheels' pitches of 1.0 / cos 30 around
    assert knurl.blank.aim == pytest.approx(63 / math.cos(math.radians(30)) / math.pi)
    (close,) = made(diameter="24 ±0.1").knurls
    assert close.blank.aim == pytest.approx(23.33)


def test_inspection_measures_the_blank_and_over_the_knurl() -> None:
    rows = {row.what: row for row in made().inspection}
    blank = rows["section 1 (grip), Ø turned before the knurl"]
    over = rows["section 1 (grip), Ø over the knurl"]
    assert (blank.text, over.text) == ("RGE 1.0", "RGE 1.0")
    assert blank.size.nominal == pytest.approx(23.33)
    assert over.size.nominal == 24.0
    assert over.size.source == "ISO 2768-m"
    assert not any("mm aim" in row.text for row in made().inspection)


def test_inches_read_by_their_decimals() -> None:
    record = PartRecord(
        "grip", (but(GRIP, diameter=".750", length="1"), but(COLLAR, diameter="1", length=".5")),
        general_tolerance="decimals",
    )  # fmt: skip
    (knurl,) = resolve(record, "inch").knurls
    assert knurl.over.lower == pytest.approx(0.745 * 25.4)
    assert knurl.blank.upper == pytest.approx(0.755 * 25.4 - 0.67)


def test_turned_around_it_stays_where_it_is() -> None:
    (knurl,) = turned_part(made()).knurls
    assert (knurl.front_z, knurl.back_z) == pytest.approx((-8.0, -38.0))


@pytest.mark.parametrize(
    ("fields", "where", "words"),
    [
        ({"knurl": "RXX 1"}, "part.sections[0].knurl", "DIN 82 has no knurl"),
        ({"diameter": None}, "part.sections[0].diameter", "needs the diameter over it"),
        ({"diameter": "1.5"}, "part.sections[0].diameter", "take a finer pitch"),
        ({"thread": "M24"}, "part.sections[0].knurl", "not both"),
        (
            {"kind": "taper", "diameter": None, "front_diameter": "24", "angle": "1:10"},
            "part.sections[0].knurl",
            "pressed into a cylinder",
        ),
    ],
)
def test_what_cannot_be_knurled(fields: dict[str, object], where: str, words: str) -> None:
    error = refusal(part(**fields))
    assert words in error.what
    assert error.where == where


def test_a_bore_is_not_knurled() -> None:
    bore = Bore((Section("cylinder", diameter="10", length="5", knurl="RAA 0.8"),))
    error = refusal(but(PartRecord("cap", (COLLAR,)), bore=bore))
    assert "from outside" in error.what
    assert error.where == "part.bore.sections[0].knurl"
