"""What can't be an outline although its dimensions are met: each fault names its section."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from turnsketch.geometry.constants import CLOSE, EXACT
from turnsketch.part.equations import Direction, centre_of, direction_of
from turnsketch.part.levels import Levels
from turnsketch.part.sketch_records import Sketch
from turnsketch.part.wording import length_words

__all__ = ["Fault", "faults_of"]

_REVERSAL: Final = -1.0 + 1e-7
"""Cosine of the turn from which on a vertex is a cusp: 0.026 degrees short of straight back."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One section that can't be as it came out."""

    section: int
    """Number in the sketch, from 0."""
    what: str
    """What is wrong and the remedy, to stand behind the section's name."""


def faults_of(
    sketch: Sketch, levels: Levels, x: Sequence[float], sections: Iterable[int]
) -> list[Fault]:
    """Return the faults of some sections: running backwards, wrong side, below the axis, cusps.

    Parameters
    ----------
    sketch, levels : Sketch, Levels
        The print and the numbers of its quantities.
    x : sequence of float
        The quantities.
    sections : iterable of int
        Numbers in the sketch; a cusp counts when both its sections are among them.
    """
    chosen = set(sections)
    found: list[Fault] = []
    for i in sorted(chosen):
        fault = _run(sketch, levels, x, i) or _side(sketch, levels, x, i)
        if fault is None and i + 1 in chosen:
            fault = _cusp(sketch, levels, x, i)
        if fault is not None:
            found.append(Fault(i, fault))
    return found


def _run(sketch: Sketch, levels: Levels, x: Sequence[float], i: int) -> str | None:
    """Say whether a section runs toward the front, has no length, or lies below the axis."""
    e, section = levels.ends(i), sketch.sections[i]
    if section.kind == "face":
        return None
    if _lowest(levels, x, i) < -CLOSE:
        return "goes below the axis; check its diameters"
    length = x[e.zp] - x[e.zq]
    if length < -CLOSE:
        back = length_words(-length, sketch.units)
        return (
            f"runs backwards: its back end lies {back} in front of its front end; "
            "check the lengths on both sides"
        )
    if math.hypot(length, x[e.rq] - x[e.rp]) < CLOSE or (section.kind != "arc" and length < EXACT):
        return "has no length; check the lengths on both sides, or leave it out"
    return None


def _lowest(levels: Levels, x: Sequence[float], i: int) -> float:
    """Return the least r of a section."""
    e = levels.ends(i)
    lowest = min(x[e.rp], x[e.rq])
    if e.bulge is None:
        return lowest
    z, r = centre_of(x[e.zp], x[e.rp], x[e.zq], x[e.rq], x[e.bulge])
    radius = math.hypot(x[e.zp] - z, x[e.rp] - r)
    if r - radius >= -CLOSE or radius < CLOSE:
        return lowest
    sweep = 4.0 * math.atan(x[e.bulge])
    start = math.atan2(x[e.rp] - r, x[e.zp] - z)
    to_bottom = (math.copysign(1.0, sweep) * (-math.pi / 2 - start)) % (2.0 * math.pi)
    return r - radius if to_bottom < abs(sweep) else lowest


def _side(sketch: Sketch, levels: Levels, x: Sequence[float], i: int) -> str | None:
    section, bulge = sketch.sections[i], levels.bulge.get(i)
    if bulge is None or section.sense is None:
        return None
    if (x[bulge] > 0) == (section.sense == "convex"):
        return None
    other = "concave" if section.sense == "convex" else "convex"
    return f"comes out {other}; check its radius and ends, or call it {other}"


def _cusp(sketch: Sketch, levels: Levels, x: Sequence[float], i: int) -> str | None:
    az, ar, _ = direction_of(_heading(levels, i, False), x)
    bz, br, _ = direction_of(_heading(levels, i + 1, True), x)
    size = math.hypot(az, ar) * math.hypot(bz, br)
    if size < CLOSE * CLOSE or az * bz + ar * br > _REVERSAL * size:
        return None
    return (
        f"meets {sketch.sections[i + 1].words} in a cusp, turning straight back; "
        "check the sizes of both"
    )


def _heading(levels: Levels, i: int, at_start: bool) -> Direction:
    return Direction(ends=levels.ends(i), at="start" if at_start else "end")
