"""Volumes and deviations against closed forms."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest

from turnsketch.checking.metal import region, volume
from turnsketch.checking.replay import replay
from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.rings import rings
from turnsketch.plan_records import Plan, SectionSpan

if TYPE_CHECKING:
    from tests.checking.conftest import Bench


def facing(bench: Bench, to: float) -> Plan:
    """A disc of 0.4 faces 0.8 mm off a bar of 30 mm, its left side at Z 0."""
    steps = (("position", 0, 17), ("cut", 0, to), ("position", 3, to))
    blank = bench.bar(0.8, -80, 15)
    return bench.plan([bench.cut(steps)], blank=blank, tools=[bench.tool(bench.disc(0.4))])


def test_facing_a_disc(bench: Bench) -> None:
    result = replay(facing(bench, -0.4))
    # pi R^2 h; the tool's chords stand inside its circle by at most 1e-4 on both sides.
    assert result.setups[0].removed_mm3 == pytest.approx(math.pi * 225 * 0.8, rel=1e-4)


def test_facing_to_the_axis_alone_leaves_a_pip(bench: Bench) -> None:
    """With nose r the tip has to go to X = -2r (common practice)."""
    cut = facing(bench, 0.0).setups[0].passes[0]
    bare = bench.bar(0, -40, 15)

    def over(to: float) -> float:
        steps = tuple((m.kind, m.to.z, m.to.r if m.to.r else to) for m in cut.moves)
        plan = bench.plan(
            [bench.cut(steps)],
            part=bare,
            blank=bench.bar(0.8, -80, 15),
            tools=[bench.tool(bench.disc(0.4))],
        )
        return replay(plan).over_total_mm

    assert over(-0.4) <= CHORD_FINE
    assert over(0.0) == pytest.approx(0.4, abs=2e-4)


def test_turning_a_cylinder(bench: Bench) -> None:
    (setup,) = replay(bench.plan([bench.turn_to(10, -40)])).setups
    assert setup.removed_mm3 == pytest.approx(math.pi * (225 - 100) * 41, rel=1e-12)
    assert setup.remaining_mm3 == pytest.approx(math.pi * (225 * 81 - 125 * 41), rel=1e-12)


def follow(bench: Bench, angle: float, nose: float, compensated: bool, back: float = -20.0) -> Plan:
    """Follow a straight surface through (-10, 20) that rises toward the chuck at `angle`.

    The reference is the nose's left and lowest corner. Compensated, the nose's centre runs at the
    distance of the nose; else the reference itself runs on the surface.
    """
    rise = math.tan(angle)

    def surface(z: float) -> float:
        return 20.0 - (z + 10.0) * rise

    part = bench.ring((0, 0), (0, surface(0)), (-20, surface(-20)), (-20, 0))
    top = max(surface(0), surface(-20)) + 1
    shift = (
        (nose * math.sin(angle) - nose, nose * math.cos(angle) - nose) if compensated else (0, 0)
    )
    ends = [(z + shift[0], surface(z) + shift[1]) for z in (4.0, -24.0)]
    steps = (("position", 4, 90), ("position", *ends[0]), ("cut", *ends[1]))
    return bench.plan(
        [bench.cut(steps)],
        part=part,
        blank=bench.bar(0, back, top),
        tools=[bench.tool(bench.nosed(nose))],
        obstacles=(),
    )


@pytest.mark.parametrize("degrees", [-45, -15, 0, 11.31, 30, 60])
def test_a_taper_with_a_nose(bench: Bench, degrees: float) -> None:
    angle, nose = math.radians(degrees), 0.8
    plan = follow(bench, angle, nose, compensated=True)
    result = replay(plan)
    assert result.events == ()
    assert result.finished.over_mm <= CHORD_FINE
    assert result.finished.under_mm <= CHORD_FINE
    (front, back) = (20 - 10 * math.tan(angle), 20 + 10 * math.tan(angle))
    frustum = math.pi * 20 / 3 * (front**2 + front * back + back**2)
    blank = math.pi * (max(front, back) + 1) ** 2 * 20
    skin = 2 * math.pi * 40 * 30 * CHORD_FINE
    assert result.setups[0].removed_mm3 == pytest.approx(blank - frustum, abs=skin)


@pytest.mark.parametrize(("degrees", "worked"), [(15, 0.117), (30, 0.254), (45, 0.400), (60, None)])
def test_an_uncompensated_nose_gouges_a_falling_side(
    bench: Bench, degrees: float, worked: float | None
) -> None:
    """Normal depth r (1 + sin t - cos t): elementary, the tool's centre to the surface."""
    angle, nose = math.radians(degrees), 0.4
    formula = nose * (1 + math.sin(angle) - math.cos(angle))
    if worked is not None:
        assert formula == pytest.approx(worked, abs=6e-4)
    (event,) = replay(follow(bench, -angle, nose, compensated=False)).events
    assert event.kind == "gouge"
    assert event.depth_mm == pytest.approx(formula, abs=CHORD_FINE)


@pytest.mark.parametrize("degrees", [15, 30, 45, 60])
def test_an_uncompensated_nose_keeps_metal_on_a_rising_side(bench: Bench, degrees: float) -> None:
    """Normal height r (sin t + cos t - 1)."""
    angle, nose = math.radians(degrees), 0.4
    # The blank ends 2 mm in front of the back corner, at which a height would not be normal.
    result = replay(follow(bench, angle, nose, compensated=False, back=-18.0))
    formula = nose * (math.sin(angle) + math.cos(angle) - 1)
    assert result.events == ()
    assert result.over_total_mm == pytest.approx(formula, abs=2 * CHORD_FINE)


def shoulder(bench: Bench, sections: tuple[SectionSpan, ...] = ()) -> Plan:
    """A round tool of 3 mm turns 20 mm up to a shoulder and faces out along it."""
    part = bench.ring((0, 0), (0, 10), (-30, 10), (-30, 16), (-50, 16), (-50, 0))
    steps = (
        ("position", 3, 60),
        ("position", 3, 10),
        ("cut", -30, 10),
        ("cut", -30, 17),
        ("position", -20, 40),
    )
    return bench.plan(
        [bench.cut(steps)],
        part=part,
        blank=bench.bar(0, -80, 16),
        tools=[bench.tool(bench.nosed(3.0), nose=3.0)],
        sections=sections,
    )


def test_an_inside_corner_keeps_the_nose_radius(bench: Bench) -> None:
    """Metal left in a fillet R3 at d 20 against a shoulder: 129.4865 mm3 (closed form, Pappus).

    Its height over both walls is R (1 - cos 45 deg).
    """
    result = replay(shoulder(bench))
    assert result.events == ()
    (left,) = result.left_over
    square = 2 * math.pi * 9 * 11.5
    quarter = 2 * math.pi * (math.pi * 9 / 4) * (13 - 4 * 3 / (3 * math.pi))
    assert square - quarter == pytest.approx(129.4865, abs=5e-5)
    # The thin ends of the fillet, beyond FEATHER, do not count to the region.
    assert left.volume_mm3 == pytest.approx(square - quarter, rel=2e-3)
    assert left.height_mm == pytest.approx(3 * (1 - math.sqrt(0.5)), abs=CHORD_FINE)
    assert left.z[0] == pytest.approx(-30, abs=1e-6)
    assert -27.5 < left.z[1] < -27.0
    assert result.finished.over_mm < 0.0005
    assert result.finished.left_over[0].volume_mm3 == left.volume_mm3
    assert result.over_total_mm == left.height_mm


def test_deviation_by_section(bench: Bench) -> None:
    """The seat is cut 0.02 deep, the shoulder's cylinder stays exact."""
    seat = SectionSpan(1, bench.ring((0, 10), (-30, 10)))
    rest = SectionSpan(3, bench.ring((-30, 16), (-50, 16)))
    plan = shoulder(bench, (seat, rest))
    deep = bench.plan(
        [
            bench.cut(
                tuple(
                    (m.kind, m.to.z, m.to.r - 0.02 if m.to.r == 10 else m.to.r)
                    for m in plan.setups[0].passes[0].moves
                )
            )
        ],
        part=plan.setups[0].part[0],
        blank=plan.setups[0].blank[0],
        tools=plan.setups[0].tools,
        sections=(seat, rest),
    )
    first, second = replay(deep).finished.sections
    assert (first.section, first.over_mm) == (1, 0.0)
    assert first.under_mm == pytest.approx(0.02, abs=1e-9)
    assert (second.section, second.over_mm, second.under_mm) == (3, 0.0, 0.0)


def test_metal_in_front_and_uncut_metal_are_left_over(bench: Bench) -> None:
    result = replay(bench.plan([bench.turn_to(10, -20)]))
    assert len(result.left_over) == 2
    front, skin = sorted(result.left_over, key=lambda left: left.volume_mm3)
    assert front.z == (0.0, 1.0)
    assert front.volume_mm3 == pytest.approx(math.pi * 100, rel=1e-9)
    assert front.height_mm == pytest.approx(1.0)
    assert skin.z == (-40.0, -20.0)
    assert skin.volume_mm3 == pytest.approx(math.pi * 125 * 20, rel=1e-9)
    assert skin.height_mm == pytest.approx(5.0)


def test_the_middle_of_a_straight_left_over_is_found(bench: Bench) -> None:
    """A 45 degree web across an inside corner is highest in the middle of its straight edge."""
    part = bench.ring((0, 0), (0, 10), (-30, 10), (-30, 16), (-50, 16), (-50, 0))
    steps = (
        ("position", 3, 60),
        ("position", 3, 10),
        ("cut", -27.3, 10),
        ("cut", -30, 12.7),
        ("cut", -30, 17),
        ("position", -20, 40),
    )
    result = replay(bench.plan([bench.cut(steps)], part=part, blank=bench.bar(0, -80, 16)))
    (left,) = result.left_over
    assert left.height_mm == pytest.approx(1.35, abs=1e-6)
    assert left.volume_mm3 == pytest.approx(2 * math.pi * 2.7**2 / 2 * 10.9, rel=1e-3)


def test_volume_of_a_ring_with_a_hole(bench: Bench) -> None:
    inner = bench.ring((-5, 2), (-5, 4), (-20, 4), (-20, 2))
    shape = region((bench.bar(0, -40, 10), inner), "test")
    assert volume(shape) == pytest.approx(math.pi * (100 * 40 - (16 - 4) * 15), rel=1e-12)
    assert len(rings(shape)) == 2
    assert volume(region(rings(shape), "test")) == pytest.approx(volume(shape), rel=1e-12)
