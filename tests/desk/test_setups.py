"""Several setups in the window: chosen, added, moved, taken out, held, undone."""

from __future__ import annotations

import msgspec
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QToolButton
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned
from tests.desk.hands import Hands
from turnsketch.desk.main_window import MainWindow
from turnsketch.document.setups import change_holding, grips_mm

ALT = Qt.KeyboardModifier.AltModifier
CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def choose_in_menu(button: QToolButton, words: str) -> None:
    """Choose an entry of a button's menu by key."""
    menu = button.menu()
    (entry,) = (a for a in menu.actions() if a.text() == words)
    menu.setActiveAction(entry)
    QTest.keyClick(menu, Qt.Key.Key_Return)


def clear_field(window: MainWindow) -> None:
    """Empty the field that has the keyboard, and go on."""
    hands = Hands(window)
    QTest.keyClick(hands.focus(), Qt.Key.Key_A, CTRL)
    hands.key(Qt.Key.Key_Delete)
    hands.key(Qt.Key.Key_Tab)


# Adding, taking out, order


def test_a_pulled_out_bar_becomes_a_second_setup_and_goes_again(
    desk: MainWindow, qtbot: QtBot
) -> None:
    before = desk.session.job
    QTest.keyClick(desk, Qt.Key.Key_B, CTRL | SHIFT)
    job = desk.session.job
    assert len(job.setups) == 2
    assert desk.session.undo_stack.undoText() == "Setup with the bar pulled out"
    assert grips_mm(job)[1] == grips_mm(before)[0], "the new one holds as the only one did"
    planned(qtbot, desk)
    plan = desk.session.plan
    assert plan is not None
    assert not [f for f in plan.findings if f.severity == "stop"]
    assert plan.setups[0].limit_z == -22.0
    assert [o.kind for o in plan.setups[1].operations][-1] == "part off"
    assert (desk.session.setup, desk.session.pass_number) == (1, None), "it begins at its blank"
    desk.undo()
    planned(qtbot, desk)
    assert desk.session.job == before
    assert desk.session.setup == 0
    desk.redo()
    assert desk.session.job == job


@pytest.mark.parametrize("name", ["shaft_end", "post_cap"])
def test_an_added_setup_can_be_planned_at_once(
    make_desk: MakeDesk, qtbot: QtBot, name: str
) -> None:
    desk = make_desk(name)
    planned(qtbot, desk)
    choose_in_menu(desk.holding_panel.setups.add, "Pull the bar out")
    planned(qtbot, desk)
    assert desk.session.answer is not None
    assert desk.session.answer.error == ""
    assert desk.session.plan is not None
    assert all(s.passes for s in desk.session.plan.setups)


def test_parting_off_goes_to_the_setup_that_is_added(desk: MainWindow, qtbot: QtBot) -> None:
    page = desk.pass_panel.operations
    page.list.item(0).setCheckState(Qt.CheckState.Unchecked)  # now the job has its own list
    desk.add_held_again()
    planned(qtbot, desk)
    own = desk.session.job.setups[0].operations
    assert own is not None
    assert "part off" not in [o.kind for o in own]
    plan = desk.session.plan
    assert plan is not None
    assert [o.kind for o in plan.setups[1].operations] == ["part off"]


def test_setups_are_moved_and_taken_out(two: MainWindow, qtbot: QtBot) -> None:
    job, bar = two.session.job, two.holding_panel.setups
    names = [s.name for s in job.setups]
    two.session.choose_setup(1)
    choose_in_menu(bar.change, "Move up")
    assert [s.name for s in two.session.job.setups] == names[::-1]
    assert two.session.setup == 0, "the moved one stays on show"
    assert not bar.up.isEnabled()
    choose_in_menu(bar.change, "Move down")
    assert [s.name for s in two.session.job.setups] == names
    choose_in_menu(bar.change, "Take out")
    assert [s.name for s in two.session.job.setups] == names[:1]
    assert two.session.setup == 0
    for _ in range(3):
        two.undo()
    assert two.session.job == job
    planned(qtbot, two)
    assert two.session.plan is not None


def test_the_only_setup_cannot_be_taken_out(desk: MainWindow) -> None:
    assert desk.holding_panel.setups.change.isHidden()
    assert not desk.menus.actions["remove_setup"].isEnabled()
    before = desk.session.job
    desk.remove_setup()
    assert desk.session.job == before


# By keyboard


def test_setups_by_keyboard_alone(two: MainWindow, qtbot: QtBot) -> None:
    hands = Hands(two)
    hands.ctrl(Qt.Key.Key_8)
    assert hands.focus() is two.holding_panel.setups.choice
    hands.key(Qt.Key.Key_Down)
    assert two.session.setup == 1
    QTest.keyClick(two, Qt.Key.Key_PageUp, ALT)
    assert two.session.setup == 0
    QTest.keyClick(two, Qt.Key.Key_PageDown, ALT)
    assert two.session.setup == 1
    names = [s.name for s in two.session.job.setups]
    QTest.keyClick(two, Qt.Key.Key_Up, ALT | SHIFT)
    assert [s.name for s in two.session.job.setups] == names[::-1]
    QTest.keyClick(two, Qt.Key.Key_Down, ALT | SHIFT)
    assert [s.name for s in two.session.job.setups] == names


def test_how_far_the_bar_is_pulled_is_typed(two: MainWindow, qtbot: QtBot) -> None:
    panel = two.holding_panel
    assert panel.pull_out.isHidden()
    two.session.choose_setup(1)
    assert panel.pull_out.isVisible()
    assert panel.pull_out.text() == "49"
    assert panel.grip.placeholderText() == "25"
    panel.pull_out.setFocus()
    Hands(two).replace("45")
    assert two.session.job.setups[1].pull_out == "45"
    planned(qtbot, two)
    assert panel.grip.placeholderText() == "29"
    panel.grip.setFocus()
    Hands(two).replace("30")
    setup = two.session.job.setups[1]
    assert (setup.holding.grip, setup.pull_out) == ("30", None), "one of the two says it"
    planned(qtbot, two)
    panel.pull_out.setFocus()
    Hands(two).replace("44")
    setup = two.session.job.setups[1]
    assert (setup.holding.grip, setup.pull_out) == (None, "44")
    planned(qtbot, two)
    panel.pull_out.setFocus()
    clear_field(two)
    assert two.session.job.setups[1].holding.grip == "30", "the grip that it came to"
    panel.zero.setFocus()
    Hands(two).replace("5")
    panel.name.setFocus()
    Hands(two).replace("Head end")
    setup = two.session.job.setups[1]
    assert (setup.zero, setup.name) == ("5", "Head end")


def test_a_name_and_a_way_that_cannot_be_are_told(two: MainWindow) -> None:
    panel, job = two.holding_panel, two.session.job
    two.session.choose_setup(1)
    for field, text in ((panel.name, ""), (panel.pull_out, "0"), (panel.zero, "x")):
        field.setFocus()
        if text:
            Hands(two).replace(text)
        else:
            clear_field(two)
        assert field.property("wrong"), text
        assert panel.said.message.text()
        QTest.keyClick(field, Qt.Key.Key_Escape)
    assert two.session.job == job


def test_the_holding_of_the_setup_on_show_is_edited(two: MainWindow) -> None:
    two.session.choose_setup(1)
    QTest.mouseClick(two.holding_panel.centre, Qt.MouseButton.LeftButton, pos=QPoint(8, 8))
    assert [s.holding.centre for s in two.session.job.setups] == [False, True]


# Turned around


def test_a_part_that_is_turned_around_is_shown_by_its_other_end(
    desk: MainWindow, qtbot: QtBot
) -> None:
    choose_in_menu(desk.pass_panel.operations.setups.add, "Turn the part around")
    job = desk.session.job
    assert [s.turned for s in job.setups] == [False, True]
    assert job.blank.length == "68", "both faces are made: 1 in front and 1 behind"
    planned(qtbot, desk)
    assert desk.session.answer is not None
    assert desk.session.answer.error == ""
    assert not desk.holding_panel.pull_out.isEnabled()
    item = desk.board_panel.board.plan_item
    assert item.part_z(0.0) == pytest.approx(-66.0), "its zero is the finished back face"
    assert item.part_z(-8.0) == pytest.approx(-58.0)
    assert item.setup_z(-58.0) == pytest.approx(-8.0)
    desk.session.step(1)
    place = item.tool_place()
    assert place is not None
    assert place.z < -60.0, "the tool comes to the back"
    desk.undo()
    assert len(desk.session.job.setups) == 1
    assert desk.session.job.blank.length == "102"


# The program's own setups


def test_the_setups_are_proposed_in_one_step_and_the_reasons_told(
    desk: MainWindow, qtbot: QtBot
) -> None:
    said: list[str] = []
    desk.session.told.connect(said.append)
    before = desk.session.job
    sections = list(before.part.sections)
    sections[-1] = msgspec.structs.replace(sections[-1], back_corner="1x45°")
    part = msgspec.structs.replace(before.part, sections=tuple(sections))
    desk.session.edit(msgspec.structs.replace(before, part=part), "Back chamfer")
    asked = desk.session.job
    choose_in_menu(desk.holding_panel.setups.add, "Propose the setups")
    assert [s.turned for s in desk.session.job.setups] == [False, True]
    assert desk.session.undo_stack.undoText() == "Proposed setups"
    assert "the second setup grips" in said[-1]
    planned(qtbot, desk)
    plan = desk.session.plan
    assert plan is not None
    assert not [f for f in plan.findings if f.severity == "stop"]
    assert desk.session.setup == 1
    desk.undo()
    assert desk.session.job == asked


def test_no_setups_are_proposed_for_a_device_that_is_not_there(desk: MainWindow) -> None:
    said: list[str] = []
    desk.session.told.connect(said.append)
    before = desk.session.job
    lost = change_holding(before, 0, device="Lost chuck")
    desk.session.edit(lost, "Lost")
    choose_in_menu(desk.holding_panel.setups.add, "Propose the setups")
    assert desk.session.job == lost
    assert "Lost chuck" in said[-1]
