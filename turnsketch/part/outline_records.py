"""The exact outline of a part and what the print says of it, as values without behaviour.

The part's frame has z = 0 at the finished front face and the part at z <= 0; the chain runs from
the axis at the front, outward and back, to the axis at the back: counterclockwise with z to the
right and r up, so the metal is on the left of travel.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from turnsketch.geometry.elements import Element, Point
from turnsketch.part.records import GrooveKind

__all__ = [
    "CornerInfo",
    "CornerSpec",
    "InspectionRow",
    "JoinKind",
    "Outline",
    "OutlineElement",
    "PartIssue",
    "ResolvedBore",
    "ResolvedCone",
    "ResolvedGroove",
    "ResolvedKnurl",
    "ResolvedPart",
    "ResolvedThread",
    "SectionInfo",
    "Size",
]

JoinKind = Literal["smooth", "convex", "reflex"]
"""smooth: no kink. convex: the metal's corner points outward. reflex: an inside corner."""


@dataclass(frozen=True, slots=True)
class Size:
    """A size with its limits. Millimetres (diameters stay diameters) or radians."""

    nominal: float
    lower: float
    upper: float
    aim: float
    source: str = ""
    """Where the limits come from: "h6 (ISO 286-2)", "ISO 2768-m", "print"."""


@dataclass(frozen=True, slots=True)
class OutlineElement:
    """One line or arc of the outline."""

    shape: Element
    section: int | None
    """Number (from 1) of the section in the part record; null: an understood shoulder face."""
    role: Literal["face", "cylinder", "taper", "arc", "chamfer", "round", "groove"]
    corner: int | None = None
    """Index of the corner that a chamfer or round belongs to."""


@dataclass(frozen=True, slots=True)
class Outline:
    """The chain of elements and the joins between each and the next."""

    elements: tuple[OutlineElement, ...]
    joins: tuple[JoinKind, ...]
    """One fewer than elements."""


@dataclass(frozen=True, slots=True)
class CornerSpec:
    """A chamfer or round to be put on a sharp corner."""

    index: int
    """Its number among the part's corners."""
    vertex: int
    """It stands between elements ``vertex - 1`` and ``vertex`` of the sharp chain (from 0)."""
    kind: Literal["chamfer", "round"]
    size: float
    """Axial leg of the chamfer, or radius."""
    angle: float = 0.0
    """Chamfer: angle of its slope to the axis, radians, between 0 and a right angle."""
    text: str = ""
    """As printed: "1x45°", "R3"."""
    section: int | None = None
    """Number of the section at which the print gives it, and the end of that section."""
    end: Literal["front", "back"] = "back"


@dataclass(frozen=True, slots=True)
class CornerInfo:
    """A chamfer or round that the print gives at a corner."""

    index: int
    kind: Literal["chamfer", "round"]
    convex: bool
    at: Point
    """The sharp corner before it."""
    size: float
    """Axial leg of the chamfer, or radius."""
    angle: float
    """Chamfer: angle of its slope to the axis, radians; round: 0."""
    text: str
    between: tuple[int | None, int | None]
    """Section numbers on its front and back side."""


@dataclass(frozen=True, slots=True)
class SectionInfo:
    """One section of the record, solved."""

    number: int
    kind: Literal["face", "cylinder", "taper", "arc"]
    label: str
    """For people: "seat Ø25 h6", "taper 1:10", "ball R15"."""
    front: Point
    back: Point
    """Its ends before chamfers and rounds, aimed."""
    diameter: Size | None = None
    front_diameter: Size | None = None
    back_diameter: Size | None = None
    half_angle: float | None = None
    radius: Size | None = None
    centre: Point | None = None
    roughness_um: float | None = None
    fixed: bool = True
    """Ink: the dimensions fix it."""


@dataclass(frozen=True, slots=True)
class InspectionRow:
    """One dimension of the print, for the inspection table. Millimetres or radians."""

    what: str
    text: str
    size: Size
    quantity: Literal["diameter", "length", "radius", "angle", "chamfer", "tie", "thread"]
    """tie: how true surfaces stand to one another; its size runs from 0 to what is allowed."""
    reference: bool
    section: int | None


@dataclass(frozen=True, slots=True)
class PartIssue:
    """What is open, repeated, contradictory or doubtful in the print."""

    kind: Literal["open", "repeat", "contradiction", "ill-posed"]
    message: str
    remedy: str
    section: int | None
    place: Point | None


@dataclass(frozen=True, slots=True)
class ResolvedBore:
    """The hole in the end that faces +z, told as if the void were a body.

    Its chain runs from the axis at the mouth outward and back to the axis at the bottom, so the
    metal is on the right of travel. Joins and corners are the void's: where it is convex, the
    metal has an inside corner.
    """

    aim: Outline
    nominal: Outline
    corners: tuple[CornerInfo, ...]
    """In the metal's sense: convex is an edge of metal."""
    sections: tuple[SectionInfo, ...]
    depth: float
    """From z = 0 to the bottom (or to the other end face)."""
    through: bool
    plain: Outline
    """The aimed chain without the corners at its mouths, which other tools may make."""
    mouth: CornerSpec | None = None
    """Chamfer or round at the mouth: it widens the void there."""
    far_mouth: CornerSpec | None = None
    """The same at a through bore's other end; tools from the mouth do not reach it."""

    @property
    def numbers(self) -> frozenset[int]:
        """Numbers of its sections."""
        return frozenset(info.number for info in self.sections)


@dataclass(frozen=True, slots=True)
class ResolvedGroove:
    """A groove or undercut, solved. Part frame, millimetres."""

    number: int
    """Number (from 1) in the part record."""
    kind: GrooveKind
    label: str
    """For people: "ring groove 1.3 wide Ø23.9"."""
    section: int
    """Number of the section in which it stands."""
    inside: bool
    elements: tuple[Element, ...]
    """Wall, bottom, wall as exact elements from front to back, from the section's surface back to
    it (an undercut at a shoulder: to the shoulder face)."""
    width: Size | None
    diameter: Size
    """At its bottom."""
    corner_mm: float
    """Radius in its bottom corners."""
    source: str = ""
    """Standard and table, or "print"."""


@dataclass(frozen=True, slots=True)
class ResolvedThread:
    """A thread on a section. Millimetres; diameters stay diameters."""

    section: int
    text: str
    """As printed: "M12x1.75-6g"."""
    inside: bool
    left_hand: bool
    pitch: float
    major: Size
    pitch_diameter: Size
    minor: Size
    front_z: float
    back_z: float
    """Where its usable length begins and ends, part frame."""


@dataclass(frozen=True, slots=True)
class ResolvedKnurl:
    """A knurl on a cylinder outside. Millimetres; diameters stay diameters."""

    section: int
    text: str
    """As a print writes it: "RGE 1.0"."""
    pitch: float
    straight: bool
    growth: float
    """Ø over the knurl less Ø before it."""
    over: Size
    """Over the knurl."""
    blank: Size
    """Turned before it: the section's own diameter."""
    front_z: float
    back_z: float
    """Ends of the section, part frame."""


@dataclass(frozen=True, slots=True)
class ResolvedCone:
    """A shank taper that the print gives by name. Millimetres; diameters stay diameters."""

    section: int
    name: str
    """"Morse 2", "metric 80"."""
    inside: bool
    """A socket."""
    taper: float
    """C of the standard."""
    gauge: float
    """Diameter at the gauge plane."""
    gauge_z: float
    """Where the cone has that diameter, part frame."""
    stands_out: float
    """Length of cone from its large end to the gauge plane; below 0: it never gets so thick."""
    length: float
    """From the gauge plane to its small end."""
    standard_length: float
    standard_out: float
    """a: greatest length in front of the gauge plane."""
    front_z: float
    back_z: float
    """Ends of the cone, part frame."""


@dataclass(frozen=True, slots=True)
class ResolvedPart:
    """A part whose sizes are known."""

    name: str
    aim: Outline
    nominal: Outline
    corners: tuple[CornerInfo, ...]
    sections: tuple[SectionInfo, ...]
    inspection: tuple[InspectionRow, ...]
    issues: tuple[PartIssue, ...]
    inside_corner_mm: float | None
    """Largest inside-corner radius that the print allows."""
    total_length: float
    greatest_diameter: float
    sharp: Outline | None = None
    """The aimed outline before chamfers and rounds, and the corners to put on it: from these the
    outline is built again without some of its corners."""
    corner_specs: tuple[CornerSpec, ...] = ()
    bore: ResolvedBore | None = None
    """The hole in the front end, part frame."""
    bore_back: ResolvedBore | None = None
    """The hole in the back end, in the frame that has the back end in front (z = 0 there)."""
    grooves: tuple[ResolvedGroove, ...] = ()
    threads: tuple[ResolvedThread, ...] = ()
    knurls: tuple[ResolvedKnurl, ...] = ()
    cones: tuple[ResolvedCone, ...] = ()
