"""Moving metal from a setup's frame to the next one's."""

from __future__ import annotations

import pytest
from shapely import box
from shapely.geometry.base import BaseGeometry

from turnsketch.checking.frames import blank_events, moved_to_frame
from turnsketch.plan_records import Frame

BAR = box(-80.0, 0.0, 1.0, 15.0)


@pytest.mark.parametrize(
    ("old", "new", "low", "high"),
    [
        (Frame(), Frame(), -80.0, 1.0),
        (Frame(0.0), Frame(-5.0), -75.0, 6.0),
        (Frame(-5.0), Frame(2.0), -87.0, -6.0),
        (Frame(0.0), Frame(-60.0, True), -61.0, 20.0),
        (Frame(-60.0, True), Frame(0.0), -61.0, 20.0),
    ],
)
def test_frames(old: Frame, new: Frame, low: float, high: float) -> None:
    """Z in the first frame is z0 + z, or z0 - z where a frame is turned around."""
    moved = moved_to_frame(BAR, old, new)
    assert moved.bounds == (low, 0.0, high, 15.0)
    assert moved_to_frame(moved, new, old).equals(BAR)


@pytest.mark.parametrize(
    ("blank", "depth"),
    [
        (BAR, None),
        (box(-80.0, 0.0, 1.0 + 1e-4, 15.0), None),
        (box(-80.0, 0.0, 1.5, 15.0), 0.5),
        (box(-80.0, 0.0, 1.0, 14.0), 1.0),
    ],
)
def test_a_blank_that_differs(blank: BaseGeometry, depth: float | None) -> None:
    events = blank_events(2, BAR, blank)
    assert len(events) == (0 if depth is None else 1)
    if depth is not None:
        assert events[0].setup == 2
        assert events[0].depth_mm == pytest.approx(depth)
