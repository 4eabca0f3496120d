"""Edits that move the outline: a vertex dragged, a section split, bent into an arc or straightened.

A dragged vertex moves alone: every length that has just one end on its level, and every diameter
that is printed on its ring, is written anew; all others stay. Where nothing is printed the place
is kept as drawn, in pencil.
"""

from __future__ import annotations

import math
from typing import Any, Final

import msgspec

from turnsketch.document.dimension_edit import number_text, with_size
from turnsketch.document.edits import add_section, change_section, set_field, set_length_text
from turnsketch.document.pencil import Pencil
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.job import Job
from turnsketch.part.records import Drawn, Section
from turnsketch.part.sketch_records import SketchLength

__all__ = ["LEAST_MM", "bend", "can_bend", "move_vertex", "split_section", "straighten"]

LEAST_MM: Final = 0.5
"""No drag makes a section shorter or a radius smaller than this: general tolerances begin there."""


def move_vertex(job: Job, pencil: Pencil, vertex: int, to: Point) -> Job:
    """Return `job` with one vertex of the outline moved.

    Parameters
    ----------
    job : Job
        The job that `pencil` was made of.
    pencil : Pencil
        Its chain.
    vertex : int
        A vertex of the sketch, from 0.
    to : Point
        Where it shall be, in mm. It is kept behind what stands before it, in front of what stands
        behind it, and off the axis; a vertex on the axis stays there, the front face stays at 0.
    """
    job = _moved_along(job, pencil, vertex, to.z)
    return _moved_across(job, pencil, vertex, to.r)


def _moved_along(job: Job, pencil: Pencil, vertex: int, z: float) -> Job:
    level = pencil.level(vertex)
    z = _kept_in_order(pencil, level, z)
    if 0 in level or math.isclose(z, pencil.vertices[vertex].z, abs_tol=1e-9):
        return job
    for length in pencil.sketch.lengths:
        size = _new_length(pencil, length, level, z)
        if size is not None:
            job = _rewritten(job, length, size)
    return _drawn_at(job, pencil, level, z=z)


def _kept_in_order(pencil: Pencil, level: frozenset[int], z: float) -> float:
    before, after = min(level) - 1, max(level) + 1
    if before < 0 or after >= len(pencil.vertices):
        return min(z, pencil.vertices[before].z - LEAST_MM) if before >= 0 else z
    high, low = pencil.vertices[before].z, pencil.vertices[after].z
    least = min(LEAST_MM, (high - low) / 3.0)
    return min(max(z, low + least), high - least)


def _new_length(
    pencil: Pencil, length: SketchLength, level: frozenset[int], z: float
) -> float | None:
    """Return what the length becomes; None when the move does not touch it."""
    front, back = length.front.vertex, length.back.vertex
    if front is None or back is None or (front in level) == (back in level):
        return None
    other = pencil.vertices[back if front in level else front].z
    return max(other - z if back in level else z - other, LEAST_MM)


def _rewritten(job: Job, length: SketchLength, size: float) -> Job:
    text = with_size(length.dimension.text, size, job.units, ("length",))
    where, _, field = length.path.rpartition(".")
    index = int(where[where.index("[") + 1 : -1])
    if field == "length":
        return set_field(job, index + 1, "length", text)
    return set_length_text(job, index, text)


def _moved_across(job: Job, pencil: Pencil, vertex: int, r: float) -> Job:
    ring, here = pencil.ring(vertex), pencil.vertices[vertex].r
    if here == 0.0 and _is_pole(pencil, vertex):
        return job
    r = max(r, LEAST_MM)
    if math.isclose(r, here, abs_tol=1e-9):
        return job
    for i, section in enumerate(pencil.sketch.sections):
        for at, end in ((i, "front"), (i + 1, "back")):
            if at not in ring or section.number is None:
                continue
            field = "diameter" if section.kind == "cylinder" else f"{end}_diameter"
            old = getattr(job.part.sections[section.number - 1], field)
            if old is not None:
                text = with_size(old, 2.0 * r, job.units, ("diameter",))
                job = set_field(job, section.number, field, text)
    return _drawn_at(job, pencil, ring, r=r)


def _is_pole(pencil: Pencil, vertex: int) -> bool:
    return vertex in (0, len(pencil.vertices) - 1)


def _drawn_at(
    job: Job,
    pencil: Pencil,
    moved: frozenset[int],
    *,
    z: float | None = None,
    r: float | None = None,
) -> Job:
    """Keep the new place as drawn, at sections that were drawn or that nothing else holds."""
    for i, section in enumerate(pencil.sketch.sections):
        number = section.number
        if i + 1 not in moved or number is None or section.kind == "face":
            continue
        if section.drawn is None and number in pencil.fixed:
            continue
        at = pencil.vertices[i + 1]
        record = job.part.sections[number - 1].drawn
        to = record.to if record is not None else at
        to = Point(to.z if z is None else z, to.r if r is None else r)
        bulge = record.bulge if record is not None else 0.0
        job = set_field(job, number, "drawn", Drawn(to, bulge))
    return job


def split_section(job: Job, pencil: Pencil, number: int, z: float) -> Job:
    """Return `job` with a section cut in two at `z`; the second one gets the next number.

    Both halves of a cylinder keep its diameter, so that no shoulder comes up until one is changed.
    A length that the section had is shared out. A name stays with the front half.

    Raises
    ------
    InputError
        A face is not split, nor a section outside its ends.
    """
    section = job.part.sections[number - 1]
    front, back = pencil.ends(number)
    if section.kind == "face":
        raise InputError("a face is not split; give its diameters instead")
    if not back.z + LEAST_MM <= z <= front.z - LEAST_MM:
        raise InputError("a section is split between its ends; pick a place on it")
    share = (front.z - z) / (front.z - back.z)
    at = Point(z, front.r + share * (back.r - front.r))
    bulge = section.drawn.bulge if section.drawn is not None else 0.0
    lengths: tuple[str | None, str | None] = (None, None)
    if section.length is not None:
        lengths = (number_text(front.z - z, job.units), number_text(z - back.z, job.units))
    first: dict[str, Any] = {"length": lengths[0], "back_corner": None}
    second: dict[str, Any] = {"length": lengths[1], "front_corner": None, "name": ""}
    first["drawn"] = Drawn(at, math.tan(math.atan(bulge) * share) if bulge else 0.0)
    second["drawn"] = section.drawn
    if section.kind != "cylinder":
        first["back_diameter"], second["front_diameter"] = None, None
        if section.angle is not None and section.front_diameter is None:
            # without a diameter of its own it would begin at the section in front of it
            first["back_diameter"] = number_text(2.0 * at.r, job.units)
    if section.kind == "arc":
        second["drawn"] = Drawn(back, math.tan(math.atan(bulge) * (1 - share)) if bulge else 0.0)
    if section.tangent is not None:
        first["tangent"] = "front" if section.tangent in ("front", "both") else None
        second["tangent"] = "back" if section.tangent in ("back", "both") else None
    job = add_section(job, msgspec.structs.replace(section, **second), number + 1)
    return change_section(job, number, msgspec.structs.replace(section, **first))


def bend(job: Job, pencil: Pencil, number: int, bulge: float, radius: str | None = None) -> Job:
    """Return `job` with a section bent into an arc, or an arc bent anew.

    Parameters
    ----------
    job, pencil : Job, Pencil
        The job and its chain.
    number : int
        A cylinder, a taper or an arc.
    bulge : float
        tan(sweep / 4), positive: convex. Near 0 the section becomes straight again.
    radius : str, optional
        The radius as the print has it; None leaves the arc in pencil, and the radius that was
        printed goes, since the bend contradicts it.

    Raises
    ------
    InputError
        A face is not bent, nor a cylinder with a thread or a knurl.
    """
    section = job.part.sections[number - 1]
    if not can_bend(section):
        raise InputError(
            "only a plain cylinder or a taper is bent: no face, nothing with a thread or a knurl"
        )
    if abs(bulge) < 1e-3:
        return straighten(job, number)
    _, back = pencil.ends(number)
    fields: dict[str, Any] = {
        "kind": "arc",
        "sense": "convex" if bulge > 0 else "concave",
        "long_way": abs(bulge) > 1.0,
        "radius": radius,
        "diameter": None,
        "angle": None,
        "narrows": False,
        "drawn": Drawn(back, min(max(bulge, -8.0), 8.0)),
    }
    if section.kind == "cylinder":
        fields["front_diameter"] = fields["back_diameter"] = section.diameter
    return change_section(job, number, msgspec.structs.replace(section, **fields))


def can_bend(section: Section) -> bool:
    """Return whether a section may become an arc."""
    return section.kind != "face" and section.thread is None and section.knurl is None


def straighten(job: Job, number: int) -> Job:
    """Return `job` with an arc made straight: a cylinder between equal diameters, else a taper."""
    section = job.part.sections[number - 1]
    if section.kind != "arc":
        return job
    front, back = section.front_diameter, section.back_diameter
    drawn = None if section.drawn is None else Drawn(section.drawn.to, 0.0)
    plain = Section(
        "cylinder",
        name=section.name,
        length=section.length,
        front_corner=section.front_corner,
        back_corner=section.back_corner,
        roughness=section.roughness,
        drawn=drawn,
    )
    if front == back and front is not None:
        plain = msgspec.structs.replace(plain, diameter=front)
    else:
        plain = msgspec.structs.replace(
            plain, kind="taper", front_diameter=front, back_diameter=back
        )
    return change_section(job, number, plain)
