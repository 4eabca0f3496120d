"""Grooves, undercuts and reliefs of the record: read, completed from their standards, placed.

A groove stands in a cylinder, outside or in a bore. Plain and round ones have their width at the
surface; a vee has its angle and either width or bottom diameter. What a standard gives need not be
typed, and what is typed all the same wins over it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from turnsketch.errors import InputError
from turnsketch.geometry.intersect import r_extent, z_extent
from turnsketch.part import groove_shapes as shapes
from turnsketch.part.groove_fields import WORDS, GrooveFields
from turnsketch.part.groove_host import SAME, GrooveHost, groove_path
from turnsketch.part.groove_kinds import GrooveShape, shape_of
from turnsketch.part.groove_walls import groove_walls
from turnsketch.part.grooved_outline import grooved
from turnsketch.part.outline_records import InspectionRow, ResolvedGroove, ResolvedPart, Size
from turnsketch.part.records import AT_SHOULDER, PartRecord
from turnsketch.part.turned import bore_grooves, turned_element
from turnsketch.units import Units, from_mm

__all__ = ["Grooves", "groove_path", "refuse_through", "resolve_grooves"]

Grooves = tuple[tuple[ResolvedGroove, ...], tuple[InspectionRow, ...]]


def resolve_grooves(part: PartRecord, solved: ResolvedPart, units: Units) -> Grooves:
    """Return the part's grooves, front first as listed, and their rows for the inspection.

    Parameters
    ----------
    solved : ResolvedPart
        The same part with its outside, and its bores where it has some, solved.

    Raises
    ------
    InputError
        Text that cannot be read, a size that is missing, typed twice or in no standard, a groove
        that leaves its section, has no depth, overlaps another or meets a chamfer or round. The
        field is named.
    """
    found: list[ResolvedGroove] = []
    rows: list[InspectionRow] = []
    for index, record in enumerate(part.grooves):
        host = GrooveHost.of(solved, record, index + 1)
        made = _Maker(GrooveFields(part, record, index + 1, host, units, solved.total_length))
        groove = made.groove()
        for other in found:
            _check_apart(groove, other)
        same = sum(g.label.split(" (")[0] == groove.label for g in found)
        if same:
            groove = replace(groove, label=f"{groove.label} ({same + 1})")
        found.append(groove)
        rows += made.rows(groove)
    _refuse_in_corners(replace(solved, grooves=tuple(found)))
    return tuple(found), tuple(rows)


def _refuse_in_corners(made: ResolvedPart) -> None:
    """Raise InputError where a groove meets a chamfer or a round, outside or in a bore."""
    grooved(made.aim, made.grooves)
    for bore, back in ((made.bore, False), (made.bore_back, True)):
        if bore is not None:
            grooved(bore.aim, bore_grooves(made, back=back), inside=True)


def refuse_through(part: PartRecord, made: ResolvedPart, units: Units) -> None:
    """Raise InputError where a groove cuts through to the bore, or from the bore to the outside."""
    for groove, wall in groove_walls(made):
        if wall.thickness > SAME:
            continue
        record = part.grooves[groove.number - 1]
        field = "section" if record.diameter is None else "diameter"
        if groove.inside:
            outer = f"{from_mm(wall.diameter, units):.4g}"
            what = f"the groove cuts through the wall: the outside is Ø{outer} there"
        else:
            what = "the groove cuts through the wall into the bore"
        raise InputError(
            f"{what}; make it shallower, or move it", f"{groove_path(groove.number)}.{field}"
        )


def _check_apart(groove: ResolvedGroove, other: ResolvedGroove) -> None:
    if groove.section != other.section:
        return
    (low, high), (first, last) = _extent(groove), _extent(other)
    if low < last - SAME and first < high - SAME:
        raise InputError(
            f"the groove overlaps groove {other.number} of the same section; move one of them",
            groove_path(groove.number),
        )


def _extent(groove: ResolvedGroove) -> tuple[float, float]:
    ends = [z_extent(e) for e in groove.elements]
    return min(low for low, _ in ends), max(high for _, high in ends)


@dataclass(frozen=True)
class _Maker:
    """Puts one groove in place, checks it and lists its sizes."""

    fields: GrooveFields

    def groove(self) -> ResolvedGroove:
        """Return the groove, solved."""
        try:
            made = self._placed(shape_of(self.fields))
        except InputError as error:
            raise error if error.where else error.within(self.fields.path) from None
        self._check(made)
        return made

    def _placed(self, shape: GrooveShape) -> ResolvedGroove:
        inside, placed = self.fields.host.inside, tuple(shape.elements)
        if inside and self.fields.record.kind not in AT_SHOULDER:
            placed = shapes.turned_to(
                placed, 0.0, self.fields.host.radius, shoulder_in_front=False, inside=True
            )
        if self.fields.host.mirrored:
            placed = tuple(turned_element(e, self.fields.length) for e in reversed(placed))
        return ResolvedGroove(
            number=self.fields.number,
            kind=self.fields.record.kind,
            label=self._label(shape.width, shape.diameter),
            section=self.fields.host.section.number,
            inside=inside,
            elements=placed,
            width=shape.width,
            diameter=shape.diameter,
            corner_mm=shape.corner,
            source=shape.source,
        )

    def _label(self, width: Size, diameter: Size) -> str:
        record = self.fields.record
        word = record.name or WORDS[record.kind]
        if record.kind in AT_SHOULDER:
            size = f" {record.size}" if record.size else ""
            return f"{word}{size}"
        wide, deep = (from_mm(s.nominal, self.fields.units) for s in (width, diameter))
        digits = 2 if self.fields.units == "mm" else 3
        return f"{word} {_short(wide, digits)} wide Ø{_short(deep, digits)}"

    def _check(self, groove: ResolvedGroove) -> None:
        """Raise InputError where the groove leaves its section or cuts the part in two."""
        low, high = _extent(groove)
        if self.fields.host.mirrored:
            low, high = -self.fields.length - high, -self.fields.length - low
        section = self.fields.host.section
        over = groove.kind == "undercut F"
        into = max(0.0, section.back.z - low, high - section.front.z) if over else 0.0
        outside = low < section.back.z - into - SAME or high > section.front.z + into + SAME
        if outside or high - low > section.front.z - section.back.z + into + SAME:
            field = "from_back" if self.fields.record.from_front is None else "from_front"
            raise InputError(
                f"the groove leaves section {section.number}, which is "
                f"{from_mm(section.front.z - section.back.z, self.fields.units):.4g} long; "
                "move it or make it narrower",
                f"{self.fields.path}.{field}",
            )
        if not groove.inside and min(r_extent(e)[0] for e in groove.elements) <= SAME:
            raise InputError("the bottom lies on the axis", f"{self.fields.path}.diameter")
        self._check_shoulder(groove)

    def _check_shoulder(self, groove: ResolvedGroove) -> None:
        if groove.kind not in ("undercut E", "undercut F"):
            return
        ends = [groove.elements[0].start.r, groove.elements[-1].end.r]
        far = min(ends) if groove.inside else max(ends)
        for front in (False, True):
            face = self.fields.host.shoulder(front=front)
            if face is not None and face[0] - SAME <= far <= face[1] + SAME:
                return
        raise InputError(
            "the shoulder is too low for the undercut; take a smaller one",
            f"{self.fields.path}.size",
        )

    def rows(self, groove: ResolvedGroove) -> list[InspectionRow]:
        """Return its rows for the inspection: place, width, bottom diameter, radius."""
        name = self.fields.record.name or f"{WORDS[groove.kind]} {groove.number}"
        section = groove.section
        found: list[InspectionRow] = []
        for field, words in (
            ("from_front", "from the section's front end"),
            ("from_back", "from the section's back end"),
        ):
            dimension, size = (
                self.fields.dimension(field, "length"),
                self.fields.size(field, "length"),
            )
            if dimension is not None and size is not None and size.aim > SAME:
                what = f"{name}, {words}"
                found.append(
                    InspectionRow(
                        what, dimension.text, size, "length", dimension.reference, section
                    )
                )
        if groove.width is not None and groove.width.source != "worked out":
            text = self.fields.record.width or f"{groove.width.nominal:g} ({groove.source})"
            found.append(
                InspectionRow(f"{name}, width", text, groove.width, "length", False, section)
            )
        if groove.diameter.source != "worked out":
            text = (
                self.fields.record.diameter
                or f"Ø{round(groove.diameter.nominal, 3):g} ({groove.source})"
            )
            found.append(
                InspectionRow(
                    f"{name}, bottom diameter", text, groove.diameter, "diameter", False, section
                )
            )
        return found


def _short(value: float, digits: int) -> str:
    return f"{value:.{digits}f}".rstrip("0").rstrip(".")
