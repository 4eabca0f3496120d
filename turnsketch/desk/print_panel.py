"""The panel "From the print": the table of sections, notes of the print, what is still open."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import msgspec
from PySide6.QtWidgets import QGridLayout, QWidget

from turnsketch.desk.background import Answer
from turnsketch.desk.dimension_text import length_text
from turnsketch.desk.fields import ChoiceField, TextField
from turnsketch.desk.panel import Panel, Said, label
from turnsketch.desk.print_seldom import SeldomNotes
from turnsketch.desk.print_tables import PrintTables
from turnsketch.desk.section_cells import checked_text
from turnsketch.desk.session import Session
from turnsketch.desk.text import tr, unit_word
from turnsketch.errors import InputError
from turnsketch.part.outline_records import PartIssue, Size
from turnsketch.part.text import Kind

__all__ = ["PrintPanel"]

_TOLERANCES = ("ISO 2768-f", "ISO 2768-m", "ISO 2768-c", "ISO 2768-v", "decimals")
_RANK = {"contradiction": 0, "open": 1, "ill-posed": 2, "repeat": 3}


class PrintPanel(Panel):
    """Everything that is read off the print."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(tr("From the print"), parent)
        self._session = session
        self._overall: Size | None = None
        self.tables = PrintTables(session)
        self.model, self.table = self.tables.sections_model, self.tables.sections
        self.heading.insertWidget(1, self.tables.choice, 100)
        self.body.addWidget(self.tables, 1)
        self.said = Said()
        self.body.addWidget(self.said)
        self._fields: dict[str, TextField] = {}
        self.material = ChoiceField(tr("Material"))
        self.tolerance = ChoiceField(tr("General tolerance"))
        self.seldom = SeldomNotes(session, self._tell)
        self._add_notes()
        self._connect()
        self.show_job()

    def _connect(self) -> None:
        session = self._session
        session.job_changed.connect(lambda _: self.show_job())
        session.part_changed.connect(self._show_part)
        session.planned.connect(self._show_part)
        self.tables.words_changed.connect(self._show_words)
        self.tables.words_changed.connect(self._show_overall)
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
        places = {"inside_corners": (2, 2), "edges": (3, 0), "roughness": (3, 2)}
        for field, words, kinds, tip in notes:
            box = TextField(words, self._note_setter(field, words, kinds), self._tell)
            box.setToolTip(tip)
            self._fields[field] = box
            self._place(grid, words, box, *places.get(field, (0, 0)), 1 if field in places else 3)
        self._place(grid, tr("Material"), self.material, 1, 0, 3)
        self._place(grid, tr("Tolerances"), self.tolerance, 2, 0)
        grid.setColumnStretch(1, 1)
        grid.setColumnStretch(3, 1)
        self.body.addLayout(grid)
        self.body.addWidget(self.seldom)
        chain: list[QWidget] = [self.tables.choice, self.table, self.tables.grooves]
        chain += [self.tables.ends, self._fields["name"], self.material, self.tolerance]
        chain += [self._fields[field] for field in ("inside_corners", "edges", "roughness")]
        chain.append(self.seldom.button)
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

    # What is shown

    def show_job(self) -> None:
        """Show the notes of the job as it stands."""
        job = self._session.job
        if not job.part.sections:
            self._overall = None
            self._show_overall()
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
        self._overall = answer.overall
        self._show_overall()
        self._show_words()

    def _show_overall(self) -> None:
        """Show what the whole length can come out as, beside the outside that makes it."""
        units, overall = self._session.job.units, self._overall
        words = unit_word(units)
        if overall is not None and self.tables.kind == "outside":
            low, high = (length_text(x, units) for x in (overall.lower, overall.upper))
            words = tr("overall {low} … {high} {unit}", low=low, high=high, unit=words)
        self.aside.setText(words)

    def _tell(self, reason: str) -> None:
        self.said.say(reason, "", "wrong" if reason else "")

    def _show_words(self) -> None:
        """Show the most pressing thing: refused text, what is open, else nothing."""
        refused, session = self.tables.refused_reason, self._session
        if refused:
            self.said.say(refused, tr("Mend it, or give up with Esc."), "wrong")
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
