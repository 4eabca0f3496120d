"""Random grooves of every kind on a stepped pin: what the replay must find."""

from __future__ import annotations

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from tests.drawn import drawn
from tests.pipeline import invariants
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Groove, PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.shop.files import demo_shop

_SEAT_MM = 30.0


def _text(value: float) -> str:
    return f"{value:.2f}"


@st.composite
def _free_grooves(draw: st.DrawFn) -> Groove:
    """Return a groove in the middle of the seat, Ø25 and 30 long."""
    kind = draw(st.sampled_from(["plain", "round", "vee", "ring"]))
    front = _text(draw(st.floats(3.0, 8.0)))
    depth = draw(st.floats(0.5, 3.0))
    diameter = _text(25.0 - 2 * depth)
    if kind == "ring":
        return Groove("ring", 2, from_front=front)
    if kind == "vee":
        angle = draw(st.sampled_from(["60°", "90°", "120°"]))
        return Groove("vee", 2, from_front=front, angle=angle, diameter=diameter, corner="R0.4")
    width = draw(st.floats(1.4, 8.0))
    if kind == "round":
        return Groove("round", 2, from_front=front, width=_text(width + 2.0), diameter=diameter)
    slant = draw(st.sampled_from([None, "10°", "20°"]))
    wide = width + (2.5 if slant else 0.0)
    corner = draw(st.sampled_from([None, "R0.2"]))
    return Groove(
        "plain", 2, from_front=front, width=_text(wide), diameter=diameter, angle=slant,
        corner=corner,
    )  # fmt: skip


_at_shoulder = st.sampled_from(
    [
        (),
        (Groove("undercut E", 2),),
        (Groove("undercut F", 2),),
        (Groove("undercut F", 2, size="1x0.2"),),
        (Groove("thread relief", 1, size="1.75"),),
        (Groove("thread relief", 1, size="1"), Groove("undercut E", 2, size="0.4x0.2")),
    ]
)


def _job(grooves: tuple[Groove, ...], lathe: str) -> Job:
    part = PartRecord(
        "grooved pin",
        (
            Section("cylinder", diameter="12", length="18"),
            Section("cylinder", diameter="25", length=f"{_SEAT_MM:g}", front_corner="1x45°"),
            Section("cylinder", diameter="36", length="8"),
        ),
        material="mild steel",
        grooves=grooves,
    )
    holding = Holding("Three-jaw 160", "25")
    return Job(part, Blank("40", "97"), lathe, (Setup(holding),))


@given(
    free=_free_grooves(),
    shouldered=_at_shoulder,
    lathe=st.sampled_from(["Slipway 1", "Slipway 2", "Boathouse"]),
    formed=st.booleans(),
)
@drawn(8)
def test_grooves_hurt_nothing_and_come_out_true(
    free: Groove, shouldered: tuple[Groove, ...], lathe: str, *, formed: bool
) -> None:
    job = _job((free, *shouldered), lathe)
    shop = demo_shop()
    tools = tuple(t for t in shop.tools if formed or t.kind != "groove form")
    plan = Planner(msgspec.structs.replace(shop, tools=tools)).plan(job)
    invariants.all_hold(plan, lathe)
    told = [f for f in plan.findings if f.code == "groove-not-made"]
    missing = {left.reason for left in plan.finished.left_over if left.cause == "groove"}
    assert len(told) == len(missing), (told, missing)
    assert not [f for f in plan.findings if f.severity == "stop"]
