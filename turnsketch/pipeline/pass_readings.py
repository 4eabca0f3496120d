"""What the readout shows at the end of each move of a pass, rounded as the draft asks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from turnsketch.plan_records import Move, Reading
from turnsketch.planning.draft import DraftMove, DraftPass
from turnsketch.readings.moves import Rounder
from turnsketch.rounding import RoundMode

__all__ = ["readings_of"]

_RANK = {"nearest": 0, "toward chuck": 1, "keep metal": 1, "aim": 2}


def readings_of(rounder: Rounder, draft: DraftPass, moves: Sequence[Move]) -> tuple[Reading, ...]:
    """Return one reading per move.

    A wheel that is not turned keeps its figure: all moves of a pass that stand at the same X (or
    Z) show the same, rounded as the most particular of them asks.
    """
    x_modes = _strictest((m.move.to.r, m.x_mode) for m in draft.moves)
    z_modes = _strictest((m.move.to.z, m.z_mode) for m in draft.moves)
    result: list[Reading] = []
    for drafted, move in zip(draft.moves, moves, strict=True):
        x_mode, z_mode = x_modes[_key(drafted.move.to.r)], z_modes[_key(drafted.move.to.z)]
        reading = rounder.read(
            move.to, _round_mode(x_mode, inside=draft.inside), _round_mode(z_mode)
        )
        x = _finish_x(rounder, drafted, draft) if x_mode == "aim" else None
        result.append(reading if x is None else Reading(x, reading.z))
    return tuple(result)


def _round_mode(mode: str, *, inside: bool = False) -> RoundMode:
    if mode == "toward chuck":
        return "down"
    if mode != "keep metal":
        return "nearest"
    return "down" if inside else "up"


def _finish_x(rounder: Rounder, drafted: DraftMove, draft: DraftPass) -> float | None:
    """Return the X inside the limits when the move stands on the toleranced diameter."""
    size = draft.size
    if size is None or size.lower is None or size.upper is None:
        return None
    if abs(2 * drafted.move.to.r - size.diameter) > 1e-6:
        return None
    inside = rounder.finish_x(size.diameter, size.lower, size.upper)
    # No step lies inside: the figure that leaves metal, and a finding says so.
    left = rounder.read_keep_metal(drafted.move.to, outside=not draft.inside)
    return left.x if inside is None else inside


def _strictest(pairs: Iterable[tuple[float, str]]) -> dict[float, str]:
    found: dict[float, str] = {}
    for value, mode in pairs:
        key = _key(value)
        if key not in found or _RANK[mode] > _RANK[found[key]]:
            found[key] = mode
    return found


def _key(value: float) -> float:
    return round(value, 7) + 0.0
