"""What few prints say, folded away: centre hole, number, surfaces tied together, a note."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import msgspec
from PySide6.QtWidgets import QGridLayout, QWidget

from turnsketch.desk.fields import ChoiceField, TextField
from turnsketch.desk.fold import Fold
from turnsketch.desk.panel import label
from turnsketch.desk.session import Session
from turnsketch.desk.text import tr
from turnsketch.desk.tie_text import ties_from, ties_text
from turnsketch.document.bores import all_sections

__all__ = ["SeldomNotes"]


class SeldomNotes(Fold):
    """The fields below the notes of every print.

    Parameters
    ----------
    session : Session
        Where edits go.
    tell : callable
        Takes the reason why a text cannot be used.
    """

    def __init__(self, session: Session, tell: Callable[[str], None]) -> None:
        self._session = session
        self.centre_hole = ChoiceField(tr("Centre hole in the front end"))
        self.number = TextField(tr("Number"), self._set_number, tell)
        self.ties = TextField(tr("Surfaces tied together"), self._set_ties, tell)
        self.note = TextField(tr("Note on the job"), self._set_note, tell)
        super().__init__(tr("More of the print"), self._laid_out(), tr("less of the print"))
        self.centre_hole.setToolTip(tr("whether a centre hole may stay in the front end"))
        self.number.setToolTip(tr("number of the part or of its drawing"))
        self.ties.setToolTip(
            tr("surfaces that go together, by the numbers of their sections: run-out 0.02: 1, 3")
        )
        chain = (self.button, self.centre_hole, self.number, self.ties, self.note)
        for before, after in pairwise(chain):
            QWidget.setTabOrder(before, after)
        self.centre_hole.chosen.connect(self._set_centre_hole)
        session.job_changed.connect(lambda _: self.show_job())
        self.show_job()

    def _laid_out(self) -> QWidget:
        inside = QWidget()
        grid = QGridLayout(inside)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(3)
        for words, box, row, column in (
            (tr("Centre"), self.centre_hole, 0, 0),
            (tr("Number"), self.number, 0, 2),
            (tr("Ties"), self.ties, 1, 0),
            (tr("Note"), self.note, 2, 0),
        ):
            name = label(words, "faint")
            name.setBuddy(box)
            grid.addWidget(name, row, column)
            grid.addWidget(box, row, column + 1, 1, 3 if row else 1)
        grid.setColumnStretch(1, 1)
        grid.setColumnStretch(3, 1)
        return inside

    def show_job(self) -> None:
        """Show the job as it stands."""
        job, part = self._session.job, self._session.job.part
        self.centre_hole.show_choice(_holes(), part.centre_hole or "")
        self.number.show_text(part.number)
        self.ties.show_text(ties_text(part.ties))
        self.note.show_text(job.note)
        hole = self.centre_hole.currentText() if part.centre_hole else ""
        hole = tr("centre hole {hole}", hole=hole) if hole else ""
        said = (hole, part.number, ties_text(part.ties), job.note)
        self.summarise(" · ".join(text for text in said if text))

    def _set_part(self, name: str, **fields: object) -> None:
        job = self._session.job
        part = msgspec.structs.replace(job.part, **fields)
        self._session.edit(msgspec.structs.replace(job, part=part), name)

    def _set_centre_hole(self, text: str) -> None:
        self._set_part(tr("Centre hole"), centre_hole=text or None)

    def _set_number(self, text: str) -> None:
        self._set_part(tr("Number of the part"), number=text)

    def _set_ties(self, text: str) -> None:
        job = self._session.job
        self._set_part(tr("Ties"), ties=ties_from(text, len(all_sections(job.part)), job.units))

    def _set_note(self, text: str) -> None:
        job = msgspec.structs.replace(self._session.job, note=text)
        self._session.edit(job, tr("Note on the job"))


def _holes() -> tuple[tuple[str, str], ...]:
    """Return what a print can say of a centre hole (ISO 6411), with its words."""
    return (
        ("", tr("not said")),
        ("allowed", tr("may stay")),
        ("not allowed", tr("not allowed")),
        ("required", tr("required")),
    )
