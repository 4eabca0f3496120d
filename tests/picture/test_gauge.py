from __future__ import annotations

import pytest

from turnsketch.geometry.elements import Point
from turnsketch.picture.display_list import Stroke
from turnsketch.picture.gauge import check_bar, gauge_picture
from turnsketch.picture.recorder import record


def span(strokes: list[Stroke]) -> float:
    places = [p.z for stroke in strokes for p in stroke.points]
    return max(places) - min(places)


def test_check_bar_is_true_size() -> None:
    bar = check_bar(50.0, "50 mm")
    assert bar.scale == pytest.approx(1.0, abs=1e-12)
    strokes = [s for s in record(bar).of_role("stroke", "outline") if isinstance(s, Stroke)]
    assert span(strokes) * bar.scale == pytest.approx(50.0, abs=1e-9)


def test_gauge_is_true_size_and_keeps_the_profile() -> None:
    line = [Point(0.0, 0.0), Point(0.0, 6.0), Point(-20.0, 8.0), Point(-20.0, 12.0),
            Point(-60.0, 12.0), Point(-60.0, 0.0)]  # fmt: skip
    picture = gauge_picture(line, [-10.0], (-40.0, -4.0), 14.0, lambda z: f"{z:g}")
    assert picture.scale == pytest.approx(1.0, abs=1e-9)
    (profile,) = [s for s in record(picture).of_role("stroke", "edge") if isinstance(s, Stroke)]
    # CALC: on the slope from Ø12 to Ø16 over 20 mm, Z-4 stands at r 6.4.
    assert profile.points[0] == pytest.approx((-4.0, 6.4))
    assert profile.points[-1] == pytest.approx((-40.0, 12.0))
    marks = [
        s for s in record(picture).of_role("stroke", "narrow")
        if isinstance(s, Stroke) and len(s.points) == 2
    ]  # fmt: skip
    assert [s.points[0] for s in marks] == [pytest.approx((-10.0, 7.0))]
    assert {"Z -40", "Z -4"} <= set(picture.texts())
