"""Limits: of a fit, of the general tolerance, and the size that the plan aims at."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnsketch.errors import InputError
from turnsketch.part.limits import fit_limits, general_limits, size_of
from turnsketch.part.outline_records import Size
from turnsketch.part.tables import band, source_of, table
from turnsketch.part.text import Dimension, Kind, parse
from turnsketch.units import Units

TABLES = ("iso286_it", "iso286_shaft_dev", "iso286_hole_dev", "iso2768_1", "cones_iso1119")
CORNER: frozenset[Kind] = frozenset({"chamfer", "radius"})


def mm(text: str, kind: Kind = "length") -> Dimension:
    return parse(text, "mm", {kind})


def inch(text: str, kind: Kind = "length") -> Dimension:
    return parse(text, "inch", {kind})


def size(text: str, kind: Kind = "length", rule: str = "ISO 2768-m") -> Size:
    return size_of(mm(text, kind), rule)


def degrees(pair: tuple[float, float]) -> tuple[float, float]:
    return math.degrees(pair[0]), math.degrees(pair[1])


class TestTables:
    @pytest.mark.parametrize("name", TABLES)
    def test_each_names_its_source(self, name: str) -> None:
        assert "ISO" in source_of(name)
        assert table(name)
        assert all(None not in row and None not in row.values() for row in table(name))

    @pytest.mark.parametrize("name", TABLES[:3])
    def test_bands_follow_one_another(self, name: str) -> None:
        rows = table(name)
        assert rows[0]["over_mm"] == "0"
        assert rows[-1]["upto_mm"] == "500"
        for row, following in pairwise(rows):
            assert row["upto_mm"] == following["over_mm"]

    def test_a_band_holds_its_upper_edge(self) -> None:
        found = band(table("iso286_it"), 30)
        assert found is not None
        assert found["upto_mm"] == "30"
        assert band(table("iso286_it"), 0) is None
        assert band(table("iso286_it"), 500.001) is None

    def test_a_row_cannot_be_changed(self) -> None:
        with pytest.raises(TypeError):
            table("iso286_it")[0]["IT5"] = "1"  # type: ignore[index]


class TestFits:
    @pytest.mark.parametrize(
        ("nominal", "code"),
        [
            (0, "h6"),
            (500.1, "h6"),
            (25, "h0"),
            (25, "h17"),
            (25, "u6"),
            (25, "q6"),
            (25, "Js7"),
            (25, "K4"),
            (25, "K9"),
            (25, "hh6"),
            (0.8, "h14"),
            (0.8, "N9"),
        ],
    )
    def test_no_table(self, nominal: float, code: str) -> None:
        with pytest.raises(InputError, match="write the limits"):
            fit_limits(nominal, code)

    @pytest.mark.parametrize("code", ["", "h", "6", "h6 ", "h-6", "h٣"])
    def test_no_fit(self, code: str) -> None:
        with pytest.raises(InputError, match="expected a fit"):
            fit_limits(25, code)

    @given(
        thousandths=st.integers(1, 500_000),
        letter=st.sampled_from((*"defghkmnprs", "js", *"DEFGHKMNP", "JS")),
        grade=st.integers(5, 13),
    )
    @settings(max_examples=300, deadline=None)
    def test_width_is_the_grade(self, thousandths: int, letter: str, grade: int) -> None:
        nominal = thousandths / 1000
        if (letter == "K" and grade > 8 and nominal > 3) or (letter == "N" and nominal <= 1):
            return
        lower, upper = fit_limits(nominal, f"{letter}{grade}")
        row = band(table("iso286_it"), nominal)
        assert row is not None
        assert upper - lower == pytest.approx(float(row[f"IT{grade}"]) / 1000, abs=1e-9)

    @given(thousandths=st.integers(1, 500_000), grade=st.integers(5, 13))
    @settings(max_examples=100, deadline=None)
    def test_letters_rise(self, thousandths: int, grade: int) -> None:
        nominal = thousandths / 1000
        middles = [sum(fit_limits(nominal, f"{letter}{grade}")) for letter in "defgh"]
        assert middles == sorted(middles)
        feet = [fit_limits(nominal, f"{letter}{grade}")[0] for letter in "hkmnprs"]
        assert feet == sorted(feet)


class TestGeneral:
    def test_the_first_row_holds_for_small_radii_and_chamfers(self) -> None:
        assert general_limits(mm("R0.2", "radius"), "ISO 2768-m") == (0, 0.4)
        low, high = general_limits(parse("0.3x45°", "mm", CORNER), "ISO 2768-c")
        assert low == 0
        assert high == 0.7

    def test_a_ball_is_a_linear_size(self) -> None:
        assert general_limits(mm("SR15", "radius"), "ISO 2768-m") == (14.8, 15.2)
        assert general_limits(mm("SØ30", "radius"), "ISO 2768-m") == (14.9, 15.1)
        assert general_limits(mm("R15", "radius"), "ISO 2768-m") == (14, 16)

    @pytest.mark.parametrize("rule", ["ISO 2768-m", "ISO 2768-mK", "ISO 2768-1-m", "ISO 2768 m"])
    def test_ways_to_write_the_class(self, rule: str) -> None:
        assert general_limits(mm("25"), rule) == (24.8, 25.2)

    @pytest.mark.parametrize("rule", ["", "m", "ISO 2768", "ISO 2768-x", "DIN 7168-m", "Decimals"])
    def test_an_unknown_rule(self, rule: str) -> None:
        with pytest.raises(InputError, match="is not known"):
            general_limits(mm("25"), rule)

    @pytest.mark.parametrize(
        ("text", "rule"),
        [("0.49", "ISO 2768-m"), ("3", "ISO 2768-v"), ("4001", "ISO 2768-m"), ("25", "decimals")],
    )
    def test_where_the_rule_gives_none(self, text: str, rule: str) -> None:
        with pytest.raises(InputError, match="write the tolerance at the dimension"):
            general_limits(mm(text), rule)

    def test_an_angle_without_its_side_gets_the_closest(self) -> None:
        angle = mm("15°", "angle")
        assert degrees(general_limits(angle, "ISO 2768-m")) == pytest.approx(
            (15 - 5 / 60, 15 + 5 / 60)
        )

    @pytest.mark.parametrize(
        ("text", "kind", "half"), [("30° incl", "angle", 15), ("1:10", "ratio", 2.862405226)]
    )
    def test_an_included_angle_has_half(self, text: str, kind: Kind, half: float) -> None:
        pair = degrees(general_limits(mm(text, kind), "ISO 2768-m", 8))
        assert pair == pytest.approx((half - 0.5, half + 0.5), abs=1e-8)


class TestSize:
    def test_a_fit(self) -> None:
        expected = Size(25.0, 24.987, 25.0, 24.9935, "h6 (ISO 286-2)")
        assert size("25 h6", "diameter") == expected

    def test_from_the_print(self) -> None:
        found = size("25 +0.02/-0.01")
        assert (found.lower, found.upper, found.source) == (24.99, 25.02, "print")
        assert found.aim == pytest.approx(25.005, abs=1e-12)

    def test_from_the_rule(self) -> None:
        assert size("25") == Size(25.0, 24.8, 25.2, 25.0, "ISO 2768-m")

    def test_an_aim(self) -> None:
        assert size("25 h6 aim 24.990", "diameter").aim == 24.99
        assert size("25.3 aim 25.1").aim == pytest.approx(25.1, abs=1e-12)
        assert size("25 h6 aim 24.987", "diameter").aim == 24.987

    @pytest.mark.parametrize(
        ("text", "kind"),
        [
            ("25 h6 aim 25.01", "diameter"),
            ("25 aim 24", "length"),
            ("30° incl ±0.5° aim 31°", "angle"),
        ],
    )
    def test_an_aim_outside(self, text: str, kind: Kind) -> None:
        with pytest.raises(InputError, match="is outside"):
            size(text, kind)

    def test_the_sentence_speaks_the_prints_unit(self) -> None:
        with pytest.raises(InputError) as caught:
            size_of(inch("1.000 ±.001 aim 1.002"), "decimals")
        assert caught.value.what.startswith("the aim 1.0020 is outside 0.9990 to 1.0010 (print)")

    def test_one_sided(self) -> None:
        # ISO 2768-m at 25: 0.2 either way, so 0.4 wide.
        assert size("max 25") == Size(25.0, 24.6, 25.0, 24.8, "max (print), width ISO 2768-m")
        found = size("min 25")
        assert (found.lower, found.upper, found.aim) == (25.0, 25.4, 25.2)
        assert size("R0.2 max", "radius").lower == 0

    def test_zero_is_exact(self) -> None:
        assert size("0", "diameter") == Size(0.0, 0.0, 0.0, 0.0, "print")

    def test_reference(self) -> None:
        assert size("(32)") == Size(32.0, 31.7, 32.3, 32.0, "reference")
        assert size("(0.3)") == Size(0.3, 0.3, 0.3, 0.3, "reference")

    def test_roughness(self) -> None:
        assert size("Ra 1.6", "roughness") == Size(1.6, 0.0, 1.6, 1.6, "print")

    @given(
        hundredths=st.integers(50, 200_000),
        rule=st.sampled_from(["ISO 2768-f", "ISO 2768-m", "ISO 2768-c", "decimals"]),
        pattern=st.sampled_from(
            ["{}", "max {}", "min {}", "({})", "R{}", "SØ{}", "{} ±0.01", "{}x45°", "{} k6"]
        ),
        units=st.sampled_from(["mm", "inch"]),
    )
    @settings(max_examples=400, deadline=None)
    def test_the_aim_is_inside(
        self, hundredths: int, rule: str, pattern: str, units: Units
    ) -> None:
        kinds: set[Kind] = {"length", "radius"} if "{}x" not in pattern else {"chamfer"}
        kinds -= {"length"} if pattern[0] in "RS" else {"radius"}
        try:
            dimension = parse(pattern.format(f"{hundredths / 100:.2f}"), units, kinds)
            found = size_of(dimension, rule)
        except InputError:
            return
        assert 0 <= found.lower <= found.aim <= found.upper
        assert found.lower <= found.nominal <= found.upper or dimension.fit
