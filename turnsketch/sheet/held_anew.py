"""What the row before a setup says: how the work is held for it. Common practice.

What stays clamped as it is keeps its zero and runs true as before: then only the tailstock centre,
or the steady rest, comes or goes. A key belongs to chucks alone.
"""

from __future__ import annotations

from turnsketch.job import Holding, Setup
from turnsketch.plan_records import SetupPlan
from turnsketch.sheet.holding_lines import held_words
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetInput

__all__ = ["opening_words"]


def opening_words(given: SheetInput, setup: SetupPlan, numbers: Numbers) -> str:
    """Say how the work is held anew, or what is changed around it; empty for the first setup."""
    if setup.number == 1:
        return ""
    before, job = given.job.setups[setup.number - 2], given.job.setups[setup.number - 1]
    passes = given.plan.setups[setup.number - 2].passes
    off = any(step.operation == "part off" for step in passes)
    clamped = not off and _same_clamping(before, job)
    how = _changed(before.holding, job.holding) if clamped else _held(job, before, setup, off)
    out, grip = (numbers.length(v) for v in (setup.stick_out_mm, setup.grip_mm))
    under = "under the dog" if job.holding.kind == "between centres" else "grip"
    sizes = f"stick-out {out}, {under} {grip} {numbers.unit}."
    return f"Spindle off. {how}: {sizes} {setup.zero_from}".strip()


def _same_clamping(before: Setup, here: Setup) -> bool:
    """Return whether the work is not loosened: held alike, but for centre and steady rest."""
    one, other = before.holding, here.holding
    alike = (one.device, one.grip, one.kind, one.inside, one.soft_jaws) == (
        other.device, other.grip, other.kind, other.inside, other.soft_jaws,
    )  # fmt: skip
    way = here.pull_out is None and before.turned == here.turned and before.zero == here.zero
    return alike and way and other.grip is not None


def _changed(before: Holding, here: Holding) -> str:
    """Say what comes and goes around work that stays clamped."""
    words = ["Leave the work clamped as it is, do not loosen it"]
    if before.centre and not here.centre:
        words.append("Tailstock back, centre out")
    if here.centre and not before.centre:
        words.append("Put the tailstock centre in where the passes say so")
    if before.steady is not None and here.steady != before.steady:
        words.append("Take the steady rest away")
    if here.steady is not None and here.steady != before.steady:
        words.append("Steady rest as the set-up says")
    return ". ".join(words)


def _held(job: Setup, before: Setup, setup: SetupPlan, off: bool) -> str:
    """Say how the work is taken up, and made fast in what holds it."""
    again = " again" if job.holding == before.holding else ""
    how = f"hold it in {job.holding.device}{held_words(job.holding, setup)}{again}"
    fast = "clamp, take the key out"
    if job.holding.kind == "between centres":
        how = f"put the dog on, set it between centres with {job.holding.device}"
        fast = "the dog tight, its tail in the slot, the tailstock locked"
    elif any(o.name == "mandrel" for o in setup.obstacles):
        how = f"put it on {job.holding.device}{again}"
        fast = "expand the mandrel until the work sits tight"
    elif job.pull_out:
        how = f"pull the bar out {job.pull_out}"
    if setup.frame.mirrored:
        how = f"turn the part round, {how}"
    first = "Take the rest of the bar out" if off else "Loosen"
    return f"{first}, {how}, {fast}"
