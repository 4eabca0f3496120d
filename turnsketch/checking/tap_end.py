"""A tap's front end: it has no teeth that cut, so it must meet no metal at all.

Of the rest of a tap nothing is said here: that its teeth meet the hole's wall is what it is for.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from turnsketch.checking.cover import ToolPart
from turnsketch.geometry.constants import TOUCH

__all__ = ["front_ends"]

_THICK_MM = 1e-3


def front_ends(parts: Sequence[ToolPart]) -> tuple[ToolPart, ...]:
    """Return the flat front end of a tool that stands on the axis, as a thin disc around it.

    Empty for a tool whose front is open there, as a die's is, or comes to a point.

    Parameters
    ----------
    parts : sequence of ToolPart
        The tool around its reference, millimetres; only the foremost that cuts counts.
    """
    cutting = [part.ring for part in parts if part.cuts]
    if not cutting:
        return ()
    front = min(float(ring[:, 0].min()) for ring in cutting)
    for ring in cutting:
        at = ring[ring[:, 0] < front + TOUCH][:, 1]
        if len(at) and at.min() < -TOUCH and at.max() > TOUCH:
            low, high, back = float(at.min()), float(at.max()), front + _THICK_MM
            disc = np.array([(front, low), (back, low), (back, high), (front, high)])
            return (ToolPart("front end", True, disc),)
    return ()
