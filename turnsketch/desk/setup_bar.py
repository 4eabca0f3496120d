"""One line to choose a setup, add one, take it out, or move it: in several panels, always alike."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QMenu, QToolButton, QWidget

from turnsketch.desk.fields import ChoiceField
from turnsketch.desk.panel import label
from turnsketch.desk.session import Session
from turnsketch.desk.setup_edits import WAYS, Way, setup_names
from turnsketch.desk.text import tr
from turnsketch.document.setups import move_setup, remove_setup
from turnsketch.errors import InputError

__all__ = ["SetupBar", "add_after", "move_shown", "remove_shown"]


def add_after(session: Session, way: Way) -> None:
    """Add a setup behind the one on show, and show it."""
    after = session.setup
    count = len(session.job.setups)
    try:
        job = way.make(session.job, session.shop, after)
        why = "" if way.why is None else way.why(session.job, session.shop)
    except InputError as error:
        session.told.emit(str(error))
        return
    session.edit(job, tr(way.step))
    if why:
        session.told.emit(tr("Proposed: {why}", why=why))
    if len(session.job.setups) > count:
        session.choose_setup(after + 1)


def remove_shown(session: Session) -> None:
    """Take the setup on show out of the job; the only one stays."""
    if len(session.job.setups) > 1:
        name = session.job.setup_name(session.setup)
        session.edit(remove_setup(session.job, session.setup), tr("{name} taken out", name=name))


def move_shown(session: Session, by: int) -> None:
    """Move the setup on show to an earlier (-1) or later (+1) place, and keep it on show."""
    target = session.setup + by
    if 0 <= target < len(session.job.setups):
        name = session.job.setup_name(session.setup)
        session.edit(move_setup(session.job, session.setup, by), tr("{name} moved", name=name))
        session.choose_setup(target)


class SetupBar(QWidget):
    """Shows which setup is on show; what is done here is one step each."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.choice = ChoiceField(tr("Setup"))
        self.add = self._menu_button(
            tr("Add"), tr("Add a setup"), tr("Add a setup behind this one")
        )
        for way in WAYS:
            self.add.menu().addAction(tr(way.words), partial(add_after, session, way))
        self.change = self._menu_button(
            tr("Change"), tr("Change the setup"), tr("Move the setup, or take it out")
        )
        below = self.change.menu()
        self.up = below.addAction(tr("Move up"), partial(move_shown, session, -1))
        self.down = below.addAction(tr("Move down"), partial(move_shown, session, 1))
        self.take_out = below.addAction(tr("Take out"), partial(remove_shown, session))
        self._lay_out()
        self.choice.chosen.connect(lambda text: session.choose_setup(int(text)))
        session.job_changed.connect(lambda _: self.refresh())
        session.setup_changed.connect(lambda _: self.refresh())
        self.refresh()

    def _lay_out(self) -> None:
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(4)
        name = label(tr("Setup"), "faint")
        name.setBuddy(self.choice)
        line.addWidget(name)
        line.addWidget(self.choice, 1)
        line.addWidget(self.add)
        line.addWidget(self.change)

    def _menu_button(self, words: str, name: str, tip: str) -> QToolButton:
        made = QToolButton()
        made.setText(words)
        made.setAccessibleName(name)
        made.setToolTip(tip)
        made.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        made.setMenu(QMenu(made))
        return made

    def refresh(self) -> None:
        """Show the setups as they stand."""
        job, index = self._session.job, self._session.setup
        count = len(job.setups)
        entries = [(str(n), words) for n, words in enumerate(setup_names(job))]
        self.choice.show_choice(entries, str(min(index, count - 1)))
        self.change.setVisible(count > 1)
        self.up.setEnabled(index > 0)
        self.down.setEnabled(index + 1 < count)
