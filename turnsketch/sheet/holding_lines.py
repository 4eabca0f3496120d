"""What a sheet says of the holding: from inside, soft jaws, the steady rest."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.job import Holding
from turnsketch.plan_records import SetupPlan, SteadyWork
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import Fact

__all__ = ["face_word", "held_words", "holding_facts"]

_INSIDE = ("jaws in the bore", "mandrel")


def _obstacle(setup: SetupPlan, *names: str) -> tuple[float, float, float] | None:
    """Return lowest z, highest z and greatest r of an obstacle; None when it is not there."""
    for obstacle in setup.obstacles:
        if obstacle.name in names:
            ring = obstacle.ring
            places = [p.z for p in ring]
            return min(places), max(places), max(p.r for p in ring)
    return None


def held_words(holding: Holding, setup: SetupPlan) -> str:
    """Return what stands behind the device's name: how it holds."""
    words = ""
    if _obstacle(setup, "jaws in the bore") is not None:
        words += ", jaws opened in the bore"
    if holding.soft_jaws:
        words += ", soft jaws"
    return words + (", with centre" if holding.centre else "")


def face_word(holding: Holding, setup: SetupPlan) -> str:
    """Return what the distance to Z 0 is measured from."""
    if holding.kind == "between centres":
        return "Dog to Z 0"
    inside = _obstacle(setup, *_INSIDE) is not None
    return "Chuck face to Z 0" if inside else "Jaw face to Z 0"


def holding_facts(holding: Holding, setup: SetupPlan, numbers: Numbers) -> Iterator[Fact]:
    """Yield what is to be done before the work goes in."""
    inside, jaws = _obstacle(setup, *_INSIDE), _obstacle(setup, "jaws")
    if holding.soft_jaws and inside is not None:
        yield Fact("Soft jaws", f"turn them to Ø{_size(inside[2], numbers)}, the bore's size")
    elif holding.soft_jaws and jaws is not None:
        ring = next(o.ring for o in setup.obstacles if o.name == "jaws")
        yield Fact(
            "Soft jaws",
            f"bore them to Ø{_size(min(p.r for p in ring), numbers)}, the size of what they hold",
        )
    steady = setup.steady
    if steady is not None:
        yield Fact("Steady rest", _steady_words(steady, numbers))


def _steady_words(steady: SteadyWork, numbers: Numbers) -> str:
    low, high = numbers.signed(steady.low_z), numbers.signed(steady.high_z)
    place = f"around Z {numbers.signed((steady.low_z + steady.high_z) / 2)}"
    size = f"Ø{numbers.diameter(steady.diameter_mm)}"
    if not steady.stands:
        return f"{place}: NOT SET, nothing turns its track of {size}"
    if steady.from_pass is not None:
        return (
            f"{place}, set before pass {steady.from_pass} on its track of {size}; from then on no "
            f"tool from Z {high} to Z {low}; oil its fingers"
        )
    return f"{place}; no tool from Z {high} to Z {low}; on {size}; oil its fingers"


def _size(radius: float, numbers: Numbers) -> str:
    return numbers.diameter(2 * radius)
