"""Details of tapers, arcs and step tables: one for each pass that needs more than its row."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from turnsketch.part.outline_records import SectionInfo
from turnsketch.plan_records import Pass, Reading, SetupPlan, StepTable, TaperSetting
from turnsketch.readings.wheel import wheel_way
from turnsketch.sheet.bore_rows import every_section
from turnsketch.sheet.cone_fit import cone_fit_words
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import Detail, Fact, SheetInput
from turnsketch.sheet.thread_rows import thread_facts, thread_words
from turnsketch.units import INCH_MM, from_mm

__all__ = ["details", "letters"]

_MEANS = {
    "top slide": "by the top slide",
    "set-over": "by setting the tailstock over",
    "taper attachment": "by the taper attachment",
    "guided": "by a guided move",
}


_LISTED = 4
_FILE = (
    "What stays is to be filed: handle on, left-handed, clear of the jaws, until the gauge lies on "
    "it without light (the gauge to cut out is printed when it is asked for)."
)
_FILE_INSIDE = "What stays is scraped and polished by hand, spindle off: no file in a turning hole."
_THEN = "Do not file yet: the next table takes these stairs."


def _needs_detail(step: Pass) -> bool:
    return (
        step.taper is not None
        or step.thread is not None
        or step.steps is not None
        or any(move.kind == "cut" and move.centre is not None for move in step.moves)
    )


def _groups(setup: SetupPlan) -> list[list[Pass]]:
    """Return the passes that need a detail.

    Cuts of one taper with one setting, and arcs of one section with one tool, share theirs.
    """
    groups: list[list[Pass]] = []
    for step in setup.passes:
        if not _needs_detail(step):
            continue
        before = groups[-1][-1] if groups else None
        same = (
            before is not None
            and step.steps is None
            and before.steps is None
            and (before.taper, before.section, before.tool, before.thread is None)
            == (step.taper, step.section, step.tool, step.thread is None)
        )
        if same:
            groups[-1].append(step)
        else:
            groups.append([step])
    return groups


def letters(setup: SetupPlan) -> dict[int, str]:
    """Return the letter of each pass that has a detail: A to Z, then AA, AB ..."""
    return {
        step.number: _letter(index) for index, group in enumerate(_groups(setup)) for step in group
    }


def _letter(index: int) -> str:
    first, last = divmod(index, 26)
    return (chr(ord("A") + first - 1) if first else "") + chr(ord("A") + last)


def details(given: SheetInput, setup: SetupPlan, numbers: Numbers) -> tuple[Detail, ...]:
    """Return the details of a setup in the order of its passes."""
    sections = {s.number: s for s in every_section(given.part_in(setup))}
    return tuple(
        _detail(group, _letter(index), sections.get(group[-1].section or 0), given, numbers)
        for index, group in enumerate(_groups(setup))
    )


def _detail(
    group: list[Pass],
    letter: str,
    section: SectionInfo | None,
    given: SheetInput,
    numbers: Numbers,
) -> Detail:
    step = group[-1]
    facts = [*_arc_facts(section, numbers)]
    words: list[str] = []
    how = "arc"
    rows: tuple[tuple[str, str, str], ...] = ()
    tangents: tuple[tuple[str, ...], ...] = ()
    if step.taper is not None:
        how = _MEANS[step.taper.means]
        facts += _taper_facts(step.taper, given, numbers)
        words += _taper_words(step.taper, given)
        if section is not None and section.kind == "taper":
            cones = {cone.section: cone for cone in given.part.cones}
            words.append(cone_fit_words(step.taper, cones.get(section.number), numbers))
    if step.thread is not None:
        how = "by a single point"
        facts = [*thread_facts(group, numbers, given.lathe)]
        words += thread_words(step.thread)
    if step.steps is not None:
        how = "in steps" if step.last_on_surface else "in coarse steps"
        facts += _step_facts(step, step.steps, numbers)
        rows = _step_rows(step.steps, numbers)
        words.append(_step_words(step))
        tangents = _tangent_rows(step.steps, numbers)
    which = f"Pass {step.number}"
    if len(group) > 1:
        which = f"Passes {_numbers_text([each.number for each in group])}"
    title = f"{letter}   {which}, T{step.tool}: {step.surface}, {how}"
    if step.steps is None and step.taper is None and step.thread is None:
        words.append("Try the way in air first, the tool clear on X by 2 mm or more.")
    ways = tuple(way for each in group if each.thread is None for way in _ways(each, numbers))
    return Detail(letter, title, step, tuple(facts), tuple(words), rows, tangents, ways)


def _step_words(step: Pass) -> str:
    """Say how a step table is cut, and what becomes of its stairs; in a bore X grows."""
    way = "turn X in" if not step.inside else "feed X out, which grows,"
    back = "back off X" if not step.inside else "back off to a smaller X"
    file = _FILE_INSIDE if step.inside else _FILE
    return (
        f"For each row set Z first, then {way} to its figure, and {back} before the next Z. "
        f"Tick it. {file if step.last_on_surface else _THEN}"
    )


def _numbers_text(numbers: Sequence[int]) -> str:
    """Return "3, 4" or, for a long row of passes, "16 to 28"."""
    run = numbers[-1] - numbers[0] == len(numbers) - 1
    if run and len(numbers) > _LISTED:
        return f"{numbers[0]} to {numbers[-1]}"
    return ", ".join(map(str, numbers))


def _ways(step: Pass, numbers: Numbers) -> Iterator[tuple[str, ...]]:
    """Return where the readout stands at the cut's ends; an arc's own line has its centre too.

    The readout does not see the top slide, and X stands still with the tailstock set over: there
    the end is where the tool stands on the part.
    """
    here, before = step.start, step.start_reading
    first: Reading | None = None
    last = before
    arcs: list[tuple[str, ...]] = []
    for move, reading in zip(step.moves, step.readings, strict=True):
        slants = reading.x != before.x and reading.z != before.z
        if move.kind == "cut" and (step.taper is None or slants):
            first, last = first or before, reading
            if move.centre is not None:
                x = numbers.x(from_mm(2 * move.centre.r, numbers.units))
                z = numbers.z(from_mm(move.centre.z, numbers.units))
                radius = numbers.fine(here.distance(move.centre))
                arcs.append((*_line(step, before, reading, numbers), x, z, radius))
        here, before = move.to, reading
    if arcs:
        yield from arcs
    elif first is not None:
        yield _line(step, first, last, numbers)


def _line(step: Pass, start: Reading, end: Reading, numbers: Numbers) -> tuple[str, ...]:
    figures = (numbers.x(start.x), numbers.z(start.z), numbers.x(end.x), numbers.z(end.z))
    return (str(step.number), *figures)


def _arc_facts(section: SectionInfo | None, numbers: Numbers) -> Iterator[Fact]:
    """Say the arc of the print; the tool's own path stands in the table."""
    if section is not None and section.radius is not None:
        yield Fact("Radius on the print", numbers.length(section.radius.nominal))
        if section.centre is not None:
            yield Fact("Centre of the arc on the part", _place(section, numbers))


def _place(section: SectionInfo, numbers: Numbers) -> str:
    assert section.centre is not None
    x = numbers.x(from_mm(2 * section.centre.r, numbers.units))
    return f"X {x}   Z {numbers.z(from_mm(section.centre.z, numbers.units))}"


def _taper_facts(taper: TaperSetting, given: SheetInput, numbers: Numbers) -> Iterator[Fact]:
    yield Fact("Half angle", numbers.angle(taper.half_angle))
    if taper.scale_deg is not None:
        yield Fact("Set the scale to", f"{taper.scale_deg:.3f}".rstrip("0").rstrip(".") + "°")
    if taper.means == "top slide":
        yield Fact("Slide travel", f"{numbers.fine(taper.travel)} {numbers.unit}")
        if given.lathe.top_slide is not None:
            way = wheel_way(taper.travel, given.lathe.top_slide.dial, "top slide")
            yield Fact("Slide dial", f"from 0 to {way.text}")
    if taper.set_over is not None:
        yield Fact("Set the tailstock over by", f"{numbers.fine(taper.set_over)} {numbers.unit}")
    if taper.rise_per_50 is not None:
        along, share = ("50 mm", 1.0) if numbers.units == "mm" else ("2 in", 2 * INCH_MM / 50)
        rise = numbers.fine(taper.rise_per_50 * share)
        yield Fact("Indicator check", f"{rise} rise on {along} of travel")


def _taper_words(taper: TaperSetting, given: SheetInput) -> Iterator[str]:
    if taper.means == "top slide":
        yield (
            "Swivel the slide and check the angle with the indicator, then touch the tool again: "
            "Z is lost by swivelling. Bring X and Z to Start, slide dial at 0 with its slack out, "
            "and lock the carriage. Feed with the slide alone."
        )
        if not given.lathe.readout.adds_top_slide:
            yield (
                "The readout does not see the top slide and goes on showing Start. End is where "
                "the tool itself stands; the rows count X by the readout."
            )
    elif taper.means == "set-over":
        yield (
            "The rows O say how it is set over, checked and set back. X stands still while it "
            "is cut: what it shows is the diameter where the row begins."
        )
    elif taper.means == "taper attachment":
        yield "Take up the attachment's slack: begin well in front of the taper."
    else:
        yield "Set the guided move with Start and End; try it in air first."


def _step_facts(step: Pass, table: StepTable, numbers: Numbers) -> Iterator[Fact]:
    cusp = f"{numbers.fine(table.cusp)} {numbers.unit}"
    yield Fact("Cusp that stays" if step.last_on_surface else "Stairs that stay", cusp)
    yield Fact("Steps", str(len(table.rows)))


def _tangent_rows(table: StepTable, numbers: Numbers) -> tuple[tuple[str, ...], ...]:
    """Say the cuts by the top slide that do as well as a long table."""
    return tuple(
        (
            str(index),
            numbers.angle(abs(cut.angle)),
            f"{cut.scale_deg:.2f}°",
            "grows" if cut.angle > 0 else "gets smaller" if cut.angle < 0 else "stays",
            numbers.x(cut.start.x),
            numbers.z(cut.start.z),
            numbers.x(cut.end.x),
            numbers.z(cut.end.z),
            numbers.fine(cut.travel),
        )
        for index, cut in enumerate(table.tangents, start=1)
    )


def _step_rows(table: StepTable, numbers: Numbers) -> tuple[tuple[str, str, str], ...]:
    return tuple(
        (str(index), numbers.x(row.x), numbers.z(row.z))
        for index, row in enumerate(table.rows, start=1)
    )
