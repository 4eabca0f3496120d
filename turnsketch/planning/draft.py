"""A pass as the planner leaves it: exact moves, and how each reading is to be rounded."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.plan_records import (
    KnurlSetting,
    MeasureStop,
    Move,
    MoveKind,
    PathCaution,
    PathSize,
    QuillWork,
    StepTable,
    TaperSetting,
    ThreadSetting,
)

__all__ = [
    "Direction",
    "DraftMove",
    "DraftPass",
    "XMode",
    "ZMode",
    "cut",
    "cut_along",
    "position",
    "threaded",
]

Direction = Literal["turn", "face", "plunge", "taper", "arc", "steps", "drill", "thread"]
XMode = Literal["keep metal", "aim", "nearest"]
"""keep metal: rounded outward (roughing). aim: the nearest inside the limits (finishing)."""
ZMode = Literal["keep metal", "nearest", "toward chuck"]
"""keep metal: rounded away from the chuck; toward chuck: the other way."""


@dataclass(frozen=True, slots=True)
class DraftMove:
    """One motion with its rounding."""

    move: Move
    x_mode: XMode = "nearest"
    z_mode: ZMode = "nearest"


@dataclass(frozen=True, slots=True)
class DraftPass:
    """One cut of an operation, exact, before speeds and readings."""

    tool: int
    start: Point
    moves: tuple[DraftMove, ...]
    surface: str
    direction: Direction
    depth: float
    speed_diameter: float
    """Diameter before the cut, from which the spindle speed is reckoned."""
    section: int | None = None
    power_until: float | None = None
    last_on_surface: bool = False
    size: PathSize | None = None
    keep_x: bool = False
    measure: MeasureStop | None = None
    taper: TaperSetting | None = None
    means: str = "wheels"
    """How it is moved: "wheels", "guided", "top slide", "taper attachment", "set-over", "steps"."""
    steps: StepTable | None = None
    step_places: tuple[Point, ...] = ()
    """Where the steps stand, as the readout will show them, part frame."""
    notes: tuple[str, ...] = field(default=())
    cautions: tuple[PathCaution, ...] = ()
    """Places of its path that are not exact, part frame."""
    inside: bool = False
    """It works in a bore: metal lies at greater X."""
    quill: QuillWork | None = None
    """Made from the tailstock; its z in the part frame."""
    thread: ThreadSetting | None = None
    """A pass of a single-point thread; its `last_z` in the part frame. Radii are true ones."""
    knurl: KnurlSetting | None = None
    """A pass of knurling wheels."""

    @property
    def end(self) -> Point:
        """Where the reference point is left."""
        return self.moves[-1].move.to if self.moves else self.start


def position(to: Point) -> DraftMove:
    """Return a straight positioning move."""
    return DraftMove(Move("position", to))


def cut(to: Point, x_mode: XMode = "nearest", z_mode: ZMode = "nearest") -> DraftMove:
    """Return a straight cut."""
    return DraftMove(Move("cut", to), x_mode, z_mode)


def threaded(to: Point, pitch: float) -> DraftMove:
    """Return a straight thread move: the carriage goes one pitch a revolution."""
    return DraftMove(Move("thread", to, pitch=pitch))


def cut_along(element: Element, x_mode: XMode = "aim", kind: MoveKind = "cut") -> DraftMove:
    """Return the move that follows a line or an arc."""
    if isinstance(element, Arc):
        return DraftMove(Move(kind, element.end, element.centre, element.turn), x_mode)
    assert isinstance(element, Line)
    return DraftMove(Move(kind, element.end), x_mode)
