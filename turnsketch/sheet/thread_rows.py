"""Threads on paper: the row of a pass, what is set before the first, the check before the last.

Rows count at most four motions. With infeed by the flank the readout's X stands at the touch on
the blank in every pass, and the top slide's dial goes on from pass to pass.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from turnsketch.plan_records import Pass, ThreadSetting
from turnsketch.readings.wheel import wheel_way
from turnsketch.sheet.motions import Motion
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import Fact, RowText, SheetRow
from turnsketch.shop.records import Lathe
from turnsketch.units import INCH_MM

__all__ = [
    "pitch_text",
    "slide_wheel",
    "tailstock_thread_row",
    "thread_facts",
    "thread_row",
    "thread_rows_ahead",
    "thread_rows_behind",
    "thread_slide",
    "thread_words",
]

_PLUG = "GO must turn in by hand all the way, NOT GO at most two turns"

_SAME = 1e-6


def pitch_text(pitch_mm: float, numbers: Numbers) -> str:
    """Return a pitch as a row shows it: "1.75", or "13 tpi" where the job is in inches."""
    rate = INCH_MM / pitch_mm
    if numbers.units == "inch" and math.isclose(rate, round(rate, 1), abs_tol=1e-6):
        return f"{rate:.4g} tpi"
    return f"{pitch_mm:.4g}" if numbers.units == "mm" else f"{pitch_mm:.4g} mm"


def thread_slide(step: Pass, lathe: Lathe) -> str:
    """Return what the top slide's dial shows in a pass, from 0 at the touch; empty: straight in."""
    setting = step.thread
    if setting is None or setting.slide_travel_mm is None or lathe.top_slide is None:
        return ""
    return wheel_way(setting.slide_travel_mm, lathe.top_slide.dial, "top slide").text


def slide_wheel(step: Pass, before: Pass | None, numbers: Numbers, lathe: Lathe) -> tuple[str, str]:
    """Return how far the top slide goes on from the pass before, and from where."""
    setting = step.thread
    if setting is None or setting.slide_travel_mm is None or lathe.top_slide is None:
        return "", ""
    last = before.thread.slide_travel_mm if before is not None and before.thread else None
    last = last or 0.0
    if setting.slide_travel_mm <= last:
        return "", ""
    way = wheel_way(setting.slide_travel_mm - last, lathe.top_slide.dial, "top slide")
    return f"slide {way.text}", f"from {numbers.fine(last)}"


def thread_row(step: Pass, core: Sequence[Motion], tail: Sequence[Motion], numbers: Numbers,
               slide: str) -> RowText:  # fmt: skip
    """Return the row of one pass along a thread.

    Parameters
    ----------
    core, tail
        Its motions from the run along the thread on.
    slide : str
        What the top slide's dial shows; empty: the cross slide feeds in.
    """
    setting = step.thread
    assert setting is not None
    fed = 1 if core[0].axis == "X" and len(core) > 1 else 0  # into what is parted off, first
    run = core[fed]
    rest = [*core[fed + 1 :], *tail]
    x = numbers.diameter(setting.blank_mm) if slide else numbers.x(run.before.x)
    out = next((m for m in rest if m.axis == "X"), None)
    back = next((m for m in reversed(rest) if m.axis == "Z"), None)
    way = "in" if step.inside else "out"
    words = [] if out is None else [f"X {way} {numbers.x_place(out.after.x)[2:]}"]
    if words and not setting.relief:
        words[0] += " WHILE IT RUNS"
    closed = setting.half_nuts == "stay closed"
    if setting.relief and not closed:
        # The carriage stands in the relief first: there is room for the tool, and time.
        words.insert(0, "open half-nuts")
    else:
        words.append("REVERSE back" if closed else "open half-nuts")
    return RowText(
        numbers.z_place(run.before.z),
        f"{x}\nslide\n{slide}" if slide else x,
        f"Z {numbers.z(run.after.z)}",
        "",
        tuple(words),
        "" if back is None else numbers.z_place(back.after.z),
        4,
    )


def tailstock_thread_row(step: Pass, numbers: Numbers) -> RowText:
    """Return the row of a tap or a die."""
    depth = "" if step.quill_depth_mm is None else numbers.length(step.quill_depth_mm)
    return RowText(
        "tailstock", "touch: 0", f"depth\n{depth}", "", ("turn it back out",), "tail clear", 4
    )


# Rows between the passes


def thread_rows_behind(passes: Sequence[Pass], index: int) -> Iterator[SheetRow]:
    """Yield what stands behind a thread's last pass: the gearbox goes back to feed.

    Parameters
    ----------
    index : int
        Of the pass that follows; the number of passes stands for the end.
    """
    before = passes[index - 1] if index else None
    step = passes[index] if index < len(passes) else None
    if before is None or before.thread is None or _same_thread(before, step):
        return
    yield _row("b", before, f"Open the half-nuts, gearbox back to feed.{_back(before.thread)}")


def thread_rows_ahead(passes: Sequence[Pass], index: int, numbers: Numbers) -> Iterator[SheetRow]:
    """Yield what stands before a pass: the gearbox, or the check before the spring passes."""
    step, before = passes[index], passes[index - 1] if index else None
    now = step.thread
    if now is None:
        return
    same = _same_thread(before, step)
    if not same:
        yield _row("", step, _gearbox(now, numbers, step))
    sprung = same and before is not None and before.thread is not None and before.thread.spring
    if now.spring and not sprung:
        yield _check(step, now, numbers)


def _same_thread(before: Pass | None, step: Pass | None) -> bool:
    if before is None or step is None or before.thread is None or step.thread is None:
        return False
    return (before.section, before.tool, before.operation_number) == (
        step.section,
        step.tool,
        step.operation_number,
    )


def _back(setting: ThreadSetting) -> str:
    return " Spindle and leadscrew turn the usual way again." if setting.left_hand else ""


def _row(mark: str, step: Pass, words: str) -> SheetRow:
    return SheetRow("gearbox", f"G{mark}", step.number, step.tool, words=words)


def _gearbox(setting: ThreadSetting, numbers: Numbers, step: Pass) -> str:
    """Say how gearbox, half-nuts and dial are set for a thread, and where it stops."""
    gear = setting.gearbox or f"{setting.pitch_mm:.4g} mm, WHICH THIS LATHE HAS NOT"
    words = [f"Gearbox to {gear}."]
    if setting.left_hand:
        words.append("Left hand: leadscrew reversed, the carriage goes AWAY from the chuck.")
    words.append(_half_nuts(setting))
    if setting.infeed == "flank" and setting.slide_angle_deg is not None:
        words.append(
            f"Feed by the top slide, {setting.slide_angle_deg:g}° from the cross slide: its dial "
            f"at 0 where the tip touches at X {numbers.diameter(setting.blank_mm)}; X comes back "
            "to that figure in every pass."
        )
    words.append(_stop(setting, numbers, step))
    words.append(
        f"At most {math.floor(setting.hand_rpm + _SAME)} rpm for the hand."
        if setting.hand_rpm > 0
        else ""
    )
    return " ".join(w for w in words if w)


def _half_nuts(setting: ThreadSetting) -> str:
    if setting.half_nuts == "any place":
        return "Half-nuts may close at any place."
    if setting.half_nuts == "by the dial":
        return f"Close the half-nuts at {setting.dial_marks} of the thread dial, always."
    return "KEEP THE HALF-NUTS CLOSED to the last pass: withdraw, reverse the spindle."


def _stop(setting: ThreadSetting, numbers: Numbers, step: Pass) -> str:
    last = numbers.short_of(setting.last_z, 1.0 if setting.left_hand else -1.0)
    fed = next((m.to for m in step.moves if m.kind == "cut"), None)
    if fed is not None:
        return (
            f"Feed in at Z {numbers.near(fed.z)}, behind the part, in what is parted off, then "
            "close the half-nuts. It runs out past the front; on the way back stop there again."
        )
    if setting.left_hand:
        return "It runs out past the front; on the way back stop in the relief."
    if setting.free_run_mm <= 0:
        return f"NO ROOM behind it: turn the last turns by hand, never beyond Z {last}."
    if setting.relief:
        return f"Stop in the relief, never beyond Z {last}."
    off = "off the wall, to smaller X," if step.inside else "out"
    return f"Draw the tool {off} while it runs, never beyond Z {last}."


def _check(step: Pass, setting: ThreadSetting, numbers: Numbers) -> SheetRow:
    """Return the stop before the spring passes: over three wires, in a bore by the plug gauge."""
    wires = setting.wires
    if wires is None:
        words = f"STOP. Clean the thread, try the plug gauge of {setting.text}: {_PLUG}."
        return SheetRow(
            "measure", "W", step.number, step.tool, words=words, expected="GO",
            notes=("a bore takes no wires",),
        )  # fmt: skip
    low, high = numbers.fine(wires.lower_mm), numbers.fine(wires.upper_mm)
    words = (
        f"STOP. Clean the thread, lay three wires of {numbers.fine(wires.wire_mm)} in it, measure "
        f"over them: {low} to {high}. Too large by e: {_more(setting)}, the pass before again."
    )
    return SheetRow(
        "measure",
        "W",
        step.number,
        step.tool,
        words=words,
        expected=f"{low}\n{high}",
        notes=("the pitch diameter alone says whether the nut goes on",),
    )


def _more(setting: ThreadSetting) -> str:
    if setting.slide_angle_deg is None:
        return "feed X in by e"
    share = 1 / (2 * math.cos(math.radians(setting.slide_angle_deg)))
    return f"feed the slide in by {share:.2f} × e"


# The detail


def thread_facts(passes: Sequence[Pass], numbers: Numbers, lathe: Lathe) -> Iterator[Fact]:
    """Yield the facts of a thread for its detail; its passes in order."""
    step = passes[-1]
    setting = step.thread
    if setting is None:
        return
    yield Fact("Thread", setting.text)
    yield Fact("Ø before threading", numbers.diameter(setting.blank_mm))
    yield Fact("X at full depth", f"{numbers.diameter(setting.full_x_mm)} with this tip")
    yield Fact("Depth on radius", numbers.fine(setting.depth_mm))
    if setting.slide_travel_mm is not None and setting.slide_angle_deg is not None:
        yield Fact("Top slide", f"{setting.slide_angle_deg:g}° from the cross slide")
        yield Fact("Its scale shows", f"{setting.slide_scale_deg:g}°")
        slide = thread_slide(step, lathe)
        way = f"{numbers.fine(setting.slide_travel_mm)} {numbers.unit}"
        yield Fact("Slide at full depth", f"{way}, dial {slide}" if slide else way)
    yield Fact("Gearbox", setting.gearbox or "NOT IN IT")
    yield Fact(
        "Half-nuts", setting.half_nuts + (f": {setting.dial_marks}" * bool(setting.dial_marks))
    )
    yield Fact("Room to run out", f"{numbers.length(max(0.0, setting.free_run_mm))} {numbers.unit}")
    wires = next((p.thread.wires for p in passes if p.thread and p.thread.wires), None)
    if wires is not None:
        yield Fact("Best wire", numbers.fine(wires.wire_mm))
        yield Fact(
            "Over wires", f"{numbers.fine(wires.lower_mm)} to {numbers.fine(wires.upper_mm)}"
        )


def thread_words(setting: ThreadSetting) -> Iterator[str]:
    """Yield what holds for all passes of a thread."""
    yield (
        "Try a pass in the air first and stop where the row says. The last motion onto every X is "
        "toward the cut."
    )
    if setting.infeed == "flank":
        yield (
            "The readout does not see the top slide: X stands at the touch in every pass, the "
            "slide's dial says the depth."
        )
    if setting.half_nuts == "stay closed":
        yield (
            "The thread dial has no mark for this pitch. Between passes: withdraw X, reverse the "
            "spindle to the start, stop, set X, go forward."
        )
