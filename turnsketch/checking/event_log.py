"""The events of one pass, noted as the replay asks for them."""

from __future__ import annotations

from collections.abc import Sequence

from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.contact import Entry, entries
from turnsketch.checking.cover import Cover
from turnsketch.checking.records import Event, EventKind
from turnsketch.geometry.constants import TOUCH
from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Pass

__all__ = ["EventLog"]


class EventLog:
    """Events of one pass, in the order in which they are asked for."""

    def __init__(self, setup: int, cut: Pass) -> None:
        self.setup = setup
        self.cut = cut
        self.events: list[Event] = []

    def _add(self, kind: EventKind, move: int, depth: float, place: Point, what: str) -> None:
        self.events.append(Event(kind, self.setup, self.cut.number, move, depth, place, what))

    def _entries(self, kind: EventKind, found: Sequence[Entry], verb: str, body: str) -> None:
        for move, depth, place, piece in found:
            what = f"{piece} of tool {self.cut.tool} {verb} {depth:.3f} mm into {body}"
            self._add(kind, move + 1, depth, place, what)

    def start(self, expected: Point | None, start: Point) -> None:
        """Note a start away from where the tool stands."""
        gap = expected.distance(start) if expected else 0.0
        if gap > TOUCH:
            what = f"the pass starts {gap:.3f} mm from where the tool stands"
            self._add("start mismatch", 0, gap, start, what)

    def metal(self, kind: EventKind, metal: BaseGeometry, covered: Cover) -> None:
        """Note moves that enter metal and must not."""
        if len(covered.shapes):
            self._entries(kind, entries(metal, covered), "moves", "the metal")

    def obstacles(self, named: Sequence[tuple[str, BaseGeometry]], covered: Cover) -> None:
        """Note moves that enter jaws, chuck body or centre."""
        for name, shape in named:
            self._entries("hits obstacle", entries(shape, covered), "moves", f"the {name}")

    def gouges(self, part: BaseGeometry, core: BaseGeometry, covered: Cover) -> None:
        """Note cuts that enter the part; `core` is the part less a skin of GOUGE."""
        found = entries(part, covered, core)
        self._entries("gouge", found, "cuts", "the part")

    def thread_gouges(self, part: BaseGeometry, core: BaseGeometry, covered: Cover) -> None:
        """Note thread moves that go deeper than a thread; `core` is the part less one pitch."""
        found = entries(part, covered, core)
        self._entries("gouge", found, "runs, threading,", "the part")

    def loose(self, piece: Polygon, is_part: bool) -> None:
        """Note a piece that nothing holds."""
        low, _, high, top = piece.bounds
        name = "the part" if is_part else "a piece of metal"
        what = f"{name} from Z {low:.2f} to {high:.2f} comes loose"
        place = piece.representative_point()
        self._add("loose piece", 0, top, Point(place.x, place.y), what)
