"""Setups on the desk: what a new one begins with, and what is said of each. No Qt."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import msgspec

from turnsketch.desk.dimension_text import length_text
from turnsketch.desk.text import tr
from turnsketch.document.setups import add_setup, change_setup, grips_mm, set_grip_mm
from turnsketch.errors import InputError
from turnsketch.job import Job, Operation, Setup
from turnsketch.part.text import parse
from turnsketch.shop.records import Chuck, Shop
from turnsketch.units import to_mm

__all__ = [
    "WAYS",
    "Way",
    "held_again",
    "proposed",
    "pulled_out",
    "setup_line",
    "setup_names",
    "turned_around",
    "why_proposed",
]

_LEAST_PULL_MM = 1.0


@dataclass(frozen=True, slots=True)
class Way:
    """One way to go on from a setup to a new one."""

    words: str
    step: str
    """Name of the step for undo."""
    make: Callable[[Job, Shop, int], Job]
    """Takes the job, the shop and the index of the setup that the new one follows."""
    why: Callable[[Job, Shop], str] | None = None
    """Says why it is so, for the same job and shop."""


def pulled_out(job: Job, shop: Shop, after: int) -> Job:
    """Return `job` with a setup in which the bar is pulled out further.

    The new setup holds what the one before held; that one now grips deeper, so that it makes the
    sections in front of the middle of what it made. Where no section ends in between, the new
    setup only holds the work again.
    """
    grip = grips_mm(job)[after]
    pull = None if grip is None else _pull_mm(job, shop, after, grip)
    if grip is None or pull is None:
        return held_again(job, shop, after)
    name = tr("Bar pulled out")
    job = add_setup(_unparted(job, after), _following(job, after, name, grip), after + 1)
    job = set_grip_mm(job, after, grip + pull)
    holding = msgspec.structs.replace(job.setups[after + 1].holding, grip=None)
    return change_setup(job, after + 1, pull_out=length_text(pull, job.units), holding=holding)


def held_again(job: Job, shop: Shop, after: int) -> Job:
    """Return `job` with a setup that takes the work up again as it was held before."""
    grip = grips_mm(job)[after]
    setup = _following(job, after, tr("Held again"), grip or 0.0)
    return add_setup(_unparted(job, after), setup, after + 1)


def turned_around(job: Job, shop: Shop, after: int) -> Job:
    """Return `job` with a setup that makes the part's other end.

    It grips what the setup before made, as far as the jaws go and no cut comes near. A bar that
    was to be parted off is cut to the part's length with as much at its back as in front.
    """
    if len(job.setups) == 1:
        job = _cut_to_length(job, shop)
    before = job.setups[after]
    setup = _following(job, after, tr("Turned around"), _grip_of_made_mm(job, shop, after))
    setup = msgspec.structs.replace(setup, turned=not before.turned)
    return add_setup(_unparted(job, after), setup, after + 1)


def _cut_to_length(job: Job, shop: Shop) -> Job:
    """Return `job` with a blank for both ends, gripped so that a section in front can be made."""
    ends, grip, chuck = _all_ends(job), grips_mm(job)[0], _chuck(job, shop, 0)
    if not ends or grip is None or chuck is None:
        return job
    front = parse(job.blank.front, job.units, {"length"}).nominal
    clear = shop.clearances.never_beyond_jaws
    least = _rounded(chuck.least_grip_mm, job, up=True)
    made = max((end for end in ends if -end >= least + clear), default=min(ends))
    length = 2 * front - min(ends)
    grip = max(min(grip, _rounded(length - front + made - clear, job)), least)
    length = _rounded(max(length, front - made + clear + grip), job, up=True)
    if length >= parse(job.blank.length, job.units, {"length"}).nominal:
        return job
    blank = msgspec.structs.replace(job.blank, length=length_text(length, job.units))
    return set_grip_mm(msgspec.structs.replace(job, blank=blank), 0, grip)


def _grip_of_made_mm(job: Job, shop: Shop, index: int) -> float:
    """Return how much of what a setup makes the next one can hold, turned around."""
    grip, chuck, ends = grips_mm(job)[index], _chuck(job, shop, index), _all_ends(job)
    if grip is None or chuck is None or not ends:
        return grip or 0.0
    line = _line_mm(job, shop, grip)
    reached = [end for end in ends if line is not None and end >= line - 1e-6]
    made = -min(reached, default=max(ends)) - shop.clearances.never_beyond_jaws
    wanted = _rounded(min(made, chuck.jaw_length_mm), job)
    return max(wanted, min(_rounded(chuck.least_grip_mm, job, up=True), -min(ends)))


def proposed(job: Job, shop: Shop, after: int) -> Job:
    """Return `job` with the program's own blank and setups, in place of all that it has."""
    from turnsketch.pipeline.propose_setups import propose_setups

    return propose_setups(job, shop).job


def why_proposed(job: Job, shop: Shop) -> str:
    """Return why the program proposes the setups that it does."""
    from turnsketch.pipeline.propose_setups import propose_setups

    return "; ".join(propose_setups(job, shop).reasons)


WAYS: Final = (
    Way("Pull the bar out", "Setup with the bar pulled out", pulled_out),
    Way("Turn the part around", "Setup with the part turned around", turned_around),
    Way("Hold the work again", "Setup with the work held again", held_again),
    Way("Propose the setups", "Proposed setups", proposed, why_proposed),
)
"""How a setup can follow another, in the order of the menu."""


def _following(job: Job, after: int, name: str, grip_mm: float) -> Setup:
    before = job.setups[after].holding
    grip = length_text(grip_mm, job.units) if grip_mm > 0 else before.grip
    holding = msgspec.structs.replace(before, grip=grip, centre=False, centred_blank=False)
    return Setup(holding, name)


def _unparted(job: Job, index: int) -> Job:
    """Return `job` without parting off in a setup that another one follows."""
    own = job.setups[index].operations
    if own is None:
        return job
    kept: Sequence[Operation] = tuple(o for o in own if o.kind != "part off")
    return change_setup(job, index, operations=kept or None)


def _pull_mm(job: Job, shop: Shop, index: int, grip: float) -> float | None:
    """Return how far to pull out so that the setup before ends where a section does."""
    line = _line_mm(job, shop, grip)
    ends = [] if line is None else _all_ends(job)[:-1]
    before = grips_mm(job)[index - 1] if index else None
    pulls = [(_rounded(end - (line or 0.0), job), end) for end in ends]
    pulls = [(p, end) for p, end in pulls if p >= _LEAST_PULL_MM]
    if before is not None:
        pulls = [(p, end) for p, end in pulls if grip + p < before - 1e-6]
    if not pulls:
        return None
    most = _deepest_mm(job, shop, index) - grip
    within = [pair for pair in pulls if pair[0] <= most + 1e-6]
    if not within:
        return min(pulls)[0]
    middle = (min(ends) + max(ends)) / 2
    return min(within, key=lambda pair: abs(pair[1] - middle))[0]


def _line_mm(job: Job, shop: Shop, grip: float) -> float | None:
    """Return the z in front of which a setup with this grip may cut, part frame."""
    try:
        front = parse(job.blank.front, job.units, {"length"}).nominal
        length = parse(job.blank.length, job.units, {"length"}).nominal
    except InputError:
        return None
    return front - length + grip + shop.clearances.never_beyond_jaws


def _all_ends(job: Job) -> list[float]:
    """Return where the part's sections end, front first; part frame."""
    from turnsketch.part.resolve import resolve

    try:
        part = resolve(job.part, job.units)
    except InputError:
        return []
    return sorted({min(s.front.z, s.back.z) for s in part.sections}, reverse=True)


def _rounded(value_mm: float, job: Job, *, up: bool = False) -> float:
    """Return a length down (or up) to whole millimetres, or sixteenths of an inch."""
    step = 1.0 if job.units == "mm" else to_mm(0.0625, "inch")
    steps = math.ceil(value_mm / step - 1e-6) if up else math.floor(value_mm / step + 1e-6)
    return steps * step


def _chuck(job: Job, shop: Shop, index: int) -> Chuck | None:
    device = job.setups[index].holding.device
    return next((chuck for chuck in shop.chucks if chuck.name == device), None)


def _deepest_mm(job: Job, shop: Shop, index: int) -> float:
    """Return how deep the blank goes into the chuck: through its bore without an end."""
    found = _chuck(job, shop, index)
    diameter = parse(job.blank.diameter, job.units, {"diameter"}).nominal
    return math.inf if found is None or diameter <= found.bore_mm else found.jaw_length_mm


def setup_names(job: Job) -> list[str]:
    """Return what each setup is called in a list: its number and its name."""
    return [f"{n + 1}: {job.setup_name(n)}" for n in range(len(job.setups))]


def setup_line(job: Job, index: int) -> str:
    """Return one line on a setup: number, name, holding."""
    setup = job.setups[index]
    words = tr("Setup {n}: {name}", n=index + 1, name=job.setup_name(index))
    if setup.turned:
        words += tr(" · turned")
    if setup.pull_out is not None:
        words += tr(" · pulled out {way}", way=setup.pull_out)
    elif setup.holding.grip is not None:
        words += tr(" · grip {grip}", grip=setup.holding.grip)
    return f"{words}, {setup.holding.device}"
