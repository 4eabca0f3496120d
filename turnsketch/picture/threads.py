"""Threads in drawings after ISO 6410-1: roots as a thin line, the end of the thread as a thick one.

The crests are the part's own outline. Both lines stand on both sides of the axis.
"""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.geometry.elements import Point
from turnsketch.picture.display_list import Stroke
from turnsketch.plan_records import SetupPlan, ThreadMark

__all__ = ["thread_strokes"]

_SAME = 1e-6
_OPERATIONS = ("thread", "tap", "die")


def thread_strokes(setup: SetupPlan, until: int | None = None) -> Iterator[Stroke]:
    """Yield the lines of a setup's threads.

    Parameters
    ----------
    setup : SetupPlan
        Its `threads`, in its frame.
    until : int, optional
        Number of an operation: only threads that it or one before it cuts.
    """
    ends = {p.z for ring in setup.part for p in ring}
    made = {
        p.section
        for p in setup.passes
        if p.operation in _OPERATIONS and (until is None or p.operation_number <= until)
    }
    for mark in setup.threads:
        if until is None or mark.section in made:
            for half in (1, -1):
                yield from _lines(mark, half, ends)


def _lines(mark: ThreadMark, half: int, ends: set[float]) -> Iterator[Stroke]:
    low, high = mark.z
    root, crest = half * mark.root_r, half * mark.crest_r
    yield Stroke((Point(low, root), Point(high, root)), "narrow")
    for z in mark.z:
        # Where the outline itself ends the thread, its line stands there already.
        if all(abs(z - end) > _SAME for end in ends):
            yield Stroke((Point(z, crest), Point(z, root)), "outline")
