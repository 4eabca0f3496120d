"""Every word on the screen can be translated: those of the desk, and those that the core makes."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest
from PySide6.QtCore import QModelIndex, Qt, QTranslator
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QAbstractItemView, QApplication, QComboBox, QTableView, QWidget
from pytestqt.qtbot import QtBot

import turnsketch.desk
from tests.desk.conftest import MakeDesk, planned
from turnsketch.desk.main_window import MainWindow
from turnsketch.desk.text import template, told
from turnsketch.shop.files import demo_shop

DESK = Path(turnsketch.desk.__file__).parent
SHOWING = {
    "QAction", "QCheckBox", "QGroupBox", "QLabel", "QMenu", "QPushButton", "QRadioButton",
    "addAction", "addMenu", "addTab", "complain", "drawText", "label", "say", "say_nothing",
    "setAccessibleDescription", "setAccessibleName", "setInformativeText", "setLabelText",
    "setPlaceholderText", "setStatusTip", "setTabText", "setText", "setTitle", "setToolTip",
    "setWhatsThis", "setWindowTitle",
}  # fmt: skip
"""Calls that put a text on the screen; of `label` and `say` the last argument is a style."""
OURS = {"TurnSketch"}
WORD = re.compile(r"[^\W\d_]{2,}")


# In the source


def shown_literals(source: str) -> Iterator[tuple[int, str]]:
    """Return line and text of every literal that goes to the screen as it stands."""
    for call in ast.walk(ast.parse(source)):
        if isinstance(call, ast.Call) and _name(call) in SHOWING:
            given = call.args[:1] if _name(call) in ("label", "say") else call.args
            for argument in given:
                yield from _literals(argument)


def _name(call: ast.Call) -> str:
    return str(getattr(call.func, "id", getattr(call.func, "attr", "")))


def _literals(node: ast.AST) -> Iterator[tuple[int, str]]:
    if isinstance(node, ast.Call | ast.Compare | ast.Subscript | ast.FormattedValue):
        return  # what another function makes, or a key
    text = node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""
    if set(WORD.findall(text)) - OURS:
        yield getattr(node, "lineno", 0), text
    for child in ast.iter_child_nodes(node):
        yield from _literals(child)


@pytest.mark.parametrize("path", sorted(DESK.rglob("*.py")), ids=lambda p: str(p.name))
def test_no_widget_shows_a_literal_that_cannot_be_translated(path: Path) -> None:
    assert not list(shown_literals(path.read_text("utf-8")))


@pytest.mark.parametrize(
    "line",
    [
        'box.setText("Take it")',
        'box.setToolTip("Take it" if free else tr("Leave it"))',
        'box.setText(f"{count} passes")',
        'body.addWidget(label("Take it", "faint"))',
    ],
)
def test_such_a_literal_is_seen(line: str) -> None:
    assert [number for number, _ in shown_literals(line)] == [1]


# On the screen


class Marking(QTranslator):
    """A language in which every text stands in angled quotation marks."""

    def isEmpty(self) -> bool:  # noqa: N802
        return False

    def translate(
        self, context: str, source: str, disambiguation: str | None = None, n: int = -1
    ) -> str | None:
        return f"«{source}»" if source and context in ("desk", "core") else None


@pytest.fixture
def marking(qapp: QApplication) -> Iterator[None]:
    translator = Marking()
    qapp.installTranslator(translator)
    yield
    qapp.removeTranslator(translator)


def texts_of(widget: QWidget) -> Iterator[str]:
    """Return what a widget shows and says of itself."""
    for name in ("text", "title", "toolTip", "accessibleName", "accessibleDescription",
                 "placeholderText"):  # fmt: skip
        yield str(widget.property(name) or "")
    if isinstance(widget, QComboBox):
        yield from (widget.itemText(i) for i in range(widget.count()))
    if isinstance(widget, QAbstractItemView) and widget.model() is not None:
        yield from _cells(widget)


def _cells(view: QAbstractItemView) -> Iterator[str]:
    model, roles = view.model(), Qt.ItemDataRole
    columns = model.columnCount(QModelIndex()) if isinstance(view, QTableView) else 1
    for column in range(columns):
        for row in range(model.rowCount(QModelIndex())):
            for role in (roles.DisplayRole, roles.ToolTipRole, roles.AccessibleTextRole):
                yield str(model.index(row, column).data(role) or "")
        if isinstance(view, QTableView):
            for role in (roles.DisplayRole, roles.ToolTipRole):
                yield str(model.headerData(column, Qt.Orientation.Horizontal, role) or "")


def strings(value: object) -> Iterator[str]:
    """Return every text in a record that was made into plain values."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list | tuple):
        for part in value.values() if isinstance(value, dict) else value:
            yield from strings(part)


def untranslated(window: MainWindow) -> set[str]:
    """Return the words on the screen that neither job nor shop file has and no translation."""
    data = {w for known in (window.session.job, demo_shop()) for text in
            strings(msgspec.to_builtins(known)) for w in WORD.findall(text)}  # fmt: skip
    symbols = {"mm", "rpm", "Ra", "ISO", "decimals"}  # units, standards, what is typed here
    shown = [text for widget in window.findChildren(QWidget) for text in texts_of(widget)]
    shown += [text for a in window.findChildren(QAction) for text in (a.text(), a.toolTip())]
    return {
        text
        for text in shown
        if "«" not in text and set(WORD.findall(text)) - data - symbols - OURS
    }


@pytest.mark.usefixtures("marking")
def test_every_text_of_the_window_is_translated(qtbot: QtBot, make_desk: MakeDesk) -> None:
    window = make_desk("stepped_pin")
    planned(qtbot, window)
    assert not untranslated(window)
    window.findings_panel.aside.setText("stands out")
    assert untranslated(window) == {"stands out"}, "the look around does not see everything"


SENTENCES = {
    "rough": "schruppen",
    "the blank is {0} too short for {1}": "für {1} fehlen dem Rohling {0}",
    "Take T{0}": "never asked for: the letter belongs to the figure",
}


class Sentences(QTranslator):
    """Knows three texts of the core."""

    def isEmpty(self) -> bool:  # noqa: N802
        return False

    def translate(
        self, context: str, source: str, disambiguation: str | None = None, n: int = -1
    ) -> str | None:
        return SENTENCES.get(source) if context == "core" else None


def test_words_of_the_core_are_looked_up_without_what_belongs_to_the_job(
    qapp: QApplication,
) -> None:
    assert template('Ø25 h6 from "the {0} bar", T3: 4.5.') == (
        "{0} {1} from {2}, {3}: {4}.",
        ("Ø25", "h6", '"the {0} bar"', "T3", "4.5"),
    )
    language = Sentences()
    qapp.installTranslator(language)
    try:
        assert told("rough") == "schruppen"
        words = 'the blank is 3.5 too short for "the {0} pin"'
        assert told(words) == 'für "the {0} pin" fehlen dem Rohling 3.5'
        assert told("Take T3") == "Take T3"
        assert told("") == ""
    finally:
        qapp.removeTranslator(language)
