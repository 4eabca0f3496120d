"""The exact outline: sharp elements with their chamfers and rounds put on, and its joins.

Joins are flagged by construction: a round's ends are smooth because it was built tangent, others
because the solver's equations say so. Only where neither speaks are directions compared, with the
tolerance `turnsketch.part.corners.SMOOTH_TURN`.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from turnsketch.errors import InputError
from turnsketch.geometry.constants import EXACT
from turnsketch.geometry.intersect import turn_between
from turnsketch.part.corners import SMOOTH_TURN, CornerCut
from turnsketch.part.fitting import cut_corners
from turnsketch.part.outline_checks import check_chain, check_crossings, in_words
from turnsketch.part.outline_records import (
    CornerInfo,
    CornerSpec,
    JoinKind,
    Outline,
    OutlineElement,
    ResolvedPart,
)
from turnsketch.units import Units

__all__ = ["build_outline", "outline_without", "sharp_outline"]


@dataclass(slots=True)
class _Piece:
    """An element on its way into the outline."""

    element: OutlineElement
    smooth_before: bool
    """Its join with the piece before is smooth by construction."""


def build_outline(
    chain: Sequence[OutlineElement],
    corners: Sequence[CornerSpec] = (),
    smooth: Collection[int] = (),
    units: Units = "mm",
) -> tuple[Outline, tuple[CornerInfo, ...]]:
    """Return the outline with its chamfers and rounds, and what stands at each corner.

    Parameters
    ----------
    chain : sequence of OutlineElement
        Sharp elements from the axis at the front, outward and back to the axis; each begins
        where the one before ends, within 1e-9 mm.
    corners : sequence of CornerSpec
        At most one for each vertex.
    smooth : collection of int
        Vertices (element ``v - 1`` meets element ``v``) that are tangent by the solver's equations.
    units : "mm" or "inch"
        For the wording of errors alone.

    Raises
    ------
    InputError
        A section runs backwards, has no length, goes below the axis or crosses another; a chamfer
        or round has no corner, stands twice, or is too large. The place is named.
    """
    check_chain(chain, units)
    cuts = cut_corners(chain, corners, units)
    pieces = _pieces(chain, cuts, corners, frozenset(smooth))
    elements, smooth_joins = _welded(pieces)
    outline = Outline(elements, _joins(elements, smooth_joins))
    check_crossings(outline.elements, units)
    return outline, tuple(_info(chain, spec) for spec in corners)


def sharp_outline(
    chain: Sequence[OutlineElement], smooth: Collection[int] = (), units: Units = "mm"
) -> Outline:
    """Return the outline without any chamfer or round. Errors as in `build_outline`."""
    return build_outline(chain, (), smooth, units)[0]


def outline_without(part: ResolvedPart, corners: Collection[int]) -> Outline:
    """Return the aimed outline with the chosen chamfers and rounds left sharp.

    Parameters
    ----------
    part : ResolvedPart
        As `turnsketch.part.resolve` gives it, with its sharp outline.
    corners : collection of int
        `CornerInfo.index` of the corners to leave sharp; numbers of no corner are passed over.

    Raises
    ------
    InputError
        The part holds no sharp outline, or the sharp outline crosses itself.
    """
    if part.sharp is None:
        raise InputError("the part holds no sharp outline; resolve it from its record", part.name)
    kept = [spec for spec in part.corner_specs if spec.index not in corners]
    smooth = [i + 1 for i, join in enumerate(part.sharp.joins) if join == "smooth"]
    return build_outline(part.sharp.elements, kept, smooth)[0]


def _pieces(
    chain: Sequence[OutlineElement],
    cuts: dict[int, CornerCut],
    corners: Sequence[CornerSpec],
    smooth: frozenset[int],
) -> list[_Piece]:
    """Return the trimmed elements with chamfers and rounds between them."""
    specs = {spec.vertex: spec for spec in corners}
    pieces: list[_Piece] = []
    for index, element in enumerate(chain):
        start, end = element.shape.start, element.shape.end
        if index in cuts:
            start = cuts[index].shape.end
        if index + 1 in cuts:
            end = cuts[index + 1].shape.start
        rounded = index in cuts and specs[index].kind == "round"
        shape = replace(element.shape, start=start, end=end)
        pieces.append(_Piece(replace(element, shape=shape), rounded or index in smooth))
        if index + 1 in cuts:
            spec = specs[index + 1]
            pieces.append(
                _Piece(
                    OutlineElement(cuts[index + 1].shape, spec.section, spec.kind, spec.index),
                    spec.kind == "round",
                )
            )
    return pieces


def _welded(pieces: Sequence[_Piece]) -> tuple[tuple[OutlineElement, ...], list[bool]]:
    """Drop what corners took whole, and let every element begin exactly where the last ended.

    Returns
    -------
    tuple of elements and list of bool
        For each join whether it is smooth by construction; past a dropped element only when both
        of its joins were.
    """
    kept: list[OutlineElement] = []
    joins: list[bool] = []
    pending = True
    for piece in pieces:
        pending = pending and piece.smooth_before
        shape = piece.element.shape
        if shape.start.distance(shape.end) <= EXACT and len(pieces) > 1:
            continue
        if kept:
            joins.append(pending)
            shape = replace(shape, start=kept[-1].shape.end)
        kept.append(replace(piece.element, shape=shape))
        pending = True
    return tuple(kept), joins


def _joins(elements: Sequence[OutlineElement], smooth: Sequence[bool]) -> tuple[JoinKind, ...]:
    joins: list[JoinKind] = []
    for index, by_construction in enumerate(smooth):
        before, after = elements[index].shape, elements[index + 1].shape
        if by_construction:
            joins.append("smooth")
            continue
        turn = turn_between(before.end_direction, after.start_direction)
        if math.pi - abs(turn) <= SMOOTH_TURN:
            raise InputError(
                f"folds back on {in_words(elements, index)}; check the sizes of both",
                in_words(elements, index + 1),
            )
        if abs(turn) <= SMOOTH_TURN:
            joins.append("smooth")
        else:
            joins.append("convex" if turn > 0.0 else "reflex")
    return tuple(joins)


def _info(chain: Sequence[OutlineElement], spec: CornerSpec) -> CornerInfo:
    before, after = chain[spec.vertex - 1], chain[spec.vertex]
    turn = turn_between(before.shape.end_direction, after.shape.start_direction)
    return CornerInfo(
        index=spec.index,
        kind=spec.kind,
        convex=turn > 0.0,
        at=before.shape.end,
        size=spec.size,
        angle=spec.angle if spec.kind == "chamfer" else 0.0,
        text=spec.text,
        between=(before.section, after.section),
    )
