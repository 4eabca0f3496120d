"""What the print says, as it stands in a job file: sections, dimension text, nothing worked out.

Every field that holds a size is *dimension text* ("25 h6", "3/8", "1:10"), read by
`turnsketch.part.text`. Sections follow one another from the axis at the front face, outward and
back. Shoulder faces between sections of different diameter, the front face and the back face need
not be given: they are understood (`turnsketch.part.sketch` puts them in).
"""

from __future__ import annotations

from typing import Literal

import msgspec

from turnsketch.geometry.elements import Point

__all__ = [
    "AT_SHOULDER",
    "Bore",
    "Drawn",
    "Groove",
    "GrooveKind",
    "LengthDimension",
    "PartRecord",
    "Place",
    "Section",
    "SectionKind",
    "Tie",
]

SectionKind = Literal["face", "cylinder", "taper", "arc"]
GrooveKind = Literal["plain", "round", "vee", "ring", "undercut E", "undercut F", "thread relief"]

AT_SHOULDER = ("undercut E", "undercut F", "thread relief")
"""Kinds of grooves in the corner before a shoulder: something later runs out into them."""


class Drawn(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Where a section stands in pencil: a start for the solver, no dimension."""

    to: Point
    """End of the section as drawn, ``[z, r]`` in millimetres, z = 0 at the finished front."""
    bulge: float = 0.0
    """For an arc: tan(sweep / 4), positive counterclockwise (z to the right, r up)."""


class Section(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One stretch of the outline with the dimensions that the print writes at it."""

    kind: SectionKind
    name: str = ""
    """What the shop calls it ("seat", "waist"); used on the sheet."""
    diameter: str | None = None
    """Cylinder: its diameter."""
    front_diameter: str | None = None
    """Taper or arc: diameter at its end toward the front."""
    back_diameter: str | None = None
    """Taper or arc: diameter at its end toward the back; face: the diameter it goes to."""
    length: str | None = None
    """Axial length of the section."""
    angle: str | None = None
    """Taper: half angle "15°", included angle "30° incl" or ratio "1:10"; it opens toward the
    back unless the diameters or the drawn line say otherwise. In a bore it narrows inward, as a
    socket does, unless both diameters or the drawn line say that it opens."""
    narrows: bool = False
    """Taper by angle or ratio alone: it gets thinner toward the back; in a bore it always does."""
    radius: str | None = None
    """Arc: its radius."""
    sense: Literal["convex", "concave"] | None = None
    """Arc: convex (material inside the circle) or concave."""
    long_way: bool = False
    """Arc: it sweeps more than half a circle."""
    centre_diameter: str | None = None
    """Arc: twice the distance of its centre from the axis; "0" puts the centre on the axis."""
    centre_side: Literal["above", "below"] = "above"
    """Arc with centre_diameter: the centre lies on the drawn half ("above") or beyond the axis."""
    tangent: Literal["front", "back", "both"] | None = None
    """Arc or taper: it runs without a kink into its neighbour at that end."""
    front_corner: str | None = None
    """Chamfer ("1x45°", axial length x angle to the axis) or round ("R1") at the front end."""
    back_corner: str | None = None
    """The same at the back end."""
    roughness: str | None = None
    """Surface texture of this section, "Ra 1.6" (micrometres; microinches as "Ra 63 µin")."""
    thread: str | None = None
    """Cylinder, outside or in a bore: the thread cut on it, "M12x1.75-6g", "1/2-13 UNC-2A LH"."""
    thread_length: str | None = None
    """Usable length of the thread from the section's front end; null: the whole section."""
    knurl: str | None = None
    """Cylinder: the knurl pressed into it after DIN 82, "RGE 1.0" (form and pitch)."""
    drawn: Drawn | None = None


class Place(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """An end of a section, where a length begins or stops."""

    section: int
    """Number of the section in the list, the first is 1."""
    at: Literal["front", "back", "centre"]
    """Its end toward the front, toward the back, or (arc) its centre."""


class LengthDimension(
    msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"start": "from", "end": "to"}
):
    """A length along the axis between two places, as the print has it."""

    start: Place
    end: Place
    text: str


class Bore(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """The hole in one end: a chain of sections from the end face inward.

    "Front" of its sections is the side of that end face. Their numbers run on after the outside's
    sections, those of the back bore after those of the front bore.
    """

    sections: tuple[Section, ...]
    lengths: tuple[LengthDimension, ...] = ()
    """Lengths over several of its sections, from the end face inward."""
    through: bool = False
    """It goes to the other end face, or into the other end's bore."""
    bottom: str | None = None
    """A blind bore's cone as the drill leaves it, "118°" (included); null: a flat bottom."""


class Groove(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """A groove or undercut in a cylinder, outside or in a bore."""

    kind: GrooveKind
    section: int
    """Number of the cylinder in which it stands; undercut and relief: of the one that ends at the
    shoulder."""
    name: str = ""
    from_front: str | None = None
    """From the section's front end to the groove's front wall."""
    from_back: str | None = None
    """From the section's back end to the groove's back wall; both null: at the back end."""
    width: str | None = None
    """null: the standard's."""
    diameter: str | None = None
    """At its bottom; null: the standard's."""
    corner: str | None = None
    """Radius in its bottom corners, "R0.4"."""
    angle: str | None = None
    """Vee: included angle; plain: slant of each wall from square, "15°"."""
    size: str | None = None
    """Designation that gives the rest: ring "25x1.2", undercut "0.6x0.3"; relief: the pitch, where
    its section's thread does not say it, and the form of DIN 76-1 where it is the short one: "B",
    inside "D"."""


class Tie(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Surfaces that the print ties together (ISO 1101): they are finished in one holding."""

    kind: Literal["run-out", "coaxial", "square"]
    sections: tuple[int, ...]
    """Numbers of the sections, two or more."""
    value: str
    """Greatest deviation that the print allows, "0.02"."""


class PartRecord(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """The part as the print gives it."""

    name: str
    sections: tuple[Section, ...]
    number: str = ""
    material: str = ""
    """Name of a material in the shop file."""
    lengths: tuple[LengthDimension, ...] = ()
    """Lengths over several sections, from either end, or overall."""
    bore: Bore | None = None
    """The hole in the front end."""
    bore_back: Bore | None = None
    """The hole in the back end."""
    grooves: tuple[Groove, ...] = ()
    ties: tuple[Tie, ...] = ()
    """Run-out, coaxiality and squareness between sections."""
    general_tolerance: str = "ISO 2768-m"
    """"ISO 2768-f", "-m", "-c", "-v", or "decimals" (inch practice)."""
    inside_corners: str | None = None
    """Largest radius that the print allows in inside corners ("R0.8")."""
    edges: str | None = None
    """The print's note on edges after ISO 13715 ("-0.3")."""
    roughness: str | None = None
    """Surface texture of every section that gives none."""
    centre_hole: Literal["allowed", "not allowed", "required"] | None = None
    """Whether a centre hole may stay in the front end (ISO 6411); null: the print does not say."""
