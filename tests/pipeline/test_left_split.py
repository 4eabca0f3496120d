"""Left-overs taken apart: cusps of a step table, and what is higher."""

from __future__ import annotations

import pytest
from shapely import box, from_wkt

from turnsketch.checking.records import LeftRegion
from turnsketch.geometry.elements import Point
from turnsketch.geometry.rings import rings
from turnsketch.pipeline.left_split import cusps_apart


def test_an_edge_of_nearly_no_length_does_not_empty_the_region() -> None:
    shape = from_wkt(
        "POLYGON ((-42 4.5, -42 4.00375, 0 4.00375, 0 3.4, -60.4 3.4, -61.67410258544864 "
        "4.674102585448633, -61.67410258544863 4.674102585448633, -61.5 4.5, -42 4.5))"
    )
    region = LeftRegion(1000.0, (-61.7, 0.0), 1.1, Point(0.0, 3.4), rings(shape))
    solid = box(-62, 4.5, 0, 20)
    found = cusps_apart(region, solid, [(-14.0, -11.0, 0.04)])
    assert len(found) == 1
    assert found[0].height_mm == pytest.approx(1.1, abs=1e-9)
