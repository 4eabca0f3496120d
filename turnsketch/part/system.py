"""The sketch as levels, links and equations: what the solver works on."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from turnsketch.errors import InputError
from turnsketch.part.chains import Chains, Link, close_chains
from turnsketch.part.equation_builder import EquationBuilder
from turnsketch.part.equations import Equation
from turnsketch.part.levels import Given, Levels, levels_of, sized
from turnsketch.part.sketch_records import Sketch
from turnsketch.part.text import Dimension

__all__ = ["System", "build_system", "positions"]


@dataclass(frozen=True, slots=True)
class System:
    """Levels, the dimensions between them, and the equations of tapers and arcs."""

    sketch: Sketch
    levels: Levels
    givens: tuple[Given, ...]
    links: tuple[Link, ...]
    """Lengths, and diameters as half of themselves from the axis, in order of preference."""
    references: tuple[Link, ...]
    """The same for dimensions in brackets, which fix nothing."""
    chains: Chains
    equations: tuple[Equation, ...]
    """In order of preference where they repeat one another."""
    by_section: tuple[tuple[Equation, ...], ...]
    """The same, for each section of the sketch."""
    reference_equations: tuple[Equation, ...]
    variable: tuple[int | None, ...]
    """For each quantity the variable that moves it; None when the chains fix it."""
    variables: int
    smooth: tuple[int, ...]
    """Vertices that are tangent, asked for or at an extreme."""

    def known(self, quantity: int) -> bool:
        """Whether lengths and diameters alone fix the quantity."""
        return self.variable[quantity] is None

    def value(self, equation: Equation, values: Sequence[float]) -> float:
        """Return what the equation's dimension reads, 0 where none stands in it."""
        return 0.0 if equation.given is None else values[equation.given]

    def nominals(self) -> list[float]:
        """Return the nominal of every given."""
        return [given.size.nominal for given in self.givens]

    def aims(self) -> list[float]:
        """Return the aim of every given."""
        return [given.size.aim for given in self.givens]


def build_system(sketch: Sketch, rule: str, slants: Mapping[int, float] | None = None) -> System:
    """Return the system of a sketch, its limits after the general tolerance `rule`.

    `slants` gives the length of tapers along their surface, in mm by their number in the sketch,
    where it is known: the general tolerance of angles goes by it.

    Raises
    ------
    InputError
        A dimension for which there are no limits, or a length from a face to itself.
    """
    levels = levels_of(sketch)
    givens, links, references = _chain_links(sketch, levels, rule)
    links.sort(key=lambda link: _preference(givens[link.dimension]))
    chains = close_chains(levels.places, links)
    variable, variables = _variables(levels, chains)
    builder = EquationBuilder(sketch, levels, chains, givens, rule, slants or {})
    builder.build()
    equations = tuple(builder.structural + builder.dimensioned)
    return System(
        sketch,
        levels,
        tuple(builder.givens),
        tuple(links),
        tuple(references),
        chains,
        equations,
        _by_section(equations, len(sketch.sections)),
        tuple(builder.references),
        variable,
        variables,
        tuple(sorted(builder.smooth)),
    )


def positions(system: System, values: Sequence[float] | None = None) -> list[float]:
    """Return every place relative to the root of its chain.

    Parameters
    ----------
    system : System
        Its tree of links is followed.
    values : sequence of float, optional
        What each given reads; None: the nominals, summed exactly and rounded once.
    """
    if values is None:
        return [float(offset) for offset in system.chains.offset]
    neighbours: list[list[tuple[int, float]]] = [[] for _ in range(system.levels.places)]
    for number in system.chains.tree:
        link = system.links[number]
        share = 0.5 if system.givens[link.dimension].quantity == "diameter" else 1.0
        size = share * values[link.dimension]
        neighbours[link.start].append((link.end, -size))
        neighbours[link.end].append((link.start, size))
    found = [0.0] * system.levels.places
    queue = deque(set(system.chains.root))
    seen = set(queue)
    while queue:
        place = queue.popleft()
        for other, step in neighbours[place]:
            if other not in seen:
                seen.add(other)
                found[other] = found[place] + step
                queue.append(other)
    return found


def _by_section(equations: Sequence[Equation], count: int) -> tuple[tuple[Equation, ...], ...]:
    found: list[list[Equation]] = [[] for _ in range(count)]
    for equation in equations:
        found[equation.section].append(equation)
    return tuple(tuple(of_section) for of_section in found)


def _preference(given: Given) -> tuple[bool, float]:
    """Order dimensions: those with a tolerance of their own first, then the tighter ones."""
    dimension = given.dimension
    general = dimension.lower is None and dimension.upper is None
    return general, round(given.size.upper - given.size.lower, 9)


def _chain_links(
    sketch: Sketch, levels: Levels, rule: str
) -> tuple[list[Given], list[Link], list[Link]]:
    """Return the givens of lengths and diameters with their links, and those of references."""
    givens: list[Given] = []
    links: list[Link] = []
    references: list[Link] = []

    def add(given: Given, start: int, end: int, size: Fraction) -> None:
        if start == end:
            if size == 0:
                return
            raise InputError(
                "both its ends lie in one plane; take it out or choose another end"
                if given.quantity == "length"
                else "that end lies on the axis; take the diameter out",
                given.path,
            )
        to = references if given.dimension.reference else links
        to.append(Link(start, end, size, len(givens)))
        givens.append(given)

    for length in sketch.lengths:
        size = sized(length.dimension, rule, length.path)
        owner = _owner(sketch, length.path)
        add(
            Given(length.dimension, length.path, owner, "length", size),
            levels.place(length.front),
            levels.place(length.back),
            length.dimension.exact,
        )
    for i, section in enumerate(sketch.sections):
        fields = (("diameter", i), ("front_diameter", i), ("back_diameter", i + 1))
        for field, vertex in fields:
            dimension: Dimension | None = getattr(section, field)
            if dimension is None:
                continue
            path = f"{section.path}.{field}"
            given = Given(dimension, path, i, "diameter", sized(dimension, rule, path))
            add(given, levels.r[vertex], levels.axis, dimension.exact / 2)
    return givens, links, references


def _owner(sketch: Sketch, path: str) -> int | None:
    for i, section in enumerate(sketch.sections):
        if section.path and path == f"{section.path}.length":
            return i
    return None


def _variables(levels: Levels, chains: Chains) -> tuple[tuple[int | None, ...], int]:
    """Number what is free to move: chains that hang on neither zero nor axis, and bulges."""
    of_root: dict[int, int] = {}
    variable: list[int | None] = []
    for place in range(levels.places):
        root = chains.root[place]
        if root in (0, levels.axis):
            variable.append(None)
        else:
            variable.append(of_root.setdefault(root, len(of_root)))
    count = len(of_root)
    for _ in levels.bulge:
        variable.append(count)
        count += 1
    return tuple(variable), count
