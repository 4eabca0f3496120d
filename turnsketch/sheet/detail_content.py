"""Details of tapers, arcs and step tables: one for each pass that needs more than its row."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.part.outline_records import SectionInfo
from turnsketch.plan_records import Pass, Reading, SetupPlan, StepTable, TaperSetting
from turnsketch.readings.wheel import wheel_way
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import Detail, Fact, SheetInput
from turnsketch.units import INCH_MM, from_mm

__all__ = ["details", "letters"]

_MEANS = {
    "top slide": "by the top slide",
    "set-over": "by setting the tailstock over",
    "taper attachment": "by the taper attachment",
    "guided": "by a guided move",
}


def _needs_detail(step: Pass) -> bool:
    return (
        step.taper is not None
        or step.steps is not None
        or any(move.kind == "cut" and move.centre is not None for move in step.moves)
    )


def _groups(setup: SetupPlan) -> list[list[Pass]]:
    """Return the passes that need a detail; cuts of one taper with one setting share theirs."""
    groups: list[list[Pass]] = []
    for step in setup.passes:
        if not _needs_detail(step):
            continue
        before = groups[-1][-1] if groups else None
        same = (
            before is not None
            and step.taper is not None
            and (before.taper, before.section, before.tool) == (step.taper, step.section, step.tool)
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
    sections = {section.number: section for section in given.part.sections}
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
    facts = [fact for each in group for fact in _ends(each, numbers, len(group) > 1)]
    facts += _arc_facts(step, section, numbers)
    words: list[str] = []
    how = "arc"
    rows: tuple[tuple[str, str, str], ...] = ()
    if step.taper is not None:
        how = _MEANS[step.taper.means]
        facts += _taper_facts(step.taper, given, numbers)
        words += _taper_words(step.taper, given)
    if step.steps is not None:
        how = "in steps"
        facts.append(Fact("Cusp that stays", f"{numbers.fine(step.steps.cusp)} {numbers.unit}"))
        facts.append(Fact("Steps", str(len(step.steps.rows))))
        rows = _step_rows(step.steps, numbers)
        words.append(
            "For each row set Z first, then turn X in to its figure, and back off X before the "
            "next Z. Tick it. Blend the cusps with a file, handle on, clear of the jaws."
        )
    which = f"Pass {step.number}"
    if len(group) > 1:
        which = f"Passes {', '.join(str(each.number) for each in group)}"
    title = f"{letter}   {which}, T{step.tool}: {step.surface}, {how}"
    return Detail(letter, title, step, tuple(facts), tuple(words), rows)


def _ends(step: Pass, numbers: Numbers, several: bool) -> Iterator[Fact]:
    """Say where the readout stands at the first and the last cut's ends."""
    before, last = step.start_reading, None
    first: Reading | None = None
    for move, reading in zip(step.moves, step.readings, strict=True):
        if move.kind == "cut":
            first = first or before
            last = reading
        before = reading
    if first is None or last is None:
        return
    # The readout does not see the top slide, and X stands still with the tailstock set over.
    unseen = step.taper is not None and step.taper.means in ("top slide", "set-over")
    end = "End on the part" if unseen else "End"
    for name, at in (("Start", first), (end, last)):
        label = f"{name}, pass {step.number}" if several else name
        yield Fact(label, f"X {numbers.x(at.x)}   Z {numbers.z(at.z)}")


def _arc_facts(step: Pass, section: SectionInfo | None, numbers: Numbers) -> Iterator[Fact]:
    """Say centre and path radius of each arc that the reference point follows."""
    here = step.start
    for move in step.moves:
        if move.kind == "cut" and move.centre is not None:
            x = numbers.x(from_mm(2 * move.centre.r, numbers.units))
            z = numbers.z(from_mm(move.centre.z, numbers.units))
            turn = "clockwise" if move.turn == "cw" else "counterclockwise"
            yield Fact("Centre of the path", f"X {x}   Z {z}")
            yield Fact("Radius of the path", f"{numbers.fine(here.distance(move.centre))} ({turn})")
        here = move.to
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
            "Z is lost by swivelling. Bring X and Z to Start and lock the carriage. Feed with the "
            "slide alone."
        )
        if not given.lathe.readout.adds_top_slide:
            yield "The readout does not see the top slide: its X and Z stand still."
    elif taper.means == "set-over":
        yield "Check with the indicator between the two ends of a test bar. Set it back afterwards."
    elif taper.means == "taper attachment":
        yield "Take up the attachment's slack: begin well in front of the taper."
    else:
        yield "Set the guided move with Start and End; try it in air first."


def _step_rows(table: StepTable, numbers: Numbers) -> tuple[tuple[str, str, str], ...]:
    return tuple(
        (str(index), numbers.x(row.x), numbers.z(row.z))
        for index, row in enumerate(table.rows, start=1)
    )
