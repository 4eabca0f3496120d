"""What the replay reports: events, passes, setups, the finished part. Values only.

Millimetres and radians; points and rings stand in the setup's frame. Rings are open (no repeated
vertex); of each polygon the shell comes first, counterclockwise, then its holes, clockwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Finished, Ring

__all__ = ["Clearance", "Event", "EventKind", "LeftRegion", "PassResult", "Replay", "SetupReplay"]

EventKind = Literal[
    "gouge",
    "tap meets metal",
    "positioning through metal",
    "holder touches metal",
    "hits obstacle",
    "loose piece",
    "start mismatch",
    "blank mismatch",
]


@dataclass(frozen=True, slots=True)
class Event:
    """Something that must not happen, seen while the plan was played."""

    kind: EventKind
    setup: int
    """Number of the setup."""
    pass_number: int
    move: int
    """Number of the move in its pass, from 1; 0 when it concerns the pass as a whole."""
    depth_mm: float
    """How far the tool is inside what it must not enter: distance of the deepest point from that
    body's surface. Start mismatch: the gap. Loose piece: its greatest radius."""
    place: Point
    what: str
    """One sentence for people."""


@dataclass(frozen=True, slots=True)
class Clearance:
    """The closest approach of one pass to one kind of danger."""

    distance_mm: float
    """0 when it touches."""
    place: Point
    """The point of the danger that comes closest."""
    name: str
    """What is approached: an obstacle's name, or "metal"."""
    piece: str
    """The tool piece that approaches."""
    move: int
    """Number of the move, from 1."""


@dataclass(frozen=True, slots=True)
class PassResult:
    """What one pass did."""

    number: int
    removed_mm3: float
    """Volume that is gone since the pass before, loose pieces and dropped slivers included."""
    loose_mm3: float
    """The share of `removed_mm3` that fell off uncut."""
    remaining: tuple[Ring, ...]
    """What is held after the pass, and the part when it has been parted off."""
    obstacle_clearance: Clearance | None
    """Any tool piece to jaws, chuck body or centre; None without obstacles."""
    holder_clearance: Clearance | None
    """Non-cutting pieces to metal; None when the tool has none."""


@dataclass(frozen=True, slots=True)
class SetupReplay:
    """One setup played to its end."""

    number: int
    passes: tuple[PassResult, ...]
    remaining: tuple[Ring, ...]
    parted: bool
    """The part has been cut off the bar."""
    blank_mm3: float
    removed_mm3: float
    remaining_mm3: float


@dataclass(frozen=True, slots=True)
class LeftRegion:
    """A connected piece of metal that stands on the finished part and is not part."""

    volume_mm3: float
    z: tuple[float, float]
    height_mm: float
    """Greatest distance of its points from the part's surface."""
    place: Point
    """The point of that distance."""
    rings: tuple[Ring, ...]


@dataclass(frozen=True, slots=True)
class Replay:
    """The whole plan played, with exact moves or as read."""

    as_read: bool
    setups: tuple[SetupReplay, ...]
    events: tuple[Event, ...]
    finished: Finished
    """Reasons of its left-overs are empty: the replay knows what stands, not why."""
    left_over: tuple[LeftRegion, ...]
    """The same left-overs in the same order, with their shapes."""
    over_total_mm: float
    """Greatest height of anything over the part, left-overs included."""
