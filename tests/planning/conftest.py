"""Contexts for planning tests: outlines built by hand, held in the demo shop's chuck."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

import pytest

from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.outline import build_outline
from turnsketch.part.outline_records import Outline, OutlineElement, ResolvedPart, SectionInfo, Size
from turnsketch.part.records import PartRecord
from turnsketch.planning.context import Context
from turnsketch.planning.holding import hold
from turnsketch.shop.files import demo_shop
from turnsketch.shop.tool_shape import tool_shape

MakeContext = Callable[..., Context]


def outline_of(elements: Sequence[Element]) -> Outline:
    """Return the outline of a chain; sections are numbered in order, upright lines are faces."""
    chain: list[OutlineElement] = []
    number = 0
    for element in elements:
        if isinstance(element, Arc):
            number += 1
            chain.append(OutlineElement(element, number, "arc"))
        elif element.start.z == element.end.z:
            chain.append(OutlineElement(element, None, "face"))
        else:
            number += 1
            level = element.start.r == element.end.r
            chain.append(OutlineElement(element, number, "cylinder" if level else "taper"))
    return build_outline(chain)[0]


def polyline(*points: tuple[float, float]) -> list[Element]:
    """Return straight elements through (z, diameter) corners."""
    corners = [Point(z, d / 2) for z, d in points]
    return [Line(a, b) for a, b in pairwise(corners)]


def _info(element: OutlineElement) -> SectionInfo | None:
    if element.section is None:
        return None
    shape = element.shape
    diameter = 2 * shape.start.r
    size = Size(diameter, diameter - 0.05, diameter + 0.05, diameter)
    return SectionInfo(
        number=element.section,
        kind="cylinder" if element.role == "cylinder" else "taper",
        label=f"section {element.section}",
        front=shape.start,
        back=shape.end,
        diameter=size if element.role == "cylinder" else None,
        roughness_um=3.2,
    )


@pytest.fixture
def make_context() -> MakeContext:
    """Return a maker: outline elements, blank diameter, length, front, grip -> Context."""

    def make(
        elements: Sequence[Element],
        diameter: float,
        *,
        front: float = 1.0,
        grip: float = 25.0,
        lathe: str = "Slipway 1",
        centre: bool = False,
    ) -> Context:
        shop = demo_shop()
        outline = outline_of(elements)
        length = -min(e.shape.end.z for e in outline.elements)
        infos = tuple(i for i in map(_info, outline.elements) if i is not None)
        part = ResolvedPart(
            "test part", outline, outline, (), infos, (), (), 0.8, length, diameter, outline
        )
        holding = Holding("Three-jaw 160", str(grip), centre)
        whole = length + front + grip + 12.0
        job = Job(
            PartRecord("test part", (), material="mild steel"),
            Blank(str(diameter), str(whole)),
            lathe,
            (Setup(holding),),
        )
        machine = next(m for m in shop.lathes if m.name == lathe)
        chuck = next(c for c in shop.chucks if c.name == "Three-jaw 160")
        held = hold(diameter / 2, whole, front, grip, chuck, machine, centre)
        material = next(m for m in shop.materials if m.name == "mild steel")
        shapes = {tool.number: tool_shape(tool) for tool in shop.tools}
        return Context(job, job.setups[0], part, held, machine, chuck, material, shop, shapes)

    return make


@pytest.fixture
def stepped(make_context: MakeContext) -> Context:
    """Return a pin Ø12, Ø25, Ø30 in bar Ø32."""
    return make_context(
        polyline((0, 0), (0, 12), (-22, 12), (-22, 25), (-58, 25), (-58, 30), (-66, 30), (-66, 0)),
        32.0,
    )


@pytest.fixture
def necked(make_context: MakeContext) -> Context:
    """Return a part with a neck Ø16 between two collars Ø30, 20 mm wide, slopes of 30 degrees."""
    return make_context(
        polyline(
            (0, 0),
            (0, 30),
            (-10, 30),
            (-22.124, 16),
            (-42.124, 16),
            (-54.248, 30),
            (-64, 30),
            (-64, 0),
        ),
        32.0,
    )
