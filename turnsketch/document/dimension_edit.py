"""Dimension text changed by the pencil: a new size in it, its fit and its form kept."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Final

from turnsketch.errors import InputError
from turnsketch.part.text import Dimension, Kind, parse
from turnsketch.units import Units, from_mm

__all__ = ["number_text", "with_size"]

_NUMBER: Final = re.compile(r"\d+(?:[.,]\d+)?|[.,]\d+")
_PLAIN_LIMITS: Final = re.compile(r"\d[.,]?\d*\s*/\s*\d|\d+\s+\d+/\d+")
_MOST_DECIMALS: Final = {"mm": 2, "inch": 3}


def number_text(size_mm: float, units: Units, decimals: int | None = None) -> str:
    """Return a size in `units` as a print writes it: no needless zeros, no sign on zero.

    Parameters
    ----------
    size_mm : float
        Millimetres; a diameter stays a diameter.
    units : {"mm", "inch"}
        What the text is in.
    decimals : int, optional
        Keep at least these decimals: in inch practice they carry the tolerance.
    """
    most = max(_MOST_DECIMALS[units], decimals or 0)
    text = f"{from_mm(size_mm, units):.{most}f}"
    if decimals is None or decimals < most:
        whole, _, tail = text.partition(".")
        tail = tail[: decimals or 0] + tail[decimals or 0 :].rstrip("0")
        text = f"{whole}.{tail}" if tail else whole
    return "0" if math.isclose(float(text), 0.0, abs_tol=1e-12) else text


def with_size(text: str | None, size_mm: float, units: Units, expect: Sequence[Kind]) -> str:
    """Return dimension text with a new nominal size; fit, tolerance and brackets stay.

    Where the old text has two limits or an inch fraction, which cannot be moved one number at a
    time, the new text is the plain number.

    Parameters
    ----------
    text : str or None
        The old text; None or text that does not read gives the plain number.
    size_mm : float
        The new nominal size in millimetres.
    units : {"mm", "inch"}
        The job's unit.
    expect : sequence of Kind
        What may stand at this place.
    """
    old = _read(text, units, expect)
    if text is None or old is None:
        return number_text(size_mm, units)
    if math.isclose(old.nominal, size_mm, abs_tol=1e-6):
        return text
    new = number_text(size_mm, old.unit, old.decimals if units == "inch" else None)
    if _PLAIN_LIMITS.search(text) is None:
        start = text.find("x") + 1 if old.count > 1 else 0
        changed = text[:start] + _NUMBER.sub(new, text[start:], count=1)
        read = _read(changed, units, expect)
        if read is not None and abs(read.nominal - size_mm) <= 0.006:
            return changed
    if old.unit != units:
        new += ' "' if old.unit == "inch" else " mm"
    return new


def _read(text: str | None, units: Units, expect: Sequence[Kind]) -> Dimension | None:
    if text is None:
        return None
    try:
        return parse(text, units, expect)
    except InputError:
        return None
