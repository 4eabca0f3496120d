"""What only some operations take: typed or chosen in the form, undone, and explained."""

from __future__ import annotations

from typing import get_args

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned
from tests.desk.hands import Hands
from turnsketch.desk.main_window import MainWindow
from turnsketch.desk.operation_extras import (
    CHOICES,
    EXTRAS,
    extra_choices,
    extra_reason,
    extra_text,
    extra_words,
    with_extra,
)
from turnsketch.errors import InputError
from turnsketch.job import Operation, OperationKind


def choose(window: MainWindow, kind: str) -> int:
    """Choose the first operation of a kind in the list, and return its row."""
    window.pass_panel.show_page(1)
    page = window.pass_panel.operations
    row = next(i for i, o in enumerate(page.operations) if o.kind == kind)
    page.list.setCurrentRow(row)
    return row


def test_each_extra_field_is_one_of_the_job() -> None:
    assert set(EXTRAS) <= set(get_args(OperationKind))
    for field in EXTRAS.values():
        assert field in Operation.__struct_fields__
        assert extra_words(field)
        assert extra_reason(field)
    for field in CHOICES:
        for value, _ in extra_choices(field):
            made = with_extra(Operation("rough"), field, value, "mm", 0)
            assert extra_text(made, field) == value


def test_numbers_of_grooves_are_read() -> None:
    operation = Operation("groove")
    made = with_extra(operation, "grooves", "1, 3 3", "mm", 3)
    assert made.grooves == (1, 3)
    assert extra_text(made, "grooves") == "1, 3"
    assert with_extra(made, "grooves", "", "mm", 3) == operation
    for text in ("4", "0", "one", "-1"):
        with pytest.raises(InputError, match="1 to 3"):
            with_extra(operation, "grooves", text, "mm", 3)
    with pytest.raises(InputError, match="the part has none"):
        with_extra(operation, "grooves", "1", "mm", 0)
    with pytest.raises(InputError, match="above 0"):
        with_extra(Operation("drill"), "to_depth", "0", "mm", 0)


def test_the_depth_of_a_drill_is_typed(make_desk: MakeDesk, qtbot: QtBot) -> None:
    window = make_desk("flanged_bush")
    planned(qtbot, window)
    page = window.pass_panel.operations
    row = choose(window, "drill")
    assert page.extra.field == "to_depth"
    box = page.extra.text
    box.setText("12")
    box.editingFinished.emit()
    operations = window.session.job.setups[0].operations
    assert operations is not None
    assert operations[row].to_depth == "12"
    box.setText("deep")
    box.editingFinished.emit()
    assert window.session.job.setups[0].operations == operations
    window.undo()
    assert window.session.job.setups[0].operations is None


def test_infeed_and_cuts_are_chosen(make_desk: MakeDesk, qtbot: QtBot) -> None:
    window = make_desk("capstan_shaft")
    planned(qtbot, window)
    page = window.pass_panel.operations
    for kind, field, value in (
        ("rough", "direction", "across"), ("thread", "infeed", "straight"),
    ):  # fmt: skip
        row = choose(window, kind)
        assert page.extra.field == field
        page.extra.choice.setFocus()
        words = dict(extra_choices(field))[value]
        while page.extra.choice.currentText() != words:
            before = page.extra.choice.currentIndex()
            QTest.keyClick(page.extra.choice, Qt.Key.Key_Down)
            assert page.extra.choice.currentIndex() != before
        operations = window.session.job.setups[0].operations
        assert operations is not None
        assert getattr(operations[row], field) == value
        page.extra.why.click()
        assert page._reason.text() == f"{extra_reason(field)[:1].upper()}{extra_reason(field)[1:]}."
    choose(window, "finish")
    assert page.extra.isHidden()
    Hands(window).ctrl(Qt.Key.Key_Z)


def test_cuts_across_are_chosen_for_a_bore_too(make_desk: MakeDesk, qtbot: QtBot) -> None:
    window = make_desk("filler_cap")
    planned(qtbot, window)
    row = choose(window, "bore")
    extra = window.pass_panel.operations.extra
    assert extra.field == "direction"
    extra.choice.setFocus()
    QTest.keyClick(extra.choice, Qt.Key.Key_End)
    operations = window.session.job.setups[0].operations
    assert operations is not None
    assert operations[row].direction == "across"
