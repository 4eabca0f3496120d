"""Drills, reamers and countersinks: how deep, where they touch, what they leave."""

from __future__ import annotations

import math

import pytest
from shapely import Point as Spot

from tests.planning.bored import bored, section, start_of
from turnsketch.job import Operation
from turnsketch.part.outline_records import ResolvedBore
from turnsketch.plan_records import QuillWork
from turnsketch.planning.context import Context, State
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.drill import plan_drill, point_of
from turnsketch.planning.face import plan_face
from turnsketch.planning.fold import change_point

TAN_59 = math.tan(math.radians(59))


def drilled(ctx: Context, *operations: Operation) -> tuple[list[DraftPass], State]:
    """Plan operations one after the other on the faced blank."""
    _, state = plan_face(ctx, Operation("face", 1), start_of(ctx), "face")
    passes: list[DraftPass] = []
    for operation in operations:
        state = State(state.remaining, change_point(ctx), None)
        passes, state = plan_drill(ctx, operation, state, operation.kind)
    return passes, state


def quill_of(ctx: Context, *operations: Operation) -> QuillWork:
    ((made,), _) = drilled(ctx, *operations)
    assert made.quill is not None
    return made.quill


def test_a_through_hole_goes_a_millimetre_beyond_with_its_full_diameter() -> None:
    """Beyond what a bar will bore: a millimetre of overrun where nobody parts it off."""
    quill = quill_of(bored(section("20")), Operation("drill", 45))
    assert quill.full_z == pytest.approx(-42.0, abs=2e-3)
    # Computed: the point of Ø12 at 118 degrees is 6 / tan 59 long.
    assert quill.tip_z == pytest.approx(-42.0 - 6 / TAN_59, abs=2e-3)
    assert (quill.touch, quill.touch_z) == ("face", 0.0)
    assert quill.depth == pytest.approx(-quill.tip_z, abs=2e-3)


def test_a_blind_hole_keeps_its_point_above_a_flat_bottom() -> None:
    quill = quill_of(bored(section("20", "25"), through=False), Operation("drill", 45))
    assert quill.tip_z == pytest.approx(-25.0, abs=2e-3)


def test_a_blind_hole_with_a_drills_bottom_takes_the_drill_to_its_full_depth() -> None:
    ctx = bored(section("12", "25"), through=False, bottom="118°")
    quill = quill_of(ctx, Operation("drill", 45))
    assert quill.full_z == pytest.approx(-25.0, abs=2e-2)


def test_the_jobs_depth_is_that_of_the_full_diameter() -> None:
    quill = quill_of(bored(section("20")), Operation("drill", 45, to_depth="15"))
    assert quill.full_z == pytest.approx(-15.0, abs=2e-3)


def test_nothing_of_the_part_is_drilled_away() -> None:
    ctx = bored(section("20", "10"), section("10", "10"), through=False)
    ((made,), state) = drilled(ctx, Operation("drill", 46))
    # Ø14 goes as deep as the wider section: its point's rim is where it stands on the narrow one.
    assert made.quill is not None
    assert made.quill.tip_z >= -10.0 - 5 / TAN_59 - 2e-3
    assert state.remaining.covers(Spot(-10.5, 7.5))
    assert state.remaining.covers(Spot(-15.0, 5.1))


def test_a_second_drill_touches_the_rim_of_the_first() -> None:
    ctx = bored(section("20"))
    quill = quill_of(ctx, Operation("drill", 42), Operation("drill", 46))
    # Computed: a point of 118 degrees on a rim of Ø6.8 stands 3.4 / tan 59 deep in it.
    assert quill.touch == "rim"
    assert quill.touch_z == pytest.approx(-3.4 / TAN_59, abs=2e-3)
    assert quill.depth == pytest.approx(quill.touch_z - quill.tip_z, abs=2e-3)


def test_a_countersink_counts_from_the_rim() -> None:
    ctx = bored(section("19.7", front_corner="0.5x45°"))
    quill = quill_of(ctx, Operation("drill", 49), Operation("countersink", 63))
    assert quill.touch == "rim"
    assert quill.depth == pytest.approx(0.5, abs=2e-3)
    assert quill.full_z is None


def test_a_reamer_makes_its_section_to_size() -> None:
    ctx = bored(section("20 H7"))
    ((made,), state) = drilled(ctx, Operation("drill", 49), Operation("ream", 62))
    assert made.section == 2
    assert made.last_on_surface
    assert made.size is not None
    assert (made.size.lower, made.size.upper) == pytest.approx((20.0, 20.021))
    assert made.quill is not None
    assert (made.quill.touch, made.quill.pecks) == ("face", ())
    assert not state.remaining.covers(Spot(-20, 10.004))
    assert state.remaining.covers(Spot(-20, 10.006))


def test_deep_holes_are_pecked() -> None:
    quill = quill_of(bored(section("20")), Operation("drill", 41))
    # Common practice: three diameters first, then one by one.
    assert quill.pecks[:3] == (15.0, 20.0, 25.0)
    assert quill.pecks[-1] < quill.depth
    assert quill_of(bored(section("20")), Operation("drill", 48)).pecks == ()


def test_flutes_end_the_hole() -> None:
    ctx = bored(section("6", "39"), through=False, bottom="118°")
    quill = quill_of(ctx, Operation("drill", 41))
    assert quill.tip_z > -52.0


@pytest.mark.parametrize(
    "operation",
    [
        Operation("drill", 50),  # wider than the bore
        Operation("drill", 62),  # a reamer
        Operation("ream", 49),  # a drill
    ],
)
def test_what_makes_no_pass(operation: Operation) -> None:
    passes, _ = drilled(bored(section("20")), operation)
    assert passes == []


def test_no_bore_no_hole() -> None:
    ctx = bored(section("20"))
    assert ctx.part.bore is not None
    assert isinstance(ctx.part.bore, ResolvedBore)
    assert point_of(ctx.shapes[62].tool) == 0.0
