"""What the findings look at: the job, the shop, the plan, and both replays."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from turnsketch.checking.records import Replay
from turnsketch.job import Job
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.plan_records import Finding, Pass, Plan, SetupPlan, Severity
from turnsketch.shop.records import Chuck, Lathe, Material, Shop, Tool
from turnsketch.units import from_mm

__all__ = ["PlanView", "finding", "length", "worst_first"]


@dataclass(frozen=True)
class PlanView:
    """A plan before its findings, with all that it came from."""

    job: Job
    shop: Shop
    part: ResolvedPart
    lathe: Lathe
    chuck: Chuck
    material: Material | None
    plan: Plan
    exact: Replay
    as_read: Replay

    @property
    def setup(self) -> SetupPlan:
        """The planned setup."""
        return self.plan.setups[0]

    @property
    def blank_diameter(self) -> float:
        """Diameter of the blank, millimetres."""
        return 2 * max(point.r for point in self.setup.blank[0])

    def tool(self, number: int) -> Tool:
        """Return the record of a tool that the plan uses."""
        return next(tool for tool in self.shop.tools if tool.number == number)

    def passes(self, *kinds: str) -> list[Pass]:
        """Return the passes of the given operations, all when none is given."""
        return [p for p in self.setup.passes if not kinds or p.operation in kinds]

    def text(self, millimetres: float) -> str:
        """Return a length in the job's units, as one reads it in a sentence."""
        if self.job.units == "inch":
            return f"{from_mm(millimetres, 'inch'):.3f} in"
        return f"{millimetres:.2f} mm"


def finding(
    code: str,
    severity: Severity,
    message: str,
    remedy: str,
    *,
    pass_number: int | None = None,
    z: float | None = None,
    r: float | None = None,
    setup: int | None = 1,
) -> Finding:
    """Return a finding; `message` says what and why, `remedy` what to do."""
    return Finding(code, severity, message, setup, pass_number, z, remedy, r)


def length(view: PlanView, millimetres: float) -> str:
    """Return a length in the job's units; see `PlanView.text`."""
    return view.text(millimetres)


_ORDER = {"stop": 0, "caution": 1, "note": 2}


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings in order: stop, caution, note; then by pass."""
    return tuple(sorted(findings, key=lambda f: (_ORDER[f.severity], f.pass_number or 0, f.code)))
