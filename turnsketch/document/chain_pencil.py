"""One chain of sections as the pencil has it, the outside or a bore: told alike, drawn alike."""

from __future__ import annotations

from dataclasses import dataclass

from turnsketch.document.bores import Chain
from turnsketch.document.pencil import Pencil
from turnsketch.geometry.elements import Point
from turnsketch.part.turned import turned_point

__all__ = ["ChainPencil", "mouth_in_front"]


def mouth_in_front(chain: Chain, point: Point, length: float) -> Point:
    """Return a place of the part in the frame that has the chain's mouth in front, and back.

    Only the bore from the back has a frame of its own: the part turned around. Asked twice, it
    gives the place again. `length` is that of the whole part, millimetres.
    """
    return turned_point(point, length) if chain == "bore_back" else point


@dataclass(frozen=True, slots=True)
class ChainPencil:
    """A chain: the outside, or a bore told as if the void were a body."""

    chain: Chain
    offset: int
    """Number of the section before its first one."""
    pencil: Pencil
    """Its sections numbered from 1, in the frame that has its mouth in front."""
    length: float
    """Of the whole part."""
    count: int
    """How many sections it has."""

    @property
    def inside(self) -> bool:
        """Whether it is a bore."""
        return self.chain != "outside"

    @property
    def back(self) -> bool:
        """Whether it is the back end's bore."""
        return self.chain == "bore_back"

    @property
    def numbers(self) -> range:
        """Numbers of its sections in the part."""
        return range(self.offset + 1, self.offset + self.count + 1)

    @property
    def fixed(self) -> frozenset[int]:
        """Numbers of its sections whose dimensions alone give both ends."""
        return frozenset(n + self.offset for n in self.pencil.fixed)

    @property
    def vertices(self) -> tuple[Point, ...]:
        """Its sharp vertices, part frame."""
        return tuple(map(self.in_part, self.pencil.vertices))

    def ends(self, number: int) -> tuple[Point, Point]:
        """Return the ends of a section, that toward the mouth first; part frame."""
        front, back = self.pencil.ends(number - self.offset)
        return self.in_part(front), self.in_part(back)

    def in_part(self, point: Point) -> Point:
        """Return a place of its own frame in the part's; and a place of the part's in its own."""
        return mouth_in_front(self.chain, point, self.length)
