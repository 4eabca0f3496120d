"""Jobs for drawn parts: a bar that is large enough, a chuck that takes it, a grip that holds it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hypothesis import strategies as st

from tests.strategies import part_records
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import PartRecord
from turnsketch.part.resolve import resolve
from turnsketch.units import Units, from_mm

__all__ = ["LATHES", "Bench", "fitting_job", "fitting_jobs"]


@dataclass(frozen=True)
class Bench:
    """A lathe of the demo shop with the unit in which its readout is used."""

    lathe: str
    units: Units


LATHES = (Bench("Slipway 1", "mm"), Bench("Slipway 2", "mm"), Bench("Boathouse", "inch"))
"""Hand wheels alone, guided moves, hand wheels in inches."""

_BEHIND_MM = 12.0
"""Bar between the part's back face and the jaws: blade, overrun and clearance."""


def fitting_job(part: PartRecord, bench: Bench, extra: float = 2.0, front: float = 1.0) -> Job:
    """Return a job for `part` in a bar that is `extra` thicker than it at least.

    Parameters
    ----------
    extra : float
        On diameter, millimetres.
    front : float
        Raw face in front of the finished one, millimetres; both are rounded in the job's units.
    """
    resolved = resolve(part, bench.units)
    diameter = resolved.greatest_diameter + extra
    grip = 20.0 if diameter < 40 else 28.0
    length = resolved.total_length + front + _BEHIND_MM + grip
    device = "Three-jaw 125" if diameter < 100 else "Three-jaw 160"
    return Job(
        part=part,
        blank=Blank(_up(diameter, bench), _up(length, bench), _up(front, bench)),
        lathe=bench.lathe,
        setups=(Setup(Holding(device, _up(grip, bench))),),
        units=bench.units,
    )


def _up(size_mm: float, bench: Bench) -> str:
    """Return a size as text, rounded up to a whole millimetre or a sixteenth of an inch."""
    if bench.units == "mm":
        return str(math.ceil(size_mm - 1e-9))
    return f"{math.ceil(16 * from_mm(size_mm, 'inch') - 1e-9) / 16:.4f}"


@st.composite
def fitting_jobs(draw: st.DrawFn, bench: Bench, most: int = 2) -> Job:
    """Return a job for a drawn part of a few sections."""
    part = draw(part_records(bench.units, most))
    return fitting_job(part, bench, draw(st.floats(0.5, 6.0)), draw(st.floats(0.3, 2.0)))
