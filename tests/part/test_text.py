"""Dimension text: what is read, what is refused and how it is said."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnsketch.errors import InputError
from turnsketch.part.text import Dimension, Kind, format_length, parse
from turnsketch.units import Units, to_mm

KINDS: tuple[Kind, ...] = (
    "length",
    "diameter",
    "radius",
    "angle",
    "ratio",
    "chamfer",
    "roughness",
)
CORNER: frozenset[Kind] = frozenset({"chamfer", "radius"})
TAPER: frozenset[Kind] = frozenset({"angle", "ratio"})


def mm(text: str, *kinds: Kind) -> Dimension:
    return parse(text, "mm", kinds or ("diameter",))


def inch(text: str, *kinds: Kind) -> Dimension:
    return parse(text, "inch", kinds or ("length",))


def refusal(text: str, units: Units, *kinds: Kind) -> str:
    with pytest.raises(InputError) as caught:
        parse(text, units, kinds)
    sentence = caught.value.what
    assert "\n" not in sentence
    return sentence


class TestNumbers:
    @pytest.mark.parametrize(
        ("text", "exact", "decimals"),
        [
            ("25", Fraction(25), 0),
            ("25.", Fraction(25), 0),
            ("25.00", Fraction(25), 2),
            ("25,4", Fraction(254, 10), 1),
            ("24,985", Fraction(24985, 1000), 3),
            (".5", Fraction(1, 2), 1),
            ("0", Fraction(0), 0),
            ("25 mm", Fraction(25), 0),
            ("0.5 in", Fraction(127, 10), 1),
            ('0.5"', Fraction(127, 10), 1),
            ("0.5″", Fraction(127, 10), 1),
            ("1/2 in", Fraction(127, 10), None),
            ("1 3/8 in", Fraction(11, 8) * Fraction(127, 5), None),
            ("1-3/8 inches", Fraction(11, 8) * Fraction(127, 5), None),
            ("9/8 in.", Fraction(9, 8) * Fraction(127, 5), None),
        ],
    )
    def test_in_a_mm_job(self, text: str, exact: Fraction, decimals: int | None) -> None:
        read = mm(text, "length")
        assert (read.exact, read.decimals, read.nominal) == (exact, decimals, float(exact))
        assert (read.lower, read.upper, read.aim, read.count) == (None, None, None, 1)

    @pytest.mark.parametrize(
        ("text", "inches", "decimals"),
        [
            (".500", Fraction(1, 2), 3),
            ("1.250", Fraction(5, 4), 3),
            ("3/8", Fraction(3, 8), None),
            ("1 3/8", Fraction(11, 8), None),
            ("1-3/8", Fraction(11, 8), None),
            ("1½", Fraction(3, 2), None),
            ("¾", Fraction(3, 4), None),
            ("1 3⁄8", Fraction(11, 8), None),
            ("63/64", Fraction(63, 64), None),
        ],
    )
    def test_in_an_inch_job(self, text: str, inches: Fraction, decimals: int | None) -> None:
        read = inch(text)
        assert (read.exact, read.decimals, read.unit) == (
            inches * Fraction(127, 5),
            decimals,
            "inch",
        )

    def test_millimetres_in_an_inch_job(self) -> None:
        read = inch("25 mm")
        assert (read.nominal, read.unit) == (25.0, "mm")

    @pytest.mark.parametrize("text", ["25\u00a0mm", "25\u2009mm", "25\u202fmm", " 25\tmm "])
    def test_spaces_of_print_shops(self, text: str) -> None:
        assert mm(text, "length").nominal == 25

    @pytest.mark.parametrize("text", ["1,234.5", "1.234,5", "1,234,567", "12.5.3", "25,"])
    def test_marks_between_thousands_are_refused(self, text: str) -> None:
        assert "decimal mark" in refusal(text, "mm", "length")

    @pytest.mark.parametrize("text", ["24/25", "3/8", "1 3/8", "1½", "30/32 mm", "25 +1/2"])
    def test_whole_numbers_with_a_slash_in_mm(self, text: str) -> None:
        sentence = refusal(text, "mm", "length")
        assert '"3/8 in"' in sentence
        assert '"24.0/25.0"' in sentence

    @pytest.mark.parametrize("text", ["24/25", "1/3", "1/256"])
    def test_only_binary_fractions_of_inches(self, text: str) -> None:
        assert "128 below the line" in refusal(text, "inch", "length")

    def test_a_mixed_number_is_proper(self) -> None:
        assert "below 1" in refusal("1 9/8", "inch", "length")

    @pytest.mark.parametrize("text", ["inf", "nan", "1e400", "0x10", "٣", "²", "25\n26", "1_0"])
    def test_no_numbers_of_programs(self, text: str) -> None:
        refusal(text, "mm", "length")

    @pytest.mark.parametrize("text", ["9" * 13, "100001", "3938 in", "0." + "1" * 20])
    def test_sane_bounds(self, text: str) -> None:
        assert "at most" in refusal(text, "mm", "length")
        assert mm("100000", "length").nominal == 100_000

    def test_long_text(self) -> None:
        assert "80 characters" in refusal("2" + " " * 80 + "5", "mm", "length")

    def test_one_unit(self) -> None:
        assert "one unit" in refusal("1.000 in (25.4 mm)", "inch", "length")


class TestKinds:
    @pytest.mark.parametrize("sign", ["Ø", "ø", "⌀", "dia ", "DIA "])
    def test_diameter_signs(self, sign: str) -> None:
        assert mm(f"{sign}25").kind == "diameter"

    def test_diameter_word_behind(self) -> None:
        read = inch("1.250 ±.002 DIA", "diameter")
        assert read.kind == "diameter"
        assert read.upper == pytest.approx(31.8008, abs=1e-12)

    @pytest.mark.parametrize("kind", ["length", "diameter", "radius"])
    def test_a_bare_number_is_the_only_size_expected(self, kind: Kind) -> None:
        assert mm("25", kind).kind == kind
        assert mm("25", kind, "angle").kind == kind

    def test_a_bare_number_that_may_be_two_things(self) -> None:
        assert "a radius or a chamfer" in refusal("1", "mm", "chamfer", "radius")
        refusal("25", "mm", "length", "diameter")

    @pytest.mark.parametrize(
        ("text", "kind"),
        [
            ("R3", "diameter"),
            ("R3", "length"),
            ("Ø25", "length"),
            ("Ø25", "radius"),
            ("15°", "length"),
            ("1:10", "angle"),
            ("1x45°", "radius"),
            ("1x45°", "angle"),
            ("Ra 1.6", "length"),
            ("25", "roughness"),
            ("25", "ratio"),
            ("h6", "diameter"),
            ("max", "diameter"),
        ],
    )
    def test_what_may_not_stand_here(self, text: str, kind: Kind) -> None:
        refusal(text, "mm", kind)

    def test_it_names_what_may_stand_here(self) -> None:
        sentence = refusal("R3", "mm", "diameter")
        assert sentence == 'expected a diameter, such as "Ø25 h6" (in "R3")'

    @pytest.mark.parametrize(
        ("text", "radius", "ball"),
        [
            ("R3", 3, None),
            ("R.5", 0.5, None),
            ("SR15", 15, "radius"),
            ("SØ30", 15, "diameter"),
            ("r 2,5", 2.5, None),
        ],
    )
    def test_radius(self, text: str, radius: float, ball: str | None) -> None:
        read = mm(text, "radius")
        assert (read.kind, read.nominal, read.ball) == ("radius", radius, ball)

    def test_ball_diameter(self) -> None:
        read = mm("SØ30 ±0.1 aim 29.98", "radius")
        assert (read.lower, read.upper, read.aim) == (14.95, 15.05, 14.99)
        whole = mm("SØ30", "diameter")
        assert (whole.kind, whole.nominal) == ("diameter", 30)

    @pytest.mark.parametrize("text", ["2x R3", "2 x R3", "2×R3", "2X R3", "2xR3"])
    def test_count(self, text: str) -> None:
        read = parse(text, "mm", CORNER)
        assert (read.kind, read.nominal, read.count) == ("radius", 3, 2)

    def test_count_of_other_sizes(self) -> None:
        assert mm("3x Ø5").count == 3
        assert mm("2x 12.5", "length").count == 2
        refusal("2x30°", "mm", "angle", "ratio")
        refusal("0x R3", "mm", "radius")

    @pytest.mark.parametrize(
        ("text", "size", "degrees", "count"),
        [
            ("1x45°", 1, 45, 1),
            ("1 x 45°", 1, 45, 1),
            ("1×45 deg", 1, 45, 1),
            ("2x30°", 2, 30, 1),
            ("0,5x45°", 0.5, 45, 1),
            (".06 in x 45°", 1.524, 45, 1),
            ("45° x 1", 1, 45, 1),
            ("4x 1x45°", 1, 45, 4),
            ("4x 45° x 1", 1, 45, 4),
            ("1x22.5°", 1, 22.5, 1),
        ],
    )
    def test_chamfer(self, text: str, size: float, degrees: float, count: int) -> None:
        read = parse(text, "mm", CORNER)
        assert (read.kind, read.nominal, read.count) == ("chamfer", size, count)
        assert read.chamfer_angle == math.radians(degrees)

    def test_chamfer_in_inches(self) -> None:
        assert parse("1/16 x 45°", "inch", CORNER).exact == Fraction(127, 80)

    @pytest.mark.parametrize("text", ["1 ±0.1 x 45°", "1x45° ±0.1", "45° x 1 ±0.1"])
    def test_chamfer_with_tolerance(self, text: str) -> None:
        read = parse(text, "mm", CORNER)
        assert (read.lower, read.upper) == (0.9, 1.1)

    @pytest.mark.parametrize("text", ["1x45", "2x0.5", "1x90°", "0x45°", "1x0°", "1x", "45° 1"])
    def test_chamfers_that_are_none(self, text: str) -> None:
        refusal(text, "mm", "chamfer", "radius")

    def test_reference(self) -> None:
        assert mm("(32)", "length").reference
        assert mm("32 REF", "length").reference
        assert mm("32 ref ref dia", "diameter").reference
        assert mm("2x (R3)", "radius").reference
        assert mm("(32 ±0.5)", "length").upper == 32.5
        assert not mm("32", "length").reference
        assert 'expected ")"' in refusal("(32", "mm", "length")

    @pytest.mark.parametrize("text", ["max 25", "25 max", "MAX. 25", "25 mm max."])
    def test_largest(self, text: str) -> None:
        read = mm(text)
        assert (read.bound, read.lower, read.upper) == ("max", None, 25)

    def test_smallest(self) -> None:
        read = mm("R0.8 min", "radius")
        assert (read.bound, read.lower, read.upper) == ("min", 0.8, None)

    @pytest.mark.parametrize("text", ["max 25 min", "25 ±0.1 max", "max 25 h6", "max max 25"])
    def test_bounds_stand_alone(self, text: str) -> None:
        refusal(text, "mm", "diameter")

    @pytest.mark.parametrize(
        ("text", "micrometres", "unit"),
        [
            ("Ra 1.6", 1.6, "mm"),
            ("Ra1,6", 1.6, "mm"),
            ("Ra 1.6 µm", 1.6, "mm"),
            ("Ra max 3.2", 3.2, "mm"),
            ("Ra 63 µin", 1.6002, "inch"),
            ("Ra 63 μin", 1.6002, "inch"),
            ("Ra 32 uin", 0.8128, "inch"),
        ],
    )
    def test_roughness(self, text: str, micrometres: float, unit: str) -> None:
        read = mm(text, "roughness")
        assert (read.nominal, read.unit) == (micrometres, unit)

    def test_roughness_without_its_unit(self) -> None:
        assert '"Ra 63 µin"' in refusal("Ra 63", "mm", "roughness")
        assert '"Ra 32 µin"' in refusal("Ra 32", "inch", "roughness")
        assert inch("Ra 1.6", "roughness").nominal == 1.6


class TestAngles:
    @pytest.mark.parametrize(
        ("text", "typed", "half"),
        [
            ("15°", Fraction(15), 15),
            ("15 deg", Fraction(15), 15),
            ("15,5º", Fraction(31, 2), 15.5),
            ("30° incl", Fraction(30), 15),
            ("30 deg incl.", Fraction(30), 15),
            ("15°30'", Fraction(31, 2), 15.5),
            ("15° 30′", Fraction(31, 2), 15.5),
            ("15°30'20\"", Fraction(2791, 180), 15 + 30 / 60 + 20 / 3600),
            ("5°43'29.3″", Fraction(206093, 36000), 5 + 43 / 60 + 29.3 / 3600),
            ("120° incl", Fraction(120), 60),
        ],
    )
    def test_half_angle(self, text: str, typed: Fraction, half: float) -> None:
        read = parse(text, "mm", TAPER)
        assert read.exact == typed
        assert math.degrees(read.nominal) == pytest.approx(half, abs=1e-12)

    @pytest.mark.parametrize(
        ("text", "low", "high"),
        [
            ("15° ±0.5°", 14.5, 15.5),
            ("15° ±30'", 14.5, 15.5),
            ("15° ±0.5", 14.5, 15.5),
            ("15° ±0°30'", 14.5, 15.5),
            ("15° +1°/-0°", 15, 16),
            ("15° (+10' -20')", 15 - 20 / 60, 15 + 10 / 60),
            ("30° incl ±0.5°", 14.75, 15.25),
            ("30° ±0.5° incl", 14.75, 15.25),
            ("15.5°/14.5°", 14.5, 15.5),
        ],
    )
    def test_tolerance_is_on_the_typed_angle(self, text: str, low: float, high: float) -> None:
        read = parse(text, "mm", TAPER)
        assert read.lower is not None
        assert read.upper is not None
        assert math.degrees(read.lower) == pytest.approx(low, abs=1e-12)
        assert math.degrees(read.upper) == pytest.approx(high, abs=1e-12)

    def test_aim_of_an_included_angle(self) -> None:
        read = parse("30° incl aim 29.9°", "mm", TAPER)
        assert read.aim == pytest.approx(math.radians(14.95), abs=1e-15)

    @pytest.mark.parametrize(
        ("text", "ratio"),
        [("1:10", Fraction(1, 10)), ("7 : 24", Fraction(7, 24)), ("1:19,212", Fraction(250, 4803))],
    )
    def test_ratio(self, text: str, ratio: Fraction) -> None:
        read = parse(text, "mm", TAPER)
        assert (read.kind, read.exact) == ("ratio", ratio)
        assert math.tan(read.nominal) * 2 == pytest.approx(float(ratio), rel=1e-15)

    @pytest.mark.parametrize("text", ["1:0", "0:10", "1:", ":10", "1:10:2", "1:9999999"])
    def test_ratios_that_are_none(self, text: str) -> None:
        refusal(text, "mm", "ratio", "angle")

    @pytest.mark.parametrize(
        "text", ["0°", "90°", "180° incl", "15°60'", "15.5°30'", "15° ±20°", "-15°", "15°/15°"]
    )
    def test_angles_that_are_none(self, text: str) -> None:
        refusal(text, "mm", "angle")

    def test_an_angle_needs_its_sign(self) -> None:
        sentence = refusal("15", "mm", "angle", "ratio")
        assert sentence == 'expected a degree sign after "15", such as "15°" (at the end of "15")'


class TestTolerances:
    @pytest.mark.parametrize(
        ("text", "low", "high"),
        [
            ("25 ±0.05", 24.95, 25.05),
            ("25 +-0.05", 24.95, 25.05),
            ("25 +/-0.05", 24.95, 25.05),
            ("25 ± 0,05", 24.95, 25.05),
            ("25±0.05 mm", 24.95, 25.05),
            ("25 mm ±0.05", 24.95, 25.05),
            ("25 +0.02/-0.01", 24.99, 25.02),
            ("25 +0.02 -0.01", 24.99, 25.02),
            ("25 -0.01/+0.02", 24.99, 25.02),
            ("25 (+0.02 -0.01)", 24.99, 25.02),
            ("25 (+0.02/-0.01)", 24.99, 25.02),
            ("25 +0/-0.002", 24.998, 25),
            ("25 0/-0.013", 24.987, 25),
            ("25 +0.021/0", 25, 25.021),
            ("25 +0.02 +0.01", 25.01, 25.02),
            ("25 −0.02/−0.041", 24.959, 24.98),
            ("25 +1/-1", 24, 26),
        ],
    )
    def test_deviations(self, text: str, low: float, high: float) -> None:
        read = mm(text)
        assert (read.nominal, read.lower, read.upper) == (25, low, high)

    @pytest.mark.parametrize("text", ["24.98/25.00", "25.00/24.98", "24.98 / 25,00 mm"])
    def test_limits_in_either_order(self, text: str) -> None:
        read = mm(text)
        assert (read.lower, read.upper, read.nominal, read.decimals) == (24.98, 25.0, 24.99, 2)

    def test_one_decimal_mark_makes_limits(self) -> None:
        assert mm("24.9/25").upper == 25
        assert inch("1/1.002").upper == pytest.approx(25.4508)

    def test_inch_tolerances(self) -> None:
        assert inch("1.250 +0/-0.002").lower == pytest.approx(31.6992, abs=1e-12)
        assert inch("1 1/2 ±1/64").upper == float(Fraction(97, 64) * Fraction(127, 5))
        assert inch("1/2 +1/64/-1/64").lower == float(Fraction(31, 64) * Fraction(127, 5))
        assert inch("1.250/1.248", "diameter").lower == pytest.approx(31.6992, abs=1e-12)

    @pytest.mark.parametrize("text", ["25 h6", "25h6", "Ø25 h6", "Ø25h6", "25 h6 mm"])
    def test_fit(self, text: str) -> None:
        read = mm(text)
        assert (read.fit, read.lower, read.upper) == ("h6", 24.987, 25.0)

    def test_fit_in_inches_uses_the_size_in_mm(self) -> None:
        read = inch("1.000 h6", "diameter")
        assert read.fit == "h6"
        assert (read.lower, read.upper) == (25.387, 25.4)

    @pytest.mark.parametrize(
        "text", ["25 h6 (0/-0.013)", "25 h6 (25.000/24.987)", "25 h6 0/-0.013", "25 js6 (±0.007)"]
    )
    def test_fit_with_its_limits_behind(self, text: str) -> None:
        assert mm(text).fit in ("h6", "js6")

    def test_limits_that_are_not_the_fits(self) -> None:
        assert "not the limits of h6" in refusal("25 h6 (0/-0.021)", "mm", "diameter")
        assert "not the limits of h6" in refusal("25 h6 (25.1/25.0)", "mm", "diameter")

    @pytest.mark.parametrize(
        "text", ["25 H7/g6", "25 u6", "25 h17", "25 Js7", "600 h6", "0 h6", "R25 h6"]
    )
    def test_fits_without_a_table(self, text: str) -> None:
        refusal(text, "mm", "diameter", "radius")

    def test_aim(self) -> None:
        assert mm("25 h6 aim 24.990").aim == 24.99
        assert inch("1.000 h6 aim .9997").aim == pytest.approx(25.39238, abs=1e-12)
        assert parse("1x45° aim 1,05", "mm", CORNER).aim == 1.05
        assert mm("24.98/25.00 aim 24.985").aim == 24.985
        assert "a size to aim at" in refusal("25 aim", "mm", "diameter")

    @pytest.mark.parametrize(
        "text",
        [
            "25 +0.02",
            "25 -0.02",
            "25 +0.02/0.01",
            "25 ±0",
            "25 +0.02/+0.02",
            "25 (0.02)",
            "25 (+0.02 -0.01",
            "25.00/25.00",
            "25.0/",
            "0.2 ±0.5",
            "25 ±0.1 ±0.1",
            "25 26",
            "-25",
            "+25",
            "25 mm mm",
        ],
    )
    def test_refused(self, text: str) -> None:
        refusal(text, "mm", "length")

    def test_the_sentence_shows_the_place(self) -> None:
        expected = 'expected a tolerance after "25 +", such as "+0.02/-0.01" (in "25 +x", at "x")'
        assert refusal("25 +x", "mm", "length") == expected
        assert refusal("25 +0.02", "mm", "length").endswith('(at the end of "25 +0.02")')
        assert refusal("25 h6 6", "mm", "diameter") == 'after "25 h6" there is "6" too much'
        assert refusal("-20", "mm", "length").endswith('write it without (in "-20")')

    @given(st.text(max_size=12))
    def test_no_mark_of_ours_stands_in_the_text_that_is_shown(self, text: str) -> None:
        said = ""
        try:
            parse(text, "mm", {"length"})
        except InputError as error:
            said = error.what
        assert "|" not in said or "|" in text


WORDS = ("h6", "H7", "Ra", "in", "mm", "max", "incl", "aim", "ref", "dia", "µin", "deg")
SCRAPS = st.sampled_from((*"0123456789.,+-±/()x°'\"Ø:½ RS", *WORDS, "45°", "25", "1/2"))
EXPECT = st.sets(st.sampled_from(KINDS))
UNITS: st.SearchStrategy[Units] = st.sampled_from(["mm", "inch"])


def check_any(text: str, units: Units, expect: set[Kind]) -> None:
    try:
        read = parse(text, units, expect)
    except InputError as error:
        read, sentence = None, error.what
    if read is None:
        assert sentence.isprintable()
        return
    assert read.kind in expect
    assert math.isfinite(read.nominal)
    assert 0 <= read.nominal <= 100_000
    if read.lower is not None and read.upper is not None:
        assert 0 <= read.lower < read.upper


@given(text=st.text(max_size=100), units=UNITS, expect=EXPECT)
@settings(max_examples=300, deadline=None)
def test_any_text_is_read_or_refused(text: str, units: Units, expect: set[Kind]) -> None:
    check_any(text, units, expect)


@given(scraps=st.lists(SCRAPS, max_size=14), units=UNITS, expect=EXPECT)
@settings(max_examples=800, deadline=None)
def test_any_scraps_are_read_or_refused(scraps: list[str], units: Units, expect: set[Kind]) -> None:
    check_any("".join(scraps), units, expect)


@given(
    micrometres=st.integers(0, 10**8),
    units=UNITS,
    job=UNITS,
    comma=st.booleans(),
)
@settings(max_examples=200, deadline=None)
def test_a_number_comes_back(micrometres: int, units: Units, job: Units, comma: bool) -> None:
    typed = micrometres / 1000 if units == "mm" else micrometres / 10**5
    text = format_length(to_mm(typed, units), units, 5)
    shown = (text.replace(".", ",") if comma else text) + (" mm" if units == "mm" else " in")
    read = parse(shown, job, {"length"})
    assert read.exact == Fraction(text) * (Fraction(127, 5) if units == "inch" else 1)
    assert read.nominal == pytest.approx(to_mm(typed, units), abs=1e-8)


@given(value=st.integers(1, 10**6), plus=st.integers(1, 900), minus=st.integers(0, 900))
@settings(max_examples=200, deadline=None)
def test_deviations_and_limits_say_the_same(value: int, plus: int, minus: int) -> None:
    nominal = value + 1000
    high, low = nominal + plus, nominal - minus
    by_deviation = mm(f"{nominal / 1000:.3f} +{plus / 1000:.3f}/-{minus / 1000:.3f}")
    by_limits = mm(f"{high / 1000:.3f}/{low / 1000:.3f}")
    assert (by_deviation.lower, by_deviation.upper) == (by_limits.lower, by_limits.upper)
    assert by_deviation.upper == high / 1000


def test_no_sign_on_a_zero() -> None:
    assert format_length(-0.0001, "mm", 2) == "0.00"
    assert format_length(-0.02, "mm", 2) == "-0.02"
    assert format_length(25.4, "inch", 3) == "1.000"
