"""Weak necks: places so thin that what they carry is finished before they are turned."""

from __future__ import annotations

from turnsketch.part.outline_records import Outline, ResolvedPart

__all__ = ["in_front_of_weak_neck"]

_WEAK = 0.5
"""A neck thinner than this share of what it carries is turned last (common practice)."""


def in_front_of_weak_neck(part: ResolvedPart, outline: Outline) -> tuple[int, ...]:
    """Return the sections in front of a neck that is too weak to finish them behind it."""
    sections = [s for s in part.sections if s.kind != "face"]
    thickest = 0.0
    for index, section in enumerate(sections):
        reach = max(section.front.r, section.back.r, _crest(outline, section.number))
        if max(section.front.r, section.back.r) < _WEAK * thickest:
            return tuple(s.number for s in sections[:index])
        thickest = max(thickest, reach)
    return ()


def _crest(outline: Outline, number: int) -> float:
    """Return the greatest radius of a section."""
    shapes = [e.shape for e in outline.elements if e.section == number]
    return max((p.r for shape in shapes for p in shape.chords(0.1)), default=0.0)
