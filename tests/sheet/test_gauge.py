"""The gauge page: one a setup that turns arcs or tapers, drawn as that setup sees the part."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from turnsketch.document.demo import load_demo
from turnsketch.document.sheets import plan, sheet_input
from turnsketch.picture.display_list import DisplayList, Stroke
from turnsketch.picture.recorder import record
from turnsketch.sheet.blocks import Block, Drawing, Grid, Heading
from turnsketch.sheet.content import sheet_numbers
from turnsketch.sheet.gauge import gauge_blocks
from turnsketch.sheet.records import SheetInput


def blocks(name: str) -> tuple[SheetInput, tuple[Block, ...]]:
    given = sheet_input(plan(load_demo(name)))
    return given, tuple(gauge_blocks(given, sheet_numbers(given), 279.0, 165.0))


def titles(found: Iterable[Block]) -> list[str]:
    return [block.text for block in found if isinstance(block, Heading)]


def gauges(found: Iterable[Block]) -> list[DisplayList]:
    pictures = [
        cell.picture
        for block in found
        if isinstance(block, Grid)
        for row in block.rows
        for cell in row.cells
        if isinstance(cell, Drawing)
    ]
    return [p for p in pictures if any("Z" in text for text in p.texts())]


@pytest.fixture(scope="module")
def arbor() -> tuple[SheetInput, tuple[Block, ...]]:
    return blocks("drill_arbor")


def test_a_cone_of_the_second_setup_has_its_gauge_in_that_setups_frame(
    arbor: tuple[SheetInput, tuple[Block, ...]],
) -> None:
    given, found = arbor
    # The first setup turns spigot and collar: cylinders, no gauge.
    assert [title.split(",")[0] for title in titles(found)] == ["Gauge for setup 2"]
    (picture,) = gauges(found)
    assert {"Z 0", "Z −72"} <= set(picture.texts())
    (line,) = [s for s in record(picture).of_role("stroke", "edge") if isinstance(s, Stroke)]
    small, large = (min(line.points, key=lambda p: abs(p.z - z)) for z in (-1.0, -66.5))
    # Thin in front, thick toward the chuck, where the collar stands.
    assert small.r < large.r - 1.5
    cone = given.part_in(given.plan.setups[1]).cones[0]
    assert large.r >= cone.gauge / 2
    assert max(p.r for p in line.points) == pytest.approx(13.0, abs=0.01)


def test_one_setup_needs_no_number_in_the_title() -> None:
    _, found = blocks("knob")
    assert [title.split(",")[0] for title in titles(found)] == ["Gauge"]
    assert gauges(found)


def test_cylinders_alone_need_no_gauge() -> None:
    _, found = blocks("flanged_bush")
    assert found == ()
