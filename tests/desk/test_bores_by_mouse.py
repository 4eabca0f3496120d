"""Bores drawn, dragged, retyped and chosen on the board, by mouse and keys in the real window."""

from __future__ import annotations

import msgspec
import pytest
from PySide6.QtCore import QPoint, Qt
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned
from tests.desk.hands import Hands, Mouse
from tests.desk.whole_job import corner, in_ink, printed
from turnsketch.desk.main_window import MainWindow
from turnsketch.document.bores import (
    CHAINS,
    all_sections,
    chain_sections,
    with_chain_sections,
)
from turnsketch.document.demo import load_demo
from turnsketch.geometry.elements import Point
from turnsketch.job import Job
from turnsketch.part.outline_records import Outline
from turnsketch.part.records import PartRecord
from turnsketch.part.resolve import resolve

TAB, ENTER, ESC = Qt.Key.Key_Tab, Qt.Key.Key_Return, Qt.Key.Key_Escape


def outside(mouse: Mouse, *sizes: tuple[str, str]) -> None:
    """Begin a new job, and type an outside at the pointer."""
    mouse.menu("File", "New part")
    mouse.menu("Draw", "Draw the outline")
    sections(mouse, *sizes)


def sections(mouse: Mouse, *sizes: tuple[str, str]) -> None:
    """Type diameters and lengths at the pointer, and close the fields."""
    for diameter, length in sizes:
        mouse.type(diameter)
        mouse.key(TAB)
        mouse.type(length)
        mouse.key(ENTER)
    if mouse.target() is not mouse.board:
        mouse.key(ESC)


def dimension(mouse: Mouse, at: QPoint, text: str) -> None:
    """Pick a place with the dimension tool, and type."""
    mouse.click(at)
    mouse.answer(text)


def bare(job: Job) -> PartRecord:
    """Return a part in ink, without names, notes and ties: what is drawn and dimensioned."""
    part = in_ink(job).part
    for chain in CHAINS:
        unnamed = [msgspec.structs.replace(s, name="") for s in chain_sections(part, chain)]
        part = with_chain_sections(part, chain, unnamed)
    return PartRecord("", part.sections, bore=part.bore, bore_back=part.bore_back)


def check_part(window: MainWindow, wanted: Job) -> None:
    """Check what is drawn and the solved part against those of a demo part."""
    made = window.session.job
    assert bare(made) == bare(wanted)
    ours, theirs = (resolve(job.part, job.units) for job in (made, wanted))
    assert ours.issues == theirs.issues == ()
    same(ours.aim, theirs.aim)
    for one, other in ((ours.bore, theirs.bore), (ours.bore_back, theirs.bore_back)):
        assert (one is None) == (other is None)
        if one is not None and other is not None:
            same(one.aim, other.aim)
            assert one.through == other.through


def same(ours: Outline, theirs: Outline) -> None:
    """Check that two outlines are one."""
    for one, other in zip(ours.elements, theirs.elements, strict=True):
        assert one.shape.start.distance(other.shape.start) < 1e-6
        assert one.shape.at(0.5).distance(other.shape.at(0.5)) < 1e-6


def test_the_flanged_bush_with_both_its_bores_from_nothing(make_desk: MakeDesk) -> None:
    window = make_desk()
    mouse, wanted = Mouse(window), load_demo("flanged_bush")
    board = window.board_panel.board
    outside(mouse, ("32 p6", "32"), ("48", "8"))

    mouse.choose(window.board_panel.chain, "Bore from the front")
    assert window.print_panel.tables.kind == "bore"
    mouse.click(mouse.pixel(Point(-43.0, 9.0)))
    assert window.session.job.part.bore is not None
    assert window.session.job.part.bore.through
    assert 3 not in board.drawing.fixed, "in pencil as yet"
    mouse.menu("Draw", "Bore from the back")
    assert window.board_panel.chain.currentData() == "bore_back"
    sections(mouse, ("28 H11", "4"))

    mouse.menu("Draw", "Dimension")
    dimension(mouse, mouse.pixel(board.drawing.middle(3, 0.3)), "20 H7")
    for number, text in ((3, "Ra 1.6"), (1, "Ra 1.6")):
        dimension(mouse, mouse.pixel(board.drawing.middle(number, 0.6)), text)
    for number, end, text in (
        (1, "front", "1x45°"), (2, "back", "1x45°"),
        (3, "front", "0.5x45°"), (4, "front", "0.5x45°"),
    ):  # fmt: skip
        dimension(mouse, corner(mouse, number, end), text)
    assert board.drawing.fixed == {1, 2, 3, 4}, "all in ink"
    check_part(window, wanted)


def test_the_filler_cap_with_its_thread_from_nothing(make_desk: MakeDesk) -> None:
    window = make_desk()
    mouse, wanted = Mouse(window), load_demo("filler_cap")
    board = window.board_panel.board
    outside(mouse, ("32", "14"), ("41.57", "12"))
    Hands(window).key(Qt.Key.Key_F7, Qt.KeyboardModifier.ControlModifier)
    assert board.chain == "bore"
    sections(mouse, ("M20x1.5, 11 long", "16"))
    mouse.menu("Draw", "Dimension")
    dimension(mouse, corner(mouse, 3, "back"), "118°")
    for number in (1, 3):
        dimension(mouse, corner(mouse, number, "front"), "1x45°")
    assert window.print_panel.tables.ends.currentData() == "118°", "the table says it, too"
    check_part(window, wanted)


def test_the_bores_of_a_bush_are_chosen_dragged_retyped_and_deleted_on_the_board(
    make_desk: MakeDesk, qtbot: QtBot
) -> None:
    window = make_desk("flanged_bush")
    planned(qtbot, window)
    chosen_alike(window)
    dragged(window)
    retyped(window)
    deleted(window)
    the_grooves_stay(window)


def chosen_alike(window: MainWindow) -> None:
    """Choose sections and chains on the board, and see them in the table; and the other way."""
    mouse, tables = Mouse(window), window.print_panel.tables
    board, session = mouse.board, window.session
    for number, chain in ((3, "bore"), (4, "bore_back"), (2, "outside")):
        mouse.click(mouse.pixel(board.drawing.middle(number)))
        assert (session.section, session.table, board.chain) == (number, chain, chain)
        assert tables.sections_model.number(tables.table.currentIndex().row()) == number
        assert window.menus.actions[f"chain_{chain}"].isChecked()
    mouse.choose(tables.choice, "Bore from the back (1)")
    assert board.chain == window.board_panel.chain.currentData() == "bore_back"
    table = tables.table
    mouse.press(table.viewport(), table.visualRect(table.model().index(0, 1)).center())
    assert board.chosen == {4}
    mouse.choose(window.board_panel.chain, "Outside")
    assert tables.kind == tables.choice.currentData() == "outside"
    assert board.hasFocus(), "one goes on drawing there"


def dragged(window: MainWindow) -> None:
    """Drag a corner of each bore, and take it back."""
    mouse, board, before = Mouse(window), window.board_panel.board, window.session.job
    for number, end, to, text in (
        (3, "front", Point(0.0, 12.0), "24 H7"),
        (4, "back", Point(-34.0, 14.0), "6"),
    ):
        at = board.drawing.ends(number)[end == "back"]
        mouse.drag(mouse.pixel(at), mouse.pixel(to))
        section = all_sections(window.session.job.part)[number - 1]
        assert text in (section.diameter, section.length)
        assert window.session.undo_stack.undoText() == "Move a corner"
        taken_back(window, before)
        assert board.drawing.ends(number)[end == "back"] == pytest.approx(at, abs=0.05)


def retyped(window: MainWindow) -> None:
    """Type sizes of both bores anew where they stand, and take them back."""
    mouse, board, before = Mouse(window), window.board_panel.board, window.session.job
    for number, field, text in (
        (3, "diameter", "21 H8"), (4, "length", "5"), (4, "front_corner", "1x45°"),
    ):  # fmt: skip
        mouse.press(board.viewport(), printed(mouse, number, field), twice=True)
        Hands(window).replace(text, ENTER)
        assert getattr(all_sections(window.session.job.part)[number - 1], field) == text
        taken_back(window, before)


def deleted(window: MainWindow) -> None:
    """Delete the section of a bore, and take it back."""
    mouse, board, before = Mouse(window), window.board_panel.board, window.session.job
    mouse.click(mouse.pixel(board.drawing.middle(4)))
    assert window.session.section == 4
    mouse.key(Qt.Key.Key_Delete)
    assert window.session.job.part.bore_back is None
    assert len(board.drawing.bores) == 1
    taken_back(window, before)
    assert len(board.drawing.bores) == 2


def the_grooves_stay(window: MainWindow) -> None:
    """Choose a bore's section while the grooves are on show; then another chain, then a new job."""
    mouse, tables = Mouse(window), window.print_panel.tables
    mouse.choose(tables.choice, "Grooves")
    mouse.click(mouse.pixel(mouse.board.drawing.middle(3, 0.3)))
    assert (tables.kind, mouse.board.chain) == ("grooves", "bore")
    mouse.choose(window.board_panel.chain, "Bore from the back (1)")
    assert tables.kind == "bore_back"
    mouse.menu("File", "New part")
    assert (tables.kind, mouse.board.chain) == ("outside", "outside")


def taken_back(window: MainWindow, before: Job) -> None:
    """Undo by keys, and check that the job is as it was."""
    Hands(window).ctrl(Qt.Key.Key_Z)
    assert window.session.job == before
