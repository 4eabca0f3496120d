"""What the readers of dimension text share: the place being read, and what was read there."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, NoReturn

from turnsketch.part._dimension import Kind
from turnsketch.part._scan import Cursor, Token
from turnsketch.part._values import Typed, read_deviations, read_number
from turnsketch.units import Units

__all__ = ["EXAMPLES", "TOLERANCE", "Context", "Measure"]

EXAMPLES: Final[dict[Kind, tuple[str, str]]] = {
    "diameter": ("a diameter", "Ø25 h6"),
    "length": ("a length", "25 ±0.05"),
    "radius": ("a radius", "R3"),
    "angle": ("an angle", "15°"),
    "ratio": ("a taper ratio", "1:10"),
    "chamfer": ("a chamfer", "1x45°"),
    "roughness": ("a surface texture", "Ra 1.6"),
}
"""Of each kind: its name with the article, and how it looks."""

TOLERANCE: Final = ("a tolerance", "+0.02/-0.01")


@dataclass(frozen=True, slots=True)
class Measure:
    """What stands between the count and the aim."""

    kind: Kind
    value: Fraction
    """mm, degrees as typed, C of a ratio, or micrometres."""
    unit: Units
    decimals: int | None = None
    lower: Fraction | None = None
    upper: Fraction | None = None
    fit: str | None = None
    included: bool = False
    slope_deg: Fraction | None = None
    ball: Literal["radius", "diameter"] | None = None

    @property
    def toleranced(self) -> bool:
        """Whether it has limits of its own."""
        return self.lower is not None

    @property
    def share(self) -> Fraction:
        """What a typed size counts: half for a ball's diameter where a radius stands."""
        halved = self.kind == "radius" and self.ball == "diameter"
        return Fraction(1, 2) if halved else Fraction(1)

    @property
    def half_of_angle(self) -> Fraction:
        """What a typed angle counts: half for an included angle."""
        return Fraction(1, 2) if self.included else Fraction(1)

    def to_float(self) -> Callable[[Fraction], float]:
        """Return what turns a value of this kind into mm, micrometres or radians (half angle)."""
        if self.kind == "ratio":
            return lambda ratio: math.atan(float(ratio) / 2)
        if self.kind == "angle":
            return lambda degrees: math.radians(float(degrees * self.half_of_angle))
        return float


@dataclass(frozen=True, slots=True)
class Context:
    """The text being read and what may stand in it."""

    cursor: Cursor
    unit: Units
    """That holds in this text."""
    job_unit: Units
    expect: frozenset[Kind]

    @property
    def scale(self) -> Fraction:
        """Millimetres in the text's unit, exact."""
        return Fraction(127, 5) if self.unit == "inch" else Fraction(1)

    def number(self, expected: str, such_as: str) -> Typed:
        """Read a number in the text's unit."""
        return read_number(self.cursor, self.unit, expected, such_as)

    def limits(self, nominal: Fraction) -> tuple[Fraction, Fraction] | None:
        """Read deviations of `nominal` and return (lower, upper) limit, mm; None: none here."""
        pair = read_deviations(self.cursor, lambda: self.number(*TOLERANCE))
        if pair is None:
            return None
        self.cursor.skip_unit()
        return nominal + pair[0] * self.scale, nominal + pair[1] * self.scale

    def require(self, kind: Kind, start: Token) -> None:
        """Refuse the text if `kind`, which begins at `start`, may not stand here."""
        if kind not in self.expect:
            self.fail_kind(start)

    def fail_kind(self, start: Token) -> NoReturn:
        """Say what kinds may stand here."""
        if self.cursor.is_symbol("-") or self.cursor.is_symbol("+"):
            self.cursor.refuse("a size has no sign: write it without", start.start)
        shown = [EXAMPLES[kind] for kind in EXAMPLES if kind in self.expect]
        words = " or ".join(name for name, _ in shown)
        self.cursor.fail(words, '" or "'.join(example for _, example in shown), start.start)
