"""One worker that plans beside the window: a frozen request goes in, a frozen answer comes out.

The newest request wins: an older one that has not begun is never begun, and one that is overtaken
on the way is thrown away. The worker touches no widget.
"""

from __future__ import annotations

import threading
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
    proposal: tuple[Operation, ...] = ()
    """The program's own list for the first setup."""
    error: str = ""
    """Why there is no part or no plan: one sentence."""
    where: str = ""


class Background(QObject):
    """Owns the worker's thread. Signals arrive in the thread of their receiver."""

    resolved = Signal(object)
    """Answer with the part alone, as soon as it is known."""
    answered = Signal(object)

    def __init__(self, shop: Shop, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._shop = shop
        self._condition = threading.Condition()
        self._wanted: Request | None = None
        self._newest = 0
        self._closing = False
        self._thread: threading.Thread | None = None

    @property
    def newest(self) -> int:
        """Number of the newest request."""
        return self._newest

    def ask(self, job: Job) -> int:
        """Ask for the plan of `job` and return the number of the request."""
        with self._condition:
            self._newest += 1
            self._wanted = Request(self._newest, job)
            if self._thread is None and not self._closing:
                self._thread = threading.Thread(target=self._run, name="planner", daemon=True)
                self._thread.start()
            self._condition.notify()
            return self._newest

    def close(self) -> None:
        """End the worker; a plan on its way is awaited, nothing more is answered."""
        with self._condition:
            self._closing = True
            self._wanted = None
            self._condition.notify()
        if self._thread is not None:
            self._thread.join()
            self._thread = None

    def _run(self) -> None:
        from turnsketch.pipeline import Planner

        planner = Planner(self._shop)
        while (request := self._next()) is not None:
            self._work(planner, request)

    def _next(self) -> Request | None:
        with self._condition:
            while self._wanted is None and not self._closing:
                self._condition.wait()
            request, self._wanted = self._wanted, None
            return None if self._closing else request

    def _overtaken(self) -> bool:
        return self._closing or self._wanted is not None

    def _work(self, planner: Planner, request: Request) -> None:
        try:
            answer = _resolved(request)
            if self._overtaken():
                return
            self.resolved.emit(answer)
            answer = _planned(planner, answer)
        except InputError as error:
            answer = Answer(request.number, request.job, error=error.what, where=error.where)
        except Exception as error:  # the window must live on, whatever the planner does
            words = (
                f"a fault of the program itself ({type(error).__name__}: {error}); "
                "please report it with the job file"
            )
            answer = Answer(request.number, request.job, error=words)
        if not self._overtaken():
            self.answered.emit(answer)


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
        proposal = planner.propose(job)
    except InputError as error:
        return Answer(
            known.number, job, known.part, known.overall, error=error.what, where=error.where
        )
    return Answer(known.number, job, known.part, known.overall, plan, layers, proposal)
