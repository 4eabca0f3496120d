"""What the board draws of a job: one frozen value, from the solved part or from the pencil."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from turnsketch.document.pencil import Pencil, pencil_of
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Arc, Point
from turnsketch.job import Job
from turnsketch.part.outline_records import OutlineElement, PartIssue, ResolvedPart
from turnsketch.part.text import Kind, parse

__all__ = ["JAW_SHARE", "BlankBox", "Drawing", "drawing_of", "solved"]

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


@dataclass(frozen=True, slots=True)
class Drawing:
    """The drawing of one job, part frame, millimetres."""

    job: Job
    pencil: Pencil | None
    """None: there is nothing that can be drawn."""
    elements: tuple[OutlineElement, ...] = ()
    fixed: frozenset[int] = frozenset()
    """Sections in ink."""
    blank: BlankBox | None = None
    issues: tuple[PartIssue, ...] = ()
    problem: str = ""
    """Why nothing is drawn."""
    needs_solver: bool = False
    """The pencil alone would draw this part wrongly: its arcs hang together by equations."""

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

    def of_section(self, number: int) -> tuple[OutlineElement, ...]:
        """Return the elements of a section without its corners."""
        return tuple(
            e for e in self.elements if e.section == number and e.role not in ("chamfer", "round")
        )

    def middle(self, number: int, share: float = 0.5) -> Point:
        """Return a place on a section: its middle, or another share of it from its front.

        Where nothing can be drawn it is the zero of the part.
        """
        elements = self.of_section(number)
        if elements:
            return elements[0].shape.at(share)
        if self.pencil is None:
            return Point(0.0, 0.0)
        front, back = self.pencil.ends(number)
        return front.plus(back.minus(front).times(share))


def drawing_of(job: Job, part: ResolvedPart | None) -> Drawing:
    """Return the drawing of `job`; `part` is its solved part, None while there is none."""
    blank = _blank(job)
    if not job.part.sections:
        return Drawing(job, None, blank=blank)
    try:
        pencil = pencil_of(job.part, job.units)
    except InputError as error:
        return Drawing(job, None, blank=blank, problem=str(error))
    if part is None:
        return Drawing(job, pencil, pencil.elements, pencil.fixed, blank)
    return Drawing(
        job,
        _as_solved(pencil, part),
        part.aim.elements,
        frozenset(section.number for section in part.sections if section.fixed),
        blank,
        part.issues,
        needs_solver=_differs(pencil, part),
    )


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


def _blank(job: Job) -> BlankBox | None:
    diameter = _size(job.blank.diameter, job, "diameter")
    length = _size(job.blank.length, job, "length")
    if not diameter or not length:
        return None
    front = _size(job.blank.front, job, "length") or 0.0
    grip = _size(job.setups[0].holding.grip, job, "length") if job.setups else None
    back = front - length
    return BlankBox(front, back, diameter / 2, None if grip is None else back + grip)
