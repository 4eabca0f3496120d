"""Cones by name on the part: what the name gives, what the inspection measures, what is refused."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest

from turnsketch.errors import InputError
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.records import Bore, LengthDimension, PartRecord, Place, Section
from turnsketch.part.resolve import resolve
from turnsketch.part.text import parse
from turnsketch.part.turned import turned_part

COLLAR = Section("cylinder", "collar", diameter="24", length="10")


def made(**fields: Any) -> ResolvedPart:
    return resolve(PartRecord("arbor", (Section("taper", "cone", **fields), COLLAR)), "mm")


@pytest.mark.parametrize(
    ("text", "ratio"),
    [("Morse 2", Fraction(50, 1001)), ("MT0", Fraction(250, 4803)), ("metric 80", Fraction(1, 20))],
)
def test_a_name_stands_where_a_ratio_may(text: str, ratio: Fraction) -> None:
    read = parse(text, "mm", {"angle", "ratio"})
    assert (read.kind, read.exact, read.text) == ("ratio", ratio, text)
    assert read.nominal == pytest.approx(math.atan(ratio / 2))
    with pytest.raises(InputError, match="a length"):
        parse(text, "mm", {"length"})


def test_the_name_gives_diameter_and_length() -> None:
    (cone,) = made(angle="MT2").cones
    assert (cone.name, cone.gauge) == ("Morse 2", 17.78)
    # the gauge line in the middle of 0 to a = 5 behind the large end
    assert cone.stands_out == pytest.approx(2.5, abs=1e-3)
    assert cone.length == pytest.approx(64.0, abs=1e-3)
    assert cone.gauge_z == pytest.approx(-64.0, abs=1e-3)
    info = made(angle="MT2").sections[0]
    assert info.label == "cone Morse 2"
    assert 2 * info.front.r == pytest.approx(17.78 - 64 / 20.020, abs=1e-3)


def test_a_print_s_own_sizes_win() -> None:
    (cone,) = made(angle="Morse 2", length="50").cones
    assert cone.length + cone.stands_out == pytest.approx(50)
    (cone,) = made(angle="Morse 2", back_diameter="18").cones
    assert cone.stands_out == pytest.approx(0.22 * 20.020)
    assert cone.length == pytest.approx(64.0, abs=1e-3)
    (cone,) = made(angle="Morse 2", back_diameter="18", length="40").cones
    assert cone.length + cone.stands_out == pytest.approx(40)


def test_a_length_over_several_sections_gives_the_cone_s() -> None:
    length = LengthDimension(Place(1, "front"), Place(2, "back"), "70")
    part = PartRecord("arbor", (Section("taper", angle="Morse 2"), COLLAR), lengths=(length,))
    solved = resolve(part, "mm")
    assert solved.issues == ()
    assert solved.sections[0].back.z == pytest.approx(-60)


def test_the_name_at_a_diameter_says_the_large_end() -> None:
    (toward_back,) = made(back_diameter="Morse 1").cones
    assert toward_back.gauge_z == pytest.approx(-53.5, abs=1e-3)
    front = Section("taper", "cone", front_diameter="Morse 1")
    (toward_front,) = resolve(PartRecord("arbor", (COLLAR, front)), "mm").cones
    assert toward_front.gauge_z == pytest.approx(-10 - 1.75, abs=1e-3)
    assert toward_front.length == pytest.approx(53.5, abs=1e-3)


def test_a_plain_ratio_gives_the_taper_alone() -> None:
    solved = made(angle="1:20", front_diameter="20", length="30")
    assert solved.cones == ()
    assert 2 * solved.sections[0].back.r == pytest.approx(21.5)


def test_inspection_checks_the_gauge_line() -> None:
    rows = {row.what: row for row in made(angle="Morse 2", length="50").inspection}
    line = rows["section 1 (cone), gauge line Ø17.780 mm behind the large end"]
    assert (line.size.lower, line.size.upper, line.quantity) == (0.0, 5.0, "length")
    assert line.size.source == "ISO 296"
    assert rows["section 1 (cone), back diameter"].text == "Morse 2"
    assert rows["section 1 (cone), back diameter"].size.source == "ISO 296"
    assert rows["section 1 (cone), angle"].reference
    assert rows["section 1 (cone), length"].text == "50"


def test_a_socket_has_its_gauge_line_at_the_mouth() -> None:
    bore = Bore(
        (
            Section("taper", "socket", angle="Morse 2"),
            Section("cylinder", "hole", diameter="10"),
        ),
        through=True,
    )
    body = Section("cylinder", diameter="40", length="80")
    solved = resolve(PartRecord("sleeve", (body,), bore=bore), "mm")
    (cone,) = solved.cones
    assert cone.inside
    assert cone.gauge_z == pytest.approx(0.0)
    assert cone.length == pytest.approx(64.0)
    assert solved.bore is not None
    assert solved.bore.sections[0].label == "bore socket Morse 2"
    row = solved.inspection[-1]
    assert row.what.endswith("behind the mouth")
    assert row.reference


def test_turned_around_it_stays_where_it_is() -> None:
    solved = made(angle="Morse 2")
    (cone,) = turned_part(solved).cones
    assert cone.gauge_z == pytest.approx(-solved.total_length + 64.0, abs=1e-3)


@pytest.mark.parametrize(
    ("section", "where", "words"),
    [
        (Section("taper", angle="Morse 9"), "angle", "there is no Morse taper 9"),
        (
            Section("cylinder", diameter="12", length="Morse 2"),
            "length",
            "this section is no taper",
        ),
    ],
)
def test_what_is_no_cone(section: Section, where: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        resolve(PartRecord("arbor", (section, COLLAR)), "mm")
    assert words in caught.value.what
    assert caught.value.where == f"part.sections[0].{where}"
