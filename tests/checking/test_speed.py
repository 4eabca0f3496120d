"""How long a replay takes: measured by pytest-benchmark, not judged (see DEVELOPERS.md)."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from turnsketch.checking.replay import replay
from turnsketch.plan_records import Obstacle, Plan

if TYPE_CHECKING:
    from tests.checking.conftest import Bench

NOSE = 0.8


def ball_and_shank(bench: Bench) -> Plan:
    """A ball end of 12 mm and a shank: 49 roughing passes, one finishing pass with an arc."""
    ball = [(12 * math.cos(a) - 12, 12 * math.sin(a)) for a in (i / 110 * 1.57 for i in range(111))]
    part = bench.ring(*ball, (-40, ball[-1][1]), (-40, 16), (-50, 16), (-50, 0))
    cuts = []
    for number in range(49):
        radius = 19.5 - 19.0 * number / 48
        # Half a millimetre over the ball, by its circle and the nose's.
        inside = max(0.0, (12.5 + NOSE) ** 2 - (radius + NOSE) ** 2)
        stop = -50.0 if radius > 16 else -39.5 if inside == 0 else -12 + math.sqrt(inside) - NOSE
        cuts.append(bench.turn_to(radius, stop, out=20.0))
    finish = (
        ("position", 3, 60),
        ("position", 3, -NOSE),
        ("cut", NOSE - NOSE, -NOSE),
        ("cut", -12 - NOSE, 12, -12 - NOSE, -NOSE, "ccw"),
        ("cut", -40, 12),
        ("cut", -40, 20),
        ("position", 3, 60),
    )
    tool = bench.tool(
        bench.nosed(NOSE, 12.0), bench.ring((0.5, 8), (25, 8), (25, 90), (0.5, 90)), nose=NOSE
    )
    return bench.plan(
        [*cuts, bench.cut(finish)],
        part=part,
        blank=bench.bar(1, -90, 20),
        tools=[tool],
        obstacles=[
            Obstacle("jaws", bench.ring((-65, 20), (-65, 45), (-90, 45), (-90, 20))),
            Obstacle("chuck body", bench.ring((-90, 0), (-90, 60), (-140, 60), (-140, 0))),
        ],
    )


def test_fifty_passes(bench: Bench, benchmark: Any) -> None:
    plan = ball_and_shank(bench)
    result = benchmark(replay, plan)
    assert result.events == ()
    assert len(result.setups[0].passes) == 50
    assert result.finished.under_mm < 3e-4
    assert result.finished.over_mm < 1e-3
