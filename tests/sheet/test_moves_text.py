"""Rows must read as five rows written out by hand for one part do."""

from __future__ import annotations

from typing import Literal

import msgspec

from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Move, MoveKind, Pass, Reading, TaperSetting
from turnsketch.sheet.change_rows import stays_locked
from turnsketch.sheet.motions import joined_pair, motions_of, set_x_of
from turnsketch.sheet.moves_text import bring_to, row_texts
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.phrases import MOST_MOTIONS
from turnsketch.sheet.slide_rows import unlocks
from turnsketch.shop.records import Readout

NUMBERS = Numbers.of("mm", Readout(z_step_mm=0.01))
Step = tuple[MoveKind, float, float]


def make(
    start: tuple[float, float],
    *steps: Step,
    direction: Literal["turn", "face", "taper"] = "turn",
    power_until: float | None = None,
) -> Pass:
    moves = tuple(Move(kind, Point(z, x / 2)) for kind, x, z in steps)
    return Pass(
        number=1, operation="rough", tool=1, start=Point(start[1], start[0] / 2), moves=moves,
        rpm=1000.0, surface_speed_m_min=None, feed_mm_per_rev=0.2, minutes=0.1, removed_mm3=1.0,
        start_reading=Reading(*start), readings=tuple(Reading(x, z) for _, x, z in steps),
        direction=direction, power_until=power_until,
    )  # fmt: skip


def test_facing_row() -> None:
    step = make(
        (36, 2), ("position", 36, 0), ("cut", -1.6, 0), ("position", -1.6, 2), ("position", 36, 2),
        direction="face", power_until=1.0,
    )  # fmt: skip
    (row,) = row_texts(step, NUMBERS, fresh_tool=False)
    assert (row.start, row.setting, row.cut_to) == ("X 36", "Z 0.00", "X −1.60")
    assert row.power_until == "X 2"
    assert row.then == ("Z+2 FIRST",)
    assert row.back == "X out 36"
    assert set_x_of(step) is None


def test_roughing_row() -> None:
    step = make(
        (30, 2), ("position", 25.8, 2), ("cut", 25.8, -57.8), ("position", 28, -57.8),
        ("position", 28, 2), power_until=-55.0,
    )  # fmt: skip
    (row,) = row_texts(step, NUMBERS, fresh_tool=False)
    assert (row.start, row.setting, row.cut_to) == ("Z+2", "25.80", "Z −57.80")
    assert (row.power_until, row.then, row.back) == ("Z−55", ("X out 28",), "Z+2")
    assert set_x_of(step) == 25.8


def test_semi_finish_row_keeps_x() -> None:
    step = make((28, 2), ("position", 25.4, 2), ("cut", 25.4, -57.9), ("position", 25.4, 40))
    (row,) = row_texts(step, NUMBERS, fresh_tool=False)
    assert (row.then, row.back) == (("KEEP X",), "Z+40")


def test_finish_row_faces_out_along_the_shoulder() -> None:
    step = make(
        (25.4, 40), ("position", 25.4, 2), ("position", 24.99, 2), ("cut", 24.99, -58),
        ("cut", 30, -58), ("position", 31, -58), ("position", 31, 2),
    )  # fmt: skip
    (row,) = row_texts(step, NUMBERS, fresh_tool=False)
    assert (row.start, row.setting) == ("Z+2", "24.99")
    assert (row.then, row.back) == (("face out to X 31",), "Z+2")


def test_no_row_has_more_than_four_motions_and_nothing_is_lost() -> None:
    steps: list[Step] = [("position", 12, 2)]
    x, z = 12.0, 2.0
    for _ in range(5):
        z -= 10
        steps.append(("cut", x, z))
        x += 3
        steps.append(("cut", x, z))
    steps += [("position", 40, z), ("position", 40, 2)]
    step = make((36, 2), *steps)
    rows = row_texts(step, NUMBERS, fresh_tool=False)
    assert all(row.motions <= MOST_MOTIONS for row in rows)
    assert sum(row.motions for row in rows) == len(motions_of(step))
    assert rows[1].cut_to == "X 18.00" or rows[1].cut_to.startswith(("X", "Z"))
    assert rows[-1].back == "Z+2"


def test_slanting_way_through_air_is_one_wheel_after_the_other() -> None:
    inward = make((60, 60), ("position", 36, 2))
    assert [m.axis for m in motions_of(inward)] == ["Z", "X"]
    outward = make((30, -20), ("position", 60, 60))
    assert [m.axis for m in motions_of(outward)] == ["X", "Z"]


def test_tool_change_tells_the_way_up_to_the_setting() -> None:
    step = make((120, 61), ("position", 36, 2), ("position", 25.8, 2), ("cut", 25.8, -40))
    assert bring_to(step, NUMBERS) == "Z+2, then X 36"
    (row,) = row_texts(step, NUMBERS, fresh_tool=True)
    assert (row.start, row.setting, row.cut_to) == ("Z+2", "25.80", "Z −40.00")


def test_long_way_to_a_cut_has_a_row_of_its_own() -> None:
    step = make(
        (36, 2), ("position", 36, -30), ("position", 27, -30), ("position", 27, -31),
        ("position", 25, -31), ("cut", 25, -40), ("position", 36, -40), ("position", 36, 2),
    )  # fmt: skip
    first, second = row_texts(step, NUMBERS, fresh_tool=False)
    assert first.cut_to == ""
    assert first.then == ("Z−30", "X in 27", "Z−31")
    assert (second.start, second.setting) == ("Z−31", "25.00")


def test_taper_and_arc_ends_show_both_axes() -> None:
    step = make((25, -57.8), ("cut", 30, -65.8), ("position", 34, -65.8), direction="taper")
    (row,) = row_texts(step, NUMBERS, fresh_tool=False)
    assert row.cut_to == "X 30.00\nZ −65.80"
    arc = Move("cut", Point(-3.0, 6.0), Point(-3.0, 3.0), "ccw")
    step = msgspec.structs.replace(step, moves=(arc, *step.moves[1:]))
    assert motions_of(step)[0].axis == "arc"


def test_top_slide_goes_back_after_x_is_out() -> None:
    setting = TaperSetting("top slide", 0.3, 8.382)
    step = make(
        (36, 2), ("position", 36, -57), ("position", 25, -57), ("cut", 30, -65),
        ("position", 34, -65), ("position", 34, 2), direction="taper",
    )  # fmt: skip
    step = msgspec.structs.replace(step, taper=setting)
    go, row, off = row_texts(step, NUMBERS, fresh_tool=False, slide="4t 19.1d")
    assert go.then == ("Z−57",)
    assert (row.setting, row.cut_to) == ("25.00", "slide to\n4t 19.1d")
    assert row.then == ("X out until it shows 34", "slide back to 0")
    assert row.motions == MOST_MOTIONS
    # The carriage stands locked until here.
    assert off.then == ("UNLOCK, then", "Z+2")


def test_an_air_way_and_a_cut_of_one_wheel_are_one_motion() -> None:
    step = make(
        (36, 2), ("position", 36, -21), ("position", 23, -21), ("cut", 21, -21),
        ("position", 36, -21), ("position", 36, 2),
    )  # fmt: skip
    (row,) = row_texts(step, NUMBERS, fresh_tool=False)
    # Z first with X clear, then X in: feeding begins at 23. Four motions: Z, X, X, Z.
    assert (row.start, row.setting, row.cut_to) == ("X 36\nfeed X 23", "Z −21.00", "X 21.00")
    assert (row.then, row.back, row.motions) == (("X out 36",), "Z+2", MOST_MOTIONS)


def test_a_wheel_is_not_turned_back_and_forth_between_two_passes() -> None:
    first = motions_of(make((36, 2), ("cut", 20, 2), ("position", 36, 2), ("position", 36, 5)))
    then = motions_of(make((36, 5), ("position", 36, 3), ("cut", 20, 3)))
    joined = joined_pair(first, then)
    assert joined is not None
    assert [m.axis for m in joined[0]] == ["X", "X"]
    assert (joined[1][0].before.z, joined[1][0].after.z) == (2, 3)
    # Beyond the way that was planned nothing may be joined.
    beyond = motions_of(make((36, 5), ("position", 36, -3), ("cut", 20, -3)))
    assert joined_pair(first, beyond) is None
    home = joined_pair(first, then, 3.0)
    assert home is not None
    assert home[1][0].cut


def test_set_over_shows_z_alone() -> None:
    step = make((25, 2), ("cut", 30, -65), ("position", 34, -65), direction="taper")
    step = msgspec.structs.replace(step, taper=TaperSetting("set-over", 0.05, 67.0))
    (row,) = row_texts(step, NUMBERS, fresh_tool=False)
    assert row.cut_to == "Z −65.00"


def test_pass_without_a_cut_still_gives_rows() -> None:
    step = make((36, 2), ("position", 36, 40))
    (row,) = row_texts(step, NUMBERS, fresh_tool=False)
    assert row.then == ("Z+40",)


def test_a_shoulder_is_faced_before_the_slide_goes_back() -> None:
    step = make(
        (36, 2), ("position", 25, 2), ("cut", 30, -65), ("cut", 38, -65), ("position", 40, -65),
        ("position", 40, 2), direction="taper",
    )  # fmt: skip
    step = msgspec.structs.replace(step, taper=TaperSetting("top slide", 0.3, 8.382))
    (row,) = row_texts(step, NUMBERS, fresh_tool=False, slide="4t 19.1d")
    assert row.then == ("face out until it shows 40", "slide back to 0")
    assert row.motions == MOST_MOTIONS
    # With the slide back at 0 the tool stands at Z+2: no wheel is left to turn.
    assert row.back == ""
    assert not unlocks(step)


def test_a_way_past_the_start_of_a_taper_unlocks_the_carriage() -> None:
    step = make(
        (36, 1.4), ("position", 32, 1.4), ("cut", 28, -0.7), ("position", 26, -0.7),
        ("position", 26, 2), direction="taper",
    )  # fmt: skip
    step = msgspec.structs.replace(step, taper=TaperSetting("top slide", 0.8, 3.0))
    assert unlocks(step)
    assert not stays_locked(step)
    row, off = row_texts(step, NUMBERS, fresh_tool=False, slide="1t 50d")
    assert row.then == ("X in until it shows 30.00", "slide back to 0")
    assert off.then == ("UNLOCK, then", "Z+2")


def test_a_hole_from_the_tailstock_counts_on_the_quill() -> None:
    step = make((120, 61), ("position", 0, 61), ("position", 0, 2), ("cut", 0, -3.7),
                ("position", 0, 2))  # fmt: skip
    step = msgspec.structs.replace(step, direction="drill", quill_depth_mm=3.7)
    (row,) = row_texts(step, NUMBERS, fresh_tool=True)
    assert (row.start, row.setting, row.cut_to) == ("tailstock", "touch: 0", "quill\n3.7")
    assert set_x_of(step) is None
