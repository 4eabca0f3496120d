"""What holds for every plan: volumes add up, a second time takes nothing, profiles come out."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from turnsketch.checking.replay import replay
from turnsketch.geometry.constants import CHORD_FINE

if TYPE_CHECKING:
    from tests.checking.conftest import Bench

Steps = tuple[tuple[Any, ...], ...]
depths = st.floats(-3, 16).map(lambda value: round(value, 2))
places = st.floats(-58, 4).map(lambda value: round(value, 2))


@st.composite
def wild_steps(draw: st.DrawFn) -> Steps:
    """Lines and arcs anywhere in the bar, below the axis too, good sense or not."""
    steps: list[tuple[Any, ...]] = [("position", draw(places), 60.0)]
    for _ in range(draw(st.integers(1, 4))):
        z, r = draw(places), draw(depths)
        if draw(st.booleans()):
            steps.append(("cut", z, r))
            continue
        _, from_z, from_r = steps[-1][:3]
        middle = ((from_z + z) / 2, (from_r + r) / 2)
        lean = draw(st.floats(-2, 2))
        centre = (middle[0] - lean * (r - from_r), middle[1] + lean * (z - from_z))
        steps.append(("cut", z, r, *centre, draw(st.sampled_from(["cw", "ccw"]))))
    return tuple(steps)


@given(
    st.lists(wild_steps(), min_size=1, max_size=3),
    st.sampled_from(["knife", "disc", "nosed"]),
    st.floats(0.2, 3),
)
@settings(max_examples=15, deadline=None)
def test_removed_and_remaining_make_the_blank(
    bench: Bench, paths: list[Steps], shape: str, radius: float
) -> None:
    edges = {"knife": bench.KNIFE, "disc": bench.disc(radius), "nosed": bench.nosed(radius)}
    cuts = [bench.cut(steps) for steps in paths]
    result = replay(bench.plan(cuts, tools=[bench.tool(edges[shape])]))
    (setup,) = result.setups
    assert setup.blank_mm3 == pytest.approx(math.pi * 225 * 81, rel=1e-12)
    assert setup.removed_mm3 + setup.remaining_mm3 == pytest.approx(setup.blank_mm3, rel=1e-9)
    assert all(0 <= p.loose_mm3 <= p.removed_mm3 + 1e-6 for p in setup.passes)
    # The last pass once more takes nothing.
    again = replay(bench.plan([*cuts, cuts[-1]], tools=[bench.tool(edges[shape])])).setups[0]
    assert again.passes[-1].removed_mm3 == pytest.approx(0.0, abs=1e-3)
    assert again.remaining_mm3 == pytest.approx(setup.remaining_mm3, abs=1e-3)


def test_playing_twice_gives_equal_values(bench: Bench) -> None:
    plan = bench.plan([bench.turn_to(9.9, -40), bench.turn_to(8, -20)])
    assert replay(plan) == replay(plan)


def profile(lengths: list[float], slopes: list[float]) -> list[tuple[float, float]]:
    """A convex chain from the axis outward and back, ending in a cylinder."""
    chain = [(0.0, 0.0)]
    for length, slope in zip(lengths, sorted(slopes), strict=True):
        z, r = chain[-1]
        chain.append((z + length * math.cos(slope), r + length * math.sin(slope)))
    return [*chain, (chain[-1][0] - 10.0, chain[-1][1])]


def around(chain: list[tuple[float, float]], nose: float) -> Steps:
    """Lead a disc's left lowest corner along the chain: lines at its distance, arcs at corners."""
    steps: list[tuple[Any, ...]] = []
    for (z0, r0), (z1, r1) in itertools.pairwise(chain):
        length = math.hypot(z1 - z0, r1 - r0)
        normal = ((r1 - r0) / length * nose - nose, -(z1 - z0) / length * nose - nose)
        begin, end = (z0 + normal[0], r0 + normal[1]), (z1 + normal[0], r1 + normal[1])
        if not steps:
            # Straight in, square to the first line: the whole body lies on its other side.
            away = 1 + 20 / nose
            far = (z0 + (normal[0] + nose) * away - nose, r0 + (normal[1] + nose) * away - nose)
            steps += [("position", *far), ("cut", *begin)]
        else:
            steps.append(("cut", *begin, z0 - nose, r0 - nose, "ccw"))
        steps.append(("cut", *end))
    return tuple(steps)


@given(
    st.lists(st.floats(1, 6), min_size=4, max_size=4),
    st.lists(st.floats(math.pi / 2, math.pi), min_size=4, max_size=4),
    st.floats(1.5, 4),
)
@settings(max_examples=40, deadline=None)
def test_a_disc_led_along_a_convex_profile_makes_it(
    bench: Bench, lengths: list[float], slopes: list[float], nose: float
) -> None:
    chain = profile(lengths, slopes)
    back, top = chain[-1]
    part = bench.ring(*chain, (back, 0.0))
    full = shapely.Polygon([*part, *((z, -r) for z, r in reversed(part))]).buffer(2.0)
    bar = shapely.union_all([full, shapely.box(back - 20, -top - 2, back, top + 2)])
    half = bar.intersection(shapely.box(-999, 0, 999, 999))
    blank = bench.ring(*shapely.get_coordinates(half.exterior)[:-1])
    plan = bench.plan(
        [bench.cut(around(chain, nose))],
        part=part,
        blank=blank,
        tools=[bench.tool(bench.disc(nose))],
        obstacles=(),
    )
    result = replay(plan)
    assert result.events == ()
    assert result.finished.left_over == ()
    assert result.finished.over_mm <= 2 * CHORD_FINE
    assert result.finished.under_mm <= CHORD_FINE


@given(st.lists(st.floats(3, 14), min_size=2, max_size=4), st.sampled_from(["mm", "inch"]))
@settings(max_examples=40, deadline=None)
def test_as_read_changes_sizes_by_half_a_step_at_most(
    bench: Bench, radii: list[float], units: Any
) -> None:
    """X steps 0.1 on a diameter, Z steps 0.05; in inches 0.01 and 0.002."""
    x_step, z_step = (0.1, 0.05) if units == "mm" else (0.01, 0.002)
    scale = 1.0 if units == "mm" else 25.4
    steps = [("position", 1.5, 16.0)]
    chain: list[tuple[float, float]] = [(0.0, 0.0)]
    for number, radius in enumerate(sorted(radii)):
        z = -7.03 * (number + 1)
        chain += [(chain[-1][0], radius), (z, radius)]
    back = chain[-1][0]
    part = bench.ring(*chain, (back, 0.0))
    for z, r in chain[1:]:
        steps.append(("cut", z, r))
    steps.append(("cut", back, 17.0))
    face = bench.cut((("position", 0.0, 17.0), ("cut", 0.0, 0.0), ("position", 1.5, 0.0)))
    # Cut the front first; the knife's corner then follows the steps.
    plan = bench.plan(
        [face, bench.cut((("position", 1.5, 17.0), *steps))],
        part=part,
        units=units,
        x_step=x_step,
        z_step=z_step,
        obstacles=(),
    )
    exact, read = replay(plan), replay(plan, as_read=True)
    assert exact.over_total_mm <= 1e-9
    assert exact.finished.under_mm <= 1e-9
    half = float(np.hypot(x_step / 4, z_step / 2)) * scale
    assert read.over_total_mm <= half + 1e-9
    assert read.finished.under_mm <= half + 1e-9
    for ring_exact, ring_read in zip(
        exact.setups[0].remaining, read.setups[0].remaining, strict=True
    ):
        tops = [max(p.r for p in ring) for ring in (ring_exact, ring_read)]
        assert abs(tops[0] - tops[1]) <= x_step / 4 * scale + 1e-9


def test_as_read_moves_to_the_readings(bench: Bench) -> None:
    """X 25.0 in place of 25.04 and Z-40.0: the bar comes out 0.04 smaller on its diameter."""
    plan = bench.plan([bench.turn_to(12.52, -40.02)], x_step=0.1, z_step=0.1)
    result = replay(plan, as_read=True)
    assert result.as_read
    assert result.setups[0].removed_mm3 == pytest.approx(math.pi * (225 - 12.5**2) * 41, rel=1e-9)
    exact = replay(plan).setups[0].removed_mm3
    assert exact == pytest.approx(math.pi * (225 - 12.52**2) * 41.02, rel=1e-9)


def test_an_arc_as_read_stays_within_the_shift_of_its_ends(bench: Bench) -> None:
    """Half a ball, nearly half a turn: the worst case for a circle through both ends."""
    part = bench.ring(
        *[(-10 + 10 * math.cos(a), 10 * math.sin(a)) for a in np.linspace(0, 2.7, 400)],
        (-10 + 10 * math.cos(2.7), 0.0),
    )
    nose = 2.0
    begin = (0 + nose - nose, 0 - nose)
    stop = (-10 + 12 * math.cos(2.7) - nose, 12 * math.sin(2.7) - nose)
    steps = (
        ("position", 10.0, -nose),
        ("cut", *begin),
        ("cut", *stop, -10 - nose, 0 - nose, "ccw"),
    )
    plan = bench.plan(
        [bench.cut(steps)],
        part=part,
        tools=[bench.tool(bench.disc(nose))],
        blank=bench.bar(1, -25, 11),
        obstacles=(),
        x_step=0.1,
        z_step=0.1,
    )
    assert replay(plan).finished.under_mm <= 3 * CHORD_FINE
    assert replay(plan, as_read=True).finished.under_mm <= math.hypot(0.025, 0.05) + 3e-4
