"""What can hurt at this setup: the usual cautions, and only those that its own passes call for.

All of it is common practice. The sheet's general cautions say that the shop's rules, the machine's
manual and the authorised person come first; a second setup's heading says so again.
"""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.picture.shapes import around
from turnsketch.plan_records import Pass, SetupPlan
from turnsketch.sheet.numbers import Numbers
from turnsketch.sheet.records import SheetInput

__all__ = ["setup_cautions"]

_FREE_RATIO, _HELD_RATIO = 3.0, 10.0
"""Stick-out over diameter from which work counts as slender: without, and with a centre."""
_JAWS = "jaws"


def setup_cautions(
    given: SheetInput, setup: SetupPlan, numbers: Numbers, *, filed: bool
) -> tuple[str, ...]:
    """Return the cautions of a setup, in the order in which their danger comes.

    Parameters
    ----------
    given, setup, numbers
        What is cut, in which setup, and how figures are written.
    filed : bool
        A row of this setup asks for the file.
    """
    if not setup.passes:
        return ()
    return tuple(
        words
        for part in (
            _jaws(setup, numbers),
            _slender(setup, numbers),
            _bar_behind(setup, numbers),
            _corners(given),
            _holes(setup.passes),
            _threads(setup.passes, numbers),
            _filing() if filed or any(p.steps and not p.inside for p in setup.passes) else (),
            _parting(setup.passes),
        )
        for words in part
    )


def _jaws(setup: SetupPlan, numbers: Numbers) -> Iterator[str]:
    if any(obstacle.name == _JAWS for obstacle in setup.obstacles):
        yield (
            f"The jaws begin at Z {numbers.signed(setup.jaw_face_z)}. Spindle off, carriage at "
            f"Z {numbers.signed(setup.never_beyond_z)}: turn the chuck round by hand once, nothing "
            "may touch. Guard shut."
        )


def _slender(setup: SetupPlan, numbers: Numbers) -> Iterator[str]:
    diameter = 2 * around(setup.blank).high.r
    ratio = setup.stick_out_mm / diameter if diameter else 0.0
    held = setup.centre is not None or any("centre" in o.name for o in setup.obstacles)
    if ratio > (_HELD_RATIO if held else _FREE_RATIO):
        free = "" if held else " with no centre"
        yield (
            f"The work stands out {numbers.length(setup.stick_out_mm)} {numbers.unit}, "
            f"{ratio:.1f} × Ø{free}. Begin slow, never above the rpm printed; stop at the first "
            "chatter: work that bends climbs onto the tool."
        )


def _bar_behind(setup: SetupPlan, numbers: Numbers) -> Iterator[str]:
    """Warn of a bar that goes into the spindle: its far end may come out behind, and whip."""
    bodies = [around([o.ring]).low.z for o in setup.obstacles if "body" in o.name]
    behind = min(bodies, default=0.0) - around(setup.blank).low.z if bodies else 0.0
    if behind > 1e-6:
        yield (
            f"{numbers.length(round(behind, 1))} {numbers.unit} of bar stand behind the chuck, in "
            "the spindle. What comes out of its far end whips: bush it, support and guard it, or "
            "saw the bar shorter."
        )


def _corners(given: SheetInput) -> Iterator[str]:
    shape = given.job.blank.shape
    if shape in ("hexagon", "square"):
        yield (
            f"The corners of the {shape} are not seen when they turn, and strike: hands, brush and "
            "rag away, no file and no cloth on them. Chips fly in bursts: guard shut, stand beside."
        )


def _holes(passes: tuple[Pass, ...]) -> Iterator[str]:
    if any(p.inside or p.direction == "drill" for p in passes):
        yield (
            "Hole: no finger, rag or gauge in it while it turns. Long chips: stop, then hook. "
            "Tailstock clamped before drilling; ease off as a drill breaks through."
        )


def _threads(passes: tuple[Pass, ...], numbers: Numbers) -> Iterator[str]:
    runs = [p.thread for p in passes if p.thread is not None and p.direction == "thread"]
    if runs:
        last = min(runs, key=lambda thread: thread.last_z)
        limit = numbers.short_of(last.last_z, 1.0 if last.left_hand else -1.0)
        # Toward the chuck or away from it, a carriage that is not stopped runs on.
        yield (
            f"Thread: never beyond Z {limit}. A pass in the air first, hand on "
            "the lever all the way. No finger, nut or gauge on it while it turns: its edge cuts."
        )


def _filing() -> Iterator[str]:
    yield (
        "Filing: slowest speed, sleeves above the elbow, left hand on the handle, so that no arm "
        "is over the chuck; short work: take it off and file it in the vise."
    )


def _parting(passes: tuple[Pass, ...]) -> Iterator[str]:
    if any(p.operation == "part off" for p in passes):
        yield (
            "Parting off: blade square, on centre height, out no further than it must; no centre "
            "in. Stand aside, let the piece drop. It jams: stop the spindle first."
        )
