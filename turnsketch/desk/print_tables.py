"""The tables of the print: the outside, the bores of both ends, the grooves; one is on show."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from turnsketch.desk.chain_cells import BOTTOMS, end_of_bore, section_in_chain
from turnsketch.desk.chain_words import GROOVES, as_chain, table_entries
from turnsketch.desk.fields import ChoiceField
from turnsketch.desk.groove_model import GrooveModel
from turnsketch.desk.panel import label
from turnsketch.desk.section_model import SectionModel
from turnsketch.desk.section_table import SectionTable
from turnsketch.desk.session import Session
from turnsketch.desk.text import tr
from turnsketch.document.bores import (
    Chain,
    bore_of,
    chain_of,
    chain_sections,
    offset_of_chain,
    set_bore,
)
from turnsketch.document.edits import add_section, delete_sections
from turnsketch.document.grooves import remove_groove
from turnsketch.part.records import Section

__all__ = ["PrintTables"]


class PrintTables(QWidget):
    """Shows one of the four tables, and which one it is; `choice` is put elsewhere."""

    words_changed = Signal()
    """Refused text, or another cell: what is said below may be another."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.choice = ChoiceField(tr("What of the part"))
        self.choice.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.sections_model = SectionModel(session)
        self.sections = SectionTable(self.sections_model)
        self.grooves_model = GrooveModel(session)
        self.grooves = SectionTable(self.grooves_model)
        self.sections.setAccessibleName(tr("Sections, from the front face to the back"))
        self.grooves.setAccessibleName(tr("Grooves and undercuts"))
        self.ends = ChoiceField(tr("How the bore ends"))
        self.ends.setMinimumContentsLength(len(_end_words("flat")))
        self._ends_line = QWidget()
        line = QHBoxLayout(self._ends_line)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(8)
        words = label(tr("It ends"), "faint")
        words.setBuddy(self.ends)
        line.addWidget(words)
        line.addWidget(self.ends)
        line.addStretch(1)
        body = QVBoxLayout(self)
        body.setContentsMargins(0, 0, 0, 0)
        body.setSpacing(4)
        body.addWidget(self.sections, 1)
        body.addWidget(self.grooves, 1)
        body.addWidget(self._ends_line)
        self._connect()
        self._show_kind()

    def _connect(self) -> None:
        session = self._session
        session.job_changed.connect(lambda _: self._show_choice())
        session.table_changed.connect(self._show_kind)
        session.section_changed.connect(self._show_section)
        self.choice.chosen.connect(session.choose_table)
        self.ends.chosen.connect(self._set_end)
        self.sections_model.refused_changed.connect(self.words_changed)
        self.grooves_model.refused_changed.connect(self.words_changed)
        self.sections.selectionModel().currentChanged.connect(self._moved)
        self.grooves.selectionModel().currentChanged.connect(self._groove_moved)
        self.sections.insert_wanted.connect(self.insert_row)
        self.sections.delete_wanted.connect(self.delete_row)
        self.grooves.delete_wanted.connect(self.delete_groove)

    # Which one is on show

    @property
    def kind(self) -> str:
        """The table on show: a chain of the part, or "grooves"."""
        return self._session.table

    @property
    def table(self) -> SectionTable:
        """The table on show."""
        return self.grooves if self.kind == GROOVES else self.sections

    @property
    def refused_reason(self) -> str:
        """Why typed text does not read; empty when there is none."""
        model = self.grooves_model if self.kind == GROOVES else self.sections_model
        refused = model.refused
        return "" if refused is None else refused.reason

    def _show_kind(self) -> None:
        """Show the outside, the bore of an end, or the grooves: what is chosen for the window."""
        kind = self.kind
        chain = as_chain(kind)
        if chain is not None:
            self.sections_model.show_chain(chain)
        self.grooves.setVisible(kind == GROOVES)
        self.sections.setVisible(kind != GROOVES)
        self._show_choice()
        self.words_changed.emit()

    def _show_choice(self) -> None:
        part = self._session.job.part
        self.choice.show_choice(table_entries(part), self.kind)
        chain = as_chain(self.kind)
        inside = chain is not None and bore_of(part, chain) is not None
        self._ends_line.setVisible(inside)
        if chain is not None and inside:
            end = end_of_bore(part, chain)
            self.ends.show_choice([(key, _end_words(key)) for key in _ends(end)], end)

    def _set_end(self, key: str) -> None:
        job, through = self._session.job, key == "through"
        bottom = None if key == "flat" else key
        made = set_bore(job, self.sections_model.chain, through=through, bottom=bottom)
        self._session.edit(made, tr("How the bore ends"))

    # Rows

    def insert_row(self, row: int) -> None:
        """Put an empty cylinder in front of the section in that row of the table on show."""
        self.insert_before(self.sections_model.number(row), self.sections_model.chain)

    def insert_before(self, number: int, chain: Chain | None = None) -> None:
        """Put an empty cylinder in front of a section; 0: behind the last one of the chain."""
        part = self._session.job.part
        if chain is None:
            chain = chain_of(part, number) or self.sections_model.chain
        job = add_section(self._session.job, Section("cylinder"), number or None, chain)
        before = offset_of_chain(job.part, chain)
        row = (number or before + len(chain_sections(job.part, chain))) - before - 1
        self._session.edit(job, tr("New section {n}", n=before + row + 1))
        if self.kind != GROOVES:
            self._session.choose_table(chain)
        self.sections.setCurrentIndex(self.sections_model.index(row, 1))

    def delete_row(self, row: int) -> None:
        """Take the section in that row of the table on show out."""
        self.delete_section(self.sections_model.number(row))

    def delete_section(self, number: int) -> None:
        """Take a section out; 0: none."""
        if number:
            job = delete_sections(self._session.job, {number})
            self._session.edit(job, tr("Section {n} taken out", n=number))

    def delete_chosen(self) -> None:
        """Take out what is chosen: the groove while the keys are in their table, else a section."""
        if self.grooves.hasFocus():
            self.delete_groove(self.grooves.currentIndex().row())
        else:
            self.delete_section(self._session.section)

    def delete_groove(self, row: int) -> None:
        """Take the groove in that row out."""
        if not self.grooves_model.is_new(row):
            job = remove_groove(self._session.job, row + 1)
            self._session.edit(job, tr("Groove {n} taken out", n=row + 1))

    def _moved(self, current: QModelIndex, _: QModelIndex) -> None:
        self._session.choose_section(self.sections_model.number(current.row()))
        self.words_changed.emit()

    def _groove_moved(self, current: QModelIndex, _: QModelIndex) -> None:
        section = self.grooves_model.section(current.row())
        if section:
            self._session.choose_section(section)
        self.words_changed.emit()

    def _show_section(self, number: int) -> None:
        """Go to the row of a section that was chosen elsewhere; the grooves stay on show."""
        if not number or self.kind == GROOVES:
            return
        _, row = section_in_chain(self._session.job.part, number)
        current = self.sections.currentIndex()
        if current.row() != row:
            column = max(current.column(), 1)
            self.sections.setCurrentIndex(self.sections_model.index(row, column))


def _ends(now: str) -> list[str]:
    return list(BOTTOMS) if now in BOTTOMS else [*BOTTOMS, now]


def _end_words(key: str) -> str:
    if key == "through":
        return tr("through")
    return tr("with a flat bottom") if key == "flat" else tr("with a cone of {angle}", angle=key)
