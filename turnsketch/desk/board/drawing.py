"""What the board draws of a job: one frozen value, from the solved part or from the pencil."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from turnsketch.blank_sizes import blank_sizes
from turnsketch.desk.board.features import DrawnBore, Features, features_of
from turnsketch.document.bores import Chain
from turnsketch.document.chain_pencil import ChainPencil
from turnsketch.document.pencil import Pencil, pencil_of
from turnsketch.document.setups import grips_mm
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Point
from turnsketch.job import Job
from turnsketch.part.outline_records import (
    OutlineElement,
    PartIssue,
    ResolvedGroove,
    ResolvedKnurl,
    ResolvedPart,
    ResolvedThread,
)
from turnsketch.part.text import Kind, parse
from turnsketch.part.turned import turned_point

__all__ = ["JAW_SHARE", "BlankBox", "Drawing", "back_end_first", "drawing_of", "solved"]

JAW_SHARE: Final = 0.75
"""Height of a jaw's block as a share of the blank's radius: the work is what matters."""

_MOVED: Final = 0.05
"""Where the solver puts a vertex farther than this from the pencil's place, the solver is right."""


@dataclass(frozen=True, slots=True)
class BlankBox:
    """The blank and its jaws along the axis, part frame, millimetres."""

    front: float
    back: float
    radius: float
    jaw_face: float | None
    """Where the jaws end; None: the job does not say."""
    ring: tuple[Point, ...]
    """Its half section."""
    flat: float | None = None
    """Distance of a hexagon's or square's flats from the axis; `radius` is across corners."""
    raw: float = 0.0
    """How far the raw face of the first setup stands in front of its finished one."""

    def turned(self, length: float) -> BlankBox:
        """Return the blank of a part of `length` whose back end is made first."""
        return replace(
            self,
            front=-length - self.back,
            back=-length - self.front,
            ring=tuple(turned_point(p, length) for p in self.ring),
        )


@dataclass(frozen=True, slots=True)
class Drawing:
    """The drawing of one job, part frame, millimetres."""

    job: Job
    pencil: Pencil | None
    """None: there is nothing that can be drawn."""
    elements: tuple[OutlineElement, ...] = ()
    """The outside, grooves included."""
    fixed: frozenset[int] = frozenset()
    """Sections in ink."""
    blank: BlankBox | None = None
    issues: tuple[PartIssue, ...] = ()
    problem: str = ""
    """Why nothing is drawn."""
    needs_solver: bool = False
    """The pencil alone would draw this part wrongly: its arcs hang together by equations."""
    chains: tuple[ChainPencil, ...] = ()
    """The outside, then the bores that can be drawn."""
    bores: tuple[DrawnBore, ...] = ()
    grooves: tuple[ResolvedGroove, ...] = ()
    threads: tuple[ResolvedThread, ...] = ()
    knurls: tuple[ResolvedKnurl, ...] = ()

    @property
    def length(self) -> float:
        """Length of the outline along the axis."""
        return -min((p.z for p in self.vertices), default=0.0)

    @property
    def radius(self) -> float:
        """Greatest radius of the outline."""
        found = [p.r for p in self.vertices]
        for element in self.elements:
            if isinstance(element.shape, Arc):
                found += [p.r for p in element.shape.chords(0.05)]
        return max(found, default=0.0)

    @property
    def jaws(self) -> float:
        """Outer radius of the jaws' blocks; 0 without."""
        if self.blank is None or self.blank.jaw_face is None:
            return 0.0
        return (1.0 + JAW_SHARE) * self.blank.radius

    @property
    def vertices(self) -> tuple[Point, ...]:
        """Sharp vertices of the outline."""
        return self.pencil.vertices if self.pencil is not None else ()

    @property
    def all_vertices(self) -> tuple[Point, ...]:
        """Sharp vertices of the outline, then those of the bores, part frame."""
        return (*self.vertices, *(p for bore in self.bores for p in bore.pencil.vertices))

    def chain(self, chain: Chain) -> ChainPencil | None:
        """Return a chain; None where nothing of it can be drawn."""
        return next((found for found in self.chains if found.chain == chain), None)

    def chain_of(self, number: int) -> ChainPencil | None:
        """Return the chain in which a section stands."""
        return next((chain for chain in self.chains if number in chain.numbers), None)

    def first_vertex(self, number: int) -> int | None:
        """Return the first of `all_vertices` of a section; None where it cannot be drawn."""
        first = 0
        for chain in self.chains:
            if number in chain.numbers:
                return first + chain.pencil.sketch.index_of(number - chain.offset)
            first += len(chain.pencil.vertices)
        return None

    def chain_at(self, vertex: int) -> tuple[ChainPencil, int]:
        """Return the chain of one of `all_vertices`, and the vertex's number in it.

        Raises
        ------
        IndexError
            There is no such vertex.
        """
        for chain in self.chains:
            count = len(chain.pencil.vertices)
            if vertex < count:
                return chain, vertex
            vertex -= count
        raise IndexError("no such vertex")

    @property
    def all_elements(self) -> tuple[OutlineElement, ...]:
        """The outside and what is to be seen of the bores."""
        return (*self.elements, *(e for bore in self.bores for e in bore.wall))

    def of_section(self, number: int) -> tuple[OutlineElement, ...]:
        """Return the elements of a section, of a bore's too, without its corners."""
        return tuple(
            e
            for e in self.all_elements
            if e.section == number and e.role not in ("chamfer", "round")
        )

    def ends(self, number: int) -> tuple[Point, Point]:
        """Return the ends of a section, that toward its end face first."""
        chain = self.chain_of(number)
        return (Point(0.0, 0.0), Point(0.0, 0.0)) if chain is None else chain.ends(number)

    def middle(self, number: int, share: float = 0.5) -> Point:
        """Return a place on a section: its middle, or another share of it from its front.

        Where nothing can be drawn it is the zero of the part.
        """
        elements = self.of_section(number)
        if elements:  # a groove may leave two of them: the longer one has more room
            return max(elements, key=lambda e: e.shape.length).shape.at(share)
        front, back = self.ends(number)
        return front.plus(back.minus(front).times(share))


def drawing_of(job: Job, part: ResolvedPart | None, setup: int = 0) -> Drawing:
    """Return the drawing of `job`; `part` is its solved part, None while there is none.

    `setup` is the index of the setup whose jaws are shown.
    """
    blank = _blank(job, setup)
    if not job.part.sections:
        return Drawing(job, None, blank=blank)
    try:
        pencil = pencil_of(job.part, job.units)
    except InputError as error:
        return Drawing(job, None, blank=blank, problem=str(error))
    found = features_of(job, pencil, part)
    if blank is not None and back_end_first(job):
        blank = blank.turned(-min(p.z for p in pencil.vertices))
        blank = replace(blank, jaw_face=_jaw_face(job, setup, blank.back))
    shown = pencil if part is None else _as_solved(pencil, part)
    length = -min(p.z for p in shown.vertices)
    outside = ChainPencil("outside", 0, shown, length, len(job.part.sections))
    return Drawing(
        job,
        shown,
        found.elements,
        _fixed(pencil, found, part),
        blank,
        () if part is None else part.issues,
        needs_solver=part is not None and _differs(pencil, part),
        chains=(outside, *(bore.pencil for bore in found.bores)),
        bores=found.bores,
        grooves=found.grooves,
        threads=found.threads,
        knurls=found.knurls,
    )


def back_end_first(job: Job) -> bool:
    """Return whether the first setup makes the part's back end."""
    return bool(job.setups) and job.setups[0].turned


def _fixed(pencil: Pencil, found: Features, part: ResolvedPart | None) -> frozenset[int]:
    """Return the numbers of the sections in ink, those of bores too."""
    if part is None:
        return pencil.fixed.union(*(bore.pencil.fixed for bore in found.bores))
    bores = [b.sections for b in (part.bore, part.bore_back) if b is not None]
    return frozenset(s.number for group in (part.sections, *bores) for s in group if s.fixed)


def _differs(pencil: Pencil, part: ResolvedPart) -> bool:
    ours, theirs = pencil.elements, part.nominal.elements
    return len(ours) != len(theirs) or any(
        a.shape.at(0.5).distance(b.shape.at(0.5)) > _MOVED
        for a, b in zip(ours, theirs, strict=True)
    )


def _as_solved(pencil: Pencil, part: ResolvedPart) -> Pencil:
    """Return the pencil with the solver's places where the pencil only guessed."""
    vertices = list(pencil.vertices)
    for info in part.sections:
        index = pencil.sketch.index_of(info.number)
        for vertex, place in ((index, info.front), (index + 1, info.back)):
            if vertices[vertex].distance(place) > _MOVED:
                vertices[vertex] = place
    return replace(pencil, vertices=tuple(vertices))


def solved(job: Job) -> ResolvedPart | None:
    """Return the solved part of `job`, None when it cannot be solved; imports the solver first."""
    from turnsketch.part.resolve import resolve  # arrays: not before they are needed

    try:
        return resolve(job.part, job.units)
    except InputError:
        return None


def _size(text: str | None, job: Job, kind: Kind) -> float | None:
    try:
        return None if text is None else parse(text, job.units, (kind,)).nominal
    except InputError:
        return None


def _blank(job: Job, setup: int) -> BlankBox | None:
    try:
        sizes = blank_sizes(job.blank, job.units)
    except InputError:
        return _plain_bar(job, setup)
    if sizes.radius <= 0 or sizes.length <= 0:
        return None
    back = sizes.front - sizes.length
    return BlankBox(
        sizes.front,
        back,
        sizes.radius,
        _jaw_face(job, setup, back),
        ring=sizes.ring,
        flat=sizes.flat_radius,
        raw=sizes.front,
    )


def _plain_bar(job: Job, setup: int) -> BlankBox | None:
    """Return the bar of a blank whose fields do not go together yet."""
    diameter = _size(job.blank.diameter, job, "diameter")
    length = _size(job.blank.length, job, "length")
    if not diameter or not length:
        return None
    front = _size(job.blank.front, job, "length") or 0.0
    back, radius = front - length, diameter / 2
    corners = ((front, 0.0), (front, radius), (back, radius), (back, 0.0))
    ring = tuple(Point(z, r) for z, r in corners)
    return BlankBox(front, back, radius, _jaw_face(job, setup, back), ring=ring, raw=front)


def _jaw_face(job: Job, setup: int, back: float) -> float | None:
    """Return where jaws that grip the blank from outside end; None: the job does not say."""
    if setup >= len(job.setups) or job.setups[setup].turned or job.setups[setup].holding.inside:
        return None
    grip = grips_mm(job)[setup]
    return None if grip is None else back + grip
