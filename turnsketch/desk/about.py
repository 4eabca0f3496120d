"""The boxes of the Help menu: keys, and what the program is made of."""

from __future__ import annotations

import platform
from importlib import metadata

from PySide6.QtCore import Qt, qVersion
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QDialogButtonBox,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from turnsketch.desk.commands import COMMANDS
from turnsketch.desk.menus import key_sequence
from turnsketch.desk.panel import label
from turnsketch.desk.text import tr
from turnsketch.version import VERSION

__all__ = ["AboutBox", "KeysBox", "versions"]

_LIBRARIES = ("PySide6-Essentials", "shapely", "numpy", "matplotlib", "reportlab", "msgspec")


def versions() -> list[tuple[str, str]]:
    """Return the program and all that it stands on, each with its version."""
    found = [("TurnSketch", VERSION), ("Python", platform.python_version()), ("Qt", qVersion())]
    for name in _LIBRARIES:
        try:
            found.append((name, metadata.version(name)))
        except metadata.PackageNotFoundError:
            found.append((name, tr("not installed")))
    return found


def _table(rows: list[tuple[str, str]], name: str) -> QTableWidget:
    table = QTableWidget(len(rows), 2)
    table.setAccessibleName(name)
    table.setShowGrid(False)
    table.horizontalHeader().hide()
    table.verticalHeader().hide()
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setTabKeyNavigation(False)
    table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
    table.horizontalHeader().setStretchLastSection(True)
    for row, cells in enumerate(rows):
        for column, text in enumerate(cells):
            table.setItem(row, column, QTableWidgetItem(text))
    return table


class _Box(QDialog):
    """Words, a table, and a button to close it."""

    def __init__(
        self, title: str, words: str, rows: list[tuple[str, str]], parent: QWidget | None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        body = QVBoxLayout(self)
        body.addWidget(label(title, "title"))
        said = label(words, "", wrap=True)
        said.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        body.addWidget(said)
        self.table = _table(rows, title)
        body.addWidget(self.table, 1)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        body.addWidget(buttons)
        self.resize(460, 480)


class AboutBox(_Box):
    """What the program is, and its versions."""

    def __init__(self, parent: QWidget | None = None) -> None:
        words = tr(
            "Plans a turned part for a lathe that is moved by hand: from the print to the pass "
            "sheet. It helps and does not answer for the work: the shop's rules, the machine's "
            "manual and a qualified person have the last word."
        )
        super().__init__(tr("About TurnSketch"), words, versions(), parent)


class KeysBox(_Box):
    """Every command that has a key."""

    def __init__(self, parent: QWidget | None = None) -> None:
        native = QKeySequence.SequenceFormat.NativeText
        rows = [
            (key_sequence(c.keys).toString(native), tr(c.words).replace("&", ""))
            for c in COMMANDS
            if c.keys
        ]
        rows += [
            (tr("Tab, Enter"), tr("In the table of sections: next cell, next section")),
            (tr("Esc"), tr("Gives up what is being typed or drawn")),
            (tr("Ins, Ctrl+Del"), tr("In the table: a section before this one, this one out")),
        ]
        words = tr("All menus open with Alt and the underlined letter.")
        super().__init__(tr("Keys"), words, [r for r in rows if r[0]], parent)
