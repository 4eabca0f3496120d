"""The motions of a pass as hands make them, and what its readings say of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from turnsketch.plan_records import Move, Pass, Reading

__all__ = [
    "Motion",
    "continues",
    "diameter_left",
    "finished_x",
    "joined_pair",
    "main_cut",
    "main_readings",
    "motions_of",
    "parts_of",
    "same_way",
    "set_x_of",
    "under_power",
]

_LEAST_POWER_MM = 2.0
"""A way shorter than this is over before the lever is thrown (common practice): by hand."""

Axis = Literal["X", "Z", "XZ", "arc"]


@dataclass(frozen=True, slots=True)
class Motion:
    """One motion as a hand makes it."""

    cut: bool
    axis: Axis
    before: Reading
    after: Reading


def _single(move: Move, before: Reading, after: Reading) -> list[Motion]:
    """Return the motions of one move; a slanting way through air is one wheel after the other.

    Away from the axis X goes first, toward it Z goes first, so the corner of the way is always on
    the side away from the work.
    """
    dx, dz = after.x != before.x, after.z != before.z
    cut = move.kind != "position"
    if cut and move.centre is not None:
        return [Motion(True, "arc", before, after)]
    if dx and dz:
        if cut:
            return [Motion(True, "XZ", before, after)]
        out = after.x > before.x
        corner = Reading(after.x, before.z) if out else Reading(before.x, after.z)
        axes: tuple[Axis, Axis] = ("X", "Z") if out else ("Z", "X")
        return [Motion(False, axes[0], before, corner), Motion(False, axes[1], corner, after)]
    if dx or dz:
        return [Motion(cut, "X" if dx else "Z", before, after)]
    return []


def motions_of(step: Pass) -> list[Motion]:
    """Return every motion of a pass in order; moves that the readout does not show are left out.

    What follows a later cut in the same direction is the same turn of the same wheel (facing out
    along a shoulder and on into the air), so the two are one motion. The first cut keeps its end.
    """
    here, found = step.start_reading, list[Motion]()
    first_cut: int | None = None
    for move, reading in zip(step.moves, step.readings, strict=True):
        for motion in _single(move, here, reading):
            later = first_cut is not None and first_cut < len(found) - 1
            if later and continues(found[-1], motion):
                found[-1] = Motion(found[-1].cut, motion.axis, found[-1].before, motion.after)
            else:
                found.append(motion)
            if first_cut is None and motion.cut:
                first_cut = len(found) - 1
        here = reading
    return found


def continues(first: Motion, then: Motion) -> bool:
    """Tell whether `then` goes on where `first` went: same wheel, same way, no new cut."""
    return not then.cut and same_way(first, then)


def same_way(first: Motion, then: Motion) -> bool:
    """Tell whether two motions turn one wheel in one direction."""
    if first.axis != then.axis or then.axis not in ("X", "Z"):
        return False
    one = (first.after.x - first.before.x) + (first.after.z - first.before.z)
    two = (then.after.x - then.before.x) + (then.after.z - then.before.z)
    return one * two > 0


def joined_pair(
    first: Sequence[Motion], then: Sequence[Motion], home_z: float | None = None
) -> tuple[list[Motion], list[Motion]] | None:
    """Join the ends of two passes of one tool where the Z wheel would turn back and forth.

    The first goes back along Z and the next begins along Z, both at one X in the air: that is one
    turn of one wheel, and the tool stays inside the way that was planned. A measure stop between
    them needs the way back, so there nothing may be joined. `home_z` is where the carriage stood
    locked while the top slide cut and came back.

    Returns
    -------
    tuple of list, or None
        The motions of both passes; None when they do not meet like this.
    """
    if not _turns_back(first, then):
        return None
    stay, goal = first[-1].before, then[0].after
    if home_z is not None:
        stay = Reading(stay.x, home_z)
    rest = list(then[1:])
    return list(first[:-1]), rest if stay == goal else [Motion(False, "Z", stay, goal), *rest]


def _turns_back(first: Sequence[Motion], then: Sequence[Motion]) -> bool:
    """Tell whether two ways meet in one Z wheel in the air, beyond the last cut of the first."""
    if len(first) < 2 or not then or first[-1].cut or then[0].cut or first[-2].axis != "X":
        return False
    if first[-1].axis != "Z" or then[0].axis != "Z":
        return False
    low, high = sorted((first[-1].before.z, first[-1].after.z))
    return first[-1].after == then[0].before and low <= then[0].after.z <= high


def parts_of(
    step: Pass, way: Sequence[Motion] | None = None
) -> tuple[list[Motion], list[Motion], list[Motion]]:
    """Split a pass into the way to the first cut, the cuts, and the way off."""
    every = motions_of(step) if way is None else list(way)
    cuts = [i for i, motion in enumerate(every) if motion.cut]
    if not cuts:
        return every, [], []
    return every[: cuts[0]], every[cuts[0] : cuts[-1] + 1], every[cuts[-1] + 1 :]


def set_x_of(step: Pass) -> float | None:
    """Return the X (display units) that a turning pass is set to; None for others.

    A thread fed by the top slide has none: X stands still from pass to pass.
    """
    if step.direction == "drill" or (step.thread is not None and step.thread.infeed == "flank"):
        return None
    _, core, _ = parts_of(step)
    if step.taper is not None and core:
        return main_cut(core).before.x
    return core[0].before.x if core and core[0].axis != "X" else None


def main_cut(core: Sequence[Motion]) -> Motion:
    """Return the cut along the taper, behind a plunge that leads to it; else the first cut."""
    return next((motion for motion in core if motion.axis == "XZ"), core[0])


def main_readings(step: Pass) -> tuple[Reading, Reading]:
    """Return the readings before and after the cut that matters.

    Of a taper it is the cut along it, of an arc or a step table all cuts, else the longest cut.
    """
    readings = (step.start_reading, *step.readings)
    cuts = [i for i, move in enumerate(step.moves) if move.kind != "position"]
    if not cuts:
        return readings[0], readings[-1]

    def ways(index: int) -> tuple[float, float]:
        a, b = readings[index], readings[index + 1]
        return abs(b.x - a.x) / 2, abs(b.z - a.z)

    if step.direction == "taper":
        cuts = [index for index in cuts if all(ways(index))] or cuts
    if step.direction in ("taper", "arc", "steps"):
        return readings[cuts[0]], readings[cuts[-1] + 1]
    longest = max(cuts, key=lambda index: sum(ways(index)))
    return readings[longest], readings[longest + 1]


def diameter_left(step: Pass) -> float | None:
    """Return the diameter (display units) that a pass along a cylinder leaves; None for others."""
    _, core, _ = parts_of(step)
    if step.direction != "turn" or step.steps is not None or not core or core[0].axis != "Z":
        return None
    return core[0].after.x


def finished_x(step: Pass) -> float | None:
    """Return the X (display units) of the longest cut along a cylinder, also behind a plunge."""
    cuts = [motion for motion in motions_of(step) if motion.cut and motion.axis == "Z"]
    longest = max(cuts, key=lambda m: abs(m.after.z - m.before.z), default=None)
    return None if longest is None else longest.after.x


def under_power(step: Pass) -> bool:
    """Tell whether a pass is fed by power: not where the lever would go out as soon as it is in."""
    if not step.power or not step.feed_mm_per_rev:
        return False
    here = step.start
    for move in step.moves:
        if move.kind == "cut" and step.power_until is not None:
            across = step.direction in ("face", "plunge")
            begins, ends = (here.r, move.to.r) if across else (here.z, move.to.z)
            way = (step.power_until - begins) * (1 if ends >= begins else -1)
            return abs(ends - begins) < 1e-9 or way >= _LEAST_POWER_MM
        here = move.to
    return True
