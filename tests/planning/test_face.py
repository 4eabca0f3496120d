"""Facing: to the finished face, and beyond the axis by the nose so that no pip stays."""

from __future__ import annotations

import pytest
import shapely

from turnsketch.job import Operation
from turnsketch.planning.context import Context
from turnsketch.planning.fold import fold


@pytest.mark.parametrize(("tool", "x"), [(2, -0.8), (1, -1.6), (5, -6.0)])
def test_the_tip_ends_a_nose_beyond_the_axis(stepped: Context, tool: int, x: float) -> None:
    """X = -2r: -0.80 for 0.4, -1.60 for 0.8, -6.00 for R3 (common practice)."""
    (step,) = fold(stepped, (Operation("face", tool),)).steps
    cut = [d.move for d in step.passes[-1].moves if d.move.kind == "cut"][-1]
    assert 2 * cut.to.r == pytest.approx(x)
    assert cut.to.z == 0.0
    assert step.remaining.bounds[2] == pytest.approx(0.0, abs=1e-9)
    strip = shapely.clip_by_rect(step.remaining, -0.5, 0.0, 0.5, 0.01)
    assert strip.bounds[2] == pytest.approx(0.0, abs=1e-9), "no pip"


def test_off_the_face_along_z_first(stepped: Context) -> None:
    (step,) = fold(stepped, (Operation("face", 1),)).steps
    moves = [d.move for d in step.passes[0].moves]
    index = next(i for i, m in enumerate(moves) if m.kind == "cut")
    assert moves[index + 1].to.r == moves[index].to.r
    assert moves[index + 1].to.z > 0


def test_a_thick_raw_end_is_faced_in_even_cuts(make_context: object) -> None:
    from tests.planning.conftest import polyline

    assert callable(make_context)
    ctx = make_context(polyline((0, 0), (0, 20), (-30, 20), (-30, 0)), 24.0, front=4.0)
    (step,) = fold(ctx, (Operation("face", 1, depth="1.5"),)).steps
    depths = [p.depth for p in step.passes]
    assert sum(depths) == pytest.approx(4.0)
    assert max(depths) <= 1.5 + 0.1 + 1e-9, "an easy figure of Z may move a cut by a tenth"
    assert len(depths) == 3
