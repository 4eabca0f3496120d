"""Figures worked by hand for a lathe with a readout come out of whole plans.

Each was worked on paper from common practice for one part: bar Ø32, an M12 end, a seat Ø25 h6 from
Z-22 to Z-58, noses R0.8 and R0.4, readout 0.01 on X and 0.005 on Z, cross dial 5.00 a turn on the
diameter in 100 divisions; a ball R15 under a round nose R3; a cone 1:10.
"""

from __future__ import annotations

import math

import msgspec
import pytest

from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Pass, Plan
from turnsketch.readings.wheel import wheel_way
from turnsketch.shop.files import demo_shop

but = msgspec.structs.replace


def pin_job(*operations: Operation) -> Job:
    """Return the pin: Ø12 to Z-22, seat Ø25 h6 to Z-58, Ø30 to Z-66, in bar Ø32."""
    part = PartRecord(
        "pin",
        (
            Section("cylinder", name="end", diameter="12", length="22"),
            Section("cylinder", name="seat", diameter="25 h6", length="36"),
            Section("cylinder", name="head", diameter="30", length="8"),
        ),
        material="mild steel",
        inside_corners="R0.8",
    )
    return Job(
        part,
        Blank("32", "102"),
        "Slipway 1",
        (Setup(Holding("Three-jaw 160", "25"), operations=operations),),
    )


def planned(job: Job, **tool_changes: dict[str, object]) -> Plan:
    return Planner(demo_shop()).plan(job)


@pytest.fixture(scope="module")
def pin() -> Plan:
    return planned(
        pin_job(
            Operation("face", 1),
            Operation("rough", 1, x_allowance="0.4", z_allowance="0.2"),
            Operation("finish", 2),
            Operation("part off", 7),
        )
    )


def seat_passes(plan: Plan) -> list[Pass]:
    return [p for p in plan.setups[0].passes if p.section == 2]


@pytest.mark.parametrize(("tool", "x"), [(1, -1.60), (2, -0.80), (5, -6.00)])
def test_facing_ends_beyond_the_axis_by_the_nose(tool: int, x: float) -> None:
    """X = -2r: noses R0.8, R0.4 and R3 (worked)."""
    plan = planned(pin_job(Operation("face", tool)))
    face = plan.setups[0].passes[0]
    cut = [r for m, r in zip(face.moves, face.readings, strict=True) if m.kind == "cut"]
    assert cut[-1].x == x
    assert face.start_reading.z > 0


def test_the_face_is_left_along_z_first(pin: Plan) -> None:
    face = pin.setups[0].passes[0]
    after = face.readings[[m.kind for m in face.moves].index("cut") + 1]
    assert after.x == -1.60
    assert after.z > 0


def test_the_seat_is_roughed_to_25_80_and_stops_before_the_shoulder(pin: Plan) -> None:
    """Row 4: X 25.80 to Z-57.80 (worked)."""
    rough = [p for p in seat_passes(pin) if p.operation == "rough"][-1]
    cut = next(r for m, r in zip(rough.moves, rough.readings, strict=True) if m.kind == "cut")
    assert (cut.x, cut.z) == (25.80, -57.80)
    assert rough.power_until == pytest.approx(-55.8)


def test_the_seat_gets_two_equal_last_cuts(pin: Plan) -> None:
    """Rows 9, M and 10: X 25.40 to Z-57.90, measure 25.40, X 24.99 to Z-58.00 (worked)."""
    first, last = [p for p in seat_passes(pin) if p.operation == "finish"]
    readings = [
        [r for m, r in zip(p.moves, p.readings, strict=True) if m.kind == "cut"]
        for p in (first, last)
    ]
    assert (readings[0][0].x, readings[0][0].z) == (25.40, -57.90)
    assert first.keep_x
    assert first.readings[-1].z == 40.0
    assert first.readings[-1].x == 25.40
    assert last.measure is not None
    assert last.measure.expected_diameter == pytest.approx(25.40)
    assert last.measure.instrument == "micrometer 0-25 mm and 25-50 mm"
    assert (readings[1][0].x, readings[1][0].z) == (24.99, -58.00)
    assert first.depth == pytest.approx(0.20, abs=0.005)
    assert last.depth == pytest.approx(0.205, abs=0.005)
    assert first.rpm == last.rpm


def test_the_wheel_from_30_00_to_25_80() -> None:
    """5.00 a turn on the diameter in 100 divisions: 84 divisions in (worked)."""
    lathe = demo_shop().lathes[0]
    way = wheel_way((25.80 - 30.00) / 2, lathe.cross_dial, "cross")
    assert way.text == "0t 84d"


@pytest.mark.parametrize(("reference", "z"), [("left", -83.30), ("right", -80.30)])
def test_parting_reads_the_corner_that_is_the_reference(reference: str, z: float) -> None:
    """Finished end at Z-80.30, blade 3 mm: the left corner reads -83.30, the right -80.30."""
    shop = demo_shop()
    tools = tuple(
        but(t, reference=reference, holder=()) if t.number == 7 else t for t in shop.tools
    )
    job = pin_job(Operation("part off", 7))
    sections = (*job.part.sections[:2], but(job.part.sections[2], length="22.3"))
    job = but(job, part=but(job.part, sections=sections), blank=but(job.blank, length="118"))
    plan = Planner(but(shop, tools=tools)).plan(job)
    made = plan.setups[0].passes[-1]
    cut = [r for m, r in zip(made.moves, made.readings, strict=True) if m.kind == "cut"][-1]
    assert cut.z == z
    assert cut.x == -0.20  # -2 x corner radius


def test_a_ball_under_a_round_nose_in_steps() -> None:
    """Ball R15, nose R3, reference left and under: the steps lie on the worked path.

    The nose's centre runs at R18 about the ball's: X = 2 (18 sin a - 3), Z = 18 cos a - 18; at 90
    degrees X 30.00 Z-18.000, at 30 X 12.00 Z-2.410, at 7.5 X-1.30 Z-0.150.
    """
    part = PartRecord(
        "knob",
        (
            Section(
                "arc", name="ball", radius="R15", sense="convex", front_diameter="0",
                centre_diameter="0", back_diameter="30",
            ),
            Section("cylinder", diameter="30", length="10"),
        ),
        material="brass",
    )  # fmt: skip
    job = Job(
        part,
        Blank("32", "70"),
        "Slipway 1",
        (
            Setup(
                Holding("Three-jaw 160", "25"),
                operations=(
                    Operation("face", 1),
                    Operation("rough", 1),
                    Operation("finish", 5, cusp="0.1"),
                ),
            ),
        ),
    )
    plan = planned(job)
    stepped = [p for p in plan.setups[0].passes if p.steps is not None and p.last_on_surface]
    assert len(stepped) == 1
    table = stepped[0].steps
    assert table is not None
    assert table.cusp <= 0.1
    assert len(table.rows) - 1 in (17, 18)  # 17 by the exact cusp; rounding may ask for one more
    for row in table.rows:
        # Rounded up on both axes: the nose's centre stands outside R18 by a step at most.
        away = math.hypot(row.x / 2 + 3.0, row.z + 18.0) - 18.0
        assert -1e-9 <= away <= 0.012 or row.z > 0


def test_a_cone_by_the_top_slide() -> None:
    """1:10: half angle 2.862 degrees; 50 mm of slide travel moves the indicator 2.497 mm."""
    part = PartRecord(
        "cone",
        (
            Section("cylinder", diameter="16", length="15"),
            Section("taper", angle="1:10", back_diameter="25", length="40"),
            Section("cylinder", diameter="25", length="10"),
        ),
        material="bronze",
    )
    job = but(pin_job(), part=part, setups=(Setup(Holding("Three-jaw 160", "25")),))
    plan = planned(but(job, blank=Blank("28", "100")))
    tapers = [p.taper for p in plan.setups[0].passes if p.taper is not None]
    assert tapers
    for setting in tapers:
        assert setting.means == "top slide"
        assert math.degrees(setting.half_angle) == pytest.approx(2.862405, abs=1e-6)
        assert setting.rise_per_50 == pytest.approx(2.497, abs=5e-4)
        assert setting.scale_deg == pytest.approx(2.862405, abs=1e-6)
        # The slide goes along the slope: the axial way, run-in included, over the cosine.
        assert 40 / math.cos(setting.half_angle) < setting.travel < 45


def test_the_gear_step_of_a_100_m_min_cut_at_32() -> None:
    """100 m/min at Ø32 wants 995: take 1000, not 710 (worked)."""
    plan = planned(pin_job(Operation("rough", 1, surface_speed=100.0)))
    first = plan.setups[0].passes[0]
    assert first.rpm == 1000
