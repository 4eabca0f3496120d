"""Faces that a print leaves to be understood: where two sections meet without one.

Where two recorded sections meet, the rule is, in this order:

1. An explicit face meets both its neighbours directly.
2. Where tangency is asked, the two meet directly.
3. Between two cylinders stands a shoulder, unless both carry the very same text.
4. A taper, an arc or a cylinder *has its own diameter* at that end when the print gives one there
   (a reference in brackets is none), or when it is a taper whose other diameter, angle and axial
   length are given: that is how a cone with only its large diameter printed keeps its shoulder
   toward a thinner thread. A taper without any diameter starts at that of the section in front.
5. Where both have their own and the two differ, a shoulder stands between them; otherwise they
   meet directly, and the one without takes its neighbour's.

The part begins on the axis with a front face, unless the first section is a face, is an arc
without a front diameter that is not tangent there (a ball's pole), or has the front diameter 0.
The back is the same the other way round.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from turnsketch.part.sketch_records import PRINT_ROUNDING_MM, End, SketchSection

__all__ = ["understood_faces", "with_faces"]


def understood_faces(
    read: Sequence[SketchSection], lengths: Sequence[Fraction | None]
) -> list[bool]:
    """Say for every joint, front and back included, whether an understood face stands there."""
    gaps = [_leaves_axis(read[0], "front")]
    before = _own_diameter(read[0], "back", lengths[0], None)
    for i in range(1, len(read)):
        after = _own_diameter(read[i], "front", lengths[i], None)
        gaps.append(_has_shoulder(read[i - 1], read[i], before, after))
        begins = before if not gaps[-1] and after is None else after
        before = _own_diameter(read[i], "back", lengths[i], begins)
    gaps.append(_leaves_axis(read[-1], "back"))
    return gaps


def _leaves_axis(section: SketchSection, end: End) -> bool:
    """Whether a face stands between the axis and that end of the first or last section."""
    if section.kind == "face":
        return False
    if section.kind == "cylinder":
        return True
    diameter = section.end_diameter(end)
    if diameter is not None:
        return diameter.exact != 0
    if section.kind == "taper":
        return True
    return section.tangent_front if end == "front" else section.tangent_back


def _has_shoulder(
    before: SketchSection,
    after: SketchSection,
    own_before: tuple[Fraction, bool] | None,
    own_after: tuple[Fraction, bool] | None,
) -> bool:
    if "face" in (before.kind, after.kind) or before.tangent_back or after.tangent_front:
        return False
    if before.kind == after.kind == "cylinder":
        return not (
            before.diameter and after.diameter and before.diameter.text == after.diameter.text
        )
    if own_before is None or own_after is None:
        return False
    slack = PRINT_ROUNDING_MM if own_before[1] or own_after[1] else 0
    return abs(own_before[0] - own_after[0]) > slack


def _own_diameter(
    section: SketchSection, end: End, length: Fraction | None, far: tuple[Fraction, bool] | None
) -> tuple[Fraction, bool] | None:
    """Return the diameter that a section itself has at an end, and whether it is worked out.

    `far` is what its other end has from the section that lies there, if it prints none itself.
    """
    printed = section.end_diameter(end)
    if printed is not None and not printed.reference:
        return printed.exact, False
    other = section.end_diameter("back" if end == "front" else "front")
    if other is not None and not other.reference:
        far = other.exact, False
    angle = section.angle
    if section.kind != "taper" or far is None or angle is None or length is None:
        return None
    if angle.reference:
        return None
    exact = angle.kind == "ratio"
    ratio = angle.exact if exact else Fraction(2.0 * math.tan(angle.nominal))
    opens_here = (end == "back") != section.narrows
    return far[0] + (ratio if opens_here else -ratio) * length, True


def with_faces(
    read: Sequence[SketchSection], gaps: Sequence[bool]
) -> tuple[list[SketchSection], list[int]]:
    """Return all sections, and for each recorded one the vertex at its front end."""
    face = SketchSection("face")
    sections: list[SketchSection] = []
    fronts: list[int] = []
    for section, gap in zip(read, gaps, strict=False):
        if gap:
            sections.append(face)
        fronts.append(len(sections))
        sections.append(section)
    if gaps[-1]:
        sections.append(face)
    return sections, fronts
