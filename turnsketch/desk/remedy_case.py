"""What a remedy looks at: the job, one finding, its setup and its plan. No Qt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import msgspec

from turnsketch.document.setups import change_setup, grips_mm
from turnsketch.job import Holding, Job, Operation
from turnsketch.part.text import parse
from turnsketch.plan_records import Finding, Pass, Plan, PlannedOperation, SetupPlan
from turnsketch.shop.records import Chuck, Shop, Tool

__all__ = ["Case", "Remedy", "blank_mm", "with_blank"]


@dataclass(frozen=True, slots=True)
class Remedy:
    """A job in which the finding is gone, and what to call the step."""

    job: Job
    words: str


@dataclass(frozen=True, slots=True)
class Case:
    """One finding with all that its remedy may need."""

    job: Job
    finding: Finding
    shop: Shop
    plan: Plan | None = None
    """The plan that has the finding; None: not known."""
    proposals: Sequence[Sequence[Operation]] = ()
    """The program's own list for each setup."""

    @property
    def index(self) -> int:
        """Index of the setup that the finding is about."""
        return (self.finding.setup or 1) - 1

    @property
    def holding(self) -> Holding:
        """How the job holds the work in it."""
        return self.job.setups[self.index].holding

    @property
    def setup(self) -> SetupPlan | None:
        """The setup as planned."""
        known = self.plan is not None and self.index < len(self.plan.setups)
        return self.plan.setups[self.index] if known and self.plan is not None else None

    @property
    def turned(self) -> bool:
        """Whether the part is held by its other end in it."""
        return self.job.setups[self.index].turned

    @property
    def chuck(self) -> Chuck | None:
        """The chuck that holds the work; None between centres."""
        return next((c for c in self.shop.chucks if c.name == self.holding.device), None)

    @property
    def grip_mm(self) -> float | None:
        """How much of the blank is held; None where the job does not say."""
        return grips_mm(self.job)[self.index]

    @property
    def bar_mm(self) -> float:
        """Diameter of the bar."""
        return parse(self.job.blank.diameter, self.job.units, {"diameter"}).nominal

    # The operations

    @property
    def proposal(self) -> tuple[Operation, ...]:
        """The program's own list for this setup."""
        known = self.index < len(self.proposals)
        return tuple(self.proposals[self.index]) if known else ()

    @property
    def operations(self) -> tuple[Operation, ...]:
        """The operations that are planned."""
        own = self.job.setups[self.index].operations
        return self.proposal if own is None else own

    @property
    def own_list(self) -> bool:
        """Whether the job has a list of its own for this setup."""
        return self.job.setups[self.index].operations is not None

    @property
    def made(self) -> Pass | None:
        """The pass of the finding."""
        passes = self.setup.passes if self.setup is not None else ()
        return next((p for p in passes if p.number == self.finding.pass_number), None)

    @property
    def number(self) -> int | None:
        """Number of the operation that the finding is about, from 1."""
        found = self.finding.operation
        if found is None and self.made is not None:
            found = self.made.operation_number
        return found if found and found <= len(self.operations) else None

    @property
    def operation(self) -> Operation | None:
        """The operation that the finding is about, as the job has it or the program proposes."""
        return None if self.number is None else self.operations[self.number - 1]

    @property
    def planned(self) -> PlannedOperation | None:
        """The same operation as it was planned."""
        if self.setup is None or self.number is None:
            return None
        return next((o for o in self.setup.operations if o.number == self.number), None)

    def tool(self, number: int | None) -> Tool | None:
        """Return a tool of the shop by its number."""
        return next((tool for tool in self.shop.tools if tool.number == number), None)

    def with_list(self, operations: Sequence[Operation]) -> Job:
        """Return the job with these operations in the finding's setup."""
        return change_setup(self.job, self.index, operations=tuple(operations) or None)

    def with_operation(self, **changes: object) -> Job:
        """Return the job with fields of the finding's operation changed."""
        assert self.number is not None
        listed = list(self.operations)
        listed[self.number - 1] = msgspec.structs.replace(listed[self.number - 1], **changes)
        return self.with_list(listed)


def with_blank(job: Job, **changes: str) -> Job:
    """Return the job with fields of its blank changed."""
    return msgspec.structs.replace(job, blank=msgspec.structs.replace(job.blank, **changes))


def blank_mm(job: Job) -> float:
    """Return the length of the blank, mm."""
    return parse(job.blank.length, job.units, {"length"}).nominal
