"""Corners fitted beside one another, and what is said of one that does not fit."""

from __future__ import annotations

import math
from collections.abc import Sequence

from turnsketch.errors import InputError
from turnsketch.geometry.constants import EXACT
from turnsketch.geometry.intersect import turn_between
from turnsketch.part.corners import SMOOTH_TURN, CornerCut, cut_corner, greatest_size
from turnsketch.part.outline_checks import in_words, length_text
from turnsketch.part.outline_records import CornerSpec, OutlineElement
from turnsketch.units import Units, from_mm

__all__ = ["cut_corners"]


def cut_corners(
    chain: Sequence[OutlineElement], corners: Sequence[CornerSpec], units: Units
) -> dict[int, CornerCut]:
    """Return the cut of every corner by its vertex, each fitted beside those before it.

    Parameters
    ----------
    chain : sequence of OutlineElement
        Sharp elements, checked by `turnsketch.part.outline_checks.check_chain`.
    corners : sequence of CornerSpec
        In any order.
    units : "mm" or "inch"
        For the wording of errors alone.

    Raises
    ------
    InputError
        A corner stands on the axis or twice, has no size, has nothing to stand on, or is too
        large beside its neighbours. The place, the neighbour and the greatest size are named.
    """
    cuts: dict[int, CornerCut] = {}
    specs: dict[int, CornerSpec] = {}
    for spec in sorted(corners, key=lambda spec: spec.vertex):
        where = _where(spec)
        if not 1 <= spec.vertex < len(chain):
            raise InputError(
                f"{_text(spec)} stands on the axis, where there is no corner; take it out", where
            )
        if spec.vertex in cuts:
            raise InputError(
                f"{_text(spec)} stands where {_text(specs[spec.vertex])} already is; give the "
                "corner once",
                where,
            )
        _check_spec(spec, where)
        cuts[spec.vertex] = _fitted(chain, spec, cuts, specs, units)
        specs[spec.vertex] = spec
    return cuts


def _check_spec(spec: CornerSpec, where: str) -> None:
    if not (math.isfinite(spec.size) and spec.size > 0.0):
        raise InputError(f"{_text(spec)} has no size; give a length above zero", where)
    if spec.kind == "chamfer" and not 0.0 < spec.angle < math.pi / 2.0:
        raise InputError(
            f"{_text(spec)} needs an angle to the axis between 0° and 90°; write 1x45°", where
        )


def _fitted(
    chain: Sequence[OutlineElement],
    spec: CornerSpec,
    cuts: dict[int, CornerCut],
    specs: dict[int, CornerSpec],
    units: Units,
) -> CornerCut:
    before, after = chain[spec.vertex - 1].shape, chain[spec.vertex].shape
    taken = cuts[spec.vertex - 1].from_after if spec.vertex - 1 in cuts else 0.0
    room_before, room_after = before.length - taken + EXACT, after.length + EXACT
    cut = cut_corner(before, after, spec)
    if cut and cut.from_before <= room_before and cut.from_after <= room_after:
        return cut
    turn = turn_between(before.end_direction, after.start_direction)
    if abs(turn) <= SMOOTH_TURN:
        raise InputError(
            f"{_text(spec)} has no corner to stand on: {in_words(chain, spec.vertex - 1)} runs "
            f"into {in_words(chain, spec.vertex)} without a kink; take it out",
            _where(spec),
        )
    size, best = greatest_size(before, after, spec, room_before, room_after)
    if best is None or size < EXACT:
        raise InputError(_no_fit(chain, spec), _where(spec))
    beside = specs.get(spec.vertex - 1)
    raise InputError(
        _too_large(chain, spec, size, best, room_before, room_after, beside, units), _where(spec)
    )


def _no_fit(chain: Sequence[OutlineElement], spec: CornerSpec) -> str:
    pair = f"{in_words(chain, spec.vertex - 1)} and {in_words(chain, spec.vertex)}"
    if spec.kind == "chamfer":
        return f"the slope of {_text(spec)} does not lie between {pair}; give another angle"
    return f"{_text(spec)} does not fit between {pair}; take it out or give another radius"


def _too_large(
    chain: Sequence[OutlineElement],
    spec: CornerSpec,
    size: float,
    best: CornerCut,
    room_before: float,
    room_after: float,
    beside: CornerSpec | None,
    units: Units,
) -> str:
    """Return "R5 is too large for the 4.00 mm shoulder: at most R4.00"."""
    short = spec.vertex - 1
    if room_after - best.from_after < room_before - best.from_before:
        short, beside = spec.vertex, None
    element = chain[short]
    name = in_words(chain, short).removeprefix("the ").split(" behind")[0]
    if element.section is not None:
        name = element.role
        if element.section != spec.section:
            name += f" of section {element.section}"
    other = f" beside the {_text(beside)} at its other end" if beside else ""
    return (
        f"{_text(spec)} is too large for the {length_text(element.shape.length, units)} {name}"
        f"{other}: at most {_size_text(spec, size, units)}"
    )


def _size_text(spec: CornerSpec, size: float, units: Units) -> str:
    digits = 3 if units == "inch" else 2
    value = math.floor(from_mm(size, units) * 10**digits + 1e-6) / 10**digits
    if spec.kind == "round":
        return f"R{value:.{digits}f}"
    return f"{value:.{digits}f}x{math.degrees(spec.angle):g}°"


def _text(spec: CornerSpec) -> str:
    return spec.text or spec.kind


def _where(spec: CornerSpec) -> str:
    return (
        f"corner {spec.index}"
        if spec.section is None
        else (f"section {spec.section}, {spec.end} corner")
    )
