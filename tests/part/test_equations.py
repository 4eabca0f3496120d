"""The equations of blocks: their derivatives against differences, their roots against geometry."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from turnsketch.geometry.elements import Arc, Point
from turnsketch.part.equations import (
    ArcCentre,
    ArcRadius,
    Direction,
    Ends,
    Equation,
    Semicircle,
    Tangent,
    TaperSlope,
    centre_of,
)

ENDS = Ends(0, 1, 2, 3, 4)
AFTER = Ends(2, 3, 5, 6, 7)
LINE = Ends(2, 3, 5, 6)
EQUATIONS: list[tuple[Equation, float]] = [
    (TaperSlope(0, 0, Ends(0, 1, 2, 3), 1), 0.3),
    (TaperSlope(0, 0, Ends(0, 1, 2, 3), -1), 0.3),
    (ArcRadius(0, 0, ENDS), 17.0),
    (ArcCentre(0, 0, ENDS, "r", None, -0.5), 12.0),
    (ArcCentre(0, None, ENDS, "z", 8), 0.0),
    (Semicircle(0, 0, ENDS), 0.0),
    (Tangent(0, None, Direction(ends=ENDS, at="end"), Direction((-1.0, 0.0))), 0.0),
    (Tangent(0, None, Direction((0.0, 1.0)), Direction(ends=ENDS)), 0.0),
]

coordinates = st.lists(st.floats(-50, 50), min_size=9, max_size=9)
bulges = st.floats(0.05, 3.0)
signs = st.sampled_from((-1.0, 1.0))


def quantities(places: list[float], one: float, two: float) -> list[float]:
    x = list(places)
    x[4], x[7] = one, two
    x[2] = x[0] - 5.0 - abs(x[2])
    x[5] = x[2] - 5.0 - abs(x[5])
    return x


@pytest.mark.parametrize(("equation", "value"), EQUATIONS)
@settings(deadline=None)
@given(coordinates, bulges, bulges, signs)
def test_derivatives_agree_with_differences(
    equation: Equation, value: float, places: list[float], one: float, two: float, sign: float
) -> None:
    x = quantities(places, sign * one, sign * two)
    _, partials = equation.at(x, value)
    totals: dict[int, float] = {}
    for q, slope in partials:
        totals[q] = totals.get(q, 0.0) + slope
    for q in range(9):
        if isinstance(equation, Semicircle) and q != 4:
            continue  # its factor, the chord, is held: at the root that makes no difference
        step = 1e-6
        up, down = list(x), list(x)
        up[q] += step
        down[q] -= step
        difference = (equation.at(up, value)[0] - equation.at(down, value)[0]) / (2 * step)
        assert totals.get(q, 0.0) == pytest.approx(difference, rel=1e-5, abs=1e-5)
    difference = (equation.at(x, value + 1e-6)[0] - equation.at(x, value - 1e-6)[0]) / 2e-6
    assert equation.slope(x, value) == pytest.approx(difference, rel=1e-5, abs=1e-5)


@settings(deadline=None)
@given(coordinates, bulges, signs)
def test_a_true_arc_meets_its_equations(places: list[float], bulge: float, sign: float) -> None:
    x = quantities(places, sign * bulge, 1.0)
    start, end = Point(x[0], x[1]), Point(x[2], x[3])
    centre = Point(*centre_of(*start, *end, x[4]))
    arc = Arc(start, end, centre, "ccw" if sign > 0 else "cw")
    assert abs(arc.sweep) == pytest.approx(4.0 * math.atan(bulge), rel=1e-9)
    assert centre.distance(start) == pytest.approx(centre.distance(end), rel=1e-9)
    size = arc.radius + abs(centre.r) + 1.0
    assert abs(ArcRadius(0, 0, ENDS).at(x, arc.radius)[0]) < 1e-9 * size
    x[8] = centre.z
    assert abs(ArcCentre(0, 0, ENDS, "z", 8).at(x, 0.0)[0]) < 1e-9 * size
    assert abs(ArcCentre(0, 0, ENDS, "r").at(x, 2.0 * centre.r)[0]) < 1e-9 * size
    for at, heading in (("start", arc.start_direction), ("end", arc.end_direction)):
        direction = Direction(ends=ENDS, at="start" if at == "start" else "end")
        met = Tangent(0, None, direction, Direction((heading.z, heading.r)))
        assert abs(met.at(x, 0.0)[0]) < 1e-9 * size


def test_tangency_of_two_arcs_vanishes_where_they_share_a_tangent() -> None:
    """A concave quarter about (0, 20), then a convex one about (-20, 20): an S without a kink."""
    x = [0.0, 10.0, -10.0, 20.0, -math.tan(math.pi / 8), -20.0, 30.0, math.tan(math.pi / 8)]
    met = Tangent(0, None, Direction(ends=ENDS, at="end"), Direction(ends=AFTER))
    assert abs(met.at(x, 0.0)[0]) < 1e-12
    kinked = Tangent(0, None, Direction(ends=ENDS, at="end"), Direction(ends=LINE))
    assert abs(kinked.at(x, 0.0)[0]) > 1.0
