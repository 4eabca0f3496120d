"""Display lists on matplotlib axes, and the picture files SVG and PNG."""

from __future__ import annotations

import math
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import matplotlib
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure as PlotFigure
from matplotlib.patches import PathPatch
from matplotlib.path import Path as PlotPath

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.picture.display_list import (
    Arrow,
    DisplayList,
    Fill,
    Label,
    Spot,
    Stroke,
    paint,
)
from turnsketch.picture.figures import part_in_blank
from turnsketch.picture.layers import plan_layers
from turnsketch.picture.style import COLOURS, PENS, fill_colour
from turnsketch.plan_records import Plan

__all__ = ["AxesPainter", "plot", "write_picture"]

_POINTS_PER_MM = 72 / 25.4
_WIDTH_MM, _HEIGHT_MM = 240.0, 130.0
_ANCHORS = {"start": "left", "middle": "center", "end": "right"}


class AxesPainter:
    """Draws on a matplotlib axes in the picture's own millimetres."""

    def __init__(self, ax: Any, scale: float) -> None:
        self._ax = ax
        self._scale = scale
        self._order = 0

    def _next(self) -> int:
        self._order += 1
        return self._order

    def stroke(self, item: Stroke) -> None:
        """Draw a polyline."""
        points = (*item.points, item.points[0]) if item.closed else item.points
        pen = PENS[item.role]
        width = pen.width_mm * _POINTS_PER_MM
        style: Any = (
            (0, tuple(d * _POINTS_PER_MM / width for d in pen.dash_mm)) if pen.dash_mm else "solid"
        )
        self._ax.plot(
            [p.z for p in points],
            [p.r for p in points],
            color=pen.colour,
            linewidth=width,
            linestyle=style,
            dash_capstyle="butt",
            solid_joinstyle="miter",
            zorder=self._next(),
        )

    def fill(self, item: Fill) -> None:
        """Fill an area; rings of one sense of travel are turned, so that holes stay open."""
        points: list[Point] = []
        codes: list[Any] = []
        for index, ring in enumerate(item.rings):
            ordered = _with_sense(ring, positive=index == 0)
            points += [*ordered, ordered[0]]
            codes += [PlotPath.MOVETO, *[PlotPath.LINETO] * (len(ring) - 1), PlotPath.CLOSEPOLY]
        self._ax.add_patch(
            PathPatch(
                PlotPath([(p.z, p.r) for p in points], codes),
                facecolor=fill_colour(item.role, item.level),
                edgecolor="none",
                zorder=self._next(),
            )
        )

    def label(self, item: Label) -> None:
        """Write a line of text."""
        self._ax.annotate(
            item.text,
            (item.at.z, item.at.r),
            xytext=(item.offset_mm.z * _POINTS_PER_MM, item.offset_mm.r * _POINTS_PER_MM),
            textcoords="offset points",
            ha=_ANCHORS[item.anchor],
            va="center",
            fontsize=item.size_mm * _POINTS_PER_MM,
            fontweight="bold" if item.bold else "normal",
            family="DejaVu Sans",
            color=PENS[item.role].colour,
            annotation_clip=False,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0} if item.backed else None,
            zorder=self._next(),
        )

    def arrow(self, item: Arrow) -> None:
        """Draw an arrow."""
        pen = PENS[item.role]
        self._ax.annotate(
            "",
            (item.end.z, item.end.r),
            xytext=(item.start.z, item.start.r),
            arrowprops={
                "arrowstyle": "<|-|>" if item.both else "-|>",
                "color": pen.colour,
                "linewidth": pen.width_mm * _POINTS_PER_MM,
                "shrinkA": 0,
                "shrinkB": 0,
                "mutation_scale": 7,
            },
            annotation_clip=False,
            zorder=self._next(),
        )

    def spot(self, item: Spot) -> None:
        """Draw a small disc."""
        self._ax.plot(
            [item.at.z],
            [item.at.r],
            marker="o",
            markersize=item.size_mm * _POINTS_PER_MM,
            color=PENS[item.role].colour,
            markeredgewidth=0,
            zorder=self._next(),
        )


def _with_sense(ring: Iterable[Point], *, positive: bool) -> list[Point]:
    points = list(ring)
    area = sum(a.z * b.r - b.z * a.r for a, b in zip(points, points[1:] + points[:1], strict=True))
    return points if (area > 0) == positive or math.isclose(area, 0.0) else points[::-1]


def _drawn(plan: Plan, ax: Any, setup_index: int) -> DisplayList:
    setup = plan.setups[setup_index]
    picture = part_in_blank(
        setup, plan_layers(plan)[setup_index], _WIDTH_MM, _HEIGHT_MM, plan.display_units
    )
    paint(picture.items, AxesPainter(ax, picture.scale))
    ax.set_xlim(picture.box.low.z, picture.box.high.z)
    ax.set_ylim(picture.box.low.r, picture.box.high.r)
    ax.set_aspect("equal")
    return picture


def plot(plan: Plan, ax: Any = None, *, setup: int = 1) -> Any:
    """Draw the part in its blank with the layers that come off, and return the axes.

    Parameters
    ----------
    plan : Plan
        A plan with at least one setup.
    ax : matplotlib axes, optional
        Where to draw; a new figure when omitted.
    setup : int
        Number of the setup, from 1.

    Returns
    -------
    matplotlib axes
        Millimetres on both axes: z to the right, r up, equal scales.

    Raises
    ------
    InputError
        When the plan has no such setup.
    """
    if not 1 <= setup <= len(plan.setups):
        raise InputError(f"the plan has {len(plan.setups)} setups; choose one of them", "setup")
    if ax is None:
        from matplotlib import pyplot

        _, ax = pyplot.subplots(figsize=(_WIDTH_MM / 25.4, _HEIGHT_MM / 25.4))
    _drawn(plan, ax, setup - 1)
    ax.set_xlabel("Z, mm")
    ax.set_ylabel("r, mm")
    ax.set_title(f"{plan.job}   mark {plan.mark}", loc="left", fontsize=10)
    return ax


def write_picture(plan: Plan, path: str | Path) -> None:
    """Write the part in its blank with the removed layers as SVG or PNG, by the file's ending.

    Raises
    ------
    InputError
        When the ending is another one, or the file cannot be written.
    """
    target = Path(path)
    kind = target.suffix.lower().lstrip(".")
    if kind not in ("svg", "png"):
        raise InputError('a picture file ends in ".svg" or ".png"', str(path))
    if not plan.setups:
        raise InputError("the plan has no setup to draw", str(path))
    figure = PlotFigure(figsize=(_WIDTH_MM / 25.4, (_HEIGHT_MM + 14) / 25.4), facecolor="white")
    ax = figure.add_axes((0.0, 0.0, 1.0, _HEIGHT_MM / (_HEIGHT_MM + 14)))
    ax.axis("off")
    _drawn(plan, ax, 0)
    figure.text(
        0.015,
        0.955,
        f"{plan.job}   mark {plan.mark}",
        fontsize=11,
        fontweight="bold",
        color=COLOURS["ink"],
        family="DejaVu Sans",
    )
    try:
        # A fixed salt and no date: the same plan gives the same file.
        with matplotlib.rc_context({"svg.hashsalt": plan.mark, "svg.fonttype": "path"}):
            if kind == "svg":
                svg: Any = FigureCanvasSVG(figure)
                svg.print_svg(target, metadata={"Date": None})
            else:
                figure.set_dpi(150)
                png: Any = FigureCanvasAgg(figure)
                png.print_png(target, metadata={"Software": "TurnSketch"})
    except OSError as error:
        raise InputError(f"the file cannot be written: {error.strerror}", str(path)) from error
