"""Fields that few jobs need: reached by keys, refused in words, told in one line while folded."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desk.conftest import MakeDesk
from tests.desk.hands import Hands, Mouse
from turnsketch.desk.main_window import MainWindow
from turnsketch.part.records import Tie

TAB = Qt.Key.Key_Tab


@pytest.fixture
def desk(make_desk: MakeDesk) -> MainWindow:
    """A window with the slender pin; nothing here waits for its plan."""
    return make_desk("slender_pin")


def test_what_is_folded_is_told_in_its_line_and_unfolds_by_key(desk: MainWindow) -> None:
    hands, seldom = Hands(desk), desk.print_panel.seldom
    assert seldom.button.text().startswith("More of the print: centre hole may stay · BY-105")
    assert not seldom.ties.isVisible()
    seldom.button.setFocus()
    hands.key(Qt.Key.Key_Space)
    assert seldom.ties.isVisible()
    hands.key(TAB)
    assert hands.focus() is seldom.centre_hole
    hands.key(Qt.Key.Key_Down)
    assert desk.session.job.part.centre_hole == "not allowed"
    hands.key(TAB)
    hands.replace("BY-105 b")
    hands.replace("coax .03: 1 and 3; square 0.05: 2 3")
    hands.replace("Mind the seats.")
    job = desk.session.job
    assert (job.part.number, job.note) == ("BY-105 b", "Mind the seats.")
    assert job.part.ties == (Tie("coaxial", (1, 3), ".03"), Tie("square", (2, 3), "0.05"))
    assert seldom.ties.text() == "coaxial .03: 1, 3; square 0.05: 2, 3"
    seldom.button.setFocus()
    hands.key(Qt.Key.Key_Space)
    assert not seldom.ties.isVisible()
    assert "BY-105 b" in seldom.button.toolTip()


def test_ties_that_do_not_read_are_marked_and_told(desk: MainWindow) -> None:
    mouse, seldom = Mouse(desk), desk.print_panel.seldom
    before = desk.session.job
    mouse.press(seldom.button)
    mouse.fill(seldom.ties, "run-out 0.02: 1, 7")
    assert desk.session.job == before
    assert seldom.ties.property("wrong")
    assert "1 to 3" in desk.print_panel.said.message.text()
    QTest.keyClick(seldom.ties, Qt.Key.Key_Escape)
    assert seldom.ties.text() == "run-out 0.02: 1, 3"


def test_deleting_a_section_takes_its_tie_along(desk: MainWindow) -> None:
    mouse, board = Mouse(desk), desk.board_panel.board
    mouse.click(mouse.pixel(board.drawing.middle(2, 0.4)))
    mouse.key(Qt.Key.Key_Delete)
    assert [t.sections for t in desk.session.job.part.ties] == [(1, 2)]
    mouse.click(mouse.pixel(board.drawing.middle(1, 0.4)))
    mouse.key(Qt.Key.Key_Delete)
    assert desk.session.job.part.ties == ()


def test_a_hole_in_the_blank_is_asked_for_only_on_the_centre(desk: MainWindow) -> None:
    mouse, panel = Mouse(desk), desk.holding_panel
    mouse.tick(panel.centred)
    assert desk.session.job.setups[0].holding.centred_blank
    mouse.fill(panel.hole, "2.4")
    assert "no centre hole" in panel.said.message.text()
    mouse.fill(panel.hole, "2.5")
    assert desk.session.job.setups[0].holding.centre_size == "2.5"
    mouse.tick(panel.centre)
    holding = desk.session.job.setups[0].holding
    assert (holding.centre, holding.centred_blank, holding.centre_size) == (False, False, None)
    assert not panel.centred.isVisible()
    assert not panel.hole.isVisible()


def test_the_first_setup_has_its_name_and_its_zero(desk: MainWindow) -> None:
    mouse, panel = Mouse(desk), desk.holding_panel
    mouse.fill(panel.name, "Tailstock up")
    mouse.fill(panel.zero, "138")
    setup = desk.session.job.setups[0]
    assert (setup.name, setup.zero) == ("Tailstock up", "138")
