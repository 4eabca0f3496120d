"""Every word on the screen goes through `tr`, so that a translation can take its place."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

from turnsketch.units import Units

__all__ = ["capital", "tr", "unit_word"]


def tr(text: str, **values: object) -> str:
    """Return `text` in the user's language, with `values` in the places of their names.

    Translations have the context "desk" and keep the names in braces.
    """
    found = QCoreApplication.translate("desk", text)
    return found.format(**values) if values else found


def capital(text: str) -> str:
    """Return `text` with a capital first letter and the others as they are."""
    return text[:1].upper() + text[1:]


def unit_word(units: Units) -> str:
    """Return the unit as it stands beside a number."""
    return "mm" if units == "mm" else "in"
