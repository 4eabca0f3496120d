"""The table of grooves for Qt's views: one row a groove, one more for the next."""

from __future__ import annotations

from turnsketch.desk.groove_cells import (
    GROOVE_COLUMNS,
    groove_cell_text,
    groove_uses,
    with_groove_cell,
)
from turnsketch.desk.print_model import PrintModel
from turnsketch.desk.session import Session
from turnsketch.desk.text import capital, told, tr
from turnsketch.document.bores import all_sections
from turnsketch.job import Job

__all__ = ["GrooveModel"]


def _headings() -> tuple[tuple[str, str], ...]:
    return (
        (
            tr("Groove"),
            tr(
                "Kind and name: plain, round, vee, ring, undercut E, undercut F, thread relief; "
                "some letters will do"
            ),
        ),
        (tr("In"), tr("Number of the cylinder in which it stands; those of bores count on")),
        (
            tr("Place"),
            tr('In its section: "5 from front", "3 from back"; nothing: at its back end'),
        ),
        (tr("Width"), tr("At the surface")),
        (tr("Ø"), tr("At its bottom")),
        (tr("R, °"), tr('Radius in its bottom corners and angle: "R0.4", "60°", "R0.2; 15°"')),
        (
            tr("Size"),
            tr(
                'Designation that gives the rest: ring "25x1.2", undercut "0.6x0.3", '
                'thread relief: the pitch, or "B", in a bore "D", for the short form'
            ),
        ),
    )


class GrooveModel(PrintModel):
    """Shows the part's grooves, outside and in bores."""

    keys = GROOVE_COLUMNS
    growing = ("kind", "place")
    typed = ("place",)
    first = "kind"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        session.job_changed.connect(self.refresh)

    def count(self) -> int:
        """Return the number of grooves."""
        return len(self._session.job.part.grooves)

    def headings(self) -> tuple[tuple[str, str], ...]:
        """Return for each column its heading, and what may be typed there."""
        return _headings()

    def section(self, row: int) -> int:
        """Return the number of the section in which a groove stands; 0 in the row to come."""
        return 0 if self.is_new(row) else self._session.job.part.grooves[row].section

    def known(self, row: int, column: int) -> str:
        """Return the text of a cell as the job has it."""
        if self.is_new(row):
            return ""
        return groove_cell_text(self._session.job.part.grooves[row], GROOVE_COLUMNS[column])

    def shown(self, row: int, column: int) -> str:
        """Return the text of a cell as it is shown."""
        key = GROOVE_COLUMNS[column]
        if self.is_new(row):
            return tr("+ next") if key == "kind" else ""
        text, groove = self.edited(row, column), self._session.job.part.grooves[row]
        if key == "kind":
            return groove.name or capital(told(groove.kind))
        # short: there are seven columns
        return text.replace(" from ", " ") if key == "place" else text

    def made(self, row: int, key: str, text: str) -> tuple[Job, str]:
        """Return the job that typed text makes, and the name of the step."""
        session, column = self._session, self.keys.index(key)
        job = with_groove_cell(session.job, row, key, text, session.section)
        return job, tr("{what} of groove {n}", what=_headings()[column][0], n=row + 1)

    def useful(self, row: int, column: int) -> bool:
        """Return whether Tab stops at this cell; the others are reached by arrow keys."""
        key = GROOVE_COLUMNS[column]
        if self.is_new(row):
            return key == "kind"
        return key != "kind" and groove_uses(self._session.job.part.grooves[row], key)

    def tip(self, row: int, column: int) -> str | None:
        """Return what the cell says under the pointer."""
        if self.is_new(row):
            return tr("Type the next groove's kind here: ring, plain, undercut F …")
        if GROOVE_COLUMNS[column] == "section":
            sections, number = all_sections(self._session.job.part), self.section(row)
            known = sections[number - 1] if 1 <= number <= len(sections) else None
            return None if known is None else f"{number}: {known.name or known.diameter or ''}"
        return super().tip(row, column)
