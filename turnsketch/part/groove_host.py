"""The cylinder in which a groove stands, outside or in a bore, and the shoulders at its ends."""

from __future__ import annotations

from dataclasses import dataclass

from turnsketch.errors import InputError
from turnsketch.geometry.intersect import r_extent, z_extent
from turnsketch.part.outline_records import Outline, ResolvedPart, SectionInfo
from turnsketch.part.records import Groove

__all__ = ["SAME", "GrooveHost", "groove_path"]

SAME = 1e-6


def groove_path(number: int) -> str:
    """Return the place of a groove (its number from 1) in the job file."""
    return f"part.grooves[{number - 1}]"


@dataclass(frozen=True, slots=True)
class GrooveHost:
    """The cylinder in which a groove stands."""

    section: SectionInfo
    outline: Outline
    inside: bool
    mirrored: bool
    """It belongs to the back bore, whose frame has the back end in front."""

    @classmethod
    def of(cls, solved: ResolvedPart, record: Groove, number: int) -> GrooveHost:
        """Return the section that a groove names; InputError where it cannot stand there."""
        where = f"{groove_path(number)}.section"
        places = [(solved.sections, solved.aim, False, False)]
        if solved.bore is not None:
            places.append((solved.bore.sections, solved.bore.aim, True, False))
        if solved.bore_back is not None:
            places.append((solved.bore_back.sections, solved.bore_back.aim, True, True))
        for sections, outline, inside, mirrored in places:
            for section in sections:
                if section.number == record.section:
                    if section.kind != "cylinder":
                        raise InputError(
                            f"section {record.section} is no cylinder; a groove stands in one",
                            where,
                        )
                    return cls(section, outline, inside, mirrored)
        last = max((s.number for group in places for s in group[0]), default=0)
        raise InputError(f"there is no section {record.section}; the last is {last}", where)

    @property
    def radius(self) -> float:
        """Radius of its surface."""
        return self.section.front.r

    def shoulder(self, *, front: bool) -> tuple[float, float] | None:
        """Return the least and greatest r of the shoulder face at an end; None where none is."""
        at = self.section.front if front else self.section.back
        for element in self.outline.elements:
            (low, high), (below, above) = z_extent(element.shape), r_extent(element.shape)
            if high - low > SAME or abs(low - at.z) > SAME:
                continue
            stands = below < at.r - SAME if self.inside else above > at.r + SAME
            if stands:
                return below, above
        return None
