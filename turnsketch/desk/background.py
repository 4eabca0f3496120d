"""Two workers beside the window: a frozen request goes in, frozen answers come out.

One solves the part, which takes a moment; one plans, which can take seconds. So what the print
leaves open is told at once even while an older plan is on its way. The newest request wins: an
older one that has not begun is never begun, and one that is overtaken on the way is thrown away.
The workers touch no widget.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from turnsketch.errors import InputError
from turnsketch.job import Job, Operation
from turnsketch.shop.records import Shop

if TYPE_CHECKING:
    from turnsketch.part.outline_records import ResolvedPart, Size
    from turnsketch.picture.layers import Layer
    from turnsketch.pipeline import Planner
    from turnsketch.plan_records import Plan

__all__ = ["Answer", "Background", "Request"]


@dataclass(frozen=True, slots=True)
class Request:
    """What is to be planned."""

    number: int
    job: Job


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of a request; everything in it is left unchanged by whoever reads it."""

    number: int
    job: Job
    part: ResolvedPart | None = None
    overall: Size | None = None
    """Length over all with its limits."""
    plan: Plan | None = None
    layers: tuple[tuple[Layer, ...], ...] = ()
    """What each pass takes, setup by setup."""
    proposals: tuple[tuple[Operation, ...], ...] = ()
    """The program's own list for each setup."""
    error: str = ""
    """Why there is no part or no plan: one sentence."""
    where: str = ""


class _Worker:
    """A thread, begun when it is first asked, that works on the newest request alone."""

    def __init__(self, name: str, work: Callable[[Request], None]) -> None:
        self._name, self._work = name, work
        self._condition = threading.Condition()
        self._wanted: Request | None = None
        self._closing = False
        self._thread: threading.Thread | None = None

    def ask(self, request: Request) -> None:
        """Work on this request next."""
        with self._condition:
            self._wanted = request
            if self._thread is None and not self._closing:
                self._thread = threading.Thread(target=self._run, name=self._name, daemon=True)
                self._thread.start()
            self._condition.notify()

    def close(self) -> None:
        """End the thread; what it works on is awaited."""
        with self._condition:
            self._closing = True
            self._wanted = None
            self._condition.notify()
        if self._thread is not None:
            self._thread.join()
            self._thread = None

    @property
    def overtaken(self) -> bool:
        """Whether nobody waits any more for what is being worked on."""
        return self._closing or self._wanted is not None

    def _run(self) -> None:
        while (request := self._next()) is not None:
            self._work(request)

    def _next(self) -> Request | None:
        with self._condition:
            while self._wanted is None and not self._closing:
                self._condition.wait()
            request, self._wanted = self._wanted, None
            return None if self._closing else request


class Background(QObject):
    """Owns the workers' threads. Signals arrive in the thread of their receiver."""

    resolved = Signal(object)
    """Answer with the part alone, as soon as it is known; perhaps later than its plan."""
    answered = Signal(object)
    """Answer with the plan, or with the reason why there is none."""

    def __init__(self, shop: Shop, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._shop = shop
        self._newest = 0
        self._made: Planner | None = None
        self._solver = _Worker("solver", self._solve)
        self._planner = _Worker("planner", self._plan)

    @property
    def newest(self) -> int:
        """Number of the newest request."""
        return self._newest

    def ask(self, job: Job) -> int:
        """Ask for the plan of `job` and return the number of the request."""
        self._newest += 1
        request = Request(self._newest, job)
        self._solver.ask(request)
        self._planner.ask(request)
        return self._newest

    def close(self) -> None:
        """End the workers; a plan on its way is awaited, nothing more is answered."""
        self._newest += 1  # so an answer that Qt still has to deliver is too old
        self._solver.close()
        self._planner.close()

    def _solve(self, request: Request) -> None:
        try:
            answer = _resolved(request)
        except Exception:  # the planner meets it too, and says what it is
            return
        if not self._solver.overtaken:
            self.resolved.emit(answer)

    def _plan(self, request: Request) -> None:
        try:
            answer = _resolved(request)
            if self._planner.overtaken:
                return
            answer = _planned(self._planner_of_shop(), answer)
        except InputError as error:
            answer = Answer(request.number, request.job, error=error.what, where=error.where)
        except Exception as error:  # the window must live on, whatever the planner does
            words = (
                f"a fault of the program itself ({type(error).__name__}: {error}); "
                "please report it with the job file"
            )
            answer = Answer(request.number, request.job, error=words)
        if not self._planner.overtaken:
            self.answered.emit(answer)

    def _planner_of_shop(self) -> Planner:
        """Return the planner, made in the thread that plans: its imports take a while."""
        if self._made is None:
            from turnsketch.pipeline import Planner

            self._made = Planner(self._shop)
        return self._made


def _resolved(request: Request) -> Answer:
    from turnsketch.part.records import Place
    from turnsketch.part.resolve import length_limits, resolve

    job = request.job
    part = resolve(job.part, job.units)
    overall = None
    if not any(issue.kind in ("open", "contradiction") for issue in part.issues):
        last = Place(len(job.part.sections), "back")
        overall = length_limits(job.part, job.units, Place(1, "front"), last)
    return Answer(request.number, job, part, overall)


def _planned(planner: Planner, known: Answer) -> Answer:
    from turnsketch.document.validate import checked
    from turnsketch.picture.layers import plan_layers

    job = checked(known.job)
    try:
        plan = planner.plan(job)
        layers = plan_layers(plan)
        proposals = planner.propose_all(job)
    except InputError as error:
        return Answer(
            known.number, job, known.part, known.overall, error=error.what, where=error.where
        )
    return Answer(known.number, job, known.part, known.overall, plan, layers, proposals)
