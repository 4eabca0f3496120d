"""Charts of a plan: spindle speed, depth and time of every pass."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import Any

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure as PlotFigure
from matplotlib.ticker import FuncFormatter, MaxNLocator

from turnsketch.plan_records import Plan
from turnsketch.units import from_mm

__all__ = ["ChartColours", "chart_png"]


@dataclass(frozen=True, slots=True)
class ChartColours:
    """Colours of a chart as "#RRGGBB"."""

    paper: str
    ink: str
    rule: str
    bar: str
    chosen: str


def chart_png(
    plan: Plan,
    size_px: tuple[int, int],
    dots_per_inch: float,
    colours: ChartColours,
    chosen: int = 0,
) -> bytes:
    """Return the three charts of `plan`, one above the other, as a PNG picture.

    Parameters
    ----------
    plan : Plan
        All its passes stand side by side with a rule between setups, each named by its number in
        its setup.
    size_px : (int, int)
        Width and height, pixels.
    dots_per_inch : float
        How many pixels an inch of type takes.
    colours : ChartColours
        Of the screen's theme.
    chosen : int
        The pass that is marked, counted through all setups from 1; 0: none.
    """
    width, height = (max(side, 50) / dots_per_inch for side in size_px)
    figure = PlotFigure(
        figsize=(width, height), dpi=dots_per_inch, facecolor=colours.paper, layout="constrained"
    )
    FigureCanvasAgg(figure)
    passes = [p for setup in plan.setups for p in setup.passes]
    numbers = list(range(1, len(passes) + 1))
    unit = "mm" if plan.display_units == "mm" else "in"
    rows = (
        ("Spindle speed, rpm", [p.rpm for p in passes]),
        (f"Depth, {unit}", [from_mm(p.depth, plan.display_units) for p in passes]),
        ("Time, min", [p.minutes for p in passes]),
    )
    marks = ["//" if n == chosen else "" for n in numbers]
    shades = [colours.chosen if n == chosen else colours.bar for n in numbers]
    axes: Any = figure.subplots(len(rows), 1, sharex=True)
    for ax, (words, values) in zip(axes, rows, strict=True):
        ax.bar(numbers, values, color=shades, edgecolor=colours.ink, linewidth=0.6, hatch=marks)
        ax.set_title(words, loc="left", color=colours.ink, fontsize=10)
        _plain(ax, colours)
    axes[-1].set_xlim(0.4, len(numbers) + 0.6)
    _name_passes(axes, plan, colours)
    picture = BytesIO()
    figure.savefig(picture, format="png", dpi=dots_per_inch, facecolor=colours.paper)
    return picture.getvalue()


def _name_passes(axes: Any, plan: Plan, colours: ChartColours) -> None:
    """Write each pass's own number below the charts, and part several setups by a rule."""
    own = [p.number for setup in plan.setups for p in setup.passes]
    low = axes[-1]
    low.xaxis.set_major_locator(MaxNLocator(integer=True))
    low.xaxis.set_major_formatter(
        FuncFormatter(lambda x, _: str(own[round(x) - 1]) if 1 <= round(x) <= len(own) else "")
    )
    if len(plan.setups) == 1:
        low.set_xlabel("Pass", color=colours.ink, fontsize=10)
        return
    start = 0
    for setup in plan.setups:
        for ax in axes if start else ():
            ax.axvline(start + 0.5, color=colours.ink, linewidth=1.6)
        low.annotate(
            f"Pass of setup {setup.number}",
            (start + 0.5 + len(setup.passes) / 2, 0.0),
            xycoords=("data", "axes fraction"),
            xytext=(0, -20),
            textcoords="offset points",
            color=colours.ink,
            fontsize=10,
            ha="center",
            va="top",
        )
        start += len(setup.passes)


def _plain(ax: Any, colours: ChartColours) -> None:
    ax.set_facecolor(colours.paper)
    ax.tick_params(colors=colours.ink, labelsize=9)
    ax.grid(axis="y", color=colours.rule, linewidth=0.6)
    ax.set_axisbelow(True)
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        ax.spines[side].set_color(colours.rule)
