"""The middle of the desk: the board, a message above it, coordinates and hints below it."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from turnsketch.desk.background import Answer
from turnsketch.desk.board import Board
from turnsketch.desk.chain_words import chain_entries, chain_words
from turnsketch.desk.dimension_text import coordinate_text
from turnsketch.desk.fields import ChoiceField
from turnsketch.desk.message_bar import MessageBar
from turnsketch.desk.panel import Panel, ShortLabel, label
from turnsketch.desk.session import Session
from turnsketch.desk.text import tr, unit_word
from turnsketch.desk.theme import Theme
from turnsketch.geometry.elements import Point
from turnsketch.job import Job
from turnsketch.plan_records import Finding

__all__ = ["BoardPanel", "Mode"]

Mode = Literal["choose", "draw", "dimension", "scale"]


class BoardPanel(Panel):
    """Shows job, part and plan on the board, and takes its edits to the session."""

    mode_changed = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(tr("Board"), parent)
        self._session = session
        self.title.hide()
        self.aside.hide()
        self.body.setContentsMargins(1, 1, 1, 1)
        self.body.setSpacing(0)
        self.message = MessageBar()
        self.board = Board()
        self.board.setFrameStyle(0)
        self.board.setMinimumSize(240, 160)
        self.body.addWidget(self.message)
        self.body.addWidget(self.board, 1)
        self.setup = label("", "faint")
        self.coordinates = label("", "faint")
        self.chain = ChoiceField(tr("What is drawn"))
        self.chain.setMinimumContentsLength(len(chain_words("bore")) + 2)
        self.hint = ShortLabel()
        self.hint.setObjectName("faint")
        self.hint.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        line = QHBoxLayout()
        line.setContentsMargins(12, 2, 12, 0)
        line.setSpacing(16)
        line.addWidget(self.coordinates)
        line.addStretch(1)
        line.addWidget(self.chain)
        self.body.addLayout(line)
        below = QHBoxLayout()  # a line of its own: no hint is cut short
        below.setContentsMargins(12, 1, 12, 5)
        below.addWidget(self.hint, 1)
        below.addWidget(self.setup)
        self.body.addLayout(below)
        self._connect()
        self.board.show_job(session.job, None)
        self._show_chain()
        self._show_pointer(0.0, 0.0)

    def _connect(self) -> None:
        session, board = self._session, self.board
        session.job_changed.connect(self._show_job)
        session.part_changed.connect(self._show_part)
        session.planned.connect(self._show_answer)
        session.position_changed.connect(lambda _: self._show_pass())
        session.table_changed.connect(self._show_chain)
        session.section_changed.connect(self._show_section)
        session.place_wanted.connect(self._show_place)
        session.told.connect(self.hint.setText)
        self.chain.chosen.connect(self._choose_chain)
        board.edited.connect(session.edit)
        board.dragging.connect(session.job_dragged)
        board.section_chosen.connect(session.choose_section)
        board.pointer_moved.connect(self._show_pointer)
        board.hint.connect(self.hint.setText)
        board.mode_changed.connect(self.mode_changed)

    def set_theme(self, theme: Theme) -> None:
        """Take the theme's colours."""
        self.board.set_theme(theme)

    def _show_job(self, job: Job) -> None:
        part = self._session.part if self._session.current else None
        self.board.show_job(job, part)
        self._show_chain()
        if not self._session.current:
            self._show_pass()

    def _show_part(self, answer: Answer) -> None:
        self.board.show_job(answer.job, answer.part)

    def _show_answer(self, answer: Answer) -> None:
        board = self.board
        board.show_job(self._session.job, answer.part)
        self._show_pass()
        if board.camera.fitted and board.mode == "choose":  # a hand that draws keeps its place
            board.fit()

    def _show_pass(self) -> None:
        session = self._session
        answer = session.answer
        self._show_setup_words()
        if answer is None or answer.plan is None or not session.current:
            self.board.show_plan(None, None, setup=session.setup + 1)
            return
        setup = session.setup + 1
        self.board.show_plan(answer.plan, session.pass_number, answer.layers, setup=setup)

    def _show_setup_words(self) -> None:
        """Say which of several setups is on show."""
        setups, index = self._session.job.setups, self._session.setup
        self.setup.setVisible(len(setups) > 1)
        # Its name is a tip: a long one would make the window wider than the screen.
        self.setup.setText(tr("setup {n} of {count}", n=index + 1, count=len(setups)))
        self.setup.setToolTip(self._session.job.setup_name(index))

    def _show_place(self, finding: Finding) -> None:
        """Bring the place of a finding into the middle, unless it is in sight."""
        item, board = self.board.plan_item, self.board
        if finding.z is None or item.setup() is None:
            return
        at = Point(item.part_z(finding.z), finding.r or 0.0)
        lens, frame = board.lens, board.frame()
        if not frame.contains(lens.x(at.z), lens.y(at.r)):
            board.go_to(at)

    def _show_section(self, number: int) -> None:
        if number and number not in self.board.chosen:
            self.board.choose((number,), number)
        elif not number and self.board.chosen:
            self.board.choose(())

    def _show_chain(self) -> None:
        """Show which chain is drawn: the one whose table is chosen."""
        session = self._session
        self.chain.show_choice(chain_entries(session.job.part), session.chain)
        self.board.set_chain(session.chain)

    def _choose_chain(self, chain: str) -> None:
        self._session.choose_table(chain)
        self.board.setFocus()

    def _show_pointer(self, diameter_mm: float, z_mm: float) -> None:
        units, item = self._session.job.units, self.board.plan_item
        if item.isVisible():
            z_mm = item.setup_z(z_mm)
        self.coordinates.setText(
            tr("Ø {diameter}   Z {z} {unit}", diameter=coordinate_text(diameter_mm, units),
               z=coordinate_text(z_mm, units), unit=unit_word(units))
        )  # fmt: skip
