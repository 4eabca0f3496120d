"""What only some kinds of operation take: depth of a hole, grooves, infeed, direction. No Qt."""

from __future__ import annotations

from typing import Any, Final

import msgspec

from turnsketch.desk.text import tr
from turnsketch.errors import InputError
from turnsketch.job import Operation
from turnsketch.part.text import parse
from turnsketch.units import Units

__all__ = [
    "CHOICES",
    "EXTRAS",
    "extra_choices",
    "extra_reason",
    "extra_text",
    "extra_usual",
    "extra_words",
    "with_extra",
]

EXTRAS: Final[dict[str, str]] = {
    "drill": "to_depth",
    "ream": "to_depth",
    "groove": "grooves",
    "thread": "infeed",
    "rough": "direction",
    "bore": "direction",
}
"""The field that a kind of operation has beside the usual ones."""

CHOICES: Final = ("infeed", "direction")
"""Fields that are chosen; the others are typed."""


def extra_words(field: str) -> str:
    """Return what a field is called in the form."""
    words = {
        "to_depth": tr("To depth"),
        "grooves": tr("Grooves"),
        "infeed": tr("Infeed"),
        "direction": tr("Cuts"),
    }
    return words[field]


def extra_choices(field: str) -> tuple[tuple[str, str], ...]:
    """Return values and words of a field that is chosen; the first is the program's own choice."""
    if field == "infeed":
        return (
            ("", tr("proposed")),
            ("straight", tr("straight")),
            ("flank", tr("along flank")),
        )
    return (
        ("", tr("proposed")),
        ("along", tr("along")),
        ("across", tr("across")),
    )


def extra_text(operation: Operation, field: str) -> str:
    """Return what the job says itself in a field; empty: the program proposes."""
    if field == "grooves":
        return ", ".join(str(n) for n in operation.grooves or ())
    return getattr(operation, field) or ""


def with_extra(
    operation: Operation, field: str, text: str, units: Units, grooves: int
) -> Operation:
    """Return the operation with a field set; empty text gives it back to the program.

    Parameters
    ----------
    grooves : int
        So many grooves the part has.

    Raises
    ------
    InputError
        When the text cannot be read.
    """
    value: Any = text or None
    if field == "grooves":
        value = _numbers(text, grooves)
    elif field == "to_depth" and text and parse(text, units, {"length"}).nominal <= 0:
        raise InputError("give a depth above 0, or leave it to the program")
    return msgspec.structs.replace(operation, **{field: value})


def _numbers(text: str, count: int) -> tuple[int, ...] | None:
    found: list[int] = []
    for word in text.replace(",", " ").split():
        number = int(word) if word.isdecimal() else 0
        if not 1 <= number <= count:
            known = f"they go from 1 to {count}" if count else "the part has none"
            raise InputError(f'there is no groove "{word}": {known}')
        if number not in found:
            found.append(number)
    return tuple(found) or None


def extra_usual(field: str) -> str:
    """Return in a word what the program does where a typed field is empty."""
    return tr("bore's") if field == "to_depth" else tr("all that fit")


def extra_reason(field: str) -> str:
    """Return how the program chooses a field that the job leaves open."""
    reasons = {
        "to_depth": "the full diameter goes as deep as the bore allows: to its bottom, or through "
        "with the point beyond the other end",
        "grooves": "it cuts every groove whose width and depth fit the tool and that nothing has "
        "cut before",
        "infeed": "along the flank by the top slide from a pitch of 1.5 mm on: one edge cuts; "
        "finer ones straight (common practice)",
        "direction": "along the axis; a proposed list begins across where the part or a recess is "
        "short and wide, since facing cuts then take most of the metal in the fewest passes",
    }
    return reasons[field]
