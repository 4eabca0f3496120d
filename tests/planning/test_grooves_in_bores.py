"""Random grooves, undercuts and reliefs in bores, front and back: what the replay must find."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.drawn import drawn
from tests.pipeline import invariants
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, Groove, PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan
from turnsketch.shop.files import demo_shop
from turnsketch.shop.suited import for_undercuts

_JAWS = "Three-jaw 160"
_SETUPS = {
    False: (Setup(Holding(_JAWS, "30")),),
    True: (Setup(Holding(_JAWS, "30")), Setup(Holding(_JAWS, "25", soft_jaws=True), turned=True)),
}


def bush(bore: Bore, *grooves: Groove, back: bool = False, lathe: str = "Slipway 1") -> Job:
    """Return a bush Ø48 with a bore in front, or in its back end."""
    part = PartRecord(
        "bush",
        (Section("cylinder", diameter="48", length="40"),),
        material="mild steel",
        bore=None if back else bore,
        bore_back=bore if back else None,
        grooves=grooves,
        inside_corners="R0.8",
    )
    return Job(part, Blank("50", "86"), lathe, _SETUPS[back])


def grooving(plan: Plan) -> list[Pass]:
    return [p for setup in plan.setups for p in setup.passes if p.operation == "groove"]


def holds(plan: Plan, lathe: str) -> None:
    """Ask everything that every plan keeps, and that all its grooves are made."""
    invariants.all_hold(plan, lathe)
    codes = [f.code for f in plan.findings]
    assert "groove-not-made" not in codes, [f.message for f in plan.findings]
    stops = [f.message for f in plan.findings if f.severity == "stop"]
    assert not stops, stops
    assert {left.cause for left in plan.finished.left_over} <= {
        "nose", "cusp", "ring corner", "reach", "drill point",
    }  # fmt: skip


def _text(value: float) -> str:
    return f"{value:.2f}"


@st.composite
def _seats(draw: st.DrawFn) -> tuple[Bore, tuple[Groove, ...]]:
    """Return a bore whose first section ends at a step or a flat bottom, and what stands in it."""
    kind = draw(st.sampled_from(["plain", "ring", "undercut E", "undercut F", "thread relief"]))
    nominal = draw(st.sampled_from([24, 30, 36]))
    long = draw(st.integers(16, 22))
    depth = draw(st.floats(0.6, 1.6))
    thread = f"M{nominal}x1.5" if kind == "thread relief" else None
    seat = Section(
        "cylinder", diameter=None if thread else str(nominal), thread=thread, length=str(long)
    )
    bores = {
        "stepped": Bore((seat, Section("cylinder", diameter=str(nominal - 8))), through=True),
        "flat": Bore((seat,)),
    }
    bore = bores[draw(st.sampled_from(sorted(bores)))]
    if kind == "plain":
        groove = Groove(
            "plain",
            2,
            from_front=_text(draw(st.floats(2.5, 6.0))),
            width=_text(draw(st.floats(1.2, 5.0))),
            diameter=_text(nominal + 2 * depth),
        )
    elif kind == "ring":
        groove = Groove("ring", 2, from_front="4.5")
    elif kind == "thread relief":
        groove = Groove("thread relief", 2, size=draw(st.sampled_from([None, "D"])))
    else:
        groove = Groove(kind, 2)  # type: ignore[arg-type]
    return bore, (groove,)


@given(
    seat=_seats(),
    back=st.booleans(),
    lathe=st.sampled_from(["Slipway 1", "Slipway 2"]),
)
@drawn(10)
def test_grooves_in_bores_hurt_nothing_and_come_out_true(
    seat: tuple[Bore, tuple[Groove, ...]], back: bool, lathe: str
) -> None:
    bore, grooves = seat
    plan = Planner().plan(bush(bore, *grooves, back=back, lathe=lathe))
    holds(plan, lathe)


_THREADED = Section("cylinder", thread="M30x1.5", length="18", front_corner="1x45°")


def test_the_proposal_puts_a_bores_relief_before_its_thread_and_other_grooves() -> None:
    seat = Section("cylinder", diameter="34", length="12")
    bore = Bore((seat, _THREADED, Section("cylinder", diameter="22")), through=True)
    plain = Groove("plain", 2, from_front="3", width="3", diameter="37")
    plan = Planner().plan(bush(bore, plain, Groove("thread relief", 3)))
    holds(plan, "Slipway 1")
    operations = plan.setups[0].operations
    kinds = [o.kind for o in operations]
    cutting = [o for o in operations if o.kind == "groove"]
    assert kinds.index("bore") < kinds.index("groove") < kinds.index("finish bore")
    assert kinds.index("finish bore") < kinds.index("thread")
    assert "thread" in cutting[0].reason, "the relief first"
    assert next(p.surface for p in grooving(plan)) == "thread relief"
    assert "relief-after-thread" not in [f.code for f in plan.findings]


def test_at_a_flat_bottom_the_relief_waits_for_the_last_cut_and_not_for_the_thread() -> None:
    plan = Planner().plan(bush(Bore((_THREADED,)), Groove("thread relief", 2, size="D"), back=True))
    holds(plan, "Slipway 1")
    kinds = [o.kind for o in plan.setups[1].operations]
    assert kinds.index("finish bore") < kinds.index("groove") < kinds.index("thread")
    assert plan.setups[1].frame.mirrored
    # the short form ends 5.6 in front of the bottom (from memory): so long is the thread
    (thread,) = plan.setups[1].operations[kinds.index("thread") :][:1]
    made = [p for p in plan.setups[1].passes if p.operation_number == thread.number]
    assert all(-18 < min(m.to.z for m in p.moves) < -12.4 + 0.2 for p in made)


def test_an_inside_threading_bar_makes_a_vee_of_its_own_form() -> None:
    bore = Bore((Section("cylinder", diameter="30", length="40"),), through=True)
    vee = Groove("vee", 2, from_front="10", width="2", angle="60°", corner="R0.1")
    plan = Planner().plan(bush(bore, vee))
    holds(plan, "Slipway 1")
    (cutting,) = (o for o in plan.setups[0].operations if o.kind == "groove")
    (tool,) = (t for t in demo_shop().tools if t.number == cutting.tool)
    assert (tool.kind, tool.nose_radius_mm) == ("inside threading", 0.1)
    assert all(p.inside and p.steps is None for p in grooving(plan))


def test_an_undercut_bit_bores_nothing() -> None:
    stepped = Bore(
        (Section("cylinder", diameter="30", length="18"), Section("cylinder", diameter="22")),
        through=True,
    )
    plan = Planner().plan(bush(stepped, Groove("undercut F", 2)))
    bits = {t.number for t in demo_shop().tools if t.kind == "boring" and for_undercuts(t)}
    assert bits
    used = {o.kind for o in plan.setups[0].operations if o.tool in bits}
    assert used == {"groove"}
    under = [p for p in grooving(plan) if any("under the shoulder" in n for n in p.notes)]
    assert under
    # t2 of DIN 509 - F 0.6x0.3 is 0.2 behind the shoulder
    assert min(m.to.z for p in under for m in p.moves) == pytest.approx(-18.2, abs=0.01)
