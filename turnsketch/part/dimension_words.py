"""Dimensions in the words of messages: as printed, in sums, and as others make them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from turnsketch.part.equations import ArcCentre, Equation, TaperSlope
from turnsketch.part.levels import Given
from turnsketch.part.system import System
from turnsketch.part.wording import number_words

__all__ = ["dimension_words", "implied_words", "summed_words"]


def dimension_words(given: Given) -> str:
    """Return a dimension as it stands on the print, with its sign where it was typed without."""
    text = given.dimension.text.strip()
    if given.quantity == "centre" and given.dimension.exact == 0:
        return "centre on the axis"
    if text[:1].isdigit() or text[:1] in ".(":
        if given.quantity in ("diameter", "centre") and not any(c in text for c in "Øø⌀∅"):
            return f"Ø{text}" if "dia" not in text.lower() else text
        if given.quantity == "radius":
            return f"R{text}"
    return text


def summed_words(system: System, terms: Sequence[tuple[int, int]]) -> str:
    """Return "12 + 30 - 5" for signs and links, those added first, from the front on."""
    links = system.links

    def order(term: tuple[int, int]) -> tuple[int, Fraction]:
        return -term[0], -system.chains.offset[links[term[1]].start]

    summed = ""
    for sign, link in sorted(terms, key=order):
        joint = (" + " if sign > 0 else " - ") if summed else ("" if sign > 0 else "-")
        summed += joint + dimension_words(system.givens[links[link].dimension])
    return summed


def implied_words(system: System, equation: Equation, x: Sequence[float]) -> str:
    """Return what the other dimensions make of the one in this equation."""
    e, units = system.levels.ends(equation.section), system.sketch.units
    assert equation.given is not None
    given = system.givens[equation.given]
    dz, dr = x[e.zq] - x[e.zp], x[e.rq] - x[e.rp]
    if isinstance(equation, TaperSlope):
        half = math.atan2(abs(dr), abs(dz))
        if given.dimension.kind == "ratio":
            return f"1:{1.0 / (2.0 * math.tan(half)):.4g}" if half else "a cylinder"
        if given.dimension.included:
            return f"{math.degrees(2.0 * half):.4g}° incl"
        return f"{math.degrees(half):.4g}°"
    assert e.bulge is not None
    b = x[e.bulge]
    if isinstance(equation, ArcCentre):
        middle = (x[e.rp] + x[e.rq]) / 2.0 + (1.0 - b * b) / (4.0 * b) * dz
        return f"Ø{number_words(2.0 * abs(middle), units)}"
    return f"R{number_words(math.hypot(dz, dr) * (1.0 + b * b) / (4.0 * abs(b)), units)}"
