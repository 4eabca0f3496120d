"""Whole plans with a steady rest that is set on a track: passes, sheet, findings, replay."""

from __future__ import annotations

from functools import cache

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.pipeline.turned_jobs import codes, cylinder, replays_clean
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord
from turnsketch.part.resolve import resolve
from turnsketch.pipeline import plan
from turnsketch.plan_records import Plan
from turnsketch.sheet.content import SheetInput, sheet_content
from turnsketch.shop.files import demo_shop

LONG = PartRecord(
    "Tiller shaft",
    (cylinder("20", "40"), cylinder("24", "30"), cylinder("30", "110")),
    material="mild steel",
    inside_corners="R0.8",
)
BLACK = Blank("32", "240", "1", skin="black")


def steadied(
    part: PartRecord = LONG,
    blank: Blank = BLACK,
    place: str = "100",
    operations: tuple[Operation, ...] | None = None,
    *,
    centre: bool = False,
) -> Job:
    held = Holding("Three-jaw 160", "25", steady=place, centre=centre)
    return Job(part, blank, "Slipway 1", (Setup(held, "steady", operations=operations),))


@cache
def usual(*, centre: bool = False) -> Plan:
    return plan(steadied(centre=centre))


def keeps_off(made: Plan) -> None:
    """Ask that no move comes to the steady rest's place, nor behind it, once it is set."""
    setup = made.setups[0]
    steady = setup.steady
    assert steady is not None
    since = steady.from_pass
    assert steady.stands
    assert since is not None
    late = [p for p in setup.passes if p.number >= since]
    assert late
    assert min(m.to.z for p in late for m in p.moves) > steady.high_z


@pytest.mark.parametrize("centre", [False, True])
def test_the_track_comes_first_and_the_rest_is_made_on_it(centre: bool) -> None:
    made = usual(centre=centre)
    replays_clean(made)
    keeps_off(made)
    setup = made.setups[0]
    kinds = [(o.kind, o.reason[:12]) for o in setup.operations]
    track = [k for k in kinds if k[1] in ("light cuts d", "the steady r")]
    assert [kind for kind, _ in track] == ["rough", "finish"]
    before = kinds[: kinds.index(track[0])]
    assert [kind for kind, _ in before] == (["face", "centre hole"] if centre else [])
    assert setup.steady is not None
    assert setup.steady.diameter_mm == pytest.approx(30.0)
    ring = next(o for o in setup.obstacles if o.name == "steady rest")
    assert ring.from_pass == setup.steady.from_pass
    assert made.finished.over_mm <= 0.005
    assert "part off" not in [o.kind for o in setup.operations], "no blade comes behind it"


def test_only_the_track_is_turned_before_it_lightly_and_slowly() -> None:
    """The front end is faced with the steady rest in place, also where the track begins there."""
    part = PartRecord("Mast heel", (cylinder("28", "170"),), material="mild steel")
    made = plan(steadied(part, Blank("32", "230", "1")))
    setup = made.setups[0]
    assert setup.steady is not None
    since = setup.steady.from_pass
    assert since is not None
    early = [p for p in setup.passes if p.number < since]
    assert {p.operation for p in early} == {"rough", "finish"}
    assert all(min(m.to.r for m in p.moves) > 10.0 for p in early), "nothing goes to the axis"
    face = next(p for p in setup.passes if p.operation == "face")
    assert face.number >= since
    rough = [p for p in early if p.operation == "rough"]
    assert len(rough) == 2, "1.7 mm on radius in cuts of 1 mm"
    assert max(p.rpm for p in early) <= 0.5 * 1000 + 1
    replays_clean(made)
    assert not [f for f in made.findings if "makes no pass" in f.message]


def test_a_track_far_from_the_jaws_is_a_caution_without_a_centre() -> None:
    """Common practice: 3 diameters free, 10 on a centre; the tool comes in from the free end."""
    told = [f for f in usual().findings if f.code == "track-far-out"]
    assert ["up to 215.00 mm from the jaws, 6.7 times" in f.message for f in told] == [True]
    assert "track-far-out" not in codes(usual(centre=True))


def test_the_sheet_has_a_row_for_it() -> None:
    asked = steadied()
    made, shop = usual(), demo_shop()
    given = SheetInput(
        made, resolve(asked.part, "mm"), asked, shop.lathes[0], shop.chucks[0], shop.tools
    )
    (setup,) = sheet_content(given).setups
    rows = [row for row in setup.rows if row.kind == "steady"]
    assert [row.number for row in rows] == ["R"]
    words = rows[0].words
    for said in ("at Z −100", "track of Ø30.00", "oil", "NO TOOL from Z −88 to Z −112"):
        assert said in words
    assert rows[0].pass_number == made.setups[0].steady.from_pass  # type: ignore[union-attr]
    fact = next(f.value for f in setup.facts if f.label == "Steady rest")
    assert "set before pass 3 on its track of Ø30.00" in fact


def test_a_list_that_never_turns_the_track_is_stopped() -> None:
    made = plan(steadied(operations=(Operation("face", 1),)))
    told = next(f for f in made.findings if f.code == "steady-not-set")
    assert told.severity == "stop"
    assert "Ø30.00 mm from Z-88.00 to Z-112.00" in told.message
    assert "steady rest" not in [o.name for o in made.setups[0].obstacles]


def test_a_steady_rest_that_is_set_last_helps_nothing() -> None:
    listed = (Operation("rough", 1), Operation("finish", 2))
    made = plan(steadied(operations=listed))
    assert "steady-late" in codes(made, "caution")
    assert "steady-late" not in codes(usual())


def test_fingers_do_not_run_on_a_track_that_is_turned_on_black_bar() -> None:
    assert "steady-seat" not in codes(usual())
    named = steadied()
    setup = msgspec.structs.replace(named.setups[0], sections=(1,))
    assert "steady-seat" in codes(plan(msgspec.structs.replace(named, setups=(setup,))), "stop")


@st.composite
def long_shafts(draw: st.DrawFn) -> tuple[PartRecord, str]:
    """Yield shafts that grow toward the chuck, and a place for the steady rest on the last."""
    sizes = sorted(draw(st.lists(st.integers(12, 28), min_size=1, max_size=3, unique=True)))
    lengths = [draw(st.integers(15, 45)) for _ in sizes]
    sections = [cylinder(str(d), str(n)) for d, n in zip(sizes, lengths, strict=True)]
    last = draw(st.integers(50, 110))
    part = PartRecord(
        "shaft",
        (*sections, cylinder("30", str(last))),
        material="mild steel",
        inside_corners="R0.8",
    )
    return part, str(sum(lengths) + draw(st.integers(22, last - 13)))


@settings(max_examples=2, deadline=None, suppress_health_check=list(HealthCheck))
@given(long_shafts(), st.sampled_from(("black", "bright")), st.booleans())
def test_random_shafts_in_a_steady_rest(
    case: tuple[PartRecord, str], skin: str, centre: bool
) -> None:
    part, place = case
    length = sum(int(s.length or 0) for s in part.sections)
    blank = msgspec.structs.replace(BLACK, length=str(length + 60), skin=skin)
    made = plan(steadied(part, blank, place, centre=centre))
    replays_clean(made)
    keeps_off(made)
    assert codes(made, "stop") == []
    assert made.finished.over_mm <= 0.005
