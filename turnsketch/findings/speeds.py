"""Findings about spindle speed and surface speed."""

from __future__ import annotations

import math
from collections.abc import Iterator

from turnsketch.cutting.interrupted_speed import INTERRUPTED_LIMIT
from turnsketch.cutting.knurl_speed import KNURL_LIMIT
from turnsketch.cutting.speed import surface_speed_m_min, wanted_rpm
from turnsketch.cutting.surface import PURPOSES, surface_speed
from turnsketch.cutting.thread_speed import BY_HAND, HAND_LIMIT
from turnsketch.findings.metal import cut_diameter
from turnsketch.findings.view import PlanView, finding
from turnsketch.findings.words import listed, passes_text, them
from turnsketch.plan_records import Finding, Pass, PlannedOperation

__all__ = ["no_surface_speed", "speed_held_back", "speed_too_high"]

HELD_BACK = 0.7
"""A speed below this share of the wanted one is worth a note."""

TOO_HIGH = 1.25
"""A surface speed over so many times the shop file's is worth a caution: edges wear off fast."""

WORTH_TELLING = 0.25
"""Share of its operation's time that held-back passes take before they are told: the last
millimetres of a ball's pole always turn too slowly."""

_CHOSEN = ("job", "lathe's slowest speed")
"""What sets a speed without regard to the surface speed."""

_FREE = (
    "surface speed",
    "job",
    "",
    "lathe's slowest speed",
    HAND_LIMIT,
    BY_HAND,
    KNURL_LIMIT,
    INTERRUPTED_LIMIT,
)


def speed_held_back(view: PlanView) -> Iterator[Finding]:
    """Something else than the surface speed holds the spindle back by a good deal."""
    held: dict[str, list[tuple[Pass, float]]] = {}
    for operation, passes in view.by_operation():
        slow = [(p, wanted) for p in passes if (wanted := _held_back(view, operation, p))]
        share = sum(p.minutes for p, _ in slow) / max(sum(p.minutes for p in passes), 1e-9)
        for made, wanted in slow if share >= WORTH_TELLING else ():
            held.setdefault(made.speed_limited_by, []).append((made, wanted))
    for who, found in held.items():
        made, wanted = max(found, key=lambda pair: pair[1] / pair[0].rpm)
        name = "the lathe's top speed" if who == "lathe" else f"the {who}"
        want = f"want {wanted:.0f}" if math.isfinite(wanted) else "want more and more to the axis"
        yield finding(
            "speed-limited",
            "note",
            f"{them([p.number for p, _ in found], 'turns', 'turn')} at {made.rpm:.0f} rpm, held "
            f"back by {name}; pass {made.number} would {want}",
            "nothing to do: it only takes longer",
            pass_number=made.number,
        )


def _held_back(view: PlanView, operation: PlannedOperation, made: Pass) -> float:
    """Return the speed that a held-back pass would want; 0 when it is not held back by much."""
    if made.speed_limited_by in _FREE or made.surface_speed_m_min is not None:
        return 0.0
    if made.direction == "drill":
        return 0.0  # by hand from the tailstock: a thin drill is always slower than it could be
    asked = view.settings(operation.number)
    if asked is not None and asked.rpm is not None:
        return asked.rpm if asked.rpm > made.rpm + 1e-6 else 0.0
    surface = _surface(view, operation)
    if surface is None:
        return 0.0
    wanted = wanted_rpm(surface, cut_diameter(view, made))
    return wanted if made.rpm < HELD_BACK * wanted else 0.0


def _surface(view: PlanView, operation: PlannedOperation) -> float | None:
    """Return the surface speed that an operation is reckoned with, m/min; None when unknown."""
    asked = view.settings(operation.number)
    if asked is not None and asked.surface_speed:
        return asked.surface_speed
    return _shop_speed(view, operation)


def _shop_speed(view: PlanView, operation: PlannedOperation) -> float | None:
    """Return the shop file's surface speed for this material, tool and purpose."""
    tool = view.tool(operation.tool)
    known = view.material.speeds if view.material else ()
    if all(speed.tool_material != tool.material for speed in known):
        return None
    return surface_speed(view.material, tool.material, PURPOSES[operation.kind])


def speed_too_high(view: PlanView) -> Iterator[Finding]:
    """The job's own speed, or the lathe's slowest, is far over what the tool stands."""
    for operation, passes in view.by_operation():
        shop = _shop_speed(view, operation)
        if shop is None:
            continue
        chosen = [p for p in passes if p.speed_limited_by in _CHOSEN]
        fast = [(v, p) for p in chosen if (v := _speed_of(view, p)) > TOO_HIGH * shop]
        if not fast:
            continue
        speed, worst = max(fast, key=lambda pair: pair[0])
        own = worst.speed_limited_by == "lathe's slowest speed"
        yield finding(
            "speed-high",
            "caution",
            f"{passes_text(p.number for _, p in fast)}: {worst.rpm:.0f} rpm is "
            f"{view.speed(speed)} on Ø{view.text(cut_diameter(view, worst))}; the shop file has "
            f"{view.speed(shop).split()[0]} for "
            f"{view.tool(operation.tool).material} in {view.job.part.material}",
            "use a lathe that turns slower" if own else "set a lower speed",
            pass_number=worst.number,
        )


def _speed_of(view: PlanView, made: Pass) -> float:
    if made.surface_speed_m_min is not None:
        return made.surface_speed_m_min
    return surface_speed_m_min(made.rpm, cut_diameter(view, made))


def no_surface_speed(view: PlanView) -> Iterator[Finding]:
    """The shop file has no surface speed for this material with a tool that is used."""
    guessed = [pair for pair in view.by_operation() if _is_guessed(view, pair[0])]
    if not guessed:
        return
    numbers = [p.number for _, passes in guessed for p in passes]
    if view.material is None:
        yield finding(
            "no-material",
            "caution",
            f"the job names no material: {passes_text(numbers)} "
            f"{'is' if len(numbers) == 1 else 'are'} reckoned with a slow {view.speed(20.0)}",
            "name the part's material, or set each operation's speed",
        )
        return
    kinds = listed(view.tool(operation.tool).material for operation, _ in guessed)
    yield finding(
        "no-surface-speed",
        "caution",
        f"the shop file has no surface speed for {kinds} in {view.material.name}; "
        f"{them(numbers, 'runs', 'run')} at the slowest that it has",
        "add the speed to the shop file, or set the operation's own",
        pass_number=numbers[0],
    )


def _is_guessed(view: PlanView, operation: PlannedOperation) -> bool:
    asked = view.settings(operation.number)
    own = asked is not None and (asked.rpm is not None or asked.surface_speed is not None)
    return not own and _shop_speed(view, operation) is None
