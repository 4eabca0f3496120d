"""Parting off: which side of the blade reads, how deep, and what a short blade does."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import msgspec
import pytest

from tests.planning.conftest import MakeContext, polyline
from turnsketch.geometry.elements import Point
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.planning.context import Context
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.fold import fold
from turnsketch.shop.tool_shape import tool_shape

LENGTH = 80.30


def part(make_context: MakeContext, diameter: float = 20) -> Context:
    corners = [(0, 0), (0, diameter), (-LENGTH, diameter), (-LENGTH, 0)]
    return make_context(polyline(*corners), diameter + 2)


def read_at(ctx: Context, side: Literal["left", "right", "centre"]) -> Context:
    """Return the setup with blade T7 read at another side."""
    tool = ctx.shapes[7].tool
    shift = {"left": 0.0, "centre": -tool.width_mm / 2, "right": -tool.width_mm}[side]
    holder = tuple(tuple(Point(p.z + shift, p.r) for p in ring) for ring in tool.holder)
    moved = msgspec.structs.replace(tool, reference=side, holder=holder)
    return replace(ctx, shapes={**ctx.shapes, 7: tool_shape(moved)})


def parting(ctx: Context, tool: int = 7) -> DraftPass:
    rough = (Operation("face", 1), Operation("rough", 1), Operation("finish", 2))
    return fold(ctx, (*rough, Operation("part off", tool))).steps[-1].passes[0]


@pytest.mark.parametrize(("side", "z"), [("left", -83.30), ("right", -80.30), ("centre", -81.80)])
def test_the_reference_decides_three_millimetres(
    make_context: MakeContext, side: Literal["left", "right", "centre"], z: float
) -> None:
    """Finished end at Z-80.30, blade 3: left corner reads Z-83.30, right Z-80.30 (worked)."""
    made = parting(read_at(part(make_context), side))
    cut = next(d.move for d in made.moves if d.move.kind == "cut")
    assert cut.to.z == pytest.approx(z)
    assert 2 * cut.to.r == pytest.approx(-2 * 0.1), "X = -2 x the corner's radius"
    assert side in made.notes[0]
    assert any("never catch it by hand" in note for note in made.notes)


def test_a_blade_that_is_too_short_stops_before_its_holder_rubs(
    make_context: MakeContext,
) -> None:
    made = parting(part(make_context, 60))
    cut = next(d.move for d in made.moves if d.move.kind == "cut")
    reach = 22.0
    assert 30 - reach + 0.2 - 1e-6 <= cut.to.r <= 30 - reach + 1.0
    assert any("saw" in note for note in made.notes)
    assert not any("catch" in note for note in made.notes), "it stays on the bar"
    assert made.depth <= reach


@pytest.mark.parametrize("diameter", [20, 34, 41.3])
def test_the_blade_comes_down_in_air_and_does_not_touch(
    make_context: MakeContext, diameter: float
) -> None:
    made = parting(part(make_context, diameter))
    down = [d.move for d in made.moves if d.move.kind == "position"][-2]
    assert 1.0 <= down.to.r - diameter / 2 <= 2.0
    assert 2 * down.to.r == pytest.approx(round(2 * down.to.r))


def test_room_for_the_blade_is_left_behind_the_part(make_context: MakeContext) -> None:
    planned = fold(part(make_context), (Operation("part off", 11),))
    assert planned.overrun == pytest.approx(3.175 + 0.5)


def test_what_came_off_is_cut_no_more(make_context: MakeContext) -> None:
    """An operation after parting off finds the bar alone."""
    ctx = part(make_context)
    steps = fold(ctx, (Operation("part off", 7), Operation("rough", 1))).steps
    assert steps[0].remaining.bounds[2] == pytest.approx(-LENGTH - 3.0, abs=1e-6)
    assert steps[1].passes == ()


@pytest.mark.parametrize("diameter", ["42.2", "43", "43.6"])
def test_the_proposed_blade_reaches_the_axis_beside_what_roughing_leaves(diameter: str) -> None:
    sections = (
        Section("cylinder", diameter="24", length="20"),
        Section("cylinder", diameter=diameter, length="17", back_corner="0.5x45°"),
    )
    part = PartRecord("cap", sections, material="mild steel")
    job = Job(part, Blank("45", "80"), "Slipway 2", (Setup(Holding("Three-jaw 160", grip="31")),))
    codes = {f.code for f in Planner().plan(job).findings}
    assert not codes & {"blade-too-short", "not-parted"}
