"""What the sheet says of work from the tailstock and of bores: quill, touch, instruments."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.part.outline_records import ResolvedPart, SectionInfo
from turnsketch.plan_records import Pass, Ring, SetupPlan
from turnsketch.sheet.numbers import MINUS, Numbers
from turnsketch.sheet.records import RowText, SheetInput

__all__ = [
    "IN_TAILSTOCK",
    "bore_place",
    "every_section",
    "inside_notes",
    "is_for_bores",
    "plug_gauge",
    "quill_row",
    "quill_words",
]

IN_TAILSTOCK = ("centre drill", "drill", "reamer", "countersink", "tap", "die")
"""Kinds of tool that stand in the tailstock."""

_MOTIONS = 4
_TOUCHES = {
    "face": "the face",
    "rim": "the rim of the hole",
    "inside": "the bottom of the hole",
}
_AT = {"face": "on face: 0", "rim": "on rim: 0", "inside": "in hole: 0"}


def quill_row(step: Pass, numbers: Numbers) -> RowText:
    """Return the row of a hole made from the tailstock: touch, wind the quill, wind back."""
    quill = step.quill
    depth = step.quill_depth_mm or 0.0
    out = "draw out\nfor chips" if quill is not None and quill.pecks else "back out"
    return RowText(
        "tailstock",
        "touch: 0" if quill is None else _AT[quill.touch],
        f"quill\n{numbers.length(round(depth, 2))}",
        "",
        (out,),
        "tail clear",
        _MOTIONS,
    )


def quill_words(step: Pass, numbers: Numbers) -> str:
    """Return how the quill is worked, for the row that puts the tool in; empty where nothing is."""
    quill = step.quill
    if quill is None or step.operation not in ("drill", "ream", "countersink"):
        return ""
    depth = numbers.length(round(quill.depth, 2))
    words = [f"Touch {_TOUCHES[quill.touch]}: quill's scale to 0. Wind in to {depth}"]
    if quill.full_z is None:
        words[0] += f": it makes the {step.surface}."
    elif quill.full_z - quill.tip_z > 1e-3:
        words[0] += (
            f": the full diameter then stands at {_z(quill.full_z, numbers)}, the point at "
            f"{_z(quill.tip_z, numbers)}."
        )
    else:
        words[0] += f": its front then stands at {_z(quill.tip_z, numbers)}."
    if step.operation != "countersink":
        words.append(f"By hand, about {numbers.feed(quill.feed_mm)} {numbers.unit} a turn.")
    if quill.pecks:
        stops = ", ".join(numbers.length(round(stop, 1)) for stop in quill.pecks)
        words.append(f"Draw it right out and clear the chips at {stops}.")
    if step.operation == "ream":
        words.append("Never turn it backwards, draw it out while it turns.")
        words.append(f"Then try the {plug_gauge(step, numbers)}.")
    return " ".join(words)


def _z(mm: float, numbers: Numbers) -> str:
    """Return a place on Z to a hundredth, given in millimetres: the quill reads no finer."""
    size = numbers.length(round(abs(mm), 2))
    return f"Z {size}" if mm > 0 else f"Z {MINUS}{size}"


def plug_gauge(step: Pass, numbers: Numbers) -> str:
    """Return the gauge for a reamed bore, by its limits."""
    size = step.size
    if size is None or size.lower is None or size.upper is None:
        return "plug gauge"
    return f"plug gauge {numbers.fine(size.lower)} to {numbers.fine(size.upper)}"


def inside_notes(step: Pass) -> tuple[str, ...]:
    """Return what stands on every row of a bore: the wheel reverses."""
    return ("in = smaller X",) if step.inside and step.direction != "drill" else ()


def bore_place(setup: SetupPlan, first: int, numbers: Numbers) -> str:
    """Say which hole sets a bar's X before pass number `first` of the list; empty without one."""
    for step in reversed(setup.passes[:first]):
        found = next(_levels(step), None)
        if found is not None:
            return f"Ø{numbers.diameter(2 * found)} left by pass {step.number}"
        if step.quill is not None and step.quill.full_z is not None and step.size is not None:
            return f"Ø{numbers.diameter(step.size.diameter)} left by pass {step.number}"
        if step.operation == "drill":
            return f"{step.surface.removeprefix('hole ')} drilled by pass {step.number}"
    hole = _hole(setup.blank)
    return f"Ø{numbers.diameter(2 * hole)} that is there" if hole > 0 else ""


def _levels(step: Pass) -> Iterator[float]:
    """Yield the radii of the cuts of a boring pass along the axis."""
    here = step.start
    for move in step.moves if step.inside and step.direction == "turn" else ():
        if move.kind == "cut" and abs(move.to.r - here.r) < 1e-9:
            yield here.r
        here = move.to


def _hole(rings: tuple[Ring, ...]) -> float:
    """Return the radius of the hole at the front of a blank; 0: it is solid."""
    front = max((p.z for ring in rings for p in ring), default=0.0)
    return min((p.r for ring in rings for p in ring if p.z > front - 1e-6), default=0.0)


def is_for_bores(given: SheetInput, number: int | None) -> bool:
    """Return whether a section's number is one of a bore's."""
    bores = [bore for bore in (given.part.bore, given.part.bore_back) if bore is not None]
    return any(section.number == number for bore in bores for section in bore.sections)


def every_section(part: ResolvedPart) -> tuple[SectionInfo, ...]:
    """Return all sections, outside and in both bores; those of the back bore in its own frame."""
    bores = [bore for bore in (part.bore, part.bore_back) if bore is not None]
    return (*part.sections, *(section for bore in bores for section in bore.sections))
