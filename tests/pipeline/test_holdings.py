"""Plans of work held from inside, in soft jaws, on a mandrel, in a steady; turned setups' words."""

from __future__ import annotations

import msgspec
import pytest

from tests.pipeline.turned_jobs import BUSH, CAP, SHAFT, codes, cylinder, replays_clean
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import Bore, PartRecord, Tie
from turnsketch.part.resolve import resolve
from turnsketch.pipeline import plan
from turnsketch.plan_records import Plan, SetupPlan
from turnsketch.sheet.content import SheetInput, sheet_content
from turnsketch.sheet.records import SheetContent
from turnsketch.shop.files import demo_shop


def job(part: PartRecord, blank: Blank, *setups: Setup) -> Job:
    return Job(part, blank, "Slipway 1", setups)


def turned(part: PartRecord, blank: Blank, grip: str, **fields: object) -> Job:
    back = msgspec.structs.replace(
        Setup(Holding("Three-jaw 160", grip), "back", turned=True), **fields
    )
    return job(part, blank, Setup(Holding("Three-jaw 160", "25"), "front"), back)


def sheet(made: Plan, asked: Job) -> SheetContent:
    shop = demo_shop()
    lathe = next(m for m in shop.lathes if m.name == asked.lathe)
    given = SheetInput(
        made, resolve(asked.part, asked.units), asked, lathe, shop.chucks[0], shop.tools
    )
    return sheet_content(given)


def facts(made: Plan, asked: Job, setup: int) -> dict[str, str]:
    return {f.label: f.value for f in sheet(made, asked).setups[setup].facts}


# --- from inside ------------------------------------------------------------------------------

ON_MANDREL = job(
    BUSH,
    Blank("45", "33", "1", shape="tube", bore="17"),
    Setup(
        Holding("Three-jaw 160", "15"),
        "bored",
        operations=(Operation("face", 1), Operation("drill", 49), Operation("ream", 62)),
    ),
    Setup(Holding("Mandrel 18-25", "29"), "outside"),
)


def test_a_bush_is_bored_first_and_turned_on_its_bore() -> None:
    made = plan(ON_MANDREL)
    replays_clean(made)
    first, second = made.setups
    assert first.limit_z == pytest.approx(-0.001), "the first setup leaves the outside alone"
    assert {o.name for o in second.obstacles} == {"mandrel", "chuck body"}
    assert "part off" not in [o.kind for o in second.operations]
    turned_to = min(m.to.z for p in second.passes for m in p.moves if m.kind == "cut")
    assert turned_to < -31.0, "no jaws stand around its back end"
    assert {"grip-on-finished", "grip-long", "near-the-jaws", "jaws-in-the-cut"}.isdisjoint(
        codes(made)
    )


def test_nothing_is_drilled_or_countersunk_into_a_mandrel() -> None:
    second = msgspec.structs.replace(
        ON_MANDREL.setups[1], operations=(Operation("countersink", 63), Operation("drill", 49))
    )
    made = plan(msgspec.structs.replace(ON_MANDREL, setups=(ON_MANDREL.setups[0], second)))
    replays_clean(made)
    assert not made.setups[1].passes


def test_the_sheet_says_how_far_the_chuck_stands_behind_a_mandrel() -> None:
    made = plan(ON_MANDREL)
    assert facts(made, ON_MANDREL, 1)["Chuck face to Z 0"] == "63 mm"
    assert "Jaw face to Z 0" in facts(made, ON_MANDREL, 0)


RING = PartRecord(
    "Ring",
    (cylinder("80", "20", "1x45°"),),
    material="bronze",
    bore=Bore((cylinder("60", "20"),), through=True),
)


def test_a_tube_in_opened_jaws_is_turned_and_bored_in_front_of_them() -> None:
    tube = Blank("85", "45", "1", shape="tube", bore="55")
    asked = job(RING, tube, Setup(Holding("Three-jaw 160", "15", inside=True, soft_jaws=True)))
    made = plan(asked)
    replays_clean(made)
    (setup,) = made.setups
    kinds = [o.kind for o in setup.operations if o.first_pass]
    assert {"face", "rough", "bore", "finish bore", "part off"} <= set(kinds)
    told = facts(made, asked, 0)
    assert "jaws opened in the bore, soft jaws" in told["Held in"]
    assert told["Soft jaws"] == "turn them to Ø55.00, the bore's size"


def test_the_same_tube_gripped_too_deep_keeps_its_blade_off_the_jaws() -> None:
    tube = Blank("85", "40", "1", shape="tube", bore="55")
    made = plan(job(RING, tube, Setup(Holding("Three-jaw 160", "15", inside=True))))
    replays_clean(made)
    assert "no-pass" in codes(made)


# --- the steady -------------------------------------------------------------------------------

LONG = PartRecord(
    "Tiller shaft",
    (cylinder("20", "40"), cylinder("30", "110")),
    material="mild steel",
    inside_corners="R0.8",
)


def test_no_tool_comes_to_the_steady() -> None:
    held = Holding("Three-jaw 160", "25", steady="100")
    asked = job(
        LONG,
        Blank("30", "200", "1"),
        Setup(held, "front end in the steady", sections=(1,)),
        Setup(Holding("Three-jaw 160", "25", centre=True), "rest"),
    )
    made = plan(asked)
    replays_clean(made)
    first = made.setups[0]
    ring = next(o.ring for o in first.obstacles if o.name == "steady rest")
    low = min(p.z for p in ring)
    assert (low, max(p.z for p in ring)) == (-112.0, -88.0)
    assert "steady rest" not in [o.name for o in made.setups[1].obstacles]
    assert facts(made, asked, 0)["Steady rest"].startswith("around Z −100; no tool from Z −88")


# --- the second zero --------------------------------------------------------------------------


def back(made: Plan) -> SetupPlan:
    return made.setups[1]


def test_the_second_zero_is_measured_length_less_print_length() -> None:
    """Common practice: 31.50 measured, 31.00 on the print: Z reads 0.50 on the raw face."""
    asked = turned(BUSH, Blank("45", "70", "1"), "20")
    words = back(plan(asked)).zero_from
    assert "Measure its whole length: ________." in words
    assert "more than 31.00, the length on the print" in words
    assert "(about 0.50)" in words
    assert "within 0.02" in words
    shown = sheet(plan(asked), asked)
    assert words in [f.value for f in shown.setups[1].facts]
    assert any(words in row.words for row in shown.setups[1].rows)


def test_a_zero_of_its_own_is_added() -> None:
    words = back(plan(turned(BUSH, Blank("45", "70", "1"), "20", zero="100"))).zero_from
    assert "________ plus 100.00 there (about 100.50)" in words


def test_the_second_zero_in_inches() -> None:
    part = PartRecord(
        "pin",
        (cylinder(".5", "1"), cylinder(".75", ".5", None, ".03x45°")),
        material="brass",
        general_tolerance="decimals",
    )
    first, second = turned(BUSH, Blank("45", "70", "1"), "20").setups
    asked = Job(
        part,
        Blank("1", "3", ".04"),
        "Boathouse",
        (
            msgspec.structs.replace(first, holding=Holding("Three-jaw 125", "1")),
            msgspec.structs.replace(second, holding=Holding("Three-jaw 125", ".75")),
        ),
        units="inch",
    )
    words = back(plan(asked)).zero_from
    assert "more than 1.500, the length on the print" in words
    assert "within 0.001" in words


def test_the_run_out_of_a_tie_between_both_ends_is_the_value_to_set_true_to() -> None:
    front = (1, 2, 3)
    tied = msgspec.structs.replace(SHAFT, ties=(Tie("run-out", (2, 4), "0.01"),))
    asked = turned(tied, Blank("30", "92", "1"), "45")
    setups = (msgspec.structs.replace(asked.setups[0], sections=front), asked.setups[1])
    setups = (
        msgspec.structs.replace(setups[0], holding=Holding("Three-jaw 160", "20")),
        setups[1],
    )
    words = back(plan(msgspec.structs.replace(asked, setups=setups))).zero_from
    assert "within 0.01." in words


def test_words_of_the_job_come_before_the_programs() -> None:
    made = plan(turned(BUSH, Blank("45", "70", "1"), "20", zero_from="touch the flange"))
    assert back(made).zero_from == "touch the flange"


# --- what is said of turned setups --------------------------------------------------------------


def reasons(made: Plan) -> dict[int | None, str]:
    return {f.operation: f.message for f in made.findings if f.code == "no-pass" and f.setup == 2}


def test_operations_for_what_the_first_setup_made_are_told_so() -> None:
    listed = (
        Operation("face", 1),
        Operation("rough", 1),
        Operation("finish", 2),
        Operation("chamfer", 6, sections=(1,)),
        Operation("bore", 22),
    )
    told = reasons(plan(turned(BUSH, Blank("45", "70", "1"), "20", operations=listed)))
    assert "was made before setup 2" in told[2]
    assert "was made before setup 2" in told[3]


def test_a_bore_operation_where_the_end_in_front_has_none() -> None:
    asked = turned(CAP, Blank("32", "60", "1"), "11")
    first = msgspec.structs.replace(
        asked.setups[0],
        operations=(
            Operation("face", 1),
            Operation("drill", 47),
            Operation("rough", 1),
            Operation("finish", 2),
            Operation("part off", 7, z_allowance="0.5"),
        ),
    )
    made = plan(msgspec.structs.replace(asked, setups=(first, asked.setups[1])))
    told = next(f for f in made.findings if f.code == "no-pass" and f.setup == 1)
    assert "in its other end" in told.message


def test_the_chamfer_tool_is_set_on_the_edge_that_is_in_front() -> None:
    asked = turned(BUSH, Blank("45", "70", "1"), "20")
    made = plan(asked)
    line = next(t for t in sheet(made, asked).setups[1].tools if t.tool.number == 6)
    assert "Ø40" in line.set_z, "the flange's edge at the back, not the seat's in front"
    assert "at Z 0" in line.set_z


def test_a_turned_part_is_deburred_where_its_own_edges_are() -> None:
    asked = turned(
        msgspec.structs.replace(
            CAP, sections=(CAP.sections[0], cylinder("30", "10")), edges="-0.3"
        ),
        Blank("32", "60", "1"),
        "11",
    )
    rows = [row.words for row in sheet(plan(asked), asked).setups[1].rows]
    told = next(words for words in rows if words.startswith("Deburr"))
    assert "Z 0" in told
