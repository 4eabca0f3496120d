"""Step tables: figures worked in the trade notes of this project, and the formulas behind them.

Source: worked (calculated) for a ball R15 whose pole stands at Z0, reference left and under the
nose, readout 0.01 on X and 0.005 on Z. The formulas are plane geometry.
"""

from __future__ import annotations

import math

import pytest

from turnsketch.geometry.elements import Arc, Point
from turnsketch.readings.moves import Rounder
from turnsketch.readings.step_cusps import (
    StepTool,
    arc_cusp_mm,
    nose_steps_on_arc,
    sharp_steps_on_quarter,
)
from turnsketch.readings.steps import step_table

BALL = 15.0
READOUT = Rounder(0.01, 0.005, "mm")
QUARTER = math.pi / 2


def reference(degrees: float, nose: float) -> Point:
    angle, path = math.radians(degrees), BALL + nose
    return Point(path * math.cos(angle) - BALL - nose, path * math.sin(angle) - nose)


def ball(nose: float, last: float = 90.0) -> Arc:
    return Arc(reference(0, nose), reference(last, nose), Point(-BALL - nose, -nose), "ccw")


@pytest.mark.parametrize(
    ("degrees", "x", "z"),
    [
        (90, 30.00, -18.000),
        (60, 25.18, -9.000),
        (45, 19.46, -5.270),
        (30, 12.00, -2.410),
        (15, 3.32, -0.610),
        (7.5, -1.30, -0.150),
        (0, -6.00, 0.000),
        (120, 25.18, -27.000),
    ],
)
def test_positions_on_the_ball(degrees: float, x: float, z: float) -> None:
    shown = READOUT.read_keep_metal(reference(degrees, 3.0), metal_toward_chuck=degrees <= 90)
    assert (shown.x, shown.z) == (x, z)


@pytest.mark.parametrize(
    ("nose", "cusp", "steps"),
    [(0.0, 0.1, 75), (3.0, 0.1, 17), (5.0, 0.1, 14), (3.0, 0.05, 24), (5.0, 0.05, 20)],
)
def test_steps_a_quarter(nose: float, cusp: float, steps: int) -> None:
    if nose:
        assert nose_steps_on_arc(BALL, nose, QUARTER, cusp) == steps
    else:
        assert sharp_steps_on_quarter(BALL, cusp) == steps
        assert steps == round(BALL / (2 * cusp))
    found = step_table([ball(nose)], StepTool(nose), cusp, READOUT, as_read=False)
    assert len(found.exact) - 1 == steps
    assert found.cusp_exact <= cusp


def test_24_steps_and_the_cusp_that_remains() -> None:
    found = step_table([ball(3.0)], StepTool(3.0), 0.05, READOUT, as_read=False)
    assert round(found.cusp_exact, 3) == 0.049
    assert round(found.cusp_read, 3) == 0.054
    assert arc_cusp_mm(BALL, 3.0, math.radians(3.75)) == pytest.approx(found.cusp_exact, abs=1e-9)
    rows = {row.z: row.x for row in found.table.rows}
    # 3.75 degrees apart, so the table passes through these places of the list above.
    for x, z in [
        (30.0, -18.0), (25.18, -9.0), (19.46, -5.27), (12.0, -2.41), (3.32, -0.61),
        (-1.3, -0.15), (-6.0, 0.0),
    ]:  # fmt: skip
        assert rows[z] == x


def test_the_limit_can_hold_for_the_steps_as_read() -> None:
    # Calculated: rounding costs up to 0.0055 here, which one step more makes good.
    found = step_table([ball(3.0)], StepTool(3.0), 0.05, READOUT)
    assert len(found.exact) - 1 == 25
    assert found.cusp_read <= 0.05
