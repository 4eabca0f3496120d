"""What stands on a sheet, as plain values: words, numbers written out, and references to pictures.

Every text is ready to print, in the job's units, with the true minus sign. No page, no font and no
library of either is known here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from turnsketch.checking.records import Replay
from turnsketch.job import Job
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.turned import turned_part
from turnsketch.plan_records import Pass, Plan, SetupPlan, Severity, ToolRecord
from turnsketch.sheet.touching import Touch
from turnsketch.shop.records import Chuck, Lathe, Material, Tool

__all__ = [
    "Detail",
    "DryRunLine",
    "Fact",
    "FindingLine",
    "FinishLine",
    "InspectionLine",
    "LeftOverLine",
    "OperationLine",
    "RescueLine",
    "RowText",
    "SetupSheet",
    "SheetContent",
    "SheetInput",
    "SheetRow",
    "ToolLine",
]


@dataclass(frozen=True, slots=True)
class SheetInput:
    """Everything a sheet is made from."""

    plan: Plan
    part: ResolvedPart
    job: Job
    lathe: Lathe
    chuck: Chuck
    tools: tuple[Tool, ...]
    """At least the tools that the plan uses."""
    material: Material | None = None
    replay: Replay | None = None
    """For the pictures, when the plan has been played already."""

    def part_in(self, setup: SetupPlan) -> ResolvedPart:
        """Return the part as a setup sees it: its back end in front where it is turned around."""
        turned = self.job.setups[setup.number - 1].turned
        return turned_part(self.part) if turned else self.part


@dataclass(frozen=True, slots=True)
class Fact:
    """A named value."""

    label: str
    value: str


@dataclass(frozen=True, slots=True)
class RowText:
    """Up to four motions, one wheel each, in the order in which a row is read."""

    start: str = ""
    """Where the cut begins ("Z+2")."""
    setting: str = ""
    """What the other axis is set to before the cut ("25.80", for facing "Z 0.000")."""
    cut_to: str = ""
    power_until: str = ""
    then: tuple[str, ...] = ()
    back: str = ""
    motions: int = 0


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row of the pass table."""

    kind: Literal[
        "pass",
        "more",
        "go",
        "tool",
        "measure",
        "deburr",
        "centre",
        "steady",
        "setup",
        "swivel",
        "set-over",
        "knurl",
        "gearbox",
        "fit",
    ]
    number: str
    """Printed number: "9", "9b", "M" (measure), "L" (length), "W" (thread), "G" (gearbox), "T",
    "D", "C", "R" (steady rest), "S", "A" (angle), "O" (tailstock set over or back), "F" (fit)."""
    pass_number: int
    tool: int
    what: str = ""
    surface: str = ""
    rpm: str = ""
    feed: str = ""
    drive: str = ""
    """"power" or "hand"."""
    text: RowText = RowText()
    depth: str = ""
    wheel: str = ""
    wheel_from: str = ""
    after: tuple[str, ...] = ()
    """Diameter left, or its lower and upper limit."""
    words: str = ""
    """Sentence of a tool change, a measure stop or the deburring."""
    expected: str = ""
    places: tuple[str, ...] = ()
    """Where a measure stop measures, "Z −30"."""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ToolLine:
    """How one tool is set."""

    tool: ToolRecord
    name: str
    nose: str
    hand: str
    reference: str
    set_x: str
    set_z: str
    enter_z: str
    coolant: str
    enter_x: str = "micrometer"
    """What is entered for X: what the micrometer reads, or more for a form tool's horn."""
    first_pass: int = 0
    """The tool works from this pass on."""
    touch: Touch | None = None
    """How Z is touched; None: by eye."""
    height: str = ""


@dataclass(frozen=True, slots=True)
class DryRunLine:
    """One of the closest approaches, to be walked by hand."""

    passes: str
    what: str
    """Tool and its piece."""
    to: str
    """What it comes close to, and where."""
    move: str
    clearance: str


@dataclass(frozen=True, slots=True)
class FinishLine:
    """The roughness of one surface."""

    surface: str
    printed: str
    passes: str
    feed: str
    expected: str
    greatest_feed: str


@dataclass(frozen=True, slots=True)
class RescueLine:
    """What can be done with a seat that came out too thin."""

    surface: str
    under: str
    words: str


@dataclass(frozen=True, slots=True)
class OperationLine:
    """One operation: lever settings, tool, passes."""

    number: int
    kind: str
    tool: str
    rpm: str
    feed: str
    passes: str
    minutes: str
    reason: str
    limited_by: str


@dataclass(frozen=True, slots=True)
class FindingLine:
    """One finding."""

    severity: Severity
    word: str
    place: str
    message: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Detail:
    """A page's worth about one taper, arc or step table."""

    letter: str
    title: str
    step: Pass
    facts: tuple[Fact, ...]
    words: tuple[str, ...]
    steps: tuple[tuple[str, str, str], ...] = ()
    """Number, X, Z of a step table."""
    tangents: tuple[tuple[str, ...], ...] = ()
    """Instead of a long step table: number, angle, scale, X's way, X and Z at the start, X and Z at
    the end, and the slide's way."""
    ways: tuple[tuple[str, ...], ...] = ()
    """For each pass: its number, X and Z at the start, X and Z at the end, and for an arc X and Z
    of its centre and its radius."""


@dataclass(frozen=True, slots=True)
class InspectionLine:
    """One size to measure."""

    what: str
    text: str
    lower: str
    upper: str
    aim: str
    source: str
    reference: bool


@dataclass(frozen=True, slots=True)
class LeftOverLine:
    """Metal that stays although it is not part."""

    place: str
    height: str
    cause: str
    remedy: str


@dataclass(frozen=True, slots=True)
class SetupSheet:
    """One setup on paper."""

    setup: SetupPlan
    heading: str
    facts: tuple[Fact, ...]
    preflight: tuple[str, ...]
    setting: tuple[str, ...]
    """What holds for setting all tools."""
    fine_feed: tuple[str, ...]
    dry_run: tuple[DryRunLine, ...]
    tools: tuple[ToolLine, ...]
    operations: tuple[OperationLine, ...]
    changes: str
    """How many tool changes and gear changes there are; empty without passes."""
    rows: tuple[SheetRow, ...]
    details: tuple[Detail, ...]
    cautions: tuple[str, ...] = ()
    """What can hurt at this setup's own work, beside the sheet's general cautions."""


@dataclass(frozen=True, slots=True)
class SheetContent:
    """The whole sheet."""

    title: tuple[Fact, ...]
    """Title block, in order; page n of m is the paper's own."""
    mark: str
    job: str
    stops: tuple[str, ...]
    setups: tuple[SetupSheet, ...]
    findings: tuple[FindingLine, ...]
    cautions: tuple[str, ...]
    instruments: tuple[str, ...]
    coolant: tuple[str, ...]
    inspection: tuple[InspectionLine, ...]
    left_over: tuple[LeftOverLine, ...]
    finish: tuple[FinishLine, ...]
    rescue: tuple[RescueLine, ...]
    forecast: str
    sign_off: tuple[str, ...] = field(default=("Planned by", "Checked by", "Cut by", "Measured by"))
