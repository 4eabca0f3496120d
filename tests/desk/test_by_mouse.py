"""From an empty job to the paper with the mouse: drawn, bent and dimensioned on the board."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned
from tests.desk.hands import Mouse
from tests.desk.whole_job import (
    check_paper,
    compare,
    corner,
    export,
    fill_blank,
    fill_notes,
    printed,
    title,
)
from turnsketch.document.demo import load_demo
from turnsketch.geometry.elements import Point


def test_the_rope_roller_drawn_on_the_board_by_mouse(
    make_desk: MakeDesk, qtbot: QtBot, tmp_path: Path
) -> None:
    window = make_desk()
    mouse, board, wanted = Mouse(window), window.board_panel.board, load_demo("rope_roller")
    mouse.menu("File", "New part in inches")
    mouse.menu("Draw", "Draw the outline")
    for z in (-7.0, -27.0, -35.0):
        mouse.click(mouse.pixel(Point(z, 10.0)))
    mouse.key(Qt.Key.Key_Escape)
    assert board.drawing.fixed == frozenset(), "all in pencil as yet"

    top = Point(-17.0, board.drawing.vertices[1].r)
    mouse.click(mouse.pixel(top))
    mouse.drag(mouse.pixel(board.drawing.middle(2)), mouse.pixel(Point(top.z, top.r - 3.0)))
    waist = window.session.job.part.sections[1]
    assert (waist.kind, waist.sense) == ("arc", "concave")

    mouse.menu("Draw", "Dimension")
    for number, text in ((1, "1.250 +0/-.005"), (3, "1.250 +0/-.005"), (2, "R.6")):
        mouse.click(mouse.pixel(board.drawing.middle(number, 0.4)))
        mouse.answer(text)
    for number, text in ((1, ".250"), (2, ".875"), (3, ".250")):
        mouse.click(corner(mouse, number, "front"))
        mouse.click(corner(mouse, number, "back"))
        mouse.answer(text)
    mouse.click(corner(mouse, 1, "front"))
    mouse.answer(".030x45°")
    mouse.key(Qt.Key.Key_Escape)
    mouse.key(Qt.Key.Key_Escape)
    mouse.press(board.viewport(), printed(mouse, 2, "radius"), twice=True)
    mouse.answer("R.625")
    assert board.drawing.fixed == {1, 2, 3}, "all in ink"

    title(mouse, "title", wanted.title)
    title(mouse, "name", wanted.part.name)
    title(mouse, "material", "brass")
    for row, section in enumerate(wanted.part.sections):
        mouse.cell(window.print_panel.table, row, 0, f"{section.kind} {section.name}")
    fill_notes(mouse, wanted)
    fill_blank(mouse, wanted)
    planned(qtbot, window)
    compare(window, wanted)
    export(mouse, tmp_path / "roller.pdf")
    check_paper(tmp_path / "roller.pdf", window)
