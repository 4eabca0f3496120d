"""The steps of a cast or pre-machined blank as text: ``40x12; 28x30 bore 10``. No Qt."""

from __future__ import annotations

import re
from typing import Final

import msgspec

from turnsketch.errors import InputError
from turnsketch.job import Blank, BlankStep
from turnsketch.part.text import parse
from turnsketch.units import Units, from_mm

__all__ = ["steps_text", "with_steps"]

_FORM: Final = re.compile(
    r"(?:Ø\s*)?(?P<diameter>.+?)\s*[x×]\s*(?P<length>.+?)(?:\s+bore\s+(?:Ø\s*)?(?P<bore>.+))?",
    re.IGNORECASE,
)
_DECIMALS: Final = 6


def steps_text(steps: tuple[BlankStep, ...]) -> str:
    """Return the steps as they are typed, from the front back."""
    return "; ".join(
        f"{step.diameter}x{step.length}" + (f" bore {step.bore}" if step.bore else "")
        for step in steps
    )


def with_steps(blank: Blank, text: str, units: Units) -> Blank:
    """Return the blank in steps: diameter, length, and perhaps a bore of each.

    Its diameter becomes the greatest, its length that of all steps together.

    Raises
    ------
    InputError
        The text does not read: one sentence with the remedy.
    """
    steps = tuple(_step(part.strip(), units) for part in text.split(";") if part.strip())
    if not steps:
        raise InputError('give the steps from the front back: "40x12; 28x30 bore 10"')
    widest = max(steps, key=lambda step: parse(step.diameter, units, {"diameter"}).nominal)
    length = from_mm(sum(parse(s.length, units, {"length"}).nominal for s in steps), units)
    return msgspec.structs.replace(
        blank,
        shape="steps",
        steps=steps,
        bore=None,
        diameter=widest.diameter,
        length=f"{round(length, _DECIMALS):g}",
    )


def _step(text: str, units: Units) -> BlankStep:
    found = _FORM.fullmatch(text)
    if found is None:
        raise InputError(
            f'"{text}" is no step: give diameter x length, such as "40x12", and a hole as '
            '"28x30 bore 10"'
        )
    step = BlankStep(found["diameter"].strip(), found["length"].strip(), found["bore"])
    sizes = [(step.diameter, "diameter"), (step.length, "length")]
    sizes += [(step.bore, "diameter")] if step.bore is not None else []
    for size, kind in sizes:
        if (
            parse(size or "", units, {"diameter"} if kind == "diameter" else {"length"}).nominal
            <= 0
        ):
            raise InputError("give sizes above 0")
    return step
