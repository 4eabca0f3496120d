"""Surfaces tied together as one line of text: ``run-out 0.02: 1, 3``. No Qt."""

from __future__ import annotations

import re
from typing import Final, Literal

from turnsketch.errors import InputError
from turnsketch.part.records import Tie
from turnsketch.part.text import parse
from turnsketch.units import Units

__all__ = ["ties_from", "ties_text"]

_KINDS: Final[tuple[Literal["run-out", "coaxial", "square"], ...]] = (
    "run-out",
    "coaxial",
    "square",
)
_FORM: Final = re.compile(r"(?P<kind>[a-z-]+)\s+(?P<value>[^:]+):\s*(?P<numbers>.+)", re.IGNORECASE)
_BETWEEN: Final = re.compile(r"\s*(?:,|\band\b|\bto\b|\s)\s*")


def ties_text(ties: tuple[Tie, ...]) -> str:
    """Return the ties as they are typed; several stand with semicolons between them."""
    return "; ".join(
        f"{tie.kind} {tie.value}: {', '.join(str(n) for n in tie.sections)}" for tie in ties
    )


def ties_from(text: str, sections: int, units: Units) -> tuple[Tie, ...]:
    """Return the ties that a text says; nothing is none.

    Parameters
    ----------
    text : str
        Kind (its first letters will do), the greatest deviation, a colon, numbers of sections.
    sections : int
        So many sections the part has.
    units : {"mm", "inch"}
        The job's unit.

    Raises
    ------
    InputError
        The text does not read, or names sections that are not there.
    """
    return tuple(_tie(part.strip(), sections, units) for part in text.split(";") if part.strip())


def _tie(text: str, sections: int, units: Units) -> Tie:
    found = _FORM.fullmatch(text)
    word = "" if found is None else found["kind"].lower()
    kind = next((k for k in _KINDS if word and k.startswith(word)), None)
    if found is None or kind is None:
        raise InputError(
            "say what ties the surfaces, how much is allowed and which they are: "
            '"run-out 0.02: 1, 3" (or coaxial, or square)'
        )
    value = found["value"].strip()
    parse(value, units, {"length"})
    numbers = _BETWEEN.split(found["numbers"].strip())
    if not all(number.isdecimal() and 1 <= int(number) <= sections for number in numbers):
        raise InputError(f"give the sections by their numbers, 1 to {sections}")
    chosen = tuple(dict.fromkeys(int(number) for number in numbers))
    if len(chosen) < 2:
        raise InputError("a tie names two sections or more")
    return Tie(kind, chosen, value)
