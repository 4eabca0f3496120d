"""Every word on the screen goes through `tr`, so that a translation can take its place."""

from __future__ import annotations

import re

from PySide6.QtCore import QCoreApplication

from turnsketch.units import Units

__all__ = ["capital", "template", "told", "tr", "unit_word"]

_GIVEN = re.compile(r'"[^"]*"|[^\s"(]*\d(?:[^\s"]*[^\s".,;:)])?')
"""What a sentence says of this job alone: a quoted name, a word with a figure in it."""
_PLACE = re.compile(r"\{(\d+)\}")


def tr(text: str, **values: object) -> str:
    """Return `text` in the user's language, with `values` in the places of their names.

    Translations have the context "desk" and keep the names in braces.
    """
    found = QCoreApplication.translate("desk", text)
    return found.format(**values) if values else found


def told(text: str) -> str:
    """Return words that the core made (findings, remedies, names of steps) in the user's language.

    The core knows no language but its own. A translation is looked up by the words as they stand,
    and else by their `template`; without one they stay. Translations have the context "core".
    """
    found = QCoreApplication.translate("core", text)
    if found != text:
        return found
    source, given = template(text)
    found = QCoreApplication.translate("core", source)
    if not given or found == source:
        return text
    return _PLACE.sub(lambda match: given[int(match.group(1))], found)


def template(text: str) -> tuple[str, tuple[str, ...]]:
    """Return `text` with {0}, {1} ... for its quoted names and words with figures, and those."""
    given: list[str] = []

    def taken(match: re.Match[str]) -> str:
        given.append(match.group())
        return f"{{{len(given) - 1}}}"

    return _GIVEN.sub(taken, text), tuple(given)


def capital(text: str) -> str:
    """Return `text` with a capital first letter and the others as they are."""
    return text[:1].upper() + text[1:]


def unit_word(units: Units) -> str:
    """Return the unit as it stands beside a number."""
    return "mm" if units == "mm" else "in"
