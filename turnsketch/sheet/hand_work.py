"""What hands and eyes do beside the passes: edges, coolant, the look of a surface.

Common practice unless a line says otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from turnsketch.blank_sizes import blank_sizes
from turnsketch.cutting.roughness import REAL_SURFACE_FACTOR, feed_for_ra, ra_um
from turnsketch.geometry.elements import Point
from turnsketch.geometry.intersect import turn_between
from turnsketch.part.outline_records import Outline, OutlineElement
from turnsketch.picture.shapes import around
from turnsketch.plan_records import Pass, Ring, SetupPlan
from turnsketch.planning.part_solid import finished_outline
from turnsketch.sheet.bore_rows import every_section
from turnsketch.sheet.numbers import MINUS, Numbers
from turnsketch.sheet.records import FinishLine, SheetInput
from turnsketch.shop.records import Material, Tool

__all__ = ["coolant_for", "coolant_lines", "deburr_words", "finish_lines"]

_DRY_GROUPS = ("cast iron", "brass", "copper", "bronze", "wood", "plastic")
_NEAR = 0.15
"""A corner of the remaining metal as near as this is the print's edge, millimetres."""
_MOST_PLACES = 6
_BLUNT = math.radians(40)
"""Where a relief or an undercut runs out more gently than this no burr stands to speak of."""

_MAKES: dict[str, tuple[str, ...]] = {
    "cylinder": ("turn", "drill"),
    "taper": ("taper", "steps"),
    "arc": ("arc", "steps"),
    "face": ("face", "plunge"),
}
"""Which passes make a section's own surface; the others make the fillets beside it."""


def coolant_for(tool: Tool, material: Material | None) -> str:
    """Return "coolant" or "dry" for a tool in a material.

    The tool's own record wins. Where it allows either: copper alloys, cast iron and the like run
    dry; carbide runs dry too, as a stream that comes and goes cracks it; high-speed steel in
    steel, stainless steel and aluminium wants coolant (common practice).
    """
    if tool.coolant != "either":
        return tool.coolant
    if material is None:
        return ""
    group = material.group.lower()
    if any(word in group for word in _DRY_GROUPS) or tool.material == "carbide":
        return "dry"
    return "coolant"


def coolant_lines(given: SheetInput) -> tuple[str, ...]:
    """Return which tools run wet and which dry."""
    used = {step.tool for setup in given.plan.setups for step in setup.passes}
    lines = []
    for kind, words in (("coolant", "with coolant"), ("dry", "dry")):
        tools = [
            f"T{t.number}"
            for t in given.tools
            if t.number in used and coolant_for(t, given.material) == kind
        ]
        if tools:
            lines.append(f"{', '.join(tools)} {words}")
    return tuple(lines)


def deburr_words(given: SheetInput, setup: SetupPlan, numbers: Numbers) -> str:
    """Return the deburr line after the print's edge note (ISO 13715).

    Only edges that this setup makes are named; empty when it makes none.
    """
    note = given.job.part.edges
    shift = around(setup.part).high.z if setup.part else 0.0
    edges = [(p.z + shift, p.r) for p in _sharp_edges(finished_outline(given.part_in(setup)))]
    here = [e for e in edges if _stands(setup.remaining, e) and not _stands(setup.blank, e)]
    if edges and not here:
        return _bore_edges(given, setup)
    flat = blank_sizes(given.job.blank, given.job.units).flat_radius
    struck = [e for e in here if flat is not None and e[1] > flat + _NEAR]
    places = [numbers.near(z) for z, _ in here]
    where = (
        f"at Z {', '.join(places)}" if 0 < len(places) <= _MOST_PLACES else "on every sharp edge"
    )
    words = [f"Deburr {where}: {_edge_note(note, numbers)}"]
    if not here or len(struck) < len(here):
        words.append("Slowest speed, file with a handle, left-handed, clear of the jaws.")
    if struck:
        # A file on turning corners is thrown back at whoever holds it.
        at = ", ".join(numbers.near(z) for z, _ in struck)
        words.append(
            f"The {given.job.blank.shape}'s edge at Z {at}: spindle OFF, corner by corner."
        )
    return " ".join((*words, _bore_edges(given, setup))).rstrip()


def _bore_edges(given: SheetInput, setup: SetupPlan) -> str:
    """Return the line for the edges of a bore that this setup works in."""
    bore = given.part_in(setup).bore
    worked = any(p.inside or p.operation == "drill" for p in setup.passes)
    if bore is None or not worked:
        return ""
    joins = bore.aim.joins if bore.mouth is not None else (*bore.aim.joins, "reflex")
    if "reflex" not in joins:
        return ""
    return "Edges of the bore: hand scraper, spindle off."


def _edge_note(note: str | None, numbers: Numbers) -> str:
    """Say what an edge note of ISO 13715 allows; outside edges."""
    if not note:
        return "the print gives no edge note; take the burr off and no more."
    text = note.replace("-", MINUS)
    size = note.lstrip("+-±")
    if note.startswith("-"):
        return f"edge note {text}: no burr, at most {size} {numbers.unit} off the edge."
    if note.startswith("±"):
        return f"edge note {text}: at most {size} {numbers.unit} of burr, or as much off the edge."
    return f"edge note {text}: at most {size} {numbers.unit} of burr may stand."


def _stands(rings: Iterable[Ring], edge: tuple[float, float]) -> bool:
    """Tell whether a corner of the metal is at this place."""
    near = (math.hypot(p.z - edge[0], p.r - edge[1]) for ring in rings for p in ring)
    return min(near, default=math.inf) < _NEAR


def _sharp_edges(outline: Outline) -> Iterator[Point]:
    """Yield the part's outside edges that carry no chamfer or round, front to back."""
    back = outline.elements[-1].shape.start.z if outline.elements else 0.0
    for index, join in enumerate(outline.joins):
        first, then = outline.elements[index], outline.elements[index + 1]
        broken = {first.role, then.role} & {"chamfer", "round"}
        place = first.shape.end
        # The back edge is made by parting off; it is out of the file's reach until then.
        blunt = "groove" in (first.role, then.role) and _turn(first, then) < _BLUNT
        if join == "convex" and not (broken or blunt) and place.r > 1e-6 and place.z > back + 1e-6:
            yield place


def _turn(first: OutlineElement, then: OutlineElement) -> float:
    return turn_between(first.shape.end_direction, then.shape.start_direction)


def finish_lines(given: SheetInput, numbers: Numbers) -> tuple[FinishLine, ...]:
    """Return the print's roughness, section by section, with the feed that meets it."""
    return tuple(_finish_lines(given, numbers))


def _finish_lines(given: SheetInput, numbers: Numbers) -> Iterator[FinishLine]:
    for section in every_section(given.part):
        wanted = section.roughness_um
        if wanted is None:
            continue
        made = [
            (setup, step)
            for setup in given.plan.setups
            for step in setup.passes
            if step.section == section.number and step.last_on_surface
            and step.direction not in ("plunge",)
        ]  # fmt: skip
        if not made:
            continue
        kinds = _MAKES.get(section.kind, ())
        setup, step = next((p for p in reversed(made) if p[1].direction in kinds), made[-1])
        yield FinishLine(
            section.label,
            f"Ra {wanted:.1f}",
            f"{step.number}",
            numbers.feed(step.feed_mm_per_rev) if step.feed_mm_per_rev else "hand",
            *_expected(setup, step, wanted, numbers),
        )


def _expected(setup: SetupPlan, step: Pass, wanted: float, numbers: Numbers) -> tuple[str, str]:
    """Return what roughness comes out, and the greatest feed that still meets the print."""
    nose = next((t.nose_radius for t in setup.tools if t.number == step.tool), 0.0)
    if step.direction == "drill":
        return f"by the {'reamer' if step.operation == 'ream' else 'drill'}", ""
    if nose <= 0 or step.steps is not None:
        return ("after filing" if step.steps is not None else "by eye"), ""
    greatest = numbers.feed(feed_for_ra(wanted / REAL_SURFACE_FACTOR[1], nose))
    feed = step.feed_mm_per_rev
    if not feed:
        return "by an even hand", greatest
    low, high = (ra_um(feed, nose) * factor for factor in REAL_SURFACE_FACTOR)
    return f"{low:.1f} to {high:.1f}", greatest
