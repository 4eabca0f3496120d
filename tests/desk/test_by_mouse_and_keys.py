"""From an empty job to the paper: sizes by keys, holding, centre, ties and roughness by mouse."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned
from tests.desk.hands import Hands, Mouse
from tests.desk.whole_job import check_paper, compare, export, fill_blank, fill_notes, title
from turnsketch.document.demo import load_demo

TAB, ENTER = Qt.Key.Key_Tab, Qt.Key.Key_Return
CTRL = Qt.KeyboardModifier.ControlModifier


def test_the_rudder_pin_by_mouse_and_keys(
    make_desk: MakeDesk, qtbot: QtBot, tmp_path: Path
) -> None:
    window = make_desk("knob")
    mouse, wanted = Mouse(window), load_demo("slender_pin")
    hands, panel, board = Hands(window), window.print_panel, window.board_panel.board
    hands.ctrl(Qt.Key.Key_N)
    for text, then in (
        ("14 h6", TAB), ("24", TAB), ("1x45°", ENTER),
        ("15", TAB), ("90", ENTER),
        ("16 k6", TAB), ("24", ENTER),
    ):  # fmt: skip
        hands.field(text, then)
    hands.key(Qt.Key.Key_Escape)
    mouse.choose(panel.material, "stainless steel")
    planned(qtbot, window)

    hands.ctrl(Qt.Key.Key_3)
    mouse.click(mouse.pixel(board.drawing.middle(1, 0.6)))
    mouse.click(mouse.pixel(board.drawing.middle(3, 0.6)), CTRL)
    mouse.answer("Ra 1.6")
    fine = [s.roughness for s in window.session.job.part.sections]
    assert fine == ["Ra 1.6", None, "Ra 1.6"], "one text goes to both that are chosen"

    title(mouse, "title", wanted.title)
    title(mouse, "name", wanted.part.name)
    for row, section in enumerate(wanted.part.sections):
        mouse.cell(panel.table, row, 0, f"{section.kind} {section.name}")
    fill_notes(mouse, wanted)
    mouse.choose(panel.seldom.centre_hole, "may stay")
    mouse.fill(panel.seldom.ties, "run-out 0.02: 1, 3")
    fill_blank(mouse, wanted)
    mouse.tick(window.holding_panel.centre)
    planned(qtbot, window)
    compare(window, wanted)
    export(mouse, tmp_path / "rudder.pdf")
    check_paper(tmp_path / "rudder.pdf", window)
