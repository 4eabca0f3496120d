"""The fields of one groove of the record, read, and where its walls or its shoulder stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from turnsketch.errors import InputError
from turnsketch.part.groove_host import SAME, GrooveHost, groove_path
from turnsketch.part.limits import size_of
from turnsketch.part.outline_records import Size
from turnsketch.part.records import Groove, PartRecord
from turnsketch.part.text import Dimension, Kind, parse
from turnsketch.part.thread_record import Thread
from turnsketch.part.thread_sections import section_thread
from turnsketch.units import Units, from_mm

__all__ = ["WORDS", "GrooveFields"]

WORDS = {
    "plain": "groove",
    "round": "round groove",
    "vee": "vee groove",
    "ring": "ring groove",
    "undercut E": "undercut E",
    "undercut F": "undercut F",
    "thread relief": "thread relief",
}
"""What people call each kind."""


@dataclass(frozen=True)
class GrooveFields:
    """Reads the fields of one groove; errors name them."""

    part: PartRecord
    record: Groove
    number: int
    host: GrooveHost
    units: Units
    length: float
    """Of the whole part: a back bore stands in the frame that has the back end in front."""

    @property
    def path(self) -> str:
        """Place of the groove in the job file."""
        return groove_path(self.number)

    @property
    def thread(self) -> Thread | None:
        """The thread on the groove's section; None where the print gives none."""
        bores = [bore for bore in (self.part.bore, self.part.bore_back) if bore is not None]
        sections = [*self.part.sections, *(s for bore in bores for s in bore.sections)]
        return section_thread(sections[self.record.section - 1], inside=self.host.inside)

    def dimension(self, field: str, expect: Kind) -> Dimension | None:
        """Return the dimension that stands in a field; None where nothing does."""
        text = getattr(self.record, field)
        if text is None:
            return None
        try:
            return parse(text, self.units, {expect})
        except InputError as error:
            raise error.within(f"{self.path}.{field}") from None

    def size(self, field: str, expect: Kind) -> Size | None:
        """Return the size in a field with its limits; None where nothing stands."""
        dimension = self.dimension(field, expect)
        if dimension is None:
            return None
        try:
            size = size_of(dimension, self.part.general_tolerance)
        except InputError as error:
            raise error.within(f"{self.path}.{field}") from None
        if size.aim <= 0 and field not in ("from_front", "from_back"):
            raise InputError("the size must be more than zero", f"{self.path}.{field}")
        return size

    def need(self, size: Size | None, field: str, why: str) -> Size:
        """Return a size, or raise InputError where it is missing."""
        if size is None:
            raise InputError(f"{why}: give its {field.replace('_', ' ')}", f"{self.path}.{field}")
        return size

    def corner(self) -> float:
        """Return the radius in the bottom corners; 0 where the print gives none."""
        size = self.size("corner", "radius")
        return 0.0 if size is None else size.aim

    def forbid(self, fields: Sequence[str], why: str) -> None:
        """Raise InputError where one of these fields is filled in."""
        for field in fields:
            if getattr(self.record, field) is not None:
                raise InputError(f"{why}; leave it out", f"{self.path}.{field}")

    def walls(self, width: Size | None) -> tuple[float, float, Size]:
        """Return z of the front and the back wall, and the width."""
        front, back = self.size("from_front", "length"), self.size("from_back", "length")
        first, last = self.host.section.front.z, self.host.section.back.z
        if front is not None and back is not None:
            if width is not None:
                raise InputError(
                    "its place from both ends gives the width; leave one of the three out",
                    f"{self.path}.width",
                )
            high, low = first - front.aim, last + back.aim
            slack = (front.upper - front.lower + back.upper - back.lower) / 2
            made = Size(
                high - low, high - low - slack, high - low + slack, high - low, "worked out"
            )
            return high, low, made
        width = self.need(width, "width", f"the {WORDS[self.record.kind]} has none")
        if front is not None:
            return first - front.aim, first - front.aim - width.aim, width
        if back is not None:
            return last + back.aim + width.aim, last + back.aim, width
        raise InputError(
            "the groove has no place: give the distance from an end of its section",
            f"{self.path}.from_front",
        )

    def shoulder_in_front(self) -> bool:
        """Return at which end of the section the shoulder stands; InputError when at neither."""
        front, back = self.size("from_front", "length"), self.size("from_back", "length")
        for size, field in ((front, "from_front"), (back, "from_back")):
            if size is not None and abs(size.aim) > SAME:
                raise InputError(
                    "an undercut or relief stands at its shoulder: write 0, or leave it out",
                    f"{self.path}.{field}",
                )
        ends = {False: self.host.shoulder(front=False), True: self.host.shoulder(front=True)}
        wanted = True if front is not None else (False if back is not None else None)
        for at_front in (False, True) if wanted is None else (wanted,):
            if ends[at_front] is not None:
                return at_front
        raise InputError(
            f"section {self.host.section.number} ends at no shoulder there; an undercut or relief "
            "needs one",
            f"{self.path}.section",
        )

    def depth(self, diameter: Size) -> float:
        """Return how deep the bottom lies under the surface; InputError when it does not."""
        sign = -1.0 if self.host.inside else 1.0
        depth = sign * (self.host.radius - diameter.aim / 2)
        if depth <= SAME:
            word = "larger" if self.host.inside else "smaller"
            raise InputError(
                f"the bottom must have a {word} diameter than its section "
                f"(Ø{from_mm(2 * self.host.radius, self.units):.4g})",
                f"{self.path}.diameter",
            )
        return depth
