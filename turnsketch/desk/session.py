"""What all panels share: the open document, its undo stack, the newest part and plan.

Panels never talk to one another. Each edits through `edit`, and shows what the signals bring.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from turnsketch.desk.background import Answer, Background
from turnsketch.desk.chain_words import as_chain
from turnsketch.desk.suggestions import following
from turnsketch.desk.text import told
from turnsketch.document.bores import CHAINS, Chain, chain_of
from turnsketch.document.open_document import OpenDocument
from turnsketch.document.settings import Settings
from turnsketch.job import Job
from turnsketch.plan_records import Finding, Pass, Plan, SetupPlan
from turnsketch.shop.records import Shop

if TYPE_CHECKING:
    from turnsketch.part.outline_records import ResolvedPart

__all__ = ["Session"]

_RECOVERY_MS = 4000
"""Unsaved work is put aside so long after the last edit."""


class _JobStep(QUndoCommand):
    """One named step: the document goes from one job to the next and back."""

    def __init__(self, session: Session, job: Job, name: str) -> None:
        super().__init__(name)
        self._session = session
        self._job: Job | None = job

    def redo(self) -> None:
        """Go forward; the first time this makes the step."""
        document = self._session.document
        if self._job is not None:
            document.do(self._job, self.text())
            self._job = None
        else:
            document.redo()
        self._session.moved()

    def undo(self) -> None:
        """Go back."""
        self._session.document.undo()
        self._session.moved()


class Session(QObject):
    """The state of one window."""

    job_changed = Signal(object)
    """Job: after every edit, undo, redo and opening."""
    job_dragged = Signal(object)
    """Job: while something is being dragged, before it becomes a step."""
    part_changed = Signal(object)
    """Answer with the part, before its plan is there."""
    planned = Signal(object)
    """Answer with the plan, or with the reason why there is none."""
    planning_changed = Signal(bool)
    state_changed = Signal()
    """Name, file, or whether it is saved."""
    setup_changed = Signal(int)
    """Index of the setup that is on show; before `position_changed`, where both change."""
    position_changed = Signal(int)
    section_changed = Signal(int)
    table_changed = Signal()
    """Another table of the print, or another chain on the board; before `section_changed`."""
    place_wanted = Signal(object)
    """Finding whose place is to be shown."""
    told = Signal(str)

    def __init__(
        self, document: OpenDocument, shop: Shop, settings: Settings, folder: Path
    ) -> None:
        super().__init__()
        self.document = document
        self.shop = shop
        self.settings = settings
        self.folder = folder
        self.undo_stack = QUndoStack(self)
        self.background = Background(shop, self)
        self.answer: Answer | None = None
        self.part: ResolvedPart | None = None
        self.position = 0
        """So many passes are done, counted through all setups."""
        self.setup = 0
        """Index of the setup on show: where one ends, the next may stand ready at its blank."""
        self.section = 0
        self.table = "outside"
        """The table of the print that is chosen: a chain of the part, or the grooves."""
        self.chain: Chain = "outside"
        """The chain that is drawn on the board; beside the grooves, the one before them."""
        self._at_blank = False
        """The setup on show is to begin with its blank in the plan that is on its way."""
        self._started = False
        self._kept = QTimer(self, singleShot=True, interval=_RECOVERY_MS)
        self._kept.timeout.connect(lambda: self.document.keep_recovery())
        self.background.resolved.connect(self._resolved)
        self.background.answered.connect(self._answered)

    # The job

    @property
    def job(self) -> Job:
        """The job as it stands."""
        return self.document.job

    @property
    def recovery_folder(self) -> Path:
        """Where copies of unsaved work go."""
        return self.folder / "recovery"

    def start(self) -> None:
        """Begin to plan: called once the window has been painted."""
        if not self._started:
            self._started = True
            self._ask()

    def edit(self, job: Job, name: str) -> None:
        """Make `job` the present state as one named step; a suggested blank moves along."""
        if job == self.job:
            return
        job = following(self.job, job, self.shop)
        self.undo_stack.push(_JobStep(self, job, told(name)))

    def moved(self) -> None:
        """Tell everyone that another job is the present one (after an edit, undo or redo)."""
        self._kept.start()
        self._show()

    def replace_document(self, document: OpenDocument) -> None:
        """Take another document in the place of this one."""
        self.undo_stack.clear()
        self.document = document
        self.answer, self.part, self.section = None, None, 0
        self._stand(0, 0)
        self.choose_table("outside")
        self._show()
        self.go_to(0, always=True)

    def _show(self) -> None:
        if self.setup >= len(self.job.setups):
            self._stand(self.position, len(self.job.setups) - 1)
        self.job_changed.emit(self.job)
        self.state_changed.emit()
        if self._started:
            self._ask()

    # Part and plan

    @property
    def plan(self) -> Plan | None:
        """The plan of the present job; while a new one is worked out, the one before."""
        return self.answer.plan if self.answer is not None else None

    @property
    def current(self) -> bool:
        """Whether the plan belongs to the job as it stands now."""
        return self.answer is not None and self.answer.job == self.job

    @property
    def passes(self) -> list[tuple[SetupPlan, Pass]]:
        """All passes in order, each with its setup."""
        plan = self.plan
        return [] if plan is None else [(s, p) for s in plan.setups for p in s.passes]

    def _ask(self) -> None:
        if not self.job.part.sections:
            self.answer = Answer(self.background.newest, self.job)
            self.part = None
            self.planned.emit(self.answer)
            self._stand(0, self.setup)
            return
        self.planning_changed.emit(True)
        self.background.ask(self.job)

    def _resolved(self, answer: Answer) -> None:
        newest = answer.number == self.background.newest and answer.job == self.job
        if newest and not self.current:  # else the plan has brought the part along
            self.part = answer.part
            self.part_changed.emit(answer)

    def _answered(self, answer: Answer) -> None:
        if answer.number != self.background.newest or answer.job != self.job:
            return
        self.answer, self.part = answer, answer.part
        first, last = self.span(self.setup)
        self.position = first if self._at_blank else max(first, min(self.position, last))
        self._at_blank = False
        self.planning_changed.emit(False)
        self.planned.emit(answer)
        self._stand(self.position, self.setup, always=True)

    # What is chosen

    def span(self, setup: int) -> tuple[int, int]:
        """Return the positions at which a setup begins and ends."""
        counts = [len(s.passes) for s in self.plan.setups] if self.plan is not None else []
        return sum(counts[:setup]), sum(counts[: setup + 1])

    @property
    def pass_number(self) -> int | None:
        """Number of the pass on show in its setup; None at the setup's blank."""
        first, last = self.span(self.setup)
        done = first < self.position <= last
        return self.passes[self.position - 1][1].number if done else None

    def go_to(self, position: int, *, always: bool = False) -> None:
        """Show the work after so many passes; 0 is the blank."""
        position = max(0, min(position, len(self.passes)))
        setup = self.passes[position - 1][0].number - 1 if position else 0
        self._stand(position, setup, always=always)

    def choose_setup(self, setup: int) -> None:
        """Show a setup from its blank on; where it is on show already, nothing moves."""
        if max(0, min(setup, len(self.job.setups) - 1)) != self.setup:
            self.go_to_blank(setup)

    def go_to_blank(self, setup: int) -> None:
        """Show what a setup begins with, in its holding."""
        setup = max(0, min(setup, len(self.job.setups) - 1))
        self._stand(self.span(setup)[0], setup)
        self._at_blank = not self.current

    def step(self, by: int) -> None:
        """Go one pass on (1) or back (-1); between two setups the next one's blank is a stop."""
        first, last = self.span(self.setup)
        if by > 0 and self.position == last and self.setup + 1 < len(self.job.setups):
            self._stand(last, self.setup + 1)
        elif by < 0 and self.position == first and self.setup > 0:
            self._stand(first, self.setup - 1)
        else:
            self._stand(max(first, min(self.position + by, last)), self.setup)

    @property
    def at_end(self) -> bool:
        """Whether the last pass of the last setup is done."""
        last = self.setup + 1 >= len(self.job.setups)
        return last and self.position >= len(self.passes)

    def _stand(self, position: int, setup: int, *, always: bool = False) -> None:
        self._at_blank = False
        moved, changed = position != self.position, setup != self.setup
        self.position, self.setup = position, setup
        if changed:
            self.setup_changed.emit(setup)
        if moved or changed or always:
            self.position_changed.emit(position)

    def go_to_pass(self, setup: int, number: int) -> None:
        """Show the work after one pass of a setup."""
        for position, (plan, made) in enumerate(self.passes, 1):
            if plan.number == setup and made.number == number:
                self.go_to(position)
                return

    def choose_section(self, number: int) -> None:
        """Make a section of the print the chosen one; 0: none."""
        if number != self.section:
            self.section = number
            chain = chain_of(self.job.part, number)
            if chain is not None:
                self._choose(chain if self.table in CHAINS else self.table, chain)
            self.section_changed.emit(number)

    def choose_table(self, table: str) -> None:
        """Choose what of the part is typed and drawn: a chain of it, or the grooves."""
        self._choose(table, as_chain(table) or self.chain)

    def _choose(self, table: str, chain: Chain) -> None:
        if (table, chain) != (self.table, self.chain):
            self.table, self.chain = table, chain
            self.table_changed.emit()

    def show_finding(self, finding: Finding) -> None:
        """Take slider and board to where a finding is."""
        if finding.pass_number is not None:
            self.go_to_pass(finding.setup or 1, finding.pass_number)
        elif finding.setup is not None:
            self.choose_setup(finding.setup - 1)
        self.place_wanted.emit(finding)

    def close(self) -> None:
        """End the worker and all timers."""
        self._kept.stop()
        self.undo_stack.blockSignals(True)  # it tells of its own end
        self.background.close()
