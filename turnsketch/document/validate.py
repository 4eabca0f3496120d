"""The one door through which a job comes in: types, bounds, and what needs no geometry."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from turnsketch.blank_sizes import blank_sizes
from turnsketch.errors import InputError
from turnsketch.job import Holding, Job, Operation, Setup
from turnsketch.part.records import Drawn, PartRecord
from turnsketch.part.sketch import expand
from turnsketch.part.text import Kind, parse
from turnsketch.strict_json import inside, normalised
from turnsketch.units import Units

__all__ = ["MAX_SECTIONS", "checked"]

MAX_SECTIONS: Final = 5_000
MAX_LENGTHS: Final = 5_000
MAX_SETUPS: Final = 20
MAX_OPERATIONS: Final = 200
MAX_STEPS: Final = 100
MAX_TOOL_NUMBER: Final = 9_999
MAX_SIZE_MM: Final = 10_000.0
MAX_SURFACE_SPEED: Final = 2_000.0
MAX_RPM: Final = 20_000.0

_Kinds = tuple[Kind, ...]
_Texts = Mapping[str, _Kinds]
_LENGTH: Final[_Kinds] = ("length",)
_DIAMETER: Final[_Kinds] = ("diameter",)
_BLANK: Final[_Texts] = {
    "diameter": _DIAMETER,
    "length": _LENGTH,
    "front": _LENGTH,
    "bore": _DIAMETER,
}
_BLANK_STEP: Final[_Texts] = {"diameter": _DIAMETER, "length": _LENGTH, "bore": _DIAMETER}
_HOLDING: Final[_Texts] = {"grip": _LENGTH, "centre_size": _LENGTH, "steady": _LENGTH}
_SETUP: Final[_Texts] = {"pull_out": _LENGTH}
_OPERATION: Final[_Texts] = {
    "depth": _LENGTH,
    "x_allowance": _LENGTH,
    "z_allowance": _LENGTH,
    "feed": _LENGTH,
    "cusp": _LENGTH,
    "size": _LENGTH,
}
_MINUS: Final = tuple("-\u2010\u2011\u2012\u2013\u2014\u2212")
_MAY_BE_ZERO: Final = frozenset({"front", "x_allowance", "z_allowance"})


def checked(job: Job) -> Job:
    """Return `job` when it may be planned: sound types, texts that read, numbers that exist.

    Whether the dimensions make a part, and whether the shop has what the job asks for, is not
    asked here: the solver and the planner say so.

    Raises
    ------
    InputError
        With the path inside the job.
    """
    job = normalised(job, Job)
    with inside("part"):
        _check_part(job.part)
    expand(job.part, job.units)
    _check_blank(job)
    _check_name(job.lathe, "lathe", "the name of a lathe in the shop file")
    _check_count(job.setups, 1, MAX_SETUPS, "setups", "setup")
    for index, setup in enumerate(job.setups):
        with inside(f"setups[{index}]"):
            _check_setup(setup, job)
    return job


def _check_name(value: str, where: str, what: str) -> None:
    if not value.strip():
        raise InputError(f"this is empty: give {what}", where)


def _check_count(items: Sequence[object], least: int, most: int, where: str, what: str) -> None:
    if len(items) < least:
        raise InputError(f"the list is empty: give at least one {what}", where)
    if len(items) > most:
        raise InputError(f"the list has {len(items)} items: at most {most} are read", where)


def _check_part(part: PartRecord) -> None:
    _check_name(part.name, "name", "the part a name, for the sheet")
    _check_count(part.sections, 1, MAX_SECTIONS, "sections", "section")
    _check_count(part.lengths, 0, MAX_LENGTHS, "lengths", "length")
    for index, section in enumerate(part.sections):
        if section.drawn is not None:
            with inside(f"sections[{index}].drawn"):
                _check_drawn(section.drawn)
    for index, length in enumerate(part.lengths):
        if length.start == length.end:
            raise InputError("it begins and ends at the same place", f"lengths[{index}]")


def _check_drawn(drawn: Drawn) -> None:
    if max(abs(drawn.to.z), abs(drawn.to.r)) > MAX_SIZE_MM:
        raise InputError(f"the place lies farther than {MAX_SIZE_MM:g} mm away", "to")
    if abs(drawn.bulge) > 1e4:
        raise InputError("this is a full circle: the bulge is tan(sweep / 4)", "bulge")


def _check_texts(record: object, expected: _Texts, units: Units) -> None:
    for name, kinds in expected.items():
        text = getattr(record, name)
        if text is None:
            continue
        with inside(name):
            _check_sign(text, name)
            size = parse(text, units, kinds).nominal
            if size > MAX_SIZE_MM:
                raise InputError(f'"{text}" is larger than {MAX_SIZE_MM:g} mm')
            if size <= 0 and name not in _MAY_BE_ZERO:
                raise InputError(f'"{text}" is no size: {_least(name)}')


def _check_sign(text: str, name: str) -> None:
    """Refuse a size below zero in the words of its field."""
    if text.strip()[:1] in _MINUS:
        raise InputError(f'"{text}" is below zero: {_least(name)}')


def _least(name: str) -> str:
    what = name.replace("_", " ")
    if name in _MAY_BE_ZERO:
        return f"{what} must be zero or more"
    return f"{what} must be more than zero" + (
        "; give how far the jaws hold the blank" if name == "grip" else ""
    )


def _check_blank(job: Job) -> None:
    """Check the texts of the blank, and that they go together."""
    with inside("blank"):
        _check_texts(job.blank, _BLANK, job.units)
        _check_count(job.blank.steps, 0, MAX_STEPS, "steps", "step")
        for index, step in enumerate(job.blank.steps):
            with inside(f"steps[{index}]"):
                _check_texts(step, _BLANK_STEP, job.units)
    blank_sizes(job.blank, job.units)


def _check_holding(holding: Holding, units: Units) -> None:
    _check_name(holding.device, "device", "the name of a chuck in the shop file")
    _check_texts(holding, _HOLDING, units)
    if holding.kind == "between centres":
        for name, what in (("inside", "in its bore"), ("soft_jaws", "in soft jaws")):
            if getattr(holding, name):
                raise InputError(
                    f"between centres the work is driven by a dog, not held {what}: "
                    'leave it out, or make the kind "chuck"',
                    name,
                )


def _check_setup(setup: Setup, job: Job) -> None:
    with inside("holding"):
        _check_holding(setup.holding, job.units)
    with inside("zero"):
        parse(setup.zero, job.units, _LENGTH)
    _check_texts(setup, _SETUP, job.units)
    if setup.sections is not None:
        _check_sections(setup.sections, _count(job.part))
    if setup.operations is None:
        return
    what = "operation, or null for a proposal"
    _check_count(setup.operations, 1, MAX_OPERATIONS, "operations", what)
    for index, operation in enumerate(setup.operations):
        with inside(f"operations[{index}]"):
            _check_operation(operation, job)


def _check_operation(operation: Operation, job: Job) -> None:
    if operation.tool is not None and not 1 <= operation.tool <= MAX_TOOL_NUMBER:
        raise InputError(f"a tool has a number from 1 to {MAX_TOOL_NUMBER}", "tool")
    if operation.sections is not None:
        _check_sections(operation.sections, _count(job.part))
    _check_texts(operation, _OPERATION, job.units)
    for name, most in (("surface_speed", MAX_SURFACE_SPEED), ("rpm", MAX_RPM)):
        value = getattr(operation, name)
        if value is not None and not 0 < value <= most:
            raise InputError(f"give a number above 0 and at most {most:g}", name)


def _count(part: PartRecord) -> int:
    """Return how many sections a part has, those of its bores counted on."""
    bores = [bore for bore in (part.bore, part.bore_back) if bore is not None]
    return len(part.sections) + sum(len(bore.sections) for bore in bores)


def _check_sections(numbers: Sequence[int], count: int) -> None:
    what = "section number, or null for all"
    _check_count(numbers, 1, count, "sections", what)
    for index, number in enumerate(numbers):
        where = f"sections[{index}]"
        if not 1 <= number <= count:
            raise InputError(f"there is no section {number}: they go from 1 to {count}", where)
        if number in numbers[:index]:
            raise InputError(f"section {number} stands twice", where)
