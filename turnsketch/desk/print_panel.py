"""The panel "From the print": the table of sections, notes of the print, what is still open."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import msgspec
from PySide6.QtCore import QModelIndex
from PySide6.QtWidgets import QGridLayout, QWidget

from turnsketch.desk.background import Answer
from turnsketch.desk.dimension_text import length_text
from turnsketch.desk.fields import ChoiceField, TextField
from turnsketch.desk.panel import Panel, Said, label
from turnsketch.desk.section_cells import checked_text
from turnsketch.desk.section_model import SectionModel
from turnsketch.desk.section_table import SectionTable
from turnsketch.desk.session import Session
from turnsketch.desk.text import tr, unit_word
from turnsketch.document.edits import add_section, delete_sections
from turnsketch.errors import InputError
from turnsketch.part.outline_records import PartIssue
from turnsketch.part.records import Section
from turnsketch.part.text import Kind

__all__ = ["PrintPanel"]

_TOLERANCES = ("ISO 2768-f", "ISO 2768-m", "ISO 2768-c", "ISO 2768-v", "decimals")
_RANK = {"contradiction": 0, "open": 1, "ill-posed": 2, "repeat": 3}


class PrintPanel(Panel):
    """Everything that is read off the print."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(tr("From the print"), parent)
        self._session = session
        self.model = SectionModel(session)
        self.table = SectionTable(self.model)
        self.table.setAccessibleName(tr("Sections, from the front face to the back"))
        self.body.addWidget(self.table, 1)
        self.said = Said()
        self._overall = label("", "faint")
        self.body.addWidget(self.said)
        self.body.addWidget(self._overall)
        self._fields: dict[str, TextField] = {}
        self.material = ChoiceField(tr("Material"))
        self.tolerance = ChoiceField(tr("General tolerance"))
        self._add_notes()
        self._connect()
        self.show_job()

    def _connect(self) -> None:
        session = self._session
        session.job_changed.connect(lambda _: self.show_job())
        session.part_changed.connect(self._show_part)
        session.planned.connect(self._show_part)
        session.section_changed.connect(self._show_section)
        self.model.refused_changed.connect(self._show_words)
        self.table.selectionModel().currentChanged.connect(self._moved)
        self.table.insert_wanted.connect(self.insert_section)
        self.table.delete_wanted.connect(self.delete_section)
        self.material.chosen.connect(lambda text: self._set_note("material", text))
        self.tolerance.chosen.connect(lambda text: self._set_note("general_tolerance", text))

    # Notes

    def _add_notes(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(3)
        notes: tuple[tuple[str, str, tuple[Kind, ...] | None, str], ...] = (
            ("name", tr("Part"), None, ""),
            ("inside_corners", tr("Inside"), ("radius",), tr("largest radius inside: R0.8")),
            ("edges", tr("Edges"), None, tr("after ISO 13715: -0.3")),
            ("roughness", tr("All Ra"), ("roughness",), tr("of all other surfaces: Ra 3.2")),
        )
        for place, (field, words, kinds, tip) in enumerate(notes):
            box = TextField(words, self._note_setter(field, words, kinds), self._tell)
            box.setToolTip(tip)
            self._fields[field] = box
            row, side = (0, 0) if place == 0 else (2 + (place - 1) // 2, (place - 1) % 2)
            self._place(grid, words, box, row, 2 * side, 3 if place == 0 else 1)
        self._place(grid, tr("Material"), self.material, 1, 0)
        self._place(grid, tr("Tolerances"), self.tolerance, 1, 2)
        grid.setColumnStretch(1, 1)
        grid.setColumnStretch(3, 1)
        self.body.addLayout(grid)
        chain: list[QWidget] = [self.table, self._fields["name"], self.material, self.tolerance]
        chain += [self._fields[field] for field in ("inside_corners", "edges", "roughness")]
        for before, after in pairwise(chain):
            QWidget.setTabOrder(before, after)

    def _place(
        self, grid: QGridLayout, words: str, box: QWidget, row: int, column: int, span: int = 1
    ) -> None:
        name = label(words, "faint")
        name.setBuddy(box)
        grid.addWidget(name, row, column)
        grid.addWidget(box, row, column + 1, 1, span)

    def _note_setter(
        self, field: str, words: str, kinds: tuple[Kind, ...] | None
    ) -> Callable[[str], None]:
        def commit(text: str) -> None:
            if field == "roughness" and text[:1].isdigit():
                text = f"Ra {text}"
            if kinds is not None:
                checked_text(text, self._session.job.units, *kinds)
            if field == "name" and not text:
                raise InputError(tr("give the part a name, for the sheet"))
            self._set_note(field, text or None)

        return commit

    def _set_note(self, field: str, value: str | None) -> None:
        job = self._session.job
        part = msgspec.structs.replace(job.part, **{field: value})
        self._session.edit(msgspec.structs.replace(job, part=part), self._step_name(field))

    def _step_name(self, field: str) -> str:
        names = {
            "name": tr("Name of the part"),
            "material": tr("Material"),
            "general_tolerance": tr("General tolerance"),
            "inside_corners": tr("Inside corners"),
            "edges": tr("Edges"),
            "roughness": tr("Roughness of all surfaces"),
        }
        return names[field]

    # Sections

    def insert_section(self, row: int) -> None:
        """Put an empty cylinder in front of the section in that row."""
        section = Section("cylinder")
        job = add_section(self._session.job, section, row + 1)
        self._session.edit(job, tr("New section {n}", n=row + 1))
        self.table.setCurrentIndex(self.model.index(row, 1))

    def delete_section(self, row: int) -> None:
        """Take the section in that row out."""
        if not self.model.is_new(row):
            job = delete_sections(self._session.job, {row + 1})
            self._session.edit(job, tr("Section {n} taken out", n=row + 1))

    def _moved(self, current: QModelIndex, _: QModelIndex) -> None:
        number = 0 if self.model.is_new(current.row()) else current.row() + 1
        self._session.choose_section(number)
        self._show_words()

    def _show_section(self, number: int) -> None:
        current = self.table.currentIndex()
        if number and current.row() != number - 1:
            column = max(current.column(), 1)
            self.table.setCurrentIndex(self.model.index(number - 1, column))

    # What is shown

    def show_job(self) -> None:
        """Show the notes of the job as it stands."""
        job = self._session.job
        self.aside.setText(unit_word(job.units))
        for field, box in self._fields.items():
            box.show_text(getattr(job.part, field) or "")
        names = [m.name for m in self._session.shop.materials]
        if not job.part.material:
            names.insert(0, "")
        self.material.show_choice([(name, name) for name in names], job.part.material)
        tolerances = [(name, name) for name in _TOLERANCES]
        self.tolerance.show_choice(tolerances, job.part.general_tolerance)
        self._show_words()

    def _show_part(self, answer: Answer) -> None:
        overall = answer.overall
        if overall is None:
            self._overall.setText("")
        else:
            units = answer.job.units
            sizes = [length_text(x, units) for x in (overall.nominal, overall.lower, overall.upper)]
            self._overall.setText(
                tr("Overall ({size})   limits {low} … {high}", size=sizes[0], low=sizes[1],
                   high=sizes[2])
            )  # fmt: skip
        self._show_words()

    def _tell(self, reason: str) -> None:
        self.said.say(reason, "", "wrong" if reason else "")

    def _show_words(self) -> None:
        """Show the most pressing thing: refused text, what is open, else nothing."""
        refused, session = self.model.refused, self._session
        if refused is not None:
            self.said.say(refused.reason, tr("Mend it, or give up with Esc."), "wrong")
            return
        answer = session.answer
        if session.part is None and answer is not None and answer.error:
            where = f"{answer.where}: " if answer.where else ""
            self.said.say(where + answer.error, "", "wrong")
            return
        issue = self._issue()
        if issue is None:
            hint = "" if session.job.part.sections else tr(
                "Type the first diameter, Tab to its length, Enter for the next section."
            )  # fmt: skip
            self.said.say(hint, "", "")
            return
        kind = "wrong" if issue.kind == "contradiction" else "open"
        self.said.say(issue.message, issue.remedy, kind)

    def _issue(self) -> PartIssue | None:
        """Return what to mend first: at the chosen section, else anywhere."""
        part, section = self._session.part, self._session.section
        if part is None:
            return None
        return min(
            part.issues,
            key=lambda i: (i.section != section if section else False, _RANK[i.kind]),
            default=None,
        )
