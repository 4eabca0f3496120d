"""Findings about cones that the print gives by a standard's name."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from turnsketch.findings.view import PlanView, finding
from turnsketch.part.outline_records import ResolvedCone
from turnsketch.plan_records import Finding

__all__ = ["cone_length", "cone_off_gauge"]

_SLACK_MM: Final = 0.5
"""Lengths of shank tapers differ by so much between sources."""

_SHORT_SHARE: Final = 0.75
"""A cone shorter than this share of the standard's holds less; a drawn-in arbor may be (common
practice)."""


def cone_off_gauge(view: PlanView) -> Iterator[Finding]:
    """A cone whose gauge diameter stands elsewhere than the standard has it."""
    for cone in view.part.cones:
        if cone.inside:
            off = cone.stands_out
            if abs(off) <= _SLACK_MM:
                continue
            where = (
                f"{view.text(abs(off))} {'behind' if off > 0 else 'in front of'} the socket's mouth"
            )
            remedy = f"let the mouth be Ø{view.fine(cone.gauge)}, or leave its diameter out"
        elif cone.stands_out < -1e-6:
            where = f"nowhere: its large end is {view.text(-cone.stands_out)} short of it"
            remedy = "leave the large end's diameter out, and the name gives it"
        elif cone.stands_out > cone.standard_out + _SLACK_MM:
            where = (
                f"{view.text(cone.stands_out)} behind the large end, where the standard has "
                f"{view.text(cone.standard_out)} at most: it stands that far out of its socket"
            )
            remedy = "leave the large end's diameter out, and the name gives it"
        else:
            continue
        yield finding(
            "cone-off-gauge",
            "caution",
            f"{_name(view, cone)}: the gauge diameter Ø{view.fine(cone.gauge)} stands {where}",
            remedy,
            z=view.zero + cone.front_z,
            setup=view.maker((cone.front_z + cone.back_z) / 2, cone.section) + 1,
        )


def cone_length(view: PlanView) -> Iterator[Finding]:
    """A cone longer or shorter than the standard's."""
    for cone in view.part.cones:
        over = cone.length - cone.standard_length
        short = cone.length < _SHORT_SHARE * cone.standard_length
        if not short and over <= _SLACK_MM:
            continue
        what = "longer" if over > 0 else "shorter"
        if cone.inside:
            why = "a standard shank rests in less" if over > 0 else "a standard shank strikes"
        else:
            why = "it strikes the end of a standard socket" if over > 0 else "it holds less"
        yield finding(
            "cone-length",
            "note" if short or cone.inside else "caution",
            f"{_name(view, cone)} is {view.text(cone.length)} long from its gauge line, "
            f"{view.text(abs(over))} {what} than the standard's: {why}",
            "leave the length out, and the name gives it; or keep it where the print wants it so",
            z=view.zero + cone.front_z,
            setup=view.maker((cone.front_z + cone.back_z) / 2, cone.section) + 1,
        )


def _name(view: PlanView, cone: ResolvedCone) -> str:
    sections = (*view.part.sections, *(view.part.bore.sections if view.part.bore else ()))
    return next((s.label for s in sections if s.number == cone.section), cone.name)
