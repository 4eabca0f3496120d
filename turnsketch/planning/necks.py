"""Weak necks: places so thin that what they carry is finished before they are turned."""

from __future__ import annotations

from turnsketch.part.outline_records import Outline, ResolvedGroove, ResolvedPart
from turnsketch.part.records import AT_SHOULDER

__all__ = ["in_front_of_weak_neck", "weak_cores"]

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


def weak_cores(part: ResolvedPart) -> tuple[ResolvedGroove, ...]:
    """Return the grooves outside whose core is too weak to work behind: they are cut last.

    The core is measured against the thickest of what it carries, as a turned neck is. Reliefs
    serve what comes after them: they cannot be the last.
    """
    return tuple(
        g
        for g in part.grooves
        if not g.inside
        and g.kind not in AT_SHOULDER
        and g.diameter.aim / 2 < _WEAK * _carried(part, g)
    )


def _carried(part: ResolvedPart, groove: ResolvedGroove) -> float:
    """Return the greatest radius of the part from its front as far as a groove's back wall."""
    back = min(p.z for e in groove.elements for p in (e.start, e.end))
    ends = [p for s in part.sections for p in (s.front, s.back) if p.z >= back - 1e-6]
    own = [p for s in part.sections if s.number == groove.section for p in (s.front, s.back)]
    return max((p.r for p in (*ends, *own)), default=0.0)


def _crest(outline: Outline, number: int) -> float:
    """Return the greatest radius of a section."""
    shapes = [e.shape for e in outline.elements if e.section == number]
    return max((p.r for shape in shapes for p in shape.chords(0.1)), default=0.0)
