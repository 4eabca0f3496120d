"""Where an arc may lie, in closed form from what is known of it: starts for Newton.

An arc travelled at angle ``f`` (its heading, from +z toward +r) lies at
``centre + sign · R · (sin f, -cos f)``, with sign +1 for a convex arc, which turns
counterclockwise. So a known end height, centre and radius give two headings, a tangency gives
one, and two headings give the sweep. What nothing gives is tried on a coarse grid.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

__all__ = ["ArcFacts", "ArcGuess", "guesses"]

_GRID: Final = (2.6, 3.7, 2.0, 4.3, 3.14, 1.5, 4.8)
"""Headings to try in radians: outlines mostly run toward the back (pi)."""

_BULGES: Final = (0.25, 0.6, 1.6)

_LEAST_SWEEP: Final = 1e-6


@dataclass(frozen=True, slots=True)
class ArcFacts:
    """What is known of one arc before solving. Millimetres and radians; None is not known."""

    signs: tuple[int, ...]
    """Senses to try: +1 convex, -1 concave."""
    radius: float | None = None
    chord: tuple[float, float] | None = None
    """From front end to back end, when both ends are known."""
    front_height: float | None = None
    """r of the front end."""
    back_height: float | None = None
    centre_height: float | None = None
    front_ahead: float | None = None
    """z of the front end minus z of the centre."""
    back_ahead: float | None = None
    front_headings: tuple[float, ...] | None = None
    """Known by tangency."""
    back_headings: tuple[float, ...] | None = None


@dataclass(frozen=True, slots=True)
class ArcGuess:
    """One way an arc may lie."""

    bulge: float
    radius: float | None = None
    """None where it is not known; then only the direction of the chord is."""
    front_heading: float = 0.0
    back_heading: float = 0.0
    exact: bool = True
    """No grid was needed."""

    def chord(self) -> tuple[float, float] | None:
        """Return the chord that radius and headings make."""
        if self.radius is None:
            return None
        size = math.copysign(self.radius, self.bulge)
        a, b = self.front_heading, self.back_heading
        return size * (math.sin(b) - math.sin(a)), size * (math.cos(a) - math.cos(b))


def guesses(facts: ArcFacts) -> list[ArcGuess]:
    """Return ways in which the arc may lie, the shorter sweeps first, exact ones before others."""
    found: list[ArcGuess] = []
    for sign in facts.signs:
        found += _with_chord(facts, sign) if facts.chord else _without_chord(facts, sign)
    if not found:
        found = [ArcGuess(s * size, exact=False) for s in facts.signs for size in _BULGES]
    return sorted(found, key=lambda guess: (not guess.exact, abs(guess.bulge)))


def _with_chord(facts: ArcFacts, sign: int) -> list[ArcGuess]:
    assert facts.chord is not None
    dz, dr = facts.chord
    chord = math.hypot(dz, dr)
    sizes: list[float] = []
    if facts.radius is not None:
        small = math.tan(math.asin(min(1.0, chord / (2.0 * facts.radius))) / 2.0)
        sizes = [small, 1.0 / small] if small > 0 else []
    elif facts.centre_height is not None and facts.front_height is not None and dz:
        k = (facts.centre_height - facts.front_height - dr / 2.0) / dz
        sizes = [_bulge_size(sign * k)]
    elif facts.front_ahead is not None and dr:
        k = (facts.front_ahead + dz / 2.0) / dr
        sizes = [_bulge_size(sign * k)]
    else:
        sizes = _from_headings(facts, sign, math.atan2(dr, dz))
    if sizes:
        return [ArcGuess(sign * size) for size in sizes]
    return [ArcGuess(sign * size, exact=False) for size in _BULGES]


def _bulge_size(k: float) -> float:
    """Return the positive root of b² + 4 k b - 1 = 0, from (1 - b²) / (4 b) = k."""
    return (
        1.0 / (2.0 * k + math.sqrt(4.0 * k * k + 1.0))
        if k > 0
        else (math.sqrt(4.0 * k * k + 1.0) - 2.0 * k)
    )


def _from_headings(facts: ArcFacts, sign: int, along: float) -> list[float]:
    """Return the bulge from the angle between the chord and a known heading."""
    halves = [along - heading for heading in facts.front_headings or ()]
    halves += [heading - along for heading in facts.back_headings or ()]
    turned = [(sign * half) % (2.0 * math.pi) for half in halves]
    return [math.tan(half / 2.0) for half in turned if _LEAST_SWEEP < half < math.pi - 1e-6]


def _without_chord(facts: ArcFacts, sign: int) -> list[ArcGuess]:
    found: list[ArcGuess] = []
    for front, back, exact in _heading_pairs(facts, sign):
        sweep = (sign * (back - front)) % (2.0 * math.pi)
        if sweep > 2.0 * math.pi - _LEAST_SWEEP:
            sweep = 0.0
        if sweep > _LEAST_SWEEP:
            bulge = sign * math.tan(sweep / 4.0)
            found.append(ArcGuess(bulge, facts.radius, front, back, exact))
    return found


def _heading_pairs(facts: ArcFacts, sign: int) -> list[tuple[float, float, bool]]:
    front = _headings(facts, sign, facts.front_headings, facts.front_height, facts.front_ahead)
    back = _headings(facts, sign, facts.back_headings, facts.back_height, facts.back_ahead)
    if front and back:
        return [(a, b, True) for a in front for b in back]
    if front:
        pairs = []
        for a in front:
            there = _with_centre(facts, sign, a, facts.front_height)
            known = _headings(there, sign, None, facts.back_height, None)
            pairs += [(a, b, bool(known)) for b in known or _GRID]
        return pairs
    if back:
        pairs = []
        for b in back:
            there = _with_centre(facts, sign, b, facts.back_height)
            known = _headings(there, sign, None, facts.front_height, None)
            pairs += [(a, b, bool(known)) for a in known or _GRID]
        return pairs
    return [(a, b, False) for a in _GRID for b in _GRID if a != b]


def _with_centre(facts: ArcFacts, sign: int, heading: float, height: float | None) -> ArcFacts:
    """Return the facts with the centre's height as one known end and its heading give it."""
    if facts.radius is None or height is None or facts.centre_height is not None:
        return facts
    return replace(facts, centre_height=height + sign * facts.radius * math.cos(heading))


def _headings(
    facts: ArcFacts,
    sign: int,
    tangent: Sequence[float] | None,
    height: float | None,
    ahead: float | None,
) -> list[float]:
    """Return the headings that an end may have; empty when nothing says so."""
    if tangent:
        return list(tangent)
    if facts.radius is None:
        return []
    if height is not None and facts.centre_height is not None:
        angle = math.acos(_unit(sign * (facts.centre_height - height) / facts.radius))
        return [angle] if angle in (0.0, math.pi) else [angle, -angle]
    if ahead is not None:
        angle = math.asin(_unit(sign * ahead / facts.radius))
        return [angle, math.pi - angle]
    return []


def _unit(value: float) -> float:
    return max(-1.0, min(1.0, value))
