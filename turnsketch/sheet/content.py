"""What stands on a sheet, worked out from a plan as plain values; knows no page and no font."""

from __future__ import annotations

import math

from turnsketch.blank_sizes import blank_words
from turnsketch.checking.records import SetupReplay
from turnsketch.checking.replay import replay
from turnsketch.picture.shapes import around
from turnsketch.plan_records import Finding, LeftOver, Plan, SetupPlan
from turnsketch.sheet.advice import GENERAL_CAUTIONS, centre_lines, instruments, preflight
from turnsketch.sheet.cautions import setup_cautions
from turnsketch.sheet.change_rows import Beside
from turnsketch.sheet.cone_fit import fit_rows
from turnsketch.sheet.detail_content import details, letters
from turnsketch.sheet.dry_run import dry_run_lines
from turnsketch.sheet.fine_feed import fine_feed_lines
from turnsketch.sheet.hand_work import coolant_lines, deburr_words, finish_lines
from turnsketch.sheet.held_anew import opening_words
from turnsketch.sheet.holding_lines import face_word, held_words, holding_facts
from turnsketch.sheet.inspection_lines import inspection_lines
from turnsketch.sheet.length_rows import length_rows
from turnsketch.sheet.lever_plan import changes_words, operation_lines
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.pass_rows import pass_rows
from turnsketch.sheet.records import (
    Fact,
    FindingLine,
    LeftOverLine,
    SetupSheet,
    SheetContent,
    SheetInput,
)
from turnsketch.sheet.rescue import rescue_lines
from turnsketch.sheet.set_over import set_overs_of
from turnsketch.sheet.swivel import swivels_of
from turnsketch.sheet.tool_setting import setting_lines, tool_lines, touch_words
from turnsketch.units import from_mm

__all__ = ["SheetContent", "SheetInput", "sheet_content", "sheet_numbers"]

_SEVERITIES = ("stop", "caution", "note")


def sheet_numbers(given: SheetInput) -> Numbers:
    """Return the writer of numbers for a sheet."""
    return Numbers.of(given.job.units, given.lathe.readout)


def sheet_content(given: SheetInput) -> SheetContent:
    """Return everything that stands on the sheet; what the part does not need is empty."""
    numbers = sheet_numbers(given)
    plan = given.plan
    ordered = sorted(plan.findings, key=lambda f: _SEVERITIES.index(f.severity))
    name = given.job.title or given.part.name
    played = given.replay or replay(plan)
    return SheetContent(
        title=_title(given, numbers),
        mark=plan.mark,
        job=name,
        stops=tuple(_stop_text(f, numbers) for f in ordered if f.severity == "stop"),
        setups=tuple(
            _setup(given, setup, numbers, seen)
            for setup, seen in zip(plan.setups, played.setups, strict=False)
        ),
        findings=tuple(_finding(f, numbers, len(plan.setups)) for f in ordered),
        cautions=GENERAL_CAUTIONS,
        instruments=instruments(given),
        coolant=coolant_lines(given),
        inspection=inspection_lines(given, numbers),
        left_over=tuple(_left_over(item, numbers, plan) for item in plan.finished.left_over),
        finish=finish_lines(given, numbers),
        rescue=rescue_lines(given, numbers),
        forecast=_forecast(given, numbers),
    )


def _title(given: SheetInput, numbers: Numbers) -> tuple[Fact, ...]:
    part, blank = given.job.part, given.job.blank
    material = given.material.name if given.material else part.material
    facts = [
        Fact("Part", part.name),
        Fact("Number", part.number),
        Fact("Material", material),
        Fact("Blank", f"{blank_words(blank)} {blank.skin}"),
        Fact("Lathe", given.lathe.name),
        Fact("Units", f"{numbers.unit}, X = Ø"),
        Fact("Mark", given.plan.mark),
    ]
    return tuple(fact for fact in facts if fact.value)


def _setup(
    given: SheetInput, setup: SetupPlan, numbers: Numbers, played: SetupReplay
) -> SetupSheet:
    shop = {tool.number: tool for tool in given.tools}
    dial = given.lathe.cross_dial
    several = len(given.plan.setups) > 1
    tools = tool_lines(given, setup, numbers)
    deburr = deburr_words(given, setup, numbers)
    return SetupSheet(
        setup=setup,
        heading=f"Setup {setup.number}: {setup.name}" if several else "Set-up",
        facts=_setup_facts(given, setup, numbers),
        preflight=preflight(given.lathe.readout, dial, numbers.units)
        + centre_lines(given, setup, numbers),
        setting=setting_lines(given, setup, tools, numbers),
        fine_feed=fine_feed_lines(given, setup, numbers),
        dry_run=dry_run_lines(setup, played, numbers),
        tools=tools,
        operations=operation_lines(setup, numbers),
        changes=changes_words(setup, given.lathe),
        rows=pass_rows(
            setup,
            numbers,
            given.lathe,
            shop,
            letters(setup),
            material=given.material,
            deburr=deburr,
            beside=_beside(given, setup, numbers),
        ),
        details=details(given, setup, numbers),
        cautions=setup_cautions(given, setup, numbers, filed="file with" in deburr),
    )


def _beside(given: SheetInput, setup: SetupPlan, numbers: Numbers) -> Beside:
    """Return what stands between the passes of a setup."""
    swivels = swivels_of(setup, numbers, given.lathe)
    fresh = [
        i for i, step in enumerate(setup.passes)
        if i and step.tool != setup.passes[i - 1].tool
    ]  # fmt: skip
    overs = set_overs_of(setup, numbers)
    moved = (*swivels, *overs)
    at = {i for i in (*moved, *fresh) if i < len(setup.passes)} if moved else set()
    touches = {index: touch_words(given, setup, index, numbers) for index in at}
    return Beside(
        opening_words(given, setup, numbers),
        swivels,
        touches | {index: over.touch for index, over in overs.items() if over.touch},
        length_rows(given, setup, numbers),
        fit_rows(setup, given.part_in(setup).cones, numbers),
        overs,
    )


def _setup_facts(given: SheetInput, setup: SetupPlan, numbers: Numbers) -> tuple[Fact, ...]:
    unit = numbers.unit
    blank, holding = given.job.blank, given.job.setups[setup.number - 1].holding
    diameter = 2 * around(setup.blank).high.r
    ratio = setup.stick_out_mm / diameter if diameter else 0.0
    reason = f", {setup.greatest_rpm_reason}" if setup.greatest_rpm_reason else ""
    driven = holding.kind == "between centres"
    carried = [step for step in setup.passes if step.direction != "drill"]
    cuts = [(m.to.z, step.tool) for step in carried for m in step.moves if m.kind == "cut"]
    facts = [
        Fact("Blank", _work_words(setup, f"{blank_words(blank, unit)}, {blank.skin}", numbers)),
        Fact("Held in", f"{holding.device}{held_words(holding, setup)}"),
        Fact("Under the dog" if driven else "Grip", f"{numbers.length(setup.grip_mm)} {unit}"),
        Fact("Stick-out", f"{numbers.length(setup.stick_out_mm)} {unit} = {ratio:.1f} × Ø"),
        Fact(
            face_word(holding, setup),
            f"{numbers.length(-setup.jaw_face_z)} {unit}",
        ),
        Fact("Raw face", f"Z {numbers.signed(setup.raw_front_z)}"),
        *holding_facts(holding, setup, numbers),
        *((Fact("Z is found", setup.zero_from),) if setup.zero_from else ()),
        Fact("NEVER BEYOND", f"Z {numbers.signed(setup.never_beyond_z)}"),
    ]
    if cuts:
        deepest, tool = min(cuts)
        # The stop holds the carriage, and each tool stands elsewhere on it.
        stop = f"Z {numbers.signed(deepest)}, T{tool}'s deepest cut"
        facts.append(Fact("Carriage stop", stop))
    facts.append(Fact("Greatest speed", f"{setup.greatest_rpm:.0f} rpm{reason}"))
    return tuple(facts)


def _work_words(setup: SetupPlan, blank: str, numbers: Numbers) -> str:
    """Return what is put into the chuck: the blank, or what the setup before left of it."""
    if setup.number == 1:
        return blank
    box = around(setup.blank)
    size = f"Ø{numbers.length(round(2 * box.high.r, 2))} × {numbers.length(round(box.width, 2))}"
    return f"from setup {setup.number - 1}: {size} {numbers.unit}"


def _where(finding: Finding, numbers: Numbers, setups: int) -> str:
    parts = []
    if finding.setup is not None and setups > 1:
        parts.append(f"setup {finding.setup}")
    if finding.pass_number is not None:
        parts.append(f"pass {finding.pass_number}")
    if finding.z is not None:
        parts.append(f"Z {numbers.near(finding.z)}")
    return ", ".join(parts)


def _stop_text(finding: Finding, numbers: Numbers) -> str:
    place = _where(finding, numbers, 1)
    return f"{finding.message} ({place})" if place else finding.message


def _finding(finding: Finding, numbers: Numbers, setups: int) -> FindingLine:
    return FindingLine(
        finding.severity,
        finding.severity.upper(),
        _where(finding, numbers, setups),
        finding.message,
        finding.remedy,
    )


def _left_over(item: LeftOver, numbers: Numbers, plan: Plan) -> LeftOverLine:
    low, high = (numbers.near(z) for z in item.z)
    radius = f", R{numbers.length(item.fillet_mm)} stays" if item.fillet_mm else ""
    height = f"{numbers.fine(item.height_mm)} {numbers.unit}{radius}"
    turned = any(setup.frame.mirrored for setup in plan.setups)
    place = f"Z {low}" if low == high else f"Z {low} to {high}"
    place += f", as in setup {len(plan.setups)}" if turned else ""
    return LeftOverLine(place, height, item.reason or item.cause, item.remedy)


def _forecast(given: SheetInput, numbers: Numbers) -> str:
    """Say how the part comes out when every reading is met."""
    read = given.plan.finished_as_read
    if not all(math.isfinite(v) for v in (read.over_mm, read.under_mm)):
        return ""
    least = 0.0005 if numbers.units == "mm" else 0.0001
    over, under = (max(0.0, v) for v in (read.over_mm, read.under_mm))
    if max(from_mm(over, numbers.units), from_mm(under, numbers.units)) < least:
        return "With every reading met exactly, the part comes out on its aim, but for what stays."
    return (
        f"With every reading met exactly, the surfaces come out at most {numbers.fine(over)} over "
        f"and {numbers.fine(under)} {numbers.unit} under the aim, but for what is named as staying."
    )
