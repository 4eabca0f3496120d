"""The words of single motions: where a cut begins and ends, what a wheel does behind it."""

from __future__ import annotations

from collections.abc import Sequence

from turnsketch.plan_records import Pass
from turnsketch.sheet.motions import Motion, under_power
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import RowText
from turnsketch.units import from_mm

__all__ = [
    "MOST_MOTIONS",
    "chunks_of",
    "cut_to_text",
    "needs_words",
    "phrase",
    "power_until_text",
    "setting_text",
]

MOST_MOTIONS = 4


def phrase(motion: Motion, numbers: Numbers) -> str:
    """Return a motion after the first cut in words."""
    to = motion.after
    outward = to.x > motion.before.x
    x, z = numbers.x_place(to.x), numbers.z_place(to.z)
    if not motion.cut:
        return z if motion.axis == "Z" else f"X {'out' if outward else 'in'} {x[2:]}"
    full_x, full_z = f"X {numbers.x(to.x)}", f"Z {numbers.z(to.z)}"
    if motion.axis == "Z":
        return f"turn to {full_z}"
    if motion.axis == "X":
        # Facing out ends in the air beyond the shoulder, facing in ends on a surface.
        return f"face out to {x}" if outward else f"face in to {full_x}"
    return f"{'arc' if motion.axis == 'arc' else 'taper'} to {full_x}, {full_z}"


def cut_to_text(motion: Motion, numbers: Numbers, *, x_stands: bool = False) -> str:
    """Return the end of a cut with every decimal; only Z where the X slide does not move."""
    x, z = f"X {numbers.x(motion.after.x)}", f"Z {numbers.z(motion.after.z)}"
    if motion.axis == "X":
        return x
    return z if motion.axis == "Z" or x_stands else f"{x}\n{z}"


def power_until_text(step: Pass, numbers: Numbers) -> str:
    """Return where the lever of the power feed goes out; empty where the hand feeds all of it."""
    if not under_power(step) or step.power_until is None:
        return ""
    # A plunge may come first: the lever is for the cut that goes beyond the place.
    ends = [move.to for move in step.moves if move.kind == "cut"]
    if step.direction in ("face", "plunge"):
        x = from_mm(2 * step.power_until, numbers.units)
        falls = any(to.r < step.power_until for to in ends)
        return numbers.x_place(numbers.before(x, -1.0 if falls else 1.0))
    z = from_mm(step.power_until, numbers.units)
    falls = any(to.z < step.power_until for to in ends)
    return numbers.z_place(numbers.before(z, -1.0 if falls else 1.0))


def setting_text(first: Motion, numbers: Numbers) -> tuple[str, str]:
    """Return (from, set) of the first cut."""
    at = first.before
    if first.axis == "X":
        return numbers.x_place(at.x), f"Z {numbers.z(at.z)}"
    return numbers.z_place(at.z), numbers.x(at.x)


def chunks_of(motions: Sequence[Motion], numbers: Numbers) -> list[RowText]:
    """Put motions that found no room into rows of their own; the last way off is the way back."""
    rows = []
    for index in range(0, len(motions), MOST_MOTIONS):
        part = list(motions[index : index + MOST_MOTIONS])
        count = len(part)
        cut_to = cut_to_text(part.pop(0), numbers) if part[0].cut else ""
        last = bool(cut_to) and index + MOST_MOTIONS >= len(motions)
        back = phrase(part.pop(), numbers) if last and part and not part[-1].cut else ""
        then = tuple(phrase(m, numbers) for m in part)
        rows.append(RowText("", "", cut_to, "", then, back, count))
    return rows


def needs_words(way: list[Motion], first: Motion) -> bool:
    """Tell whether the way to a row must be told: "from" tells a single motion along the cut."""
    return len(way) > 1 or (bool(way) and way[0].axis != first.axis)
