"""Thread designations as prints write them, read into sizes, class and hand.

``M12``, ``M12x1.75``, ``M12x1.5-5g6g LH`` (ISO 965-1), ``1/2-13 UNC-2A``, ``#10-32 UNF``,
``1 1/4-12 UN-2B-LH`` (ASME B1.1). Lengths of engagement and more than one start are refused, since
nothing here cuts them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, Literal

from turnsketch.errors import InputError
from turnsketch.part.threads_unified import CLASSES, number_size, series_of

__all__ = ["Designation", "read_designation"]

_LONGEST: Final = 40
_LARGEST_IN: Final = 4
"""Whole numbers above it are number sizes."""
_FOLD: Final = {ord(odd): plain for plain, odds in {
    "x": "X×✕✖⨯*", "-": "‐‑‒–—−﹣－", "/": "⁄∕", " ": "\t\u00a0\u202f",
}.items() for odd in odds}  # fmt: skip

_HAND = r"(?:[- ]*(?P<hand>LH|RH))?"
_METRIC = re.compile(
    r"M ?(?P<size>\d+(?:[.,]\d+)?)(?: ?x ?(?P<pitch>\d*[.,]?\d+))?"
    r"(?:[- ]+(?P<class>\d[A-Za-z](?:\d[A-Za-z])?))?" + _HAND,
    re.ASCII,
)
_UNIFIED = re.compile(
    r"(?P<size>#?\d{1,2}|\d+[ -]\d+/\d+|\d+/\d+|\d*\.\d+)(?: ?(?:in|\"))?"
    r"(?:-(?P<tpi>\d+(?:\.\d+)?))?"
    r"(?:[- ]*(?P<series>UN[A-Z]*))?"
    r"(?:[- ]*(?P<class>\d[A-Za-z]))?" + _HAND,
    re.ASCII,
)
_SERIES: Final = ("UNC", "UNF", "UNEF", "UN", "UNS")
_EXAMPLES: Final = 'such as "M12x1.75-6g", "M8", "1/2-13 UNC-2A" or "#10-32 UNF LH"'


@dataclass(frozen=True, slots=True)
class Designation:
    """A designation, read but not yet completed by the standard."""

    system: Literal["metric", "unified"]
    size: Decimal
    """Nominal diameter, mm or inches."""
    name: str
    """The size as it is written: "12", "1/2", "#10"."""
    rate: Decimal | None
    """Pitch in mm, or threads an inch; None: the standard's."""
    series: str | None
    tolerance: str | None
    """Class; None: the usual one."""
    left_hand: bool


def read_designation(text: str) -> Designation:
    """Read a designation.

    Raises
    ------
    InputError
        One sentence that says what was expected.
    """
    folded = " ".join(text.strip().translate(_FOLD).split())
    shown = "".join(sign if sign.isprintable() else "?" for sign in text.strip())
    if not folded:
        raise InputError(f"expected a thread, {_EXAMPLES}, where the text is empty")
    if len(folded) > _LONGEST:
        raise InputError(f"a thread has at most {_LONGEST} characters, this has {len(folded)}")
    if folded[:1] in "mM":
        return _metric(folded, shown)
    return _unified(folded, shown)


def _hand(match: re.Match[str]) -> bool:
    return (match["hand"] or "").upper() == "LH"


def _decimal(text: str) -> Decimal:
    return Decimal(text.replace(",", "."))


def _metric(folded: str, shown: str) -> Designation:
    # "m12" too; the class keeps its letters, since g is outside and G inside.
    match = _METRIC.fullmatch("M" + re.sub(r"(?i)(lh|rh)$", _upper, folded[1:]))
    if match is None:
        if re.search(r"(?i)Ph", folded):
            raise InputError(f'"{shown}": threads of several starts are not cut; write one start')
        raise InputError(f'"{shown}" is no thread: expected one {_EXAMPLES}')
    pitch = _decimal(match["pitch"]) if match["pitch"] else None
    size = _decimal(match["size"])
    if not size or pitch == 0:
        raise InputError(f'"{shown}": diameter and pitch are greater than zero')
    return Designation("metric", size, f"{size.normalize():f}", pitch, None, match["class"],
                       _hand(match))  # fmt: skip


def _upper(match: re.Match[str]) -> str:
    return match[0].upper()


def _unified(folded: str, shown: str) -> Designation:
    match = _UNIFIED.fullmatch(folded.upper().replace("IN", "in"))
    if match is None:
        raise InputError(f'"{shown}" is no thread: expected one {_EXAMPLES}')
    if match["tpi"] is None and match["series"] is None:
        raise InputError(
            f'"{shown}" has no pitch: write threads an inch and series, such as "1/2-13 UNC", '
            'or "M" before a metric thread'
        )
    series = match["series"]
    if series is not None and series not in _SERIES:
        raise InputError(f'"{series}" is no series of Unified threads: {", ".join(_SERIES)}')
    if match["class"] is not None and match["class"] not in CLASSES:
        raise InputError(f'"{match["class"]}" is no class of Unified threads: {", ".join(CLASSES)}')
    tpi = Decimal(match["tpi"]) if match["tpi"] else None
    if tpi == 0:
        raise InputError(f'"{shown}": the threads an inch are greater than zero')
    name, size = _inch_size(match["size"], tpi, shown)
    return Designation("unified", size, name, tpi, series, match["class"], _hand(match))


def _inch_size(text: str, tpi: Decimal | None, shown: str) -> tuple[str, Decimal]:
    """Return name and inches of "10", "#10", "1/2", "1-1/2", "1 1/2", ".5" or "1"."""
    if "/" in text:
        return _fraction(text, shown)
    if "." in text:
        if not Decimal(text):
            raise InputError(f'"{shown}": the diameter is greater than zero')
        return text, Decimal(text)
    number = int(text.lstrip("#"))
    numbered = number_size(number)
    if text.startswith("#"):
        if numbered is None:
            raise InputError(f'"{shown}": number sizes are #0 to #6, #8, #10 and #12 (ASME B1.1)')
        return f"#{number}", numbered
    if number > _LARGEST_IN:
        if numbered is None:
            raise InputError(f'"{shown}": whole inches run to 4; a metric thread begins with "M"')
        return f"#{number}", numbered
    if tpi is None or not number:
        raise InputError(
            f'"{shown}" may be a number or inches: write "#{number}", or the threads an inch'
        )
    # 1 to 4 may be a number or inches; the numbers' own pitches are far finer.
    if numbered is not None and series_of(numbered, tpi) in ("UNC", "UNF"):
        return f"#{number}", numbered
    return str(number), Decimal(number)


def _fraction(text: str, shown: str) -> tuple[str, Decimal]:
    whole, _, part = text.replace("-", " ").rpartition(" ")
    above, below = (int(number) for number in part.split("/"))
    if below not in (2, 4, 8, 16, 32, 64) or not 0 < above < below:
        raise InputError(f'"{shown}": an inch fraction is such as "7/16" or "1 1/8"')
    size = Decimal(whole or 0) + Decimal(above) / Decimal(below)
    return f"{whole} {part}".strip(), size
