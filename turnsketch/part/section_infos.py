"""What is known of a section once the part is solved: its ends, its sizes, whether it is fixed."""

from __future__ import annotations

import math

from turnsketch.errors import InputError
from turnsketch.part.inspection import section_label
from turnsketch.part.outline_records import SectionInfo, Size
from turnsketch.part.sketch import Sketch, SketchSection
from turnsketch.part.solver import Solution
from turnsketch.part.text import Dimension
from turnsketch.part.worst_case import worst_case_diameter

__all__ = ["section_infos"]


def section_infos(
    sketch: Sketch, solution: Solution, sizes: dict[str, Size], rule: str
) -> tuple[SectionInfo, ...]:
    """Return the recorded sections as they are solved, understood faces left out.

    Parameters
    ----------
    sizes : dict
        Sizes of the print by the path of their dimension.
    rule : str
        The general tolerance, for diameters that only follow from others.
    """
    infos = []
    for index, section in enumerate(sketch.sections):
        if section.number is None:
            continue
        front, back = solution.aim.vertices[index], solution.aim.vertices[index + 1]
        slope = math.atan2(abs(back.r - front.r), abs(back.z - front.z))
        roughness = section.roughness or sketch.roughness
        diameter = _printed(section, "diameter", sizes)
        if diameter is None and section.kind == "cylinder":
            diameter = _worst_diameter(sketch, solution, index, rule)
        infos.append(
            SectionInfo(
                number=section.number,
                kind=section.kind,
                label=section_label(section),
                front=front,
                back=back,
                diameter=diameter,
                front_diameter=_printed(section, "front_diameter", sizes),
                back_diameter=_printed(section, "back_diameter", sizes),
                half_angle=slope if section.kind == "taper" else None,
                radius=_printed(section, "radius", sizes) or _radius(solution, index),
                centre=solution.aim.centres[index],
                roughness_um=roughness.nominal if roughness else None,
                fixed=solution.fixed[index],
            )
        )
    return tuple(infos)


def _printed(section: SketchSection, field: str, sizes: dict[str, Size]) -> Size | None:
    """Return the size that the print demands there; None where it gives none, or in brackets."""
    dimension: Dimension | None = getattr(section, field)
    if dimension is None or dimension.reference:
        return None
    return sizes[f"{section.path}.{field}"]


def _worst_diameter(sketch: Sketch, solution: Solution, index: int, rule: str) -> Size | None:
    number = sketch.sections[index].number
    if number is None or not solution.fixed[index]:
        return None
    try:
        return worst_case_diameter(sketch, solution, number, "front", rule)
    except InputError:
        return None


def _radius(solution: Solution, index: int) -> Size | None:
    """Return the radius of an arc that the print does not dimension, without limits of its own."""
    centre, aimed_centre = solution.nominal.centres[index], solution.aim.centres[index]
    if centre is None or aimed_centre is None:
        return None
    nominal = solution.nominal.vertices[index].distance(centre)
    aim = solution.aim.vertices[index].distance(aimed_centre)
    return Size(nominal, min(nominal, aim), max(nominal, aim), aim, "worked out")
