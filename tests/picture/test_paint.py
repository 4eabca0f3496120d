from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import matplotlib as mpl
import pytest

mpl.use("Agg")

from turnsketch.errors import InputError
from turnsketch.picture.display_list import DisplayList, Role
from turnsketch.picture.figures import part_in_blank
from turnsketch.picture.layers import Layer
from turnsketch.picture.paint_matplotlib import plot, write_picture
from turnsketch.picture.style import COLOURS, PENS, fill_colour, mix
from turnsketch.plan_records import Plan
from turnsketch.sheet.paint_pdf import CanvasPainter, draw_picture, rgb


def test_figures_import_no_plot_library() -> None:
    code = (
        "import sys, turnsketch.picture.figures, turnsketch.picture.setup_figure\n"
        "import turnsketch.picture.details\n"
        "sys.exit('matplotlib' in sys.modules or 'reportlab' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_plot_draws_on_given_axes_with_equal_scales(plan: Plan) -> None:
    from matplotlib import pyplot

    figure, ax = pyplot.subplots()
    assert plot(plan, ax) is ax
    assert ax.get_aspect() == 1.0
    low, high = ax.get_xlim()
    assert low < -81 < 1 < high
    assert plan.mark in ax.get_title(loc="left")
    pyplot.close(figure)
    own = plot(plan)
    assert own.lines
    pyplot.close(own.figure)
    with pytest.raises(InputError, match="setups"):
        plot(plan, setup=2)


def test_svg_and_png_files(plan: Plan, tmp_path: Path) -> None:
    first, second = tmp_path / "a.svg", tmp_path / "b.svg"
    write_picture(plan, first)
    write_picture(plan, second)
    assert first.read_bytes() == second.read_bytes()
    text = first.read_text(encoding="utf-8").lower()
    assert text.lstrip().startswith("<?xml")
    for name in ("ink", "layer light", "layer dark", "part", "hatch"):
        assert COLOURS[name].lower() in text, name
    write_picture(plan, tmp_path / "a.PNG")
    assert (tmp_path / "a.PNG").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize("name", ["a.pdf", "a", "no/folder.svg"])
def test_picture_errors_are_clear(plan: Plan, tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError):
        write_picture(plan, tmp_path / name)


class FakeCanvas:
    """Remembers the calls that a painter makes."""

    def __init__(self) -> None:
        self.calls: list[str] = []

    def __getattr__(self, name: str) -> Any:
        def call(*_: Any, **__: Any) -> Any:
            self.calls.append(name)
            return 10.0 if name == "stringWidth" else self

        return call


def test_pdf_painter_takes_every_item(plan: Plan, cuts: tuple[Layer, ...]) -> None:
    picture: DisplayList = part_in_blank(plan.setups[0], cuts, 240.0, 130.0)
    canvas = FakeCanvas()
    draw_picture(canvas, picture, 0.0, 0.0)
    labels = len(picture.texts())
    assert canvas.calls.count("drawString") == labels
    assert canvas.calls.count("saveState") == canvas.calls.count("restoreState") == 1
    assert canvas.calls.count("drawPath") >= len(picture.items) - labels
    assert CanvasPainter(canvas, picture.box.low, 1.0) is not None


def test_colours_are_the_projects(plan: Plan) -> None:
    assert rgb("#FF0000") == (1.0, 0.0, 0.0)
    assert fill_colour("layer", 0.0) == COLOURS["layer light"]
    assert fill_colour("layer", 1.0) == COLOURS["layer dark"]
    assert mix("#000000", "#FFFFFF", 0.5) == "#808080"
    roles: list[Role] = [role for role, pen in PENS.items() if pen.colour == COLOURS["danger"]]
    assert roles == ["danger"]
    assert all(re.fullmatch("#[0-9A-F]{6}", colour) for colour in COLOURS.values())


def test_wide_lines_are_twice_the_narrow_ones() -> None:
    # ISO 128-2: wide to narrow is 2 : 1.
    assert PENS["outline"].width_mm == 2 * PENS["narrow"].width_mm
    assert len(PENS["axis"].dash_mm) == 4
    assert len(PENS["blank"].dash_mm) == 6
