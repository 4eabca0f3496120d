"""The rubber band of drawing: what a click would make, in the frame of the chain that is drawn."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from turnsketch.desk.board.bore_meeting import opens_into
from turnsketch.desk.board.labels import diameter_words
from turnsketch.desk.board.snapping import angle_snapped
from turnsketch.desk.board.tools.base import REACH_PX, Pointer, snap_at
from turnsketch.desk.board.typed_drawing import pencilled
from turnsketch.desk.text import tr
from turnsketch.document.bores import Chain
from turnsketch.document.chain_pencil import mouth_in_front
from turnsketch.document.dimension_edit import number_text
from turnsketch.document.vertices import LEAST_MM
from turnsketch.geometry.elements import Point
from turnsketch.part.records import Section
from turnsketch.units import Units

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardFace

__all__ = ["USUAL_MM", "Band", "band_at", "chain_end", "goes_through", "in_chain"]

USUAL_MM = 10.0
"""Length and radius of a section that nothing has given one yet."""

_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class Band:
    """From the last corner, over a shoulder when there is one, to the pointer."""

    start: Point
    to: Point
    kind: str
    """Kind of the section that a click makes; "face": it only goes on at another diameter."""
    angle: int | None = None
    through: bool = False
    """Of a bore: it comes out at the other end, or into the other end's bore."""

    @property
    def points(self) -> tuple[Point, ...]:
        """Corners of the band."""
        if self.kind == "cylinder":
            return self.start, Point(self.start.z, self.to.r), self.to
        return self.start, self.to

    def section(self) -> Section:
        """Return what a click makes of it: in pencil."""
        angle = None if self.angle is None else f"{self.angle}°"
        return pencilled(self.kind, self.to, angle, narrows=self.to.r < self.start.r)

    def words(self, units: Units, *, inside: bool) -> str:
        """Return its sizes for the readout at the pointer."""
        words = diameter_words(self.to.r, units, inside=inside)
        if self.kind != "face":
            words += f"   {number_text(self.start.z - self.to.z, units)}"
        if self.angle is not None:
            words += f"   {self.angle}°"
        return f"{words}   {tr('through')}" if self.through else words


def in_chain(board: BoardFace, at: Point) -> Point:
    """Return a place of the part in the frame of the chain that is drawn, and back."""
    return mouth_in_front(board.chain, at, board.drawing.length)


def chain_end(board: BoardFace) -> Point:
    """Return the last corner of the chain that is drawn; of none as yet, its mouth."""
    chain = board.drawing.chain(board.chain)
    vertices = () if chain is None else chain.pencil.vertices
    if not vertices:
        return Point(0.0, 0.0)
    on_axis = vertices[-1].r <= 1e-9 and len(vertices) > 2
    return vertices[-2] if on_axis else vertices[-1]


def band_at(board: BoardFace, start: Point, pointer: Pointer | None) -> Band:
    """Return the band from `start` to a pointer; without one, to a usual place."""
    chain, deepest = board.chain, _deepest(board)
    if pointer is None:
        usual = Point(max(start.z - USUAL_MM, deepest), start.r or _usual_radius(board, chain))
        return _with_end(board, Band(start, usual, "cylinder"))
    at = in_chain(board, pointer.at)
    to = in_chain(board, snap_at(board, Point(pointer.at.z, abs(pointer.at.r)), chain=chain).at)
    to = Point(max(min(to.z, start.z - LEAST_MM), deepest), max(to.r, LEAST_MM))
    reach = board.lens.mm(REACH_PX)
    along, across = abs(at.z - start.z), abs(to.r - start.r)
    if along <= reach and across > max(along, reach / 2):
        return Band(start, Point(start.z, to.r), "face")
    ray = angle_snapped(start, Point(to.z, abs(at.r)), reach) if start.r > 0 else None
    if ray is not None:
        return _with_end(board, Band(start, ray[0], "taper", ray[1]))
    slope = pointer.shift and start.r > 0 and abs(to.r - start.r) > _SAME
    return _with_end(board, Band(start, to, "taper" if slope else "cylinder"))


def _deepest(board: BoardFace) -> float:
    """Return where a section must end at last; only the outside goes on without end."""
    return -board.drawing.length if board.chain != "outside" else float("-inf")


def _usual_radius(board: BoardFace, chain: Chain) -> float:
    if chain == "outside":
        return USUAL_MM
    return min(USUAL_MM, board.drawing.radius / 2.0) or USUAL_MM


def _with_end(board: BoardFace, band: Band) -> Band:
    return replace(band, through=goes_through(board, band.to))


def goes_through(board: BoardFace, to: Point) -> bool:
    """Return whether a bore that ends at `to`, in its own frame, ends in the open there."""
    drawing, chain = board.drawing, board.chain
    if chain == "outside":
        return False
    if to.z <= _SAME - drawing.length:
        return True
    at = in_chain(board, to)
    return any(
        opens_into(at, bore.void, back=bore.pencil.back)
        for bore in drawing.bores
        if bore.pencil.chain != chain
    )
