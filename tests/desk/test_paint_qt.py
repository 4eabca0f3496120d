"""Qt's painter draws every item of a display list, in the theme's colours."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter
from pytestqt.qtbot import QtBot

from turnsketch.desk.paint_qt import paint_picture
from turnsketch.desk.theme import DARK, LIGHT, Theme, mixed
from turnsketch.geometry.elements import Point
from turnsketch.picture.display_list import Arrow, Box, DisplayList, Fill, Item, Label, Spot, Stroke

SQUARE = (Point(-5.0, 0.0), Point(5.0, 0.0), Point(5.0, 10.0), Point(-5.0, 10.0))


def painted(items: list[Item], theme: Theme = LIGHT) -> QImage:
    image = QImage(200, 200, QImage.Format.Format_RGB32)
    image.fill(QColor(theme.paper))
    painter = QPainter(image)
    box = Box(Point(-10.0, -10.0), Point(10.0, 10.0))
    paint_picture(painter, DisplayList(tuple(items), 2.0, box), QRectF(0, 0, 200, 200), theme)
    painter.end()
    return image


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_fills_take_the_colours_of_the_theme(qtbot: QtBot, theme: Theme) -> None:
    assert painted([Fill((SQUARE,), "part")], theme).pixelColor(100, 60) == QColor(theme.part)
    deep = painted([Fill((SQUARE,), "layer", 1.0)], theme).pixelColor(100, 60)
    assert deep == QColor(theme.layer_dark)


def test_r_runs_up_and_z_to_the_right(qtbot: QtBot) -> None:
    image = painted([Spot(Point(6.0, 7.0), "danger", 4.0)])
    assert image.pixelColor(160, 30) == QColor(LIGHT.danger)
    assert image.pixelColor(160, 170) == QColor(LIGHT.paper)


def test_a_hole_stays_open(qtbot: QtBot) -> None:
    hole = (Point(-2.0, 3.0), Point(2.0, 3.0), Point(2.0, 7.0), Point(-2.0, 7.0))
    image = painted([Fill((SQUARE, hole), "part")])
    assert image.pixelColor(100, 50) == QColor(LIGHT.paper)
    assert image.pixelColor(60, 50) == QColor(LIGHT.part)


@pytest.mark.parametrize(
    "item",
    [
        Stroke(SQUARE, "outline", closed=True),
        Stroke((Point(-9.0, 0.0), Point(9.0, 0.0)), "axis"),
        Arrow(Point(-8.0, 0.0), Point(8.0, 0.0), both=True),
        Label(Point(0.0, 0.0), "Ø25 h6", size_mm=4.0, backed=True, bold=True),
        Label(Point(0.0, 0.0), "Z 0", anchor="end", offset_mm=Point(-1.0, 0.5)),
    ],
)
def test_every_item_leaves_ink(qtbot: QtBot, item: Item) -> None:
    assert painted([item]) != painted([])


def contrast(first: str, second: str) -> float:
    """Return the contrast ratio of WCAG 2 (from memory: relative luminance of sRGB)."""

    def light(colour: str) -> float:
        parts = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
        linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    high, low = sorted((light(first), light(second)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_text_can_be_read_on_paper(theme: Theme) -> None:
    assert contrast(theme.ink, theme.paper) >= 7
    for colour in (theme.narrow, theme.chosen, theme.danger):
        assert contrast(colour, theme.paper) >= 4.5
    assert contrast(theme.ink, theme.chosen_light) >= 7


def test_mixing_colours() -> None:
    assert mixed("#000000", "#FFFFFF", 0.0) == "#000000"
    assert mixed("#000000", "#FFFFFF", 2.0) == "#FFFFFF"
