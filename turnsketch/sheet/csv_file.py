"""The passes as CSV after RFC 4180: UTF-8, a header line, one line a pass, decimal points."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import TextIO

from turnsketch.errors import InputError
from turnsketch.plan_records import Move, Pass, Plan, Reading
from turnsketch.sheet.motions import main_readings, under_power
from turnsketch.units import Units, from_mm

__all__ = ["csv_text", "header", "write_csv"]


def header(units: Units) -> tuple[str, ...]:
    """Return the names of the columns; lengths carry the plan's display unit."""
    unit = "mm" if units == "mm" else "in"
    return (
        "setup",
        "pass",
        "operation",
        "surface",
        "tool",
        "direction",
        "rpm",
        "surface_speed_m_min",
        f"feed_{unit}_per_rev",
        "drive",
        f"start_x_diameter_{unit}",
        f"start_z_{unit}",
        f"end_x_diameter_{unit}",
        f"end_z_{unit}",
        f"depth_{unit}",
        f"diameter_after_{unit}",
        f"lower_{unit}",
        f"upper_{unit}",
        "minutes",
        "removed_mm3",
        "measure_first",
        "moves",
        "notes",
        "thread",
        f"pitch_{unit}",
        "infeed",
        f"top_slide_{unit}",
        "gearbox",
        "half_nuts",
        f"over_wires_lower_{unit}",
        f"over_wires_upper_{unit}",
        "inside",
        f"quill_depth_{unit}",
        f"quill_pecks_{unit}",
    )


def _number(value: float | None, decimals: int) -> str:
    """Return a number without trailing zeros, empty for None."""
    if value is None:
        return ""
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def _move(move: Move, reading: Reading) -> str:
    """Return one move: "cut X25.8 Z-57.8", for an arc with "arc cw"."""
    kind = f"{move.kind} arc {move.turn}" if move.turn else move.kind
    return f"{kind} X{_number(reading.x, 4)} Z{_number(reading.z, 4)}"


def _cut_ends(step: Pass) -> tuple[Reading, Reading]:
    """Return the readings where the main cut begins and where the last one ends."""
    ends = [r for m, r in zip(step.moves, step.readings, strict=True) if m.kind != "position"]
    first, last = main_readings(step)
    # A thread's tool is drawn out at the end: the run along the thread is what counts.
    return first, ends[-1] if ends and step.thread is None else last


def _line(setup: int, step: Pass, units: Units) -> tuple[str, ...]:
    start, end = _cut_ends(step)
    size = step.size

    def length(mm: float | None) -> str:
        return _number(None if mm is None else from_mm(mm, units), 5)

    moves = "; ".join(_move(m, r) for m, r in zip(step.moves, step.readings, strict=True))
    feed = step.feed_mm_per_rev
    return (
        str(setup),
        str(step.number),
        step.operation,
        step.surface,
        str(step.tool),
        step.direction,
        _number(step.rpm, 1),
        _number(step.surface_speed_m_min, 1),
        _number(None if feed is None else from_mm(feed, units), 5),
        "power" if under_power(step) else "hand",
        _number(start.x, 4),
        _number(start.z, 4),
        _number(end.x, 4),
        _number(end.z, 4),
        length(step.depth),
        length(size.diameter if size else None),
        length(size.lower if size else None),
        length(size.upper if size else None),
        _number(step.minutes, 3),
        _number(step.removed_mm3, 1),
        length(step.measure.expected_diameter if step.measure else None),
        moves,
        "; ".join(step.notes),
        *_thread(step, units),
        "yes" if step.inside else "no",
        length(step.quill_depth_mm),
        "; ".join(length(peck) for peck in step.quill.pecks) if step.quill else "",
    )


def _thread(step: Pass, units: Units) -> tuple[str, ...]:
    """Return the columns of a thread; empty ones for other passes."""
    thread = step.thread
    if thread is None:
        return ("",) * 8

    def length(mm: float | None) -> str:
        return _number(None if mm is None else from_mm(mm, units), 5)

    wires = thread.wires
    nuts = f"{thread.half_nuts}: {thread.dial_marks}" if thread.dial_marks else thread.half_nuts
    return (
        thread.text,
        length(thread.pitch_mm),
        thread.infeed,
        length(thread.slide_travel_mm),
        thread.gearbox or "none",
        nuts,
        length(wires.lower_mm if wires else None),
        length(wires.upper_mm if wires else None),
    )


def _lines(plan: Plan) -> Iterator[tuple[str, ...]]:
    for setup in plan.setups:
        for step in setup.passes:
            yield _line(setup.number, step, plan.display_units)


def csv_text(plan: Plan) -> str:
    """Return the passes of a plan as CSV; lines end with CR LF as RFC 4180 has it."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(header(plan.display_units))
    writer.writerows(_lines(plan))
    return stream.getvalue()


def write_csv(plan: Plan, target: str | Path | TextIO) -> None:
    """Write the passes of a plan as CSV to a file (UTF-8) or to an open text stream.

    Raises
    ------
    InputError
        When the file cannot be written.
    """
    text = csv_text(plan)
    if not isinstance(target, str | Path):
        target.write(text)
        return
    try:
        Path(target).write_bytes(text.encode("utf-8"))
    except OSError as error:
        raise InputError(f"the file cannot be written: {error.strerror}", str(target)) from error
