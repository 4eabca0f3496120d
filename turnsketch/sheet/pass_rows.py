"""The rows of the pass table: tool changes, measure stops and passes, in the order of work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from turnsketch.plan_records import Pass, SetupPlan
from turnsketch.readings.wheel import wheel_way
from turnsketch.sheet.moves_text import bring_to, diameter_left, row_texts, set_x_of
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import RowText, SheetRow
from turnsketch.shop.records import Lathe, Tool
from turnsketch.units import from_mm, to_mm

__all__ = ["pass_rows", "rpm_text", "slide_text"]


def rpm_text(step_rpm: float, surface_speed_m_min: float | None) -> str:
    """Return a speed; with constant surface speed the figure is the limit."""
    text = f"{step_rpm:.0f}"
    return text if surface_speed_m_min is None else f"≤ {text}"


def pass_rows(
    setup: SetupPlan,
    numbers: Numbers,
    lathe: Lathe,
    tools: Mapping[int, Tool],
    letters: Mapping[int, str],
) -> tuple[SheetRow, ...]:
    """Return all rows of a setup.

    Parameters
    ----------
    setup : SetupPlan
        The setup.
    numbers : Numbers
        Writes numbers.
    lathe : Lathe
        Its dials count the wheels' ways.
    tools : mapping
        Tool records of the shop by number.
    letters : mapping
        Letter of the detail that belongs to a pass, by pass number.
    """
    rows: list[SheetRow] = []
    last_tool, last_x = 0, None
    for step in setup.passes:
        fresh = step.tool != last_tool
        if fresh:
            rows.append(_tool_row(step, numbers, tools))
            last_x = None
        if step.measure is not None:
            rows.append(_measure_row(step, numbers))
        rows += _own_rows(step, numbers, lathe, last_x, letters.get(step.number, ""), fresh)
        x = set_x_of(step)
        last_x = last_x if x is None else x
        last_tool = step.tool
    return tuple(rows)


def _tool_row(step: Pass, numbers: Numbers, tools: Mapping[int, Tool]) -> SheetRow:
    tool = tools.get(step.tool)
    name = tool.name if tool else ""
    words = (
        f"Put in T{step.tool} {name}: call it up in the readout, bring it to "
        f"{bring_to(step, numbers)}."
    )
    return SheetRow("tool", "T", step.number, step.tool, words=words)


def _measure_row(step: Pass, numbers: Numbers) -> SheetRow:
    stop = step.measure
    assert stop is not None
    at = tuple(f"Z {numbers.signed(z)}" for z in stop.at_z)
    places = ", ".join(at)
    step_text = numbers.x(numbers.x_step)
    words = (
        f"STOP the spindle. Let the work cool. Measure at {places} with {stop.instrument}. "
        "Enter what you measured as the present X, then go on as printed; a difference above "
        f"{step_text}: call."
    )
    if step.size is not None and step.size.lower is not None:
        x = set_x_of(step)
        spare = None if x is None else x - from_mm(step.size.lower, numbers.units)
        if spare is not None and spare > 0:
            words += f" Last chance: {spare:.{numbers.x_decimals + 1}f} too deep on Ø in pass "
            words += f"{step.number} is scrap."
    return SheetRow(
        "measure", "M", step.number, step.tool, words=words, notes=(stop.reason,),
        expected=numbers.diameter(stop.expected_diameter), places=at,
    )  # fmt: skip


def slide_text(step: Pass, numbers: Numbers, lathe: Lathe) -> str:
    """Return what the top slide's dial shows at the end of a taper, from 0; empty without one."""
    if step.taper is None or step.taper.means != "top slide":
        return ""
    if lathe.top_slide is None:
        return f"{numbers.fine(step.taper.travel)} {numbers.unit}"
    return wheel_way(step.taper.travel, lathe.top_slide.dial, "top slide").text


def _after(step: Pass, numbers: Numbers) -> tuple[str, ...]:
    """Return the diameter left behind, or its limits for a finished surface."""
    size = step.size
    if size is None:
        left = diameter_left(step)
        return () if left is None else (f"Ø{numbers.x(left)}",)
    if step.last_on_surface and size.lower is not None and size.upper is not None:
        return numbers.fine(size.lower), numbers.fine(size.upper)
    return (f"Ø{numbers.diameter(size.diameter)}",)


def _numbered(number: int, texts: tuple[RowText, ...]) -> Iterator[tuple[str, str, RowText]]:
    """Give the row that holds the first cut the pass's number, the others a letter behind it."""
    main = next((i for i, text in enumerate(texts) if text.cut_to), 0)
    letter = ord("b")
    for index, text in enumerate(texts):
        if index == main:
            yield "pass", str(number), text
        elif index < main:
            yield "go", "", text
        else:
            yield "more", f"{number}{chr(letter)}", text
            letter += 1


def _own_rows(
    step: Pass, numbers: Numbers, lathe: Lathe, last_x: float | None, letter: str, fresh: bool
) -> Iterator[SheetRow]:
    x = set_x_of(step)
    wheel, wheel_from = "", ""
    texts = row_texts(step, numbers, fresh_tool=fresh, slide=slide_text(step, numbers, lathe))
    if x is not None and last_x is not None and x != last_x:
        travel = to_mm(x - last_x, numbers.units) / 2
        wheel = wheel_way(travel, lathe.cross_dial, "cross").text_with_direction
        wheel_from = f"from X {numbers.x(last_x)}"
    for kind, number, text in _numbered(step.number, texts):
        if kind != "pass":
            surface = "go to, by hand" if kind == "go" else step.surface
            yield SheetRow(
                "go" if kind == "go" else "more", number, step.number, step.tool,
                what="" if kind == "go" else "…", surface=surface, text=text,
            )  # fmt: skip
            continue
        yield SheetRow(
            "pass", number, step.number, step.tool,
            what=step.operation,
            surface=step.surface,
            rpm=rpm_text(step.rpm, step.surface_speed_m_min),
            feed=numbers.feed(step.feed_mm_per_rev) if step.feed_mm_per_rev else "",
            drive="power" if step.power and step.feed_mm_per_rev else "hand",
            text=text,
            depth=numbers.depth(step.depth) if step.depth else "",
            wheel=wheel,
            wheel_from=wheel_from,
            after=_after(step, numbers),
            notes=((f"see detail {letter}",) if letter else ()) + step.notes,
        )  # fmt: skip
