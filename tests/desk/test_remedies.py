"""A remedy that is applied does away with its finding, in the setup that the finding is about."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import pytest

from turnsketch.desk.remedies import APPLICABLE, Remedy, remedy_for
from turnsketch.desk.setup_edits import held_again, pulled_out, turned_around
from turnsketch.document.demo import load_demo
from turnsketch.document.setups import change_holding, change_setup
from turnsketch.job import Blank, Holding, Job, Operation, OperationKind, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Finding, Plan
from turnsketch.shop.files import demo_shop
from turnsketch.shop.records import Shop

PIN, SHAFT, SLENDER = (load_demo(n) for n in ("stepped_pin", "shaft_end", "slender_pin"))
SHOP = demo_shop()
PLANNER = Planner(SHOP)
TWO = pulled_out(PIN, SHOP, 0)
USUAL = PLANNER.propose_all(PIN)[0]


def with_blank(job: Job, **changes: str) -> Job:
    return msgspec.structs.replace(job, blank=msgspec.structs.replace(job.blank, **changes))


def with_grip(job: Job, grip: str) -> Job:
    return change_holding(job, 0, grip=grip)


def with_operations(job: Job, *operations: Operation, setup: int = 0) -> Job:
    return change_setup(job, setup, operations=operations)


def with_changes(job: Job, kind: OperationKind, setup: int = 0, **changes: object) -> Job:
    """Return the job with the proposed list, the operations of one kind changed."""
    listed = PLANNER.propose_all(job)[setup]
    changed = [msgspec.structs.replace(o, **changes) if o.kind == kind else o for o in listed]
    return with_operations(job, *changed, setup=setup)


def without(job: Job, *kinds: OperationKind) -> Job:
    return with_operations(job, *(o for o in PLANNER.propose_all(job)[0] if o.kind not in kinds))


def on_centre(job: Job, part: PartRecord | None = None) -> Job:
    job = msgspec.structs.replace(job, part=part or job.part)
    return change_holding(job, 0, centre=True)


def plain(diameter: str, length: str, bar: str, blank: str, grip: str) -> Job:
    part = PartRecord("pin", (Section("cylinder", diameter=diameter, length=length),),
                      material="mild steel", centre_hole="allowed")  # fmt: skip
    return Job(part, Blank(bar, blank), "Slipway 1", (Setup(Holding("Three-jaw 125", grip)),))


def found_in(made: Plan, code: str) -> Finding:
    return next(f for f in made.findings if f.code == code)


def remedied(job: Job, code: str, shop: Shop = SHOP) -> tuple[Remedy, Plan]:
    planner = PLANNER if shop is SHOP else Planner(shop)
    made = planner.plan(job)
    remedy = remedy_for(job, found_in(made, code), shop, made, planner.propose_all(job))
    assert remedy is not None, f"no remedy for {code}"
    assert remedy.words
    return remedy, planner.plan(remedy.job)


def no_drill_first(job: Job) -> Job:
    """A centre hole in the raw face."""
    listed = [o for o in PLANNER.propose_all(job)[0] if o.kind != "centre hole"]
    return with_operations(job, Operation("centre hole", 14), *listed)


def required(job: Job) -> Job:
    return msgspec.structs.replace(
        job, part=msgspec.structs.replace(job.part, centre_hole="required")
    )


def with_bore(job: Job) -> Job:
    """Return the job with a part that is nearly a tube."""
    part = PartRecord("ring", (Section("cylinder", diameter="31", length="30"),),
                      bore=Bore((Section("cylinder", diameter="28", length="30"),), through=True),
                      material="mild steel")  # fmt: skip
    return msgspec.structs.replace(job, part=part)


CASES: dict[str, tuple[str, Callable[[], Job]]] = {
    "too thin": ("blank-too-small", lambda: with_blank(PIN, diameter="28")),
    "too short": ("blank-too-short", lambda: with_blank(PIN, length="75")),
    "black skin": ("black-skin", lambda: with_blank(PIN, diameter="30.5", skin="black")),
    "short grip": ("grip-short", lambda: with_grip(PIN, "8")),
    "long grip": ("grip-long", lambda: with_grip(with_blank(PIN, diameter="50"), "35")),
    "in the jaws": ("jaws-in-the-cut", lambda: with_grip(with_blank(PIN, length="105"), "40")),
    "near the jaws": ("near-the-jaws", lambda: with_blank(PIN, length="98")),
    "square in three jaws": ("shape-not-held", lambda: with_blank(PIN, shape="square")),
    "soft jaws of none": ("no-soft-jaws", lambda: change_holding(
        PIN, 0, device="Four-jaw 160", soft_jaws=True)),
    "on a finished end": ("grip-on-finished", lambda: turned_around(PIN, SHOP, 0)),
    "thin tube": ("thin-wall", lambda: with_blank(
        with_bore(PIN), diameter="32", shape="tube", bore="27")),
    "far out": ("parting-far-out", lambda: with_blank(PIN, length="140")),
    "long blank": ("stick-out", lambda: with_blank(PIN, length="135")),
    "slender": ("stick-out", lambda: plain("18", "90", "20", "120", "20")),
    "not parted": ("back-not-made", lambda: without(PIN, "part off")),
    "part off is off": ("back-not-made", lambda: with_changes(PIN, "part off", enabled=False)),
    "short blade": ("blade-too-short", lambda: with_operations(
        plain("46", "30", "48", "70", "25"), Operation("face", 1), Operation("rough", 1),
        Operation("finish", 2), Operation("part off", 7))),
    "no centre hole": ("centre-hole-missing", lambda: without(required(PIN), "centre hole")),
    "raw face": ("centre-hole-raw-face", lambda: no_drill_first(SLENDER)),
    "nothing for the centre": ("centre-without-hole", lambda: without(SLENDER, "centre hole")),
    "parting on the centre": ("parting-on-centre", lambda: with_operations(
        SLENDER, *PLANNER.propose_all(SLENDER)[0], Operation("part off", 7))),
    "held back": ("depth-held-back", lambda: with_changes(PIN, "rough", depth="3")),
    "coarse feed": ("feed-range", lambda: with_changes(PIN, "rough", feed="0.9")),
    "too rough": ("roughness", lambda: with_changes(PIN, "finish", feed="0.4")),
    "too fast": ("speed-high", lambda: with_changes(PIN, "rough", rpm=1400.0)),
    "nothing to do": ("no-pass", lambda: with_blank(
        with_operations(PIN, *USUAL, Operation("rough", 1)), length="102")),
    "wrong blade": ("wrong-tool", lambda: with_changes(PIN, "face", tool=7)),
    "wrong edge": ("no-pass", lambda: with_changes(PIN, "chamfer", tool=2)),
    "finish is off": ("left-over-not-planned", lambda: with_changes(PIN, "finish", enabled=False)),
    "one setup of two": ("blank-too-small", lambda: with_blank(TWO, diameter="28")),
    "pulled too far": ("grip-short", lambda: change_setup(TWO, 1, pull_out="64")),
    "pulled too little": ("jaws-in-the-cut", lambda: change_setup(TWO, 1, pull_out="35")),
    "the second too fast": ("speed-high", lambda: with_changes(
        TWO, "rough", 1, rpm=1400.0)),
    "too long": ("work-too-long", lambda: on_centre(msgspec.structs.replace(
        plain("18", "500", "20", "540", "20"), lathe="Boathouse"))),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_a_remedy_does_away_with_its_finding(case: str) -> None:
    code, make = CASES[case]
    job = make()
    before = PLANNER.plan(job)
    remedy, after = remedied(job, code)
    index = found_in(before, code).setup
    assert (code, index) not in {(f.code, f.setup) for f in after.findings}, remedy.words

    def stops(made: Plan) -> set[str]:
        return {f.code for f in made.findings if f.severity == "stop"}

    assert stops(after) <= stops(before), "no new danger comes with a remedy"


def test_in_a_later_setup_the_others_stay_as_they_are() -> None:
    for case in ("the second too fast", "pulled too little"):
        code, make = CASES[case]
        job = make()
        remedy, _ = remedied(job, code)
        assert remedy.job.setups[0] == job.setups[0]
        assert remedy.job.blank == job.blank
        assert remedy.job.setups[1] != job.setups[1]


def test_a_bar_that_is_pulled_too_little_is_pulled_further() -> None:
    remedy, _ = remedied(CASES["pulled too little"][1](), "jaws-in-the-cut")
    assert remedy.words.startswith("Pull the bar out")
    assert remedy.job.setups[1].pull_out is not None


def test_a_bar_that_cannot_be_pulled_further_is_cut_longer() -> None:
    """The jaws hold 15 already, what the shop asks for at least."""
    short = with_blank(with_grip(change_setup(TWO, 1, pull_out="40"), "55"), length="83")
    made = PLANNER.plan(short)
    code = next(f.code for f in made.findings if f.code in ("blank-too-short", "jaws-in-the-cut")
                and f.setup == 2)  # fmt: skip
    remedy, after = remedied(short, code)
    assert remedy.words.startswith("Cut the blank")
    assert not [f.code for f in after.findings if f.severity == "stop"]


def test_an_operation_of_a_wrong_kind_gets_the_proposed_tool() -> None:
    remedy, _ = remedied(CASES["wrong edge"][1](), "no-pass")
    own = remedy.job.setups[0].operations
    assert own is not None
    assert [o.tool for o in own if o.kind == "chamfer"] == [6]


def test_an_operation_that_makes_no_pass_is_named_by_its_number() -> None:
    job = CASES["nothing to do"][1]()
    made = PLANNER.plan(job)
    finding = found_in(made, "no-pass")
    assert finding.operation == len(USUAL) + 1
    remedy = remedy_for(job, finding, SHOP, made, PLANNER.propose_all(job))
    assert remedy is not None
    own = remedy.job.setups[0].operations
    assert own is not None
    assert [o.enabled for o in own] == [True] * len(USUAL) + [False]


def test_a_finish_gets_what_its_edge_needs() -> None:
    job = with_changes(PIN, "rough", x_allowance="0.05")
    made = PLANNER.plan(job)
    assert "thin-finish" in {f.code for f in made.findings}
    remedy, after = remedied(job, "thin-finish")
    assert "thin-finish" not in {f.code for f in after.findings}
    own = remedy.job.setups[0].operations
    assert own is not None
    assert {o.x_allowance for o in own if o.kind == "rough"} == {None}


def test_a_corner_that_is_too_round_is_finished_with_a_smaller_nose() -> None:
    part = msgspec.structs.replace(PIN.part, inside_corners="R0.5")
    job = with_changes(msgspec.structs.replace(PIN, part=part), "finish", tool=1)
    made = PLANNER.plan(job)
    assert found_in(made, "left-over-nose").severity == "caution"
    remedy, after = remedied(job, "left-over-nose")
    assert remedy.words == "Finish with T2"
    assert found_in(after, "left-over-nose").severity == "note"


def test_a_list_that_leaves_metal_goes_back_to_the_program() -> None:
    job = with_operations(
        PIN, Operation("face", 1), Operation("rough", 1), Operation("part off", 7)
    )
    made = PLANNER.plan(job)
    finding = next(
        f for f in made.findings if f.code.startswith("left-over-") or f.code == "over-size"
    )
    remedy = remedy_for(job, finding, SHOP, made, PLANNER.propose_all(job))
    assert remedy is not None
    assert remedy.job.setups[0].operations is None
    assert finding.code not in {f.code for f in PLANNER.plan(remedy.job).findings}


def test_no_centre_is_put_in_where_the_print_allows_no_hole() -> None:
    job = plain("18", "90", "20", "120", "20")
    part = msgspec.structs.replace(job.part, centre_hole="not allowed")
    job = msgspec.structs.replace(job, part=part)
    made = PLANNER.plan(job)
    assert remedy_for(job, found_in(made, "stick-out"), SHOP, made) is None


def test_a_blade_that_no_shop_has_is_not_offered() -> None:
    job = CASES["short blade"][1]()
    shop = msgspec.structs.replace(SHOP, tools=tuple(t for t in SHOP.tools if t.number != 11))
    planner = Planner(shop)
    made = planner.plan(job)
    found = found_in(made, "blade-too-short")
    assert remedy_for(job, found, shop, made, planner.propose_all(job)) is None


def test_a_gripped_bar_that_is_pulled_out_later_is_not_cut_shorter() -> None:
    job = with_blank(TWO, diameter="50")
    made = PLANNER.plan(job)
    finding = next(f for f in made.findings if f.code == "grip-long" and f.setup == 1)
    assert remedy_for(job, finding, SHOP, made) is None


def test_where_a_person_has_to_decide_no_remedy_is_offered() -> None:
    made = PLANNER.plan(PIN)
    offered = {f.code for f in made.findings
               if remedy_for(PIN, f, SHOP, made, PLANNER.propose_all(PIN))}  # fmt: skip
    assert offered == set()


def test_a_finding_of_a_setup_that_is_gone_has_no_remedy() -> None:
    made = PLANNER.plan(CASES["pulled too far"][1]())
    assert remedy_for(PIN, found_in(made, "grip-short"), SHOP, made) is None


def said(code: str, pass_number: int | None = None, z: float | None = None) -> Finding:
    return Finding(code, "stop", "said in a test", 1, pass_number, z, "")


def test_what_frees_a_piece_is_put_last() -> None:
    job = with_operations(PIN, *USUAL[:2], Operation("part off", 7), *USUAL[2:-1])
    made = PLANNER.plan(with_operations(PIN, *USUAL))
    rough = next(p for p in made.setups[0].passes if p.operation == "rough")
    remedy = remedy_for(job, said("loose-piece", rough.number), SHOP, made)
    assert remedy is not None
    own = remedy.job.setups[0].operations
    assert own is not None
    assert own[-1].kind == "rough"
    last = made.setups[0].passes[-1].number
    assert remedy_for(PIN, said("loose-piece", last), SHOP, made, (USUAL,)) is None


def test_a_part_that_still_hangs_gets_a_blade() -> None:
    job = with_changes(PIN, "part off", tool=6)
    made = PLANNER.plan(PIN)
    remedy = remedy_for(job, said("not-parted", made.setups[0].passes[-1].number), SHOP, made)
    assert remedy is not None
    assert remedy.words == "Part off with T7"


def test_a_surface_over_size_gets_its_finish_back() -> None:
    job = with_changes(PIN, "finish", enabled=False)
    made = PLANNER.plan(job)
    remedy = remedy_for(job, said("over-size"), SHOP, made, PLANNER.propose_all(job))
    assert remedy is not None
    assert remedy.words == "Switch finish on"


def test_cuts_that_are_too_deep_get_the_depth_that_the_tool_takes() -> None:
    limits = msgspec.structs.replace(SHOP.limits, greatest_depth_mm=None)
    free = msgspec.structs.replace(SHOP, limits=limits)
    remedy, after = remedied(with_changes(PIN, "rough", depth="4"), "too-deep", free)
    assert remedy.words == "Set a depth of 2"
    assert "too-deep" not in {f.code for f in after.findings}


def test_a_finish_that_has_too_much_to_take_is_roughed_closer() -> None:
    job = with_changes(PIN, "rough", x_allowance="1.8")
    made = PLANNER.plan(job)
    finish = next(p.number for p in made.setups[0].passes if p.operation == "finish")
    remedy = remedy_for(job, said("too-deep", finish), SHOP, made, PLANNER.propose_all(job))
    assert remedy is not None
    own = remedy.job.setups[0].operations
    assert own is not None
    assert {o.x_allowance for o in own} == {None}


def test_a_bar_that_does_not_turn_over_the_bed_goes_to_a_larger_lathe() -> None:
    small = msgspec.structs.replace(SHOP.lathes[0], name="Small", swing_mm=30.0)
    shop = msgspec.structs.replace(SHOP, lathes=(*SHOP.lathes, small))
    job = msgspec.structs.replace(PIN, lathe="Small")
    remedy, after = remedied(job, "swing", shop)
    assert remedy.job.lathe == "Boathouse"
    assert "swing" not in {f.code for f in after.findings}


def test_all_codes_with_a_remedy_are_tried_here() -> None:
    alone = {"thin-finish", "left-over-*", "loose-piece", "not-parted", "over-size", "swing"}
    alone |= {"too-deep"}
    assert {code for code, _ in CASES.values()} | alone >= APPLICABLE


def test_held_again_is_a_setup_like_any_other() -> None:
    job = held_again(PIN, SHOP, 0)
    made = PLANNER.plan(job)
    assert not [f.code for f in made.findings if f.severity == "stop"]
    assert [o.kind for o in made.setups[1].operations] == ["part off"]


def test_a_turned_part_is_gripped_otherwise_and_its_bar_left_alone() -> None:
    job = change_holding(turned_around(PIN, SHOP, 0), 1, grip="10")
    made = PLANNER.plan(job)
    remedy = remedy_for(job, found_in(made, "grip-short"), SHOP, made)
    assert remedy is not None
    assert remedy.words == "Grip 15"
    assert remedy.job.blank == job.blank
    deep = change_holding(job, 1, grip="24")
    made = PLANNER.plan(deep)
    finding = next(f for f in made.findings if f.code in ("jaws-in-the-cut", "near-the-jaws"))
    remedy = remedy_for(deep, finding, SHOP, made)
    assert remedy is not None
    assert remedy.job.blank == deep.blank
    assert float(remedy.job.setups[1].holding.grip or "0") < 24
