"""What typed text means at a picked thing: an edit of the job and its name. No Qt."""

from __future__ import annotations

from collections.abc import Sequence

from turnsketch.desk.board.feature_dimensions import groove_field
from turnsketch.desk.board.pick import Pick, SectionPick, VertexPick, place_of
from turnsketch.desk.thread_cell import is_knurl, is_thread, with_knurl, with_thread
from turnsketch.document.bores import (
    Chain,
    all_sections,
    bore_of,
    chain_of,
    offset_of_chain,
    set_bore,
)
from turnsketch.document.edits import (
    add_length_dimension,
    change_section,
    set_corner,
    set_diameter,
    set_field,
    set_length_text,
)
from turnsketch.document.grooves import change_groove
from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.part.knurls import read_knurl
from turnsketch.part.text import Kind, parse
from turnsketch.part.threads import read_thread
from turnsketch.units import Units

__all__ = ["DIAMETER", "LENGTH", "Edit", "reads", "retyped", "typed_at", "typed_at_each"]

Edit = tuple[Job, str]
"""A new job, and what was done in words."""

LENGTH: tuple[Kind, ...] = ("length",)
DIAMETER: tuple[Kind, ...] = ("diameter",)
"""What text may be where a length, or a diameter, is asked."""

_FIRST_CHOICE: dict[str, tuple[tuple[tuple[Kind, ...], str], ...]] = {
    "cylinder": ((("diameter",), "diameter"), (("roughness",), "roughness")),
    "taper": (
        (("angle", "ratio"), "angle"),
        (("diameter",), "back_diameter"),
        (("roughness",), "roughness"),
    ),
    "arc": (
        (("radius",), "radius"),
        (("diameter",), "back_diameter"),
        (("roughness",), "roughness"),
    ),
    "face": ((("diameter",), "back_diameter"), (("roughness",), "roughness")),
}
_KINDS: dict[str, tuple[Kind, ...]] = {
    "diameter": ("diameter",),
    "front_diameter": ("diameter",),
    "back_diameter": ("diameter",),
    "length": ("length",),
    "angle": ("angle", "ratio"),
    "radius": ("radius",),
    "front_corner": ("chamfer", "radius"),
    "back_corner": ("chamfer", "radius"),
    "roughness": ("roughness",),
    "thread_length": ("length",),
}
_GROOVE_KINDS: dict[str, tuple[Kind, ...]] = {
    "width": ("length",),
    "from_front": ("length",),
    "from_back": ("length",),
    "diameter": ("diameter",),
    "corner": ("radius",),
    "angle": ("angle",),
}
_WORDS = {
    "diameter": "diameter",
    "front_diameter": "front diameter",
    "back_diameter": "back diameter",
    "length": "length",
    "angle": "angle",
    "radius": "radius",
    "front_corner": "corner",
    "back_corner": "corner",
    "roughness": "roughness",
    "thread": "thread",
    "thread_length": "thread length",
    "knurl": "knurl",
}


def typed_at(job: Job, picks: Sequence[Pick], text: str) -> Edit:
    """Return the edit that `text` means at one picked thing, or between two.

    One section takes what its kind is usually dimensioned with (a cylinder its diameter, a taper
    its angle or ratio, an arc its radius); one vertex takes a chamfer, a round or a diameter, the
    innermost one of a blind bore also the angle of its bottom; two things take the length between
    them.

    Raises
    ------
    InputError
        The text cannot be read there.
    """
    if len(picks) == 2:
        parse(text, job.units, LENGTH)
        start, end = place_of(picks[0], picks[1]), place_of(picks[1], picks[0])
        if start == end or (picks[0] == picks[1]):
            raise InputError("pick two different things for a length")
        return add_length_dimension(job, start, end, text), f"Length {text}"
    if not picks:
        raise InputError("pick a section, a corner, or two ends first")
    one = picks[0]
    if isinstance(one, VertexPick):
        return _at_vertex(job, one, text)
    return _at_section(job, one, text)


def typed_at_each(job: Job, picks: Sequence[Pick], text: str) -> Edit:
    """Return the edit that gives `text` to every one of the picked things, or to none.

    Raises
    ------
    InputError
        The text cannot be read at one of them.
    """
    name = ""
    for one in picks:
        job, name = typed_at(job, (one,), text)
    return job, f"{name} at {len(picks)} sections" if len(picks) > 1 else name


def reads(text: str, units: Units, kinds: tuple[Kind, ...]) -> bool:
    """Return whether text can be read as one of some kinds of dimension."""
    try:
        parse(text, units, kinds)
    except InputError:
        return False
    return True


def _at_section(job: Job, picked: SectionPick, text: str) -> Edit:
    section = all_sections(job.part)[picked.number - 1]
    inside, kind = picked.number > len(job.part.sections), section.kind
    if kind == "cylinder" and is_thread(text):
        made = with_thread(section, text, job.units, inside=inside, alone=True)
        return change_section(job, picked.number, made), f"Thread {text}"
    if kind == "cylinder" and is_knurl(text):
        made = with_knurl(section, text, inside=inside)
        return change_section(job, picked.number, made), f"Knurl {text}"
    choices = _FIRST_CHOICE[kind]
    for kinds, field in choices:
        if reads(text, job.units, kinds):
            return set_field(job, picked.number, field, text), f"{_WORDS[field].title()} {text}"
    parse(text, job.units, choices[0][0])  # says what was expected
    raise InputError("this text does not fit here")


def _at_vertex(job: Job, picked: VertexPick, text: str) -> Edit:
    if reads(text, job.units, ("chamfer", "radius")):
        return set_corner(job, picked.number, picked.end, text), f"Corner {text}"
    if reads(text, job.units, ("diameter",)):
        return set_diameter(job, picked.number, text, picked.end), f"Diameter {text}"
    chain = _bottom_at(job, picked)
    if chain is not None and reads(_included(text), job.units, ("angle",)):
        return set_bore(job, chain, through=False, bottom=text), f"Bottom {text}"
    parse(text, job.units, ("chamfer", "radius"))
    raise InputError("this text does not fit here")


def _included(text: str) -> str:
    """Return the angle of a bottom as an included one, which it always is."""
    return text if "incl" in text.lower() else f"{text} incl"


def _bottom_at(job: Job, picked: VertexPick) -> Chain | None:
    """Return the blind bore whose innermost corner was picked; None: it is no such corner."""
    chain = chain_of(job.part, picked.number)
    bore = None if chain is None else bore_of(job.part, chain)
    if chain is None or bore is None or bore.through or picked.end != "back":
        return None
    last = offset_of_chain(job.part, chain) + len(bore.sections)
    return chain if picked.number == last else None


def retyped(job: Job, section: int | None, field: str, text: str) -> Edit:
    """Return the edit of a dimension that stands there already; empty text takes it away."""
    text = text.strip()
    groove = groove_field(field)
    if groove is not None:
        return _groove_retyped(job, *groove, text)
    if section is None:
        return _part_retyped(job, field, text)
    if text and field == "thread":
        read_thread(text, inside=section > len(job.part.sections))
    elif text and field == "knurl":
        read_knurl(text)
    elif text:
        parse(text, job.units, _KINDS[field])
    name = f"{_WORDS[field].title()} {text}" if text else f"Remove {_WORDS[field]}"
    return set_field(job, section, field, text), name


def _part_retyped(job: Job, field: str, text: str) -> Edit:
    """Return the edit of a length of the part or of a bore, or of the angle of a bore's bottom."""
    kind, _, name = field.partition(":")
    if kind == "bottom":
        chain: Chain = "bore" if name == "bore" else "bore_back"
        if text:
            parse(_included(text), job.units, {"angle"})
        return set_bore(job, chain, through=False, bottom=text), f"Bottom {text or 'flat'}"
    if text:
        parse(text, job.units, LENGTH)
    step = f"Length {text}" if text else "Remove length"
    if not name:
        return set_length_text(job, int(kind), text), step
    chain = "bore" if kind == "bore" else "bore_back"
    return set_length_text(job, int(name), text, chain), step


def _groove_retyped(job: Job, number: int, field: str, text: str) -> Edit:
    """Return the edit of a size of a groove."""
    if text and field in _GROOVE_KINDS:
        parse(text, job.units, _GROOVE_KINDS[field])
    name = f"Groove {number}: {text}" if text else f"Remove a size of groove {number}"
    return change_groove(job, number, **{field: text}), name
