"""The job: part, blank, lathe and setups, one immutable value of strings, numbers and tuples.

No geometry and no array stands in it. Sizes are dimension text, as typed. Constructors do not
validate: `turnsketch.document` holds the one door through which a job comes in.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from turnsketch.part.records import PartRecord
from turnsketch.units import Units

__all__ = ["Blank", "Holding", "Job", "Operation", "OperationKind", "Setup"]

OperationKind = Literal["face", "rough", "finish", "chamfer", "part off"]


class _Record(msgspec.Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Base of the job's records."""


class Blank(_Record, frozen=True):
    """The piece of bar before the first cut."""

    diameter: str
    length: str
    front: str = "1"
    """How far the raw front face stands in front of the finished one."""
    shape: Literal["round"] = "round"
    skin: Literal["black", "bright"] = "bright"


class Holding(_Record, frozen=True):
    """How the blank is held."""

    device: str
    """Name of a chuck or collet in the shop file."""
    grip: str
    """Length of blank inside the jaws."""
    centre: bool = False
    """The tailstock centre supports the front end."""


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
    cusp: str | None = None
    """Step tables: largest cusp that may stay."""
    valleys_only: bool = False
    """Roughing: leave out what is open to the front; another tool has been there."""
    means: Literal["top slide", "set-over", "taper attachment", "guided", "steps"] | None = None
    """How tapers and arcs are moved; null: the best that the lathe has."""
    reason: str = ""
    """Why it stands here."""


class Setup(_Record, frozen=True):
    """One holding with its own zero."""

    holding: Holding
    name: str = "First setup"
    zero: str = "0"
    """What the readout shows in Z at the finished front face."""
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
