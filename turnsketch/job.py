"""The job: part, blank, lathe and setups, one immutable value of strings, numbers and tuples.

No geometry and no array stands in it. Sizes are dimension text, as typed. Constructors do not
validate: `turnsketch.document` holds the one door through which a job comes in.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from turnsketch.part.records import PartRecord
from turnsketch.units import Units

__all__ = ["Blank", "BlankStep", "Holding", "Job", "Operation", "OperationKind", "Setup"]

OperationKind = Literal[
    "face",
    "centre hole",
    "drill",
    "ream",
    "countersink",
    "rough",
    "bore",
    "finish",
    "finish bore",
    "groove",
    "chamfer",
    "thread",
    "tap",
    "die",
    "knurl",
    "part off",
]


_FIRST = "First setup"
_LATER = ("Second setup", "Third setup", "Fourth setup", "Fifth setup")


class _Record(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Base of the job's records."""


class BlankStep(_Record, frozen=True):
    """One step of a cast or pre-machined blank."""

    diameter: str
    length: str
    bore: str | None = None
    """Diameter of its hole; null: solid."""


class Blank(_Record, frozen=True):
    """The piece of bar before the first cut."""

    diameter: str
    """Hexagon and square: across flats. Steps: the greatest."""
    length: str
    front: str = "1"
    """How far the raw front face stands in front of the finished one."""
    shape: Literal["round", "hexagon", "square", "tube", "steps"] = "round"
    skin: Literal["black", "bright"] = "bright"
    bore: str | None = None
    """Tube: its inner diameter."""
    steps: tuple[BlankStep, ...] = ()
    """Shape "steps": cast or pre-machined, from the front back; their lengths make the length."""


class Holding(_Record, frozen=True):
    """How the blank is held."""

    device: str
    """Name of a chuck or collet in the shop file; between centres: of a driver."""
    grip: str | None = None
    """Length of blank inside the jaws (between centres: under the dog); null: the setup's
    pull_out says."""
    centre: bool = False
    """The tailstock centre supports the front end: put in after the operation "centre hole", or
    from the start when the hole is there already."""
    kind: Literal["chuck", "between centres"] = "chuck"
    """Between centres the work is driven by a dog, and both ends have their hole already."""
    centred_blank: bool = False
    """The blank comes with its centre hole (between centres: with both)."""
    centre_size: str | None = None
    """Size of that hole in millimetres, its pilot's diameter ("2.5"); null: usual for the bar."""
    inside: bool = False
    """The jaws open inside a bore, or a mandrel holds it."""
    soft_jaws: bool = False
    """Jaws bored to the gripped diameter: they mark and squeeze less."""
    steady: str | None = None
    """Distance of the steady rest's middle from the finished front face; null: none."""


class Operation(_Record, frozen=True):
    """A purpose with one tool. What is null is proposed by the program."""

    kind: OperationKind
    tool: int | None = None
    enabled: bool = True
    sections: tuple[int, ...] | None = None
    """Numbers of the sections it works on; null: all that it can."""
    depth: str | None = None
    """Greatest radial depth of a cut."""
    x_allowance: str | None = None
    """Left for the finish, on radius."""
    z_allowance: str | None = None
    feed: str | None = None
    """Per revolution, in the job's units."""
    surface_speed: float | None = None
    """Metres a minute."""
    rpm: float | None = None
    constant_surface_speed: bool = False
    size: str | None = None
    """Centre hole: its pilot's diameter in millimetres ("2.5"); null: the tool's."""
    cusp: str | None = None
    """Step tables: largest cusp that may stay."""
    valleys_only: bool = False
    """Roughing: leave out what is open to the front; another tool has been there."""
    direction: Literal["along", "across"] | None = None
    """Roughing, boring: cuts along the axis, or facing cuts (in a bore from the hole outward);
    null: along. A list that the program proposes begins across where the shape asks for it."""
    to_depth: str | None = None
    """Drilling: depth of the full diameter from the finished face; null: what the bore allows."""
    grooves: tuple[int, ...] | None = None
    """Grooving: numbers (from 1) of the part's grooves; null: all that the tool makes."""
    infeed: Literal["straight", "flank"] | None = None
    """Thread: by the cross slide, or by the top slide along the flank."""
    means: Literal["top slide", "set-over", "taper attachment", "guided", "steps"] | None = None
    """How tapers and arcs are moved; null: the best that the lathe has."""
    reason: str = ""
    """Why it stands here."""


class Setup(_Record, frozen=True):
    """One holding with its own zero."""

    holding: Holding
    name: str = _FIRST
    zero: str = "0"
    """What the readout shows in Z at the finished face in front."""
    pull_out: str | None = None
    """A setup after another: how far the bar is pulled out of the chuck against the one before;
    null: the holding's grip says how it is held."""
    turned: bool = False
    """The part is turned around: its back end is in front, and zero is its finished back face."""
    zero_from: str = ""
    """How Z is found again, in words ("touch the shoulder at Z-22"); empty: the program's."""
    sections: tuple[int, ...] | None = None
    """Numbers of the sections that this setup makes; null: what it can reach."""
    operations: tuple[Operation, ...] | None = None
    """null: the program's proposal."""


class Job(_Record, frozen=True):
    """All that a plan needs, but the shop file."""

    part: PartRecord
    blank: Blank
    lathe: str
    setups: tuple[Setup, ...]
    format: Literal["turnsketch-job"] = "turnsketch-job"
    version: Literal[1] = 1
    units: Units = "mm"
    title: str = ""
    note: str = ""

    def setup_name(self, index: int) -> str:
        """Return what the setup at `index` is called: one that was given no name by its place."""
        name = self.setups[index].name
        if index == 0 or name != _FIRST:
            return name
        return _LATER[index - 1] if index <= len(_LATER) else f"Setup {index + 1}"
