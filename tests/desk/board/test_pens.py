"""Lines and hatch in pixels of the window, on coarse and on fine screens."""

from __future__ import annotations

import itertools

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter, QPainterPath, QTransform
from PySide6.QtWidgets import QApplication

from turnsketch.desk.board import pens
from turnsketch.desk.board.pens import AXIS, cosmetic
from turnsketch.desk.board.shading import fill_hatched, fill_turned
from turnsketch.desk.theme import LIGHT

WHITE = QColor("#FFFFFF")


def test_a_line_on_a_fine_screen_is_as_wide_as_its_text_is_large(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    coarse = cosmetic("#000000", 1.1, AXIS)
    monkeypatch.setattr(pens, "_fineness", lambda: 2.0)
    fine = cosmetic("#000000", 1.1, AXIS)
    assert fine.widthF() == pytest.approx(2 * coarse.widthF())
    dashes = [[d * pen.widthF() for d in pen.dashPattern()] for pen in (coarse, fine)]
    assert dashes[1] == pytest.approx([2 * d for d in dashes[0]])


def hatched(ratio: float, shift: int, size: int = 90) -> QImage:
    """Return a hatched square whose zero lies `shift` pixels to the right."""
    image = QImage(round(size * ratio), round(size * ratio), QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(ratio)
    image.fill(WHITE)
    path = QPainterPath()
    path.addRect(QRectF(-10, -10, 20, 20))
    painter = QPainter(image)
    painter.setWorldTransform(QTransform(4.0, 0, 0, 4.0, 45 + shift, 45))
    fill_hatched(painter, path, LIGHT)
    painter.end()
    return image


@pytest.mark.parametrize("ratio", [1.0, 1.5, 2.0])
def test_the_hatch_rises_to_the_right_and_is_tied_to_the_zero(
    qapp: QApplication, ratio: float
) -> None:
    image = hatched(ratio, 0)
    step, middle = round(9 * ratio), round(45 * ratio)
    row = [image.pixel(x, middle) for x in range(middle - 2 * step, middle + 2 * step)]
    assert row[:step] == row[step : 2 * step], "the lines come back after one step"
    assert len(set(row[:step])) > 1
    places = range(middle - step, middle + step)
    here, above = (
        [image.pixelColor(x + rise, middle - rise).lightness() for x in places] for rise in (0, 1)
    )
    assert above == pytest.approx(here, abs=12)  # edges are smoothed a little otherwise
    assert max(here) - min(here) > 30
    moved = hatched(ratio, 4)
    by = round(4 * ratio)
    assert moved.pixel(middle + by, middle) == image.pixel(middle, middle)
    assert image.pixelColor(1, 1) == WHITE, "nothing beside the cut face"


def test_the_bands_of_a_turned_body_leave_no_gap(qapp: QApplication) -> None:
    image = QImage(200, 120, QImage.Format.Format_RGB32)
    image.fill(WHITE)
    path = QPainterPath()
    path.moveTo(10, 0)
    for x, y in ((10, 80), (90, 100.5), (90, 60), (190, 60), (190, 0)):
        path.lineTo(x, y)
    painter = QPainter(image)
    fill_turned(painter, path, LIGHT, plain=False)
    painter.end()
    column = [image.pixelColor(50, y).lightness() for y in range(2, 88)]
    assert all(later <= before for before, later in itertools.pairwise(column))
    assert column[0] > column[-1]
    assert WHITE.lightness() not in column
    assert image.pixelColor(150, 70) == WHITE
