"""Shape of the blank, soft jaws, inside grip and steady rest in the window."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desk.conftest import planned
from tests.desk.hands import Hands
from turnsketch.desk.fields import TextField
from turnsketch.desk.main_window import MainWindow
from turnsketch.job import BlankStep


def typed(window: MainWindow, field: TextField, text: str) -> None:
    """Type into a field as a person does, and go on."""
    unfold = window.holding_panel.seldom.button
    if not unfold.isChecked():
        unfold.click()
    field.setFocus()
    QTest.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(field, Qt.Key.Key_Delete)
    QTest.keyClicks(field, text)
    Hands(window).key(Qt.Key.Key_Tab)


@pytest.mark.parametrize("shape", ["hexagon", "square", "tube", "round"])
def test_a_shape_is_chosen_in_one_step(desk: MainWindow, shape: str) -> None:
    before = desk.session.job
    seldom = desk.holding_panel.seldom
    seldom.shape.chosen.emit(shape)
    blank = desk.session.job.blank
    assert blank.shape == shape
    assert blank.bore == ("16" if shape == "tube" else None)
    assert seldom.bore.isVisibleTo(seldom.content) == (shape == "tube")
    assert (shape in seldom.button.text()) == (shape != "round")
    if shape != "round":
        desk.undo()
    assert desk.session.job == before


def test_the_bore_of_a_tube_is_typed(desk: MainWindow, qtbot: QtBot) -> None:
    seldom = desk.holding_panel.seldom
    seldom.shape.chosen.emit("tube")
    typed(desk, seldom.bore, "6")
    assert desk.session.job.blank.bore == "6"
    planned(qtbot, desk)
    assert desk.session.plan is not None
    assert "blank-lacks-metal" in [f.code for f in desk.session.plan.findings]


def test_soft_jaws_inside_and_steady_are_set(desk: MainWindow) -> None:
    seldom = desk.holding_panel.seldom
    seldom.soft.click()
    seldom.inside.click()
    typed(desk, seldom.steady, "40")
    holding = desk.session.job.setups[0].holding
    assert (holding.soft_jaws, holding.inside, holding.steady) == (True, True, "40")
    typed(desk, seldom.steady, "")
    assert desk.session.job.setups[0].holding.steady is None


def test_between_centres_nothing_is_held_from_inside(desk: MainWindow) -> None:
    panel = desk.holding_panel
    panel.seldom.soft.click()
    panel.device.chosen.emit("Driver plate 160")
    holding = desk.session.job.setups[0].holding
    assert (holding.kind, holding.soft_jaws) == ("between centres", False)
    assert not panel.seldom.soft.isEnabled()


def test_a_cast_blank_is_typed_in_steps(desk: MainWindow, qtbot: QtBot) -> None:
    seldom = desk.holding_panel.seldom
    before = desk.session.job.blank
    seldom.shape.chosen.emit("steps")
    assert desk.session.job.blank.steps == (BlankStep(before.diameter, before.length),)
    typed(desk, seldom.steps, "28x30; 34x74 bore 4")
    blank = desk.session.job.blank
    assert blank.steps == (BlankStep("28", "30"), BlankStep("34", "74", "4"))
    assert (blank.diameter, blank.length) == ("34", "104")
    typed(desk, seldom.steps, "28 30")
    assert desk.session.job.blank == blank, "what does not read changes nothing"
    assert "40x12" in desk.holding_panel.said.message.text()
    desk.undo()
    desk.undo()
    assert desk.session.job.blank == before


def test_the_part_is_turned_around_by_a_tick(two: MainWindow) -> None:
    seldom = two.holding_panel.seldom
    two.session.choose_setup(1)
    assert two.session.job.setups[1].pull_out is not None
    seldom.button.click()
    seldom.turned.click()
    setup = two.session.job.setups[1]
    assert (setup.turned, setup.pull_out) == (True, None)
    assert setup.holding.grip is not None, "the jaws hold it as far as they did"
    two.undo()
    assert not two.session.job.setups[1].turned
    assert not seldom.turned.isChecked()


def test_a_hexagon_is_not_offered_a_round_bar(desk: MainWindow, qtbot: QtBot) -> None:
    desk.holding_panel.seldom.shape.chosen.emit("hexagon")
    typed(desk, desk.holding_panel.diameter, "24")
    planned(qtbot, desk)
    assert not desk.holding_panel.take.isVisible()
