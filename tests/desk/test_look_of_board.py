"""What stands on the board with a plan: no text over another, over the tool, or outside."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from PySide6.QtGui import QColor
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned
from turnsketch.desk.board import Board
from turnsketch.desk.board.dimension_paint import rect_of
from turnsketch.desk.board.notes import placed_notes
from turnsketch.desk.board.readout import reading_box, tool_area
from turnsketch.desk.main_window import MainWindow
from turnsketch.document.demo import load_demo
from turnsketch.document.edits import add_length_dimension, set_length
from turnsketch.job import Job
from turnsketch.part.records import Place

PIN = load_demo("stepped_pin")


def over_one_another(board: Board) -> list[object]:
    """Return every pair of texts that overlap, and every text under the tool or outside."""
    layout, area = board.layout_now(), tool_area(board)
    found: list[object] = [t for t in layout.tags if area.intersects(rect_of(t.box))]
    boxes = [rect_of(placed.box) for placed in layout.placed]
    reading = reading_box(board)
    boxes += [] if reading is None else [reading.box]
    found += [pair for pair in itertools.combinations(boxes, 2) if pair[0].intersects(pair[1])]
    return found + [box for box in boxes if not board.frame().contains(box)]


@pytest.mark.parametrize("name", ["stepped_pin", "rope_roller", "post_cap"])
def test_no_text_stands_over_another_at_any_pass(
    make_desk: MakeDesk, qtbot: QtBot, name: str
) -> None:
    window = make_desk(name)
    planned(qtbot, window)
    board, session = window.board_panel.board, window.session
    for lathe in (False, True):
        board.set_stand_at_lathe(lathe)
        for position in range(0, len(session.passes) + 1, 3):
            session.go_to(position)
            assert over_one_another(board) == [], (position, lathe)
    board.set_stand_at_lathe(False)
    session.go_to(len(session.passes))
    texts = [rect_of(placed.box) for placed in board.layout_now().placed]
    texts += [field.box for field in board.title_fields()]
    for note, box in placed_notes(board):
        assert board.frame().contains(box), note.text
        assert not any(box.intersects(other) for other in texts), note.text


def test_the_check_sees_a_text_under_the_tool(desk: MainWindow) -> None:
    board = desk.board_panel.board
    desk.session.go_to(5)
    hidden = len(board._whole_layout().tags) - len(board.layout_now().tags)
    assert hidden > 0, "the holder stands over some of the tags, which make way"
    desk.session.go_to(0)
    assert board.layout_now() == board._whole_layout()


def with_length(text: str) -> Job:
    return add_length_dimension(PIN, Place(1, "front"), Place(2, "back"), text)


@pytest.mark.parametrize(
    ("job", "words"),
    [
        (set_length(PIN, 2, None), "free: "),
        (with_length("58"), "repeated: "),
        (with_length("60"), "contradicts: "),
    ],
    ids=["free", "repeated", "contradictory"],
)
def test_what_is_open_in_the_print_is_said_on_the_board_with_a_plan_too(
    make_desk: MakeDesk, qtbot: QtBot, job: Job, words: str
) -> None:
    window = make_desk(job)
    planned(qtbot, window)
    board = window.board_panel.board
    assert board.plan is not None
    notes = placed_notes(board)
    assert any(note.text.startswith(words) for note, _ in notes)
    texts = [rect_of(placed.box) for placed in board.layout_now().placed]
    assert not any(text.contains(note.at) for note, _ in notes for text in texts)


@pytest.mark.parametrize(("name", "decimals"), [("stepped_pin", 3), ("rope_roller", 4)])
def test_board_and_table_show_a_reading_with_every_decimal_of_the_readout(
    make_desk: MakeDesk, qtbot: QtBot, name: str, decimals: int
) -> None:
    window = make_desk(name)
    planned(qtbot, window)
    window.session.go_to(2)
    reading, model = reading_box(window.board_panel.board), window.pass_panel.table.model()
    row = next(r for r in range(model.rowCount()) if model.data(model.index(r, 0)) == "2")
    x, z = (str(model.data(model.index(row, column))) for column in (3, 4))
    assert reading is not None
    assert reading.words == f"X {x}\nZ {z}"
    assert len(z.partition(".")[2]) == decimals


def test_a_print_below_shows_through(desk: MainWindow, tmp_path: Path) -> None:
    board = desk.board_panel.board
    before = board.grab().toImage()
    picture = before.copy()
    picture.fill(QColor("#000000"))
    path = tmp_path / "print.png"
    assert picture.save(str(path))
    board.set_underlay(path, 0.5, (picture.width() / 2, picture.height() / 2), opacity=1.0)
    now, lens = board.grab().toImage(), board.lens
    for r in (4.0, -4.0):
        x, y = round(lens.x(-10.0)), round(lens.y(r))
        assert now.pixelColor(x, y).lightness() < before.pixelColor(x, y).lightness() - 20, r
