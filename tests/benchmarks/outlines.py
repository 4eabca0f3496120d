"""Outlines of any number of elements: a shaft of short cylinders, faces, tapers and arcs."""

from __future__ import annotations

import math

from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.outline import build_outline
from turnsketch.part.outline_records import OutlineElement, ResolvedPart, SectionInfo, Size
from turnsketch.part.records import PartRecord
from turnsketch.planning.context import Context
from turnsketch.planning.holding import hold
from turnsketch.shop.files import demo_shop
from turnsketch.shop.tool_shape import tool_shape

__all__ = ["shaft_context"]

FIRST_MM, LAST_MM = 10.0, 40.0
"""Radii at the front and at the back."""

LENGTH_MM = 300.0
_SWEEP = math.radians(20)


def shaft_context(count: int, lathe: str) -> Context:
    """Return the setup for a shaft of about `count` elements, growing toward the chuck."""
    elements = _shaft(count)
    chain = [
        OutlineElement(shape, None if role == "face" else number, role)  # type: ignore[arg-type]
        for number, (shape, role) in enumerate(elements, start=1)
    ]
    outline = build_outline(chain)[0]
    infos = tuple(_info(e) for e in outline.elements if e.section is not None)
    part = ResolvedPart(
        "shaft", outline, outline, (), infos, (), (), 0.8, LENGTH_MM, 2 * LAST_MM, outline
    )
    shop = demo_shop()
    machine = next(m for m in shop.lathes if m.name == lathe)
    chuck = next(c for c in shop.chucks if c.name == "Three-jaw 160")
    radius, whole = LAST_MM + 2.0, LENGTH_MM + 45.0
    job = Job(
        PartRecord("shaft", (), material="mild steel"),
        Blank(str(2 * radius), str(whole)),
        lathe,
        (Setup(Holding(chuck.name, "30")),),
    )
    held = hold(radius, whole, 1.0, 30.0, chuck, machine, False)
    material = next(m for m in shop.materials if m.name == "mild steel")
    shapes = {tool.number: tool_shape(tool) for tool in shop.tools}
    return Context(job, job.setups[0], part, held, machine, chuck, material, shop, shapes)


def _shaft(count: int) -> list[tuple[Element, str]]:
    """Return units of cylinder, face, taper and arc between the front face and the back face."""
    units = max(1, (count - 2) // 4)
    along, rise = LENGTH_MM / units, (LAST_MM - FIRST_MM) / units
    here = Point(0.0, FIRST_MM)
    made: list[tuple[Element, str]] = [(Line(Point(0.0, 0.0), here), "face")]
    for _ in range(units):
        foot = Point(here.z - 0.4 * along, here.r)
        top = Point(foot.z, foot.r + 0.4 * rise)
        taper = Point(top.z - 0.3 * along, top.r + 0.3 * rise)
        after = Point(taper.z - 0.3 * along, taper.r + 0.3 * rise)
        made += [
            (Line(here, foot), "cylinder"),
            (Line(foot, top), "face"),
            (Line(top, taper), "taper"),
            (_arc(taper, after), "arc"),
        ]
        here = after
    made.append((Line(here, Point(here.z, 0.0)), "face"))
    return made


def _arc(start: Point, end: Point) -> Arc:
    """Return a flat convex arc; its centre lies on the axis' side of its chord."""
    chord = end.minus(start)
    half = start.distance(end) / 2
    reach = 1 / math.tan(_SWEEP / 2) / 2
    middle = Point((start.z + end.z) / 2, (start.r + end.r) / 2)
    assert half > 0
    return Arc(start, end, middle.plus(Point(-chord.r * reach, chord.z * reach)), "ccw")


def _info(element: OutlineElement) -> SectionInfo:
    shape = element.shape
    size = Size(2 * shape.start.r, 2 * shape.start.r - 0.05, 2 * shape.start.r, 2 * shape.start.r)
    return SectionInfo(
        number=element.section or 0,
        kind=element.role,  # type: ignore[arg-type]
        label=f"section {element.section}",
        front=shape.start,
        back=shape.end,
        diameter=size if element.role == "cylinder" else None,
    )
