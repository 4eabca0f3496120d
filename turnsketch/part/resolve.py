"""From the part record to a part whose sizes are known: expand, solve, put corners on, list sizes.

What is open or contradictory does not stop it: those sections stand in pencil and an issue says
why, as long as the pencil makes an outline at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from turnsketch.errors import InputError
from turnsketch.geometry.constants import CLOSE
from turnsketch.geometry.elements import Arc, Element, Line
from turnsketch.geometry.intersect import r_extent, z_extent
from turnsketch.part.bores import resolve_bore
from turnsketch.part.cone_places import resolve_cones, with_cone_words
from turnsketch.part.grooves import refuse_through, resolve_grooves
from turnsketch.part.inspection import inspection_rows, section_sizes
from turnsketch.part.knurl_places import resolve_knurls, with_knurl_words
from turnsketch.part.limits import size_of
from turnsketch.part.outline import build_outline, sharp_outline
from turnsketch.part.outline_records import (
    CornerInfo,
    CornerSpec,
    Outline,
    OutlineElement,
    PartIssue,
    ResolvedPart,
    Size,
)
from turnsketch.part.records import PartRecord, Place
from turnsketch.part.section_infos import section_infos
from turnsketch.part.sketch import Sketch, SketchCorner, expand
from turnsketch.part.solver import Shape, solve
from turnsketch.part.text import Dimension
from turnsketch.part.thread_places import resolve_threads, with_thread_words
from turnsketch.part.ties import tie_rows
from turnsketch.part.worst_case import worst_case
from turnsketch.units import Units

__all__ = ["length_limits", "resolve"]


@dataclass(frozen=True, slots=True)
class _Sharp:
    """A chain of sharp elements with the corners that go on it."""

    chain: tuple[OutlineElement, ...]
    specs: tuple[CornerSpec, ...]
    smooth: tuple[int, ...]

    def outline(self, units: Units) -> tuple[Outline, tuple[CornerInfo, ...]]:
        """Return the outline with its corners on."""
        return build_outline(self.chain, self.specs, self.smooth, units)


def resolve(part: PartRecord, units: Units) -> ResolvedPart:
    """Return the part with its exact outlines, its sections and the inspection rows.

    Parameters
    ----------
    part : PartRecord
        As the job file has it.
    units : {"mm", "inch"}
        The job's unit: for text that names none, and for the wording of errors.

    Returns
    -------
    ResolvedPart
        In the part's frame. A section's sizes are those that the print gives (reference
        dimensions give none); a cylinder's diameter that only follows from others has its worst
        case, and an arc's radius always stands there. Half angles are positive whichever way the
        taper opens. Total length and greatest diameter are those of the aimed outline.

    Raises
    ------
    InputError
        Text that can't be read, a section that does not exist, or sizes that make no outline. The
        path or the section is named.
    """
    made = _body(part, units)
    for back in (False, True):
        if (part.bore_back if back else part.bore) is None:
            continue
        bore, rows, issues = resolve_bore(part, units, made, _body, back=back)
        made = replace(
            made,
            bore=made.bore if back else bore,
            bore_back=bore if back else None,
            inspection=(*made.inspection, *rows),
            issues=(*made.issues, *issues),
        )
    grooves, rows = resolve_grooves(part, made, units)
    made = replace(made, grooves=grooves, inspection=(*made.inspection, *rows))
    refuse_through(part, made, units)
    threads, rows = resolve_threads(part, made, units)
    made = with_thread_words(part, replace(made, threads=threads), rows)
    knurls, rows = resolve_knurls(part, made, units)
    made = with_knurl_words(part, replace(made, knurls=knurls), rows)
    return with_cone_words(part, replace(made, cones=resolve_cones(part, made)))


def _body(part: PartRecord, units: Units) -> ResolvedPart:
    """Return what the chain of sections makes, bores and grooves left out."""
    sketch = expand(part, units)
    rule = part.general_tolerance
    sizes = _sizes(sketch, rule)
    solution = solve(sketch, rule)
    try:
        aim = _sharp(sketch, solution.aim, solution.smooth, sizes, aimed=True)
        nominal = _sharp(sketch, solution.nominal, solution.smooth, sizes, aimed=False)
        outline, corners = aim.outline(units)
        nominal_outline = nominal.outline(units)[0]
        sharp = sharp_outline(aim.chain, aim.smooth, units)
    except InputError as error:
        raise _told_by_issue(solution.issues, error) from error
    _add_angles(sketch, solution.nominal, rule, sizes)
    shapes = [element.shape for element in outline.elements]
    return ResolvedPart(
        name=part.name,
        aim=outline,
        nominal=nominal_outline,
        corners=corners,
        sections=section_infos(sketch, solution, sizes, rule),
        inspection=(
            *inspection_rows(part, sketch, sizes.__getitem__),
            *tie_rows(part, units),
        ),
        issues=solution.issues,
        inside_corner_mm=sketch.inside_corners.nominal if sketch.inside_corners else None,
        total_length=_span([z_extent(shape) for shape in shapes]),
        greatest_diameter=2.0 * max(r_extent(shape)[1] for shape in shapes),
        sharp=sharp,
        corner_specs=aim.specs,
    )


def length_limits(part: PartRecord, units: Units, a: Place, b: Place) -> Size:
    """Return what the length between two places can come out as: "what can this come out as?".

    Parameters
    ----------
    part, units
        As for `resolve`.
    a, b : Place
        Ends of sections or centres of arcs, in any order.

    Returns
    -------
    Size
        Nominal, worst-case limits and aim in mm; its source names the dimensions in it.

    Raises
    ------
    InputError
        The part can't be solved, there is no such place, or the dimensions do not fix the length.
    """
    sketch = expand(part, units)
    solution = solve(sketch, part.general_tolerance)
    return worst_case(sketch, solution, a, b, part.general_tolerance)


def _told_by_issue(issues: Sequence[PartIssue], error: InputError) -> InputError:
    """Return the error to show: where the print is open or contradictory, that is the cause."""
    for issue in issues:
        if issue.kind in ("open", "contradiction"):
            where = f"section {issue.section}" if issue.section else "part"
            return InputError(f"{issue.message} ({issue.remedy})", where)
    return error


def _span(extents: Sequence[tuple[float, float]]) -> float:
    return max(high for _, high in extents) - min(low for low, _ in extents)


# Sizes


def _sizes(sketch: Sketch, rule: str) -> dict[str, Size]:
    """Return the size of every dimension but angles, by its path in the record."""
    sizes: dict[str, Size] = {}
    for section in sketch.sections:
        for field, dimension in section_sizes(section):
            if field not in ("length", "angle"):
                path = f"{section.path}.{field}"
                sizes[path] = _size(dimension, rule, path)
    for length in sketch.lengths:
        sizes[length.path] = _size(length.dimension, rule, length.path)
    for corner in sketch.corners:
        sizes[corner.path] = _size(corner.dimension, rule, corner.path)
    return sizes


def _add_angles(sketch: Sketch, shape: Shape, rule: str, sizes: dict[str, Size]) -> None:
    """Add the sizes of angles, whose general tolerance goes by the taper's own length."""
    for index, section in enumerate(sketch.sections):
        if section.angle is not None:
            slant = shape.vertices[index].distance(shape.vertices[index + 1])
            path = f"{section.path}.angle"
            sizes[path] = _size(section.angle, rule, path, slant)


def _size(dimension: Dimension, rule: str, path: str, shorter: float | None = None) -> Size:
    try:
        return size_of(dimension, rule, shorter)
    except InputError as error:
        raise error.within(path) from error


# Outlines


def _sharp(
    sketch: Sketch, shape: Shape, smooth: Sequence[int], sizes: dict[str, Size], *, aimed: bool
) -> _Sharp:
    """Return the chain of a solved shape without understood faces that have no height.

    Two cylinders of one nominal diameter and different fits have such a face in the nominal
    outline; corners at it have nothing to stand on there.
    """
    flat = {
        index
        for index, section in enumerate(sketch.sections)
        if section.number is None
        and shape.vertices[index].distance(shape.vertices[index + 1]) <= CLOSE
    }
    kept = [index for index in range(len(sketch.sections)) if index not in flat]
    place = {index: number for number, index in enumerate(kept)}
    gone = flat | {index + 1 for index in flat}
    return _Sharp(
        tuple(
            OutlineElement(
                _element(shape, index), sketch.sections[index].number, sketch.sections[index].kind
            )
            for index in kept
        ),
        tuple(
            _spec(corner, place[corner.vertex], sizes[corner.path], aimed=aimed)
            for corner in sketch.corners
            if corner.vertex not in gone
        ),
        tuple(place[vertex] for vertex in smooth if vertex not in gone),
    )


def _spec(corner: SketchCorner, vertex: int, size: Size, *, aimed: bool) -> CornerSpec:
    return CornerSpec(
        index=corner.index,
        vertex=vertex,
        kind="chamfer" if corner.dimension.kind == "chamfer" else "round",
        size=size.aim if aimed else size.nominal,
        angle=corner.dimension.chamfer_angle or 0.0,
        text=corner.dimension.text,
        section=corner.section,
        end=corner.end,
    )


def _element(shape: Shape, index: int) -> Element:
    start, end = shape.vertices[index], shape.vertices[index + 1]
    centre, turn = shape.centres[index], shape.turns[index]
    if centre is None or turn is None:
        return Line(start, end)
    return Arc(start, end, centre, turn)
