"""What is open, repeated, contradictory or doubtful in a print, in words."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final, Literal

from turnsketch.geometry.elements import Point
from turnsketch.part.blocks import SolvedBlock, residual_of
from turnsketch.part.chains import Closure
from turnsketch.part.dimension_words import dimension_words, implied_words, summed_words
from turnsketch.part.equations import Equation, TaperSlope
from turnsketch.part.fixing import fixing_of, hangs_on, row_of
from turnsketch.part.freedom import Freedom, contradicts
from turnsketch.part.levels import Given
from turnsketch.part.outline_records import PartIssue
from turnsketch.part.sketch_records import PRINT_ROUNDING_MM
from turnsketch.part.system import System
from turnsketch.part.wording import length_words, number_words

__all__ = ["issues_of"]

_Kind = Literal["open", "repeat", "contradiction", "ill-posed"]

_WEAK_TAN: Final = math.tan(math.radians(0.5))
"""A taper of a smaller half angle fixes its length badly from two diameters."""

_ALONE: Final = "take {} out, or put it in brackets as a reference"

_CORRECT: Final = "correct one of them, or put one in brackets as a reference"


def issues_of(
    system: System,
    blocks: Sequence[SolvedBlock],
    settled: Sequence[Equation],
    x: Sequence[float],
    freedom: Freedom,
    unaimed: bool = False,
) -> tuple[PartIssue, ...]:
    """Return the issues of a solved system: contradictions, what is open, repeats, doubts."""
    report = _Report(system, blocks, x)
    for closure in system.chains.closures:
        report.closure(closure)
    for equation in settled:
        report.dropped(equation)
    for block in blocks:
        if not block.met:
            report.missed(block)
        for equation in block.dropped:
            report.dropped(equation)
        for arc in block.rivals:
            report.rival(arc)
    for i, ways in enumerate(freedom.loose):
        if ways:
            report.open(i, ways)
    report.references()
    report.weak(freedom)
    if unaimed:
        report.unaimed()
    order = ("contradiction", "open", "ill-posed", "repeat")
    return tuple(sorted(report.issues, key=lambda issue: order.index(issue.kind)))


class _Report:
    """Gathers issues. Lives only while one solution is reported."""

    def __init__(self, system: System, blocks: Sequence[SolvedBlock], x: Sequence[float]) -> None:
        self.system = system
        self.sketch = system.sketch
        self.blocks = blocks
        self.values = system.nominals()
        self.x = x
        self.issues: list[PartIssue] = []

    def add(self, kind: _Kind, message: str, remedy: str, i: int | None) -> None:
        """Put one issue on the list; `i` is the section's number in the sketch."""
        place, number = None, None
        if i is not None:
            e = self.system.levels.ends(i)
            number = self.sketch.sections[i].number
            place = Point((self.x[e.zp] + self.x[e.zq]) / 2.0, (self.x[e.rp] + self.x[e.rq]) / 2.0)
        self.issues.append(PartIssue(kind, message, remedy, number, place))

    # Chains

    def closure(self, closure: Closure) -> None:
        """Report a closed chain: the longest of it stands against the rest."""
        system = self.system
        terms = [(member.sign, member.link) for member in closure.path] + [(-1, closure.link)]
        gap = closure.gap
        against = max(terms, key=lambda term: (system.links[term[1]].size, term[0] < 0))
        if against[0] > 0:
            terms, gap = [(-sign, link) for sign, link in terms], -gap
            against = (-1, against[1])
        summed = summed_words(system, [term for term in terms if term != against])
        long = system.givens[system.links[against[1]].dimension]
        extra = system.givens[system.links[closure.link].dimension]
        if gap:
            message = self._gap(long, summed, float(gap))
            self.add("contradiction", message, _CORRECT, extra.section)
        elif long.quantity != "diameter" or summed != dimension_words(long):
            # Otherwise it is one diameter of the print, written at both sections that meet there.
            message = f"{dimension_words(long)} only repeats {summed}"
            self.add("repeat", message, _ALONE.format(dimension_words(extra)), extra.section)

    def _gap(self, long: Given, summed: str, gap_mm: float) -> str:
        units, words = self.sketch.units, dimension_words(long)
        if long.quantity == "diameter":
            apart = length_words(2.0 * abs(gap_mm), units)
            return f"diameters differ by {apart}: {summed} against {words}"
        apart = length_words(abs(gap_mm), units)
        return (
            f"lengths close {apart} {'short' if gap_mm < 0 else 'long'}: {summed} against {words}"
        )

    # Equations

    def dropped(self, equation: Equation) -> None:
        """Report an equation that others make needless: a repeat, or a contradiction."""
        if equation.given is None:
            if contradicts(self.system, equation, self.values, self.x):
                self._broken(equation)
            return
        given = self.system.givens[equation.given]
        others = self._others(equation)
        if not contradicts(self.system, equation, self.values, self.x):
            message = f"{dimension_words(given)} only repeats {others}"
            self.add("repeat", message, _ALONE.format(dimension_words(given)), equation.section)
            return
        words = dimension_words(given)
        message = (
            f"{words} disagrees: {others} make it {implied_words(self.system, equation, self.x)}"
        )
        self.add("contradiction", message, _CORRECT, equation.section)

    def _broken(self, equation: Equation) -> None:
        """Report a tangency, or a centre along the axis, that the dimensions don't allow."""
        section = self.sketch.sections[equation.section]
        if section.tangent_front or section.tangent_back:
            self.add(
                "contradiction",
                f"{section.words} can't be tangent with its neighbour: "
                "its other dimensions make a kink",
                "take the tangency or one of the dimensions out",
                equation.section,
            )
            return
        self.add(
            "contradiction",
            f"the radius, the centre and the ends of {section.words} do not go together",
            _CORRECT,
            equation.section,
        )

    def _others(self, equation: Equation) -> str:
        """Return the dimensions that make an equation needless."""
        fixing = fixing_of(self.system, self.blocks, self.values, self.x)
        row = row_of(self.system, equation, self.values, self.x)
        shares, _ = hangs_on(fixing, row)
        names = [dimension_words(self.system.givens[g]) for g in sorted(shares)]
        if not names:
            return "the others"
        return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"

    def missed(self, block: SolvedBlock) -> None:
        """Report dimensions that no outline can meet."""
        sections = sorted({equation.section for equation in block.kept})
        words = " and ".join(self.sketch.sections[i].words for i in sections)
        names = ", ".join(self._asked(block))
        self.add(
            "contradiction",
            f"{words} can't be made with {names or 'these neighbours'}: "
            f"the nearest way misses by {length_words(block.missed, self.sketch.units)}",
            "check these sizes against one another",
            sections[0],
        )

    def _asked(self, block: SolvedBlock) -> list[str]:
        """Return the dimensions in a block and the diameters at its ends."""
        givens = [eq.given for eq in block.kept if eq.given is not None]
        levels = set()
        for equation in block.kept:
            e = self.system.levels.ends(equation.section)
            levels |= {e.rp, e.rq}
        for number in self.system.chains.tree:
            link = self.system.links[number]
            if link.start in levels:
                givens.append(link.dimension)
        return [dimension_words(self.system.givens[given]) for given in dict.fromkeys(givens)]

    def rival(self, i: int) -> None:
        """Report an arc that could as well lie another way."""
        section = self.sketch.sections[i]
        sense = "" if section.sense else "say whether it is convex or concave, "
        self.add(
            "ill-posed",
            f"{section.words} can lie in more than one way with these dimensions; "
            "the shorter arc is taken",
            f"{sense}say that it goes the long way, or draw it",
            i,
        )

    # Open, reference, weak

    def open(self, i: int, ways: Sequence[str]) -> None:
        """Report a section at which a dimension is missing."""
        section = self.sketch.sections[i]
        listed = " and ".join(f"in {way}" for way in ways)
        asked = list(ways)
        if section.kind == "taper":
            asked.append("angle")
        if len(asked) == 1 and asked[0] == "length":
            remedy = "give its length, or a length over it"
        else:
            remedy = f"give its {' or '.join(asked)}"
        self.add("open", f"{section.words} is free {listed}", remedy, i)

    def references(self) -> None:
        """Report dimensions in brackets that the others do not bear out."""
        for link in self.system.references:
            given = self.system.givens[link.dimension]
            found = self.x[link.start] - self.x[link.end]
            share = 2.0 if given.quantity == "diameter" else 1.0
            off = share * (found - float(link.size))
            if abs(off) > _rounding(given) and self._settled(link.start, link.end):
                self._disagrees(given, number_words(share * found, self.sketch.units))
        for equation in self.system.reference_equations:
            off = residual_of(self.system, equation, self.values, self.x)
            assert equation.given is not None
            given = self.system.givens[equation.given]
            e = self.system.levels.ends(equation.section)
            if abs(off) > _rounding(given) and self._settled(e.zp, e.rp, e.zq, e.rq, e.bulge):
                self._disagrees(given, implied_words(self.system, equation, self.x))

    def _disagrees(self, given: Given, found: str) -> None:
        text = dimension_words(given)
        self.add(
            "ill-posed",
            f"the reference {text} does not agree with the others, which make it {found}",
            "check the print; sizes in brackets are not cut to",
            given.section,
        )

    def _settled(self, *quantities: int | None) -> bool:
        free = {
            q
            for block in self.blocks
            for q, column in block.columns.of_quantity.items()
            if abs(block.free[column]).max(initial=0.0) > 1e-6
        }
        return not any(q in free for q in quantities)

    def weak(self, freedom: Freedom) -> None:
        """Report tapers whose length hangs on two diameters and a tiny angle."""
        for equation in self.system.equations:
            if not isinstance(equation, TaperSlope) or equation.given is None:
                continue
            i, e = equation.section, equation.ends
            if (
                not freedom.fixed[i]
                or self.system.chains.root[e.zp] == self.system.chains.root[e.zq]
            ):
                continue
            given = self.system.givens[equation.given]
            slope = math.tan(given.size.nominal)
            if slope < _WEAK_TAN:
                shift = length_words(0.005 / slope, self.sketch.units)
                off = length_words(0.01, self.sketch.units)
                self.add(
                    "ill-posed",
                    f"{dimension_words(given)} and two diameters fix the length of "
                    f"{self.sketch.sections[i].words} badly: {off} on a diameter moves it {shift}",
                    "give its length instead of one of them",
                    i,
                )

    def unaimed(self) -> None:
        """Report that the middles of the limits do not go together."""
        self.add(
            "ill-posed",
            "the middles of the limits do not make an outline together; the nominal sizes are cut",
            "type an aim at one of the sizes",
            None,
        )


def _rounding(given: Given) -> float:
    """Return by how much a reference may be off: half its last decimal, at least 0.005 mm."""
    dimension = given.dimension
    if dimension.decimals is None or given.quantity == "angle":
        return PRINT_ROUNDING_MM
    unit = 25.4 if dimension.unit == "inch" else 1.0
    return max(PRINT_ROUNDING_MM, min(0.5 * 10.0**-dimension.decimals * unit, 0.05))
