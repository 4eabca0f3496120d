"""What the nose radius does to tapers and arcs: published figures against the exact path.

The reference of a right-hand tool is the theoretical sharp corner: left of and below the nose. The
path is made by sliding; none of the formulas below is in the program.
"""

from __future__ import annotations

import itertools
import math

import pytest

from turnsketch.geometry.contact_path import ContactPath, Join, contact_path
from turnsketch.geometry.corner_close import closed_at_corners
from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.shop.records import Tool
from turnsketch.shop.tool_shape import tool_shape

SAFE = Point(60.0, 120.0)

# Angle to the axis in degrees, nose radius; then normal, axial, radial and diametral shift: metal
# left on a surface that rises toward the chuck when the sharp corner follows it.
# CALC, exact geometry: r (sin t + cos t - 1), r (1 - tan(t/2)), r (1 - tan(45 - t/2)).
RISING = [
    (5, 0.4, 0.03334, 0.38254, 0.03347, 0.06694),
    (10, 0.8, 0.12676, 0.73001, 0.12872, 0.25744),
    (15, 0.4, 0.08990, 0.34734, 0.09307, 0.18614),
    (15, 0.8, 0.17980, 0.69468, 0.18614, 0.37228),
    (20, 1.2, 0.33806, 0.98841, 0.35975, 0.71950),
    (30, 0.4, 0.14641, 0.29282, 0.16906, 0.33812),
    (30, 0.8, 0.29282, 0.58564, 0.33812, 0.67624),
    (45, 0.4, 0.16569, 0.23431, 0.23431, 0.46863),
    (45, 0.8, 0.33137, 0.46863, 0.46863, 0.93726),
    (60, 0.4, 0.14641, 0.16906, 0.29282, 0.58564),
    (60, 0.8, 0.29282, 0.33812, 0.58564, 1.17128),
    (75, 0.2, 0.04495, 0.04653, 0.17367, 0.34734),
    (75, 1.2, 0.26969, 0.27921, 1.04202, 2.08403),
]

# Angle, nose radius, normal gouge on a surface that falls toward the chuck.
# CALC, exact geometry: r (1 + sin t - cos t).
FALLING = [(15, 0.4, 0.117), (30, 0.4, 0.254), (45, 0.4, 0.400)]

# Chamfer of 45 degrees as given and as the sharp corner leaves it. CALC: c - 0.585786 r.
CHAMFERS = [(2.0, 0.8, 1.53137), (1.0, 0.4, 0.76569), (0.5, 0.8, 0.03137)]


def tool(radius: float) -> Tool:
    """Return a right-hand tool whose trailing edge clears a fall of 45 degrees."""
    return Tool(
        1, "finish", "turning", nose_radius_mm=radius, edge_angle_deg=93, end_edge_angle_deg=52
    )


def path(keep: tuple[Element, ...], joins: tuple[Join, ...], with_: Tool) -> ContactPath:
    pieces = [piece.outline for piece in tool_shape(with_).cutting]
    found = contact_path(keep, joins, pieces, SAFE)
    assert found.cautions == ()
    return found


def chain(*corners: tuple[float, float]) -> tuple[Element, ...]:
    points = [Point(*corner) for corner in corners]
    return tuple(Line(a, b) for a, b in itertools.pairwise(points))


def followed(found: ContactPath, source: int) -> Element:
    (element,) = [e for e in found.elements if e.source == source]
    return element.shape


@pytest.mark.parametrize(("angle", "radius", "normal", "axial", "radial", "diameter"), RISING)
def test_rising_surface(
    angle: float, radius: float, normal: float, axial: float, radial: float, diameter: float
) -> None:
    slope = math.radians(angle)
    rise = 5.0
    back = -10.0 - rise / math.tan(slope)
    keep = chain((0, 0), (0, 8), (-10, 8), (back, 8 + rise), (back - 10, 8 + rise), (back - 10, 20))
    found = path(keep, ("convex", "reflex", "convex", "reflex"), tool(radius))
    line = followed(found, 2)
    # Towards the metal is below and behind a rising surface: the path lies deeper than it.
    gap = line.start.minus(Point(-10.0, 8.0))
    off = gap.z * math.sin(slope) + gap.r * math.cos(slope)
    assert -off == pytest.approx(normal, abs=6e-6)
    assert -off / math.sin(slope) == pytest.approx(axial, abs=6e-6)
    assert -off / math.cos(slope) == pytest.approx(radial, abs=6e-6)
    assert -2 * off / math.cos(slope) == pytest.approx(diameter, abs=11e-6)


@pytest.mark.parametrize(("angle", "radius", "gouge"), FALLING)
def test_falling_surface(angle: float, radius: float, gouge: float) -> None:
    slope = math.radians(angle)
    fall = 4.0
    back = -10.0 - fall / math.tan(slope)
    keep = chain((0, 0), (0, 12), (-10, 12), (back, 12 - fall), (back - 10, 8), (back - 10, 20))
    found = path(keep, ("convex", "convex", "reflex", "reflex"), tool(radius))
    line = followed(found, 2)
    gap = line.start.minus(Point(-10.0, 12.0))
    off = -gap.z * math.sin(slope) + gap.r * math.cos(slope)
    assert off == pytest.approx(gouge, abs=5e-4)
    assert off == pytest.approx(radius * (1 + math.sin(slope) - math.cos(slope)), abs=1e-9)


@pytest.mark.parametrize(("leg", "radius", "left"), CHAMFERS)
def test_chamfer_leg(leg: float, radius: float, left: float) -> None:
    # The path that cuts the leg which is left is the one on which the sharp corner would make the
    # leg as given.
    keep = chain((0, 0), (0, 12.0 - left), (-left, 12.0), (-30, 12.0), (-30, 20.0))
    found = closed_at_corners(path(keep, ("convex", "convex", "reflex"), tool(radius)))
    line = followed(found, 1)
    assert line.end.z - line.start.z == pytest.approx(-leg, abs=6e-6)
    assert line.end.r - line.start.r == pytest.approx(leg, abs=6e-6)


def test_chamfer_of_the_worked_sheet() -> None:
    # Worked figure of this project: 1x45 deg from diameter 23 to 25 at Z-22, r 0.4: X 22.531
    # Z-22.000 to X 25.00 Z-23.234.
    keep = chain((0, 0), (0, 8), (-22, 8), (-22, 11.5), (-23, 12.5), (-58, 12.5), (-58, 16))
    joins: tuple[Join, ...] = ("convex", "reflex", "convex", "convex", "reflex")
    line = followed(closed_at_corners(path(keep, joins, tool(0.4))), 3)
    assert (2 * line.start.r, line.start.z) == pytest.approx((22.531, -22.0), abs=5e-4)
    assert (2 * line.end.r, line.end.z) == pytest.approx((25.0, -23.234), abs=5e-4)


@pytest.mark.parametrize(("radius", "nose", "convex", "concave"), [(3.0, 0.8, 3.8, 2.2)])
def test_arcs(radius: float, nose: float, convex: float, concave: float) -> None:
    # CALC: R3 with r 0.8 comes out 2.2 (convex) and 3.8 (fillet) when the sharp corner follows it,
    # so the nose's centre must run on R + r = 3.8 and R - r = 2.2.
    keep = (
        *chain((0, 0), (0, 5)),
        Arc(Point(0, 5), Point(-radius, 5 + radius), Point(-radius, 5), "ccw"),
        *chain((-radius, 5 + radius), (-20, 5 + radius)),
        Arc(
            Point(-20, 5 + radius),
            Point(-20 - radius, 5 + 2 * radius),
            Point(-20, 5 + 2 * radius),
            "cw",
        ),
        *chain((-20 - radius, 5 + 2 * radius), (-20 - radius, 20), (-60, 20)),
    )
    found = path(keep, ("smooth", "smooth", "smooth", "smooth", "convex"), tool(nose))
    outer, inner = followed(found, 1), followed(found, 3)
    assert isinstance(outer, Arc)
    assert isinstance(inner, Arc)
    assert outer.radius == pytest.approx(convex, abs=1e-9)
    assert inner.radius == pytest.approx(concave, abs=1e-9)


@pytest.mark.parametrize(("radius", "diameter"), [(0.4, -0.80), (0.8, -1.60), (3.0, -6.00)])
def test_facing_ends_beyond_the_axis(radius: float, diameter: float) -> None:
    # Common practice: with nose radius r the tip goes to X = -2r.
    keep = chain((0, 0), (0, 12), (-30, 12), (-30, 20))
    found = path(keep, ("convex", "reflex"), tool(radius))
    assert 2 * found.elements[0].shape.start.r == pytest.approx(diameter, abs=1e-9)


# Worked figures of this project: ball R15, nose R3, reference left and under, pole at Z0; angle
# from the pole, X as a diameter, Z; rounded up to a readout of 0.01 on X and 0.005 on Z.
BALL = [
    (90, 30.00, -18.000),
    (60, 25.18, -9.000),
    (45, 19.46, -5.270),
    (30, 12.00, -2.410),
    (15, 3.32, -0.610),
    (7.5, -1.30, -0.150),
    (0, -6.00, 0.000),
    (120, 25.18, -27.000),
]


@pytest.mark.parametrize(("angle", "diameter", "z"), BALL)
def test_ball_positions(angle: float, diameter: float, z: float) -> None:
    turn = math.radians(150)
    end = Point(15 * math.cos(turn) - 15, 15 * math.sin(turn))
    neck = (end, Point(-60, end.r), Point(-60, 20))
    keep = (Arc(Point(0, 0), end, Point(-15, 0), "ccw"), *chain(*neck))
    nose = Tool(3, "round", "round", nose_radius_mm=3.0, reference="left")
    shape = followed(path(keep, ("reflex", "reflex"), nose), 0)
    assert isinstance(shape, Arc)
    start = shape.start_angle
    assert start == pytest.approx(0.0, abs=1e-12)
    # The neck's corner keeps the nose's radius, so the path ends short of 150 degrees.
    assert math.radians(120) < shape.sweep < turn
    place = shape.at(math.radians(angle) / shape.sweep)
    assert 2 * place.r == pytest.approx(diameter, abs=0.0101)
    assert 2 * place.r <= diameter + 1e-9
    assert place.z == pytest.approx(z, abs=0.00501)
