"""Starts for a coupled block: every sensible branch of its arcs, in a fixed order."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from turnsketch.part.arc_guess import ArcFacts, ArcGuess, guesses
from turnsketch.part.equations import Equation, TaperSlope
from turnsketch.part.levels import Levels
from turnsketch.part.newton import Columns, linearise
from turnsketch.part.sketch_records import Sketch
from turnsketch.part.system import System

__all__ = ["drawn_quantities", "pencil", "starts"]

_MOST: Final = 32
"""Combinations of branches that are tried in one block."""

_LOOKED_AT: Final = 2500
"""Combinations that are ranked for it."""

_STEP: Final = 0.25
"""Where nothing says how long a section is: this share of the part's size."""

_FAINT: Final = 1e-3
"""Weight of the pencil against what is known."""


def drawn_quantities(sketch: Sketch, levels: Levels) -> dict[int, float]:
    """Return the quantities that the drawn lines show, those of levels averaged."""
    sums: dict[int, list[float]] = {}
    for i, section in enumerate(sketch.sections):
        if section.drawn is None:
            continue
        sums.setdefault(levels.z[i + 1], []).append(section.drawn.to.z)
        sums.setdefault(levels.r[i + 1], []).append(section.drawn.to.r)
        if i in levels.bulge and section.drawn.bulge:
            sums.setdefault(levels.bulge[i], []).append(section.drawn.bulge)
    return {q: sum(found) / len(found) for q, found in sums.items()}


def pencil(system: System, places: Sequence[float], values: Sequence[float]) -> list[float]:
    """Return a value for every quantity: known, as drawn, told in brackets, or between neighbours.

    Parameters
    ----------
    system : System
        The levels and what fixes them.
    places : sequence of float
        Every place relative to the root of its chain.
    values : sequence of float
        What every given reads.
    """
    levels = system.levels
    x = [*places, *([0.0] * len(levels.bulge))]
    hints = drawn_quantities(system.sketch, levels)
    moved = _hinted(system, places, hints)
    size = max([10.0, *(abs(places[q]) for q in range(levels.places) if system.known(q))])
    _fill(system, levels.z, x, moved, -_STEP * size)
    _fill(system, levels.r, x, moved, 0.0, _STEP * size)
    for q in range(levels.places):
        variable = system.variable[q]
        if variable is not None:
            x[q] = places[q] + moved.get(variable, -_STEP * size if q < levels.axis else 0.0)
    for section, q in levels.bulge.items():
        concave = system.sketch.sections[section].sense == "concave"
        x[q] = hints.get(q, -0.4 if concave else 0.4)
    return x


def _hinted(system: System, places: Sequence[float], hints: dict[int, float]) -> dict[int, float]:
    """Return how far each variable moves its chain, where pencil or brackets say so."""
    offsets: dict[int, list[float]] = {}
    for q, value in hints.items():
        variable = system.variable[q]
        if variable is not None and q < system.levels.places:
            offsets.setdefault(variable, []).append(value - places[q])
    moved = {variable: sum(found) / len(found) for variable, found in offsets.items()}
    for link in system.references:
        for here, there, size in (
            (link.start, link.end, float(link.size)),
            (link.end, link.start, -float(link.size)),
        ):
            variable = system.variable[here]
            if variable is not None and variable not in moved and system.known(there):
                moved[variable] = places[there] + size - places[here]
    return moved


def _fill(
    system: System,
    levels: Sequence[int],
    x: list[float],
    moved: dict[int, float],
    step: float,
    alone: float = 0.0,
) -> None:
    """Give the variables of levels along the outline that have no hint a place between others."""

    def known(vertex: int) -> float | None:
        variable = system.variable[levels[vertex]]
        if variable is None:
            return x[levels[vertex]]
        return x[levels[vertex]] + moved[variable] if variable in moved else None

    for vertex, level in enumerate(levels):
        if known(vertex) is not None:
            continue
        before = known(vertex - 1) or 0.0
        ahead = next((v for v in range(vertex, len(levels)) if known(v) is not None), None)
        goal = known(ahead) if ahead is not None else None
        if goal is None or ahead is None:
            value = before + step
        elif alone and (before == 0.0 or goal == 0.0):
            value = max(before, goal) or alone
        else:
            value = before + (goal - before) / (ahead - vertex + 1)
        variable = system.variable[level]
        assert variable is not None
        moved[variable] = value - x[level]


def starts(
    system: System,
    variables: Sequence[int],
    equations: Sequence[Equation],
    x: Sequence[float],
    values: Sequence[float],
) -> Iterator[tuple[list[float], bool]]:
    """Yield starts for Newton, and whether each came in closed form.

    The pencil itself comes first when it was drawn; then the branches of the arcs, the shorter
    sweeps first.
    """
    chosen = set(variables)
    arcs = [i for i, q in system.levels.bulge.items() if system.variable[q] in chosen]
    if not arcs:
        yield list(x), True
        return
    if all(system.sketch.sections[i].drawn is not None for i in arcs):
        yield list(x), False
    slopes = [eq for eq in equations if isinstance(eq, TaperSlope)]
    facts = {i: _facts(system, i, x, values, chosen) for i in arcs}
    options = [guesses(facts[i]) for i in arcs]
    combinations = itertools.islice(itertools.product(*options), _LOOKED_AT)
    ranked = sorted(combinations, key=lambda combination: _doubt(system, arcs, combination))
    for combination in ranked[:_MOST]:
        ways = dict(zip(arcs, combination, strict=True))
        exact = all(way.exact for way in combination)
        yield _placed(system, variables, slopes, ways, facts, x, values), exact


def _doubt(system: System, arcs: Sequence[int], combination: Sequence[ArcGuess]) -> float:
    """Return how little a combination can be trusted: grids, and kinks where it is tangent."""
    doubt = float(sum(not way.exact for way in combination))
    for (i, before), (j, after) in itertools.pairwise(zip(arcs, combination, strict=True)):
        if j == i + 1 and j in system.smooth and before.radius and after.radius:
            turn = abs(after.front_heading - before.back_heading) % (2.0 * math.pi)
            doubt += 4.0 * min(turn, 2.0 * math.pi - turn)
    return doubt


def _facts(
    system: System, i: int, x: Sequence[float], values: Sequence[float], moving: set[int]
) -> ArcFacts:
    levels, e = system.levels, system.levels.ends(i)
    section = system.sketch.sections[i]
    radius = section.radius.nominal if section.radius and not section.radius.reference else None
    centre = None
    if section.centre_diameter and not section.centre_diameter.reference:
        centre = section.centre_diameter.nominal * (-0.5 if section.centre_below else 0.5)

    def known(q: int) -> bool:
        return system.variable[q] not in moving

    def height(q: int) -> float | None:
        return x[q] if known(q) else None

    def between(a: int, b: int) -> float | None:
        together = system.chains.root[a] == system.chains.root[b]
        return x[a] - x[b] if together or (known(a) and known(b)) else None

    along = between(e.zq, e.zp)
    front, back = height(e.rp), height(e.rq)
    whole = along is not None and front is not None and back is not None
    middle = levels.centre.get(i)
    return ArcFacts(
        signs=_signs(system, i),
        radius=radius,
        chord=(x[e.zq] - x[e.zp], x[e.rq] - x[e.rp]) if whole else None,
        front_height=front,
        back_height=back,
        centre_height=centre,
        front_ahead=None if middle is None else between(e.zp, middle),
        back_ahead=None if middle is None else between(e.zq, middle),
        front_headings=_neighbour_headings(system, i, i, values),
        back_headings=_neighbour_headings(system, i, i + 1, values),
    )


def _signs(system: System, i: int) -> tuple[int, ...]:
    section = system.sketch.sections[i]
    if section.sense is not None:
        return (1,) if section.sense == "convex" else (-1,)
    if section.drawn is not None and section.drawn.bulge:
        return (1,) if section.drawn.bulge > 0 else (-1,)
    return (1, -1)


def _neighbour_headings(
    system: System, i: int, vertex: int, values: Sequence[float]
) -> tuple[float, ...] | None:
    """Return the headings that tangency with a straight neighbour gives at that end."""
    if vertex not in system.smooth:
        return None
    other = i - 1 if vertex == i else i + 1
    section = system.sketch.sections[other]
    if section.kind == "cylinder":
        return (math.pi,)
    if section.kind == "face":
        if other == 0:
            return (math.pi / 2,)
        if other == len(system.sketch.sections) - 1:
            return (-math.pi / 2,)
        return (math.pi / 2, -math.pi / 2)
    for equation in system.by_section[other]:
        if isinstance(equation, TaperSlope):
            return (math.pi - equation.sign * system.value(equation, values),)
    return None


def _placed(
    system: System,
    variables: Sequence[int],
    slopes: Sequence[Equation],
    ways: dict[int, ArcGuess],
    facts: dict[int, ArcFacts],
    x: Sequence[float],
    values: Sequence[float],
) -> list[float]:
    """Return quantities whose levels lie as well as they can for the chosen ways of the arcs."""
    y = list(x)
    for i, way in ways.items():
        y[system.levels.bulge[i]] = way.bulge
    bulges = {system.variable[q] for q in system.levels.bulge.values()}
    moving = [variable for variable in variables if variable not in bulges]
    if not moving:
        return y
    columns = Columns.of(system, moving, y)
    rows, wanted = [_FAINT * row for row in np.eye(columns.count)], [0.0] * columns.count

    def ask(terms: dict[int, float], short: float) -> None:
        row = np.zeros(columns.count)
        for q, factor in terms.items():
            if q in columns.of_quantity:
                row[columns.of_quantity[q]] += factor
        rows.append(row)
        wanted.append(short)

    for i, way in ways.items():
        for terms, value in _places_of(system, i, way, facts[i]):
            ask(terms, value - sum(factor * y[q] for q, factor in terms.items()))
    residuals, jacobian = linearise(system, slopes, values, y, columns)
    rows += list(jacobian)
    wanted += list(-residuals)
    step = np.asarray(np.linalg.lstsq(np.array(rows), np.array(wanted), rcond=None)[0], np.float64)
    return columns.moved(y, step, 1.0)


def _places_of(
    system: System, i: int, way: ArcGuess, facts: ArcFacts
) -> list[tuple[dict[int, float], float]]:
    """Return what the ends of an arc must be: factors of quantities, and the sum wanted."""
    chord = way.chord()
    if chord is None or way.radius is None or facts.chord is not None:
        return []
    e, size = system.levels.ends(i), math.copysign(way.radius, way.bulge)
    wanted = [({e.zq: 1.0, e.zp: -1.0}, chord[0])]
    if e.rq != e.rp:
        wanted.append(({e.rq: 1.0, e.rp: -1.0}, chord[1]))
    if facts.centre_height is not None:
        wanted.append(({e.rp: 1.0}, facts.centre_height - size * math.cos(way.front_heading)))
        wanted.append(({e.rq: 1.0}, facts.centre_height - size * math.cos(way.back_heading)))
    middle = system.levels.centre.get(i)
    if middle is not None:
        wanted.append(({e.zp: 1.0, middle: -1.0}, size * math.sin(way.front_heading)))
        wanted.append(({e.zq: 1.0, middle: -1.0}, size * math.sin(way.back_heading)))
    return wanted
