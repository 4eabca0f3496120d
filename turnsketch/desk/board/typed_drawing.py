"""Sections that are drawn: what the rubber band shows, completed by typed text. No Qt."""

from __future__ import annotations

import msgspec

from turnsketch.desk.board.typed import DIAMETER, LENGTH, Edit, reads
from turnsketch.desk.thread_cell import is_thread, with_thread
from turnsketch.document.bores import Chain
from turnsketch.document.chain_edits import draw_in_chain
from turnsketch.geometry.elements import Point
from turnsketch.job import Job
from turnsketch.part.records import Drawn, Section
from turnsketch.part.text import parse
from turnsketch.units import Units

__all__ = ["drawn_section", "pencilled", "with_drawn"]


def drawn_section(
    first: str, second: str, units: Units, pencilled: Section, *, inside: bool = False
) -> Section:
    """Return the section that two typed texts make, completed by the rubber band.

    Parameters
    ----------
    first : str
        A diameter, or a thread that stands for one; with a sign a radius ("R8"), an angle ("15°")
        or a ratio ("1:10"), which make an arc or a taper. Empty: the rubber band's.
    second : str
        The length; empty: the rubber band's.
    units : {"mm", "inch"}
        The job's unit.
    pencilled : Section
        What the rubber band shows.
    inside : bool
        It stands in a bore.
    """
    section = pencilled
    first, second = first.strip(), second.strip()
    if first:
        if is_thread(first):
            plain = Section("cylinder", drawn=section.drawn)
            section = with_thread(plain, first, units, inside=inside, alone=True)
        elif reads(first, units, ("radius",)) and first[0] in "Rr.Ss":
            section = _as_arc(section, first)
        elif reads(first, units, ("angle", "ratio")) and not reads(first, units, ("diameter",)):
            section = msgspec.structs.replace(section, kind="taper", angle=first, diameter=None)
        else:
            parse(first, units, DIAMETER)
            field = "diameter" if section.kind == "cylinder" else "back_diameter"
            section = msgspec.structs.replace(section, **{field: first})
    if second:
        parse(second, units, LENGTH)
        section = msgspec.structs.replace(section, length=second)
    if first and second and section.kind == "cylinder":
        section = msgspec.structs.replace(section, drawn=None)
    return section


def _as_arc(section: Section, radius: str) -> Section:
    concave = section.drawn is not None and section.drawn.bulge < 0
    return Section(
        "arc",
        radius=radius,
        length=section.length,
        sense="concave" if concave else "convex",
        drawn=section.drawn,
    )


def with_drawn(
    job: Job, section: Section, chain: Chain = "outside", *, through: bool = False
) -> Edit:
    """Return the job with a section drawn behind the last one of a chain.

    `through` says of a bore that it comes out with this section. InputError: a bore is drawn
    where there is no outside yet.
    """
    sizes = (section.diameter, section.thread, section.back_diameter)
    size = next(filter(None, (*sizes, section.radius, section.angle)), "")
    words = " ".join(filter(None, ("Draw", section.kind, size)))
    if chain != "outside":
        words += " inside"
    return draw_in_chain(job, section, chain, through=through), words


def pencilled(kind: str, to: Point, angle: str | None = None, *, narrows: bool = False) -> Section:
    """Return a section that is drawn and not dimensioned."""
    if kind == "taper":
        return Section("taper", angle=angle, narrows=narrows and angle is not None, drawn=Drawn(to))
    return Section("face" if kind == "face" else "cylinder", drawn=Drawn(to))
