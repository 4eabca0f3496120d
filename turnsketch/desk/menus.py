"""Menus and shortcuts, made from the table of commands."""

from __future__ import annotations

from collections.abc import Callable
from operator import attrgetter
from typing import Any

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

from turnsketch.desk.commands import COMMANDS, MENUS, SEPARATOR, Command
from turnsketch.desk.text import tr

__all__ = ["MenuBuilder", "key_sequence"]

Filler = Callable[[], list[tuple[str, Callable[[], object]]]]


def key_sequence(keys: str) -> QKeySequence:
    """Return the keys of a command on this platform."""
    if keys.startswith("std:"):
        return QKeySequence(getattr(QKeySequence.StandardKey, keys.removeprefix("std:")))
    return QKeySequence(keys)


class MenuBuilder:
    """Builds the menu bar of a window and keeps its actions.

    Parameters
    ----------
    window : QMainWindow
        Has the methods that the table names.
    fillers : dict
        For each submenu: returns its entries, words and what they do, while it opens.
    """

    def __init__(self, window: QMainWindow, fillers: dict[str, Filler]) -> None:
        self._window: Any = window
        self._fillers = fillers
        self._groups: dict[str, QActionGroup] = {}
        self.actions: dict[str, QAction] = {}
        self._conditions: list[tuple[QAction, Command]] = []
        bar = window.menuBar()
        menus = {name.replace("&", ""): bar.addMenu(tr(name)) for name in MENUS}
        for command in COMMANDS:
            self._add(menus[command.menu], command)

    def _add(self, menu: QMenu, command: Command) -> None:
        if command.words == SEPARATOR:
            menu.addSeparator()
            return
        if command.submenu:
            self._add_submenu(menu, command)
            return
        action = QAction(tr(command.words), self._window)
        action.setShortcut(key_sequence(command.keys))
        action.triggered.connect(lambda _=False, c=command: attrgetter(c.action)(self._window)())
        if command.group:
            group = self._groups.setdefault(command.group, QActionGroup(self._window))
            action.setCheckable(True)
            group.addAction(action)
        menu.addAction(action)
        self.actions[command.action] = action
        self._conditions.append((action, command))

    def _add_submenu(self, menu: QMenu, command: Command) -> None:
        below = menu.addMenu(tr(command.words))

        def fill() -> None:
            below.clear()
            for words, act in self._fillers[command.submenu]():
                below.addAction(words.replace("&", "&&"), act)
            if below.isEmpty():
                below.addAction(tr("nothing yet")).setEnabled(False)

        below.aboutToShow.connect(fill)
        below.addAction(tr("nothing yet")).setEnabled(False)

    def enable(self, **held: bool) -> None:
        """Offer the commands whose condition holds."""
        for action, command in self._conditions:
            action.setEnabled(held.get(command.when, True))

    def check(self, action: str) -> None:
        """Show that this command of its group holds."""
        self.actions[action].setChecked(True)
