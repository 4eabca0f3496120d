"""The table of sections for Qt's views: one row a section, one more for the next."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont

from turnsketch.desk.chain_cells import chain_cell_text, with_chain_cell
from turnsketch.desk.print_model import Index, PrintModel
from turnsketch.desk.section_cells import COLUMNS
from turnsketch.desk.session import Session
from turnsketch.desk.text import capital, told, tr
from turnsketch.document.bores import Chain, chain_sections, offset_of_chain
from turnsketch.job import Job
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.records import Section

__all__ = ["SectionModel"]


def _headings() -> tuple[tuple[str, str], ...]:
    return (
        (tr("Section"), tr('Kind and name: "taper cone", or one letter for the kind')),
        (
            tr("Ø"),
            tr(
                'Diameter with its tolerance: "25 h6", or a thread: "M12x1.75-6g". '
                'Taper: "20 / 26", front and back'
            ),
        ),
        (
            tr("Length"),
            tr(
                'Its own: "36"; or its place: "58 from front", "44 from back"; '
                'of a bore: "12 from mouth", "through"'
            ),
        ),
        (
            tr("Taper, R"),
            tr(
                '"1:10", "15°", "30° incl", or a radius: "R8 concave"; '
                'thread "M12, 18 long", knurl "RGE 1.0"'
            ),
        ),
        (tr("Corner"), tr('At its front end: "1x45°" or "R1"; at its back end: "; R1"')),
        (tr("Ra"), tr('Surface texture: "1.6" or "Ra 1.6"')),
    )


class SectionModel(PrintModel):
    """Shows one chain of the part record: the outside, or the bore of an end."""

    keys = COLUMNS
    growing = ("section", "slope")
    typed = ("diameter", "length")
    first = "diameter"

    chain: Chain = "outside"
    """Which chain of the part stands in the table."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._job = session.job
        session.job_changed.connect(self.refresh)
        session.part_changed.connect(lambda _: self.tell_changed())
        session.job_dragged.connect(self._follow)

    def show_chain(self, chain: Chain) -> None:
        """Show another chain of the part."""
        if chain == self.chain:
            return
        self.refuse(None)
        self.beginResetModel()
        self.chain = chain
        self._rows = self.count() + 1
        self.endResetModel()

    @property
    def _sections(self) -> tuple[Section, ...]:
        return chain_sections(self._session.job.part, self.chain)

    def number(self, row: int) -> int:
        """Return the part's number of the section in a row; 0 for the one to come."""
        if self.is_new(row):
            return 0
        return offset_of_chain(self._session.job.part, self.chain) + row + 1

    def count(self) -> int:
        """Return the number of sections in the chain."""
        return len(self._sections)

    def headings(self) -> tuple[tuple[str, str], ...]:
        """Return for each column its heading, and what may be typed there."""
        return _headings()

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return what a cell shows, edits, or says of itself."""
        if role == Qt.ItemDataRole.FontRole and self.in_pencil(index.row()):
            font = QFont()
            font.setItalic(True)
            return font
        return super().data(index, role)

    def made(self, row: int, key: str, text: str) -> tuple[Job, str]:
        """Return the job that typed text makes, and the name of the step."""
        session, column = self._session, self.keys.index(key)
        job = with_chain_cell(session.job, self.chain, row, key, text)
        number = offset_of_chain(session.job.part, self.chain) + row + 1
        return job, tr("{what} of section {n}", what=_headings()[column][0], n=number)

    def _follow(self, job: Job) -> None:
        """Show a job that is being dragged, as the board does; it is no step yet."""
        self._job = job
        last = self.index(self._rows - 1, len(COLUMNS) - 1)
        self.dataChanged.emit(self.index(0, 0), last, [Qt.ItemDataRole.DisplayRole])

    def refresh(self, *_: object) -> None:
        """Show the job as it stands."""
        self._job = self._session.job
        super().refresh()

    def in_pencil(self, row: int) -> bool:
        """Return whether the dimensions do not fix the section yet."""
        part: ResolvedPart | None = self._session.part
        if part is None or self.is_new(row):
            return False
        bores = [b.sections for b in (part.bore, part.bore_back) if b is not None]
        known = (s for group in (part.sections, *bores) for s in group)
        found = next((s for s in known if s.number == self.number(row)), None)
        return found is not None and not found.fixed

    def useful(self, row: int, column: int) -> bool:
        """Return whether Tab stops at this cell; the others are reached by arrow keys."""
        key = COLUMNS[column]
        if self.is_new(row):
            return key == "diameter"
        kind = self._sections[row].kind
        if key in ("section", "slope"):
            return key == "slope" and kind in ("taper", "arc")
        return not (kind == "face" and key in ("length", "roughness"))

    def known(self, row: int, column: int) -> str:
        """Return the text of a cell as the job has it."""
        if self.is_new(row) or row >= len(chain_sections(self._job.part, self.chain)):
            return ""
        return chain_cell_text(self._job.part, self.chain, row, COLUMNS[column])

    def shown(self, row: int, column: int) -> str:
        """Return the text of a cell as it is shown."""
        key = COLUMNS[column]
        if self.is_new(row):
            return tr("+ next") if key == "section" else ""
        text = self.edited(row, column)
        if key == "section":
            section = self._sections[row]
            return section.name or capital(told(section.kind))
        if key == "roughness":
            return text.removeprefix("Ra ")
        return text

    def tip(self, row: int, column: int) -> str | None:
        """Return what the cell says under the pointer."""
        if self.is_new(row):
            return tr("Type the next section's diameter here")
        if COLUMNS[column] == "section":
            section = self._sections[row]
            words = f"{self.number(row)}: {capital(told(section.kind))} {section.name}".strip()
            state = tr("in pencil: the dimensions do not fix it yet")
            return f"{words}, {state}" if self.in_pencil(row) else words
        return super().tip(row, column)
