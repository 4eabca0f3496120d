"""The table of grooves as text: what a cell shows, and the job that a typed cell makes. No Qt.

- Groove: its kind and a name, ``ring``, ``undercut F seat``; some letters will do for the kind.
- In: the number of the cylinder in which it stands, those of bores counted on.
- Place: ``5 from front`` to its front wall, ``3 from back`` to its back wall, ``5`` alone is from
  the front; both behind one another with a semicolon. Nothing: at the section's back end.
- R, angle: ``R0.4``, ``60°``, or both with a semicolon.
- Size: the designation that gives the rest: ring ``25x1.2``, undercut ``0.6x0.3``, relief: the
  thread's pitch, ``B`` or in a bore ``D`` for the short form, or both.
"""

from __future__ import annotations

from typing import Any, Final

from turnsketch.desk.chain_cells import cylinders
from turnsketch.desk.section_cells import checked_text
from turnsketch.document.bores import all_sections
from turnsketch.document.grooves import add_groove, change_groove
from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.part.records import AT_SHOULDER, Groove, GrooveKind
from turnsketch.units import Units

__all__ = ["GROOVE_COLUMNS", "groove_cell_text", "groove_uses", "with_groove_cell"]

GROOVE_COLUMNS: Final = ("kind", "section", "place", "width", "diameter", "corner", "size")
"""Keys of the columns, from left to right."""

_KINDS: Final[dict[str, GrooveKind]] = {
    "plain": "plain",
    "round": "round",
    "vee": "vee",
    "ring": "ring",
    "undercut e": "undercut E",
    "undercut f": "undercut F",
    "thread relief": "thread relief",
    "e": "undercut E",
    "f": "undercut F",
    "relief": "thread relief",
}


def groove_cell_text(groove: Groove, column: str) -> str:
    """Return what the cell of a groove shows and edits."""
    if column == "kind":
        return f"{groove.kind} {groove.name}".strip()
    if column == "section":
        return str(groove.section)
    if column == "place":
        parts = [(groove.from_front, "front"), (groove.from_back, "back")]
        return "; ".join(f"{text} from {end}" for text, end in parts if text is not None)
    if column == "corner":
        return "; ".join(text for text in (groove.corner, groove.angle) if text is not None)
    return getattr(groove, column) or ""


def groove_uses(groove: Groove, column: str) -> bool:
    """Return whether a groove of this kind is usually told with the cell; Tab stops there."""
    if column in ("kind", "section", "place"):
        return True
    if groove.kind in AT_SHOULDER or groove.kind == "ring":
        return column == "size"
    return column in ("width", "diameter") or (column == "corner" and groove.kind != "round")


def with_groove_cell(job: Job, row: int, column: str, text: str, chosen: int = 0) -> Job:
    """Return `job` with `text` typed into a cell; a row behind the last makes a new groove.

    A new groove stands in the `chosen` section where that is a cylinder, else in the last cylinder
    of the outside.

    Raises
    ------
    InputError
        When the text cannot be read there: one sentence with the remedy.
    """
    text = " ".join(text.split())
    if row == len(job.part.grooves):
        if not text:
            return job
        job = add_groove(job, Groove("plain", _host(job, chosen)))
    groove, number = job.part.grooves[row], row + 1
    return change_groove(job, number, **_fields(job, groove, column, text))


def _host(job: Job, chosen: int) -> int:
    found = cylinders(job.part)
    if not found:
        raise InputError("a groove stands in a cylinder: type the part's sections first")
    if chosen in found:
        return chosen
    outside = [n for n in found if n <= len(job.part.sections)]
    return (outside or found)[-1]


def _fields(job: Job, groove: Groove, column: str, text: str) -> dict[str, Any]:
    units = job.units
    if column == "kind":
        kind, name = _kind(text)
        return {"kind": kind or groove.kind, "name": name}
    if column == "section":
        return {"section": _number(job, text)}
    if column == "place":
        return _place(text, units)
    if column == "corner":
        return _corner(text, units)
    if column == "width":
        return {"width": checked_text(text, units, "length")}
    if column == "diameter":
        return {"diameter": checked_text(text, units, "diameter")}
    return {"size": text or None}


def _kind(text: str) -> tuple[GrooveKind | None, str]:
    """Return the kind that text begins with, and the name behind it; no kind: all is the name."""
    words = text.split()
    for count in (2, 1):
        begun = " ".join(words[:count]).lower()
        if not begun or count > len(words):
            continue
        if begun in _KINDS:
            return _KINDS[begun], " ".join(words[count:])
        found = [k for name, k in _KINDS.items() if name.startswith(begun)]
        if count == 1 and len(begun) > 1 and len(set(found)) == 1:
            return found[0], " ".join(words[1:])
    return None, text


def _number(job: Job, text: str) -> int:
    try:
        number = int(text)
    except ValueError:
        number = 0
    sections = all_sections(job.part)
    if not 1 <= number <= len(sections) or sections[number - 1].kind != "cylinder":
        known = ", ".join(str(n) for n in cylinders(job.part))
        raise InputError(f"a groove stands in a cylinder: give its number, one of {known}")
    return number


def _place(text: str, units: Units) -> dict[str, Any]:
    found: dict[str, Any] = {"from_front": None, "from_back": None}
    for piece in filter(None, (p.strip() for p in text.split(";"))):
        size, word, side = piece.rpartition(" from ")
        size, side = (size, side.lower()) if word else (piece, "front")
        end = next((e for e in ("front", "back") if e.startswith(side)), None)
        end = "front" if end is None and "mouth".startswith(side) else end
        if end is None:
            raise InputError('say from which end of its section: "5 from front", "3 from back"')
        found[f"from_{end}"] = checked_text(size, units, "length")
    return found


def _corner(text: str, units: Units) -> dict[str, Any]:
    found: dict[str, Any] = {"corner": None, "angle": None}
    for piece in filter(None, (p.strip() for p in text.split(";"))):
        angled = "°" in piece or "deg" in piece.lower()
        field = "angle" if angled else "corner"
        found[field] = checked_text(piece, units, "angle" if angled else "radius")
    return found
