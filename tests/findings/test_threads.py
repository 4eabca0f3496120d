"""Findings about threads: for each a job that raises it, and one beside it that does not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from tests.thread_jobs import (
    BEFORE,
    but,
    cap,
    codes,
    job,
    pin,
    planned,
    relieved,
    tapped,
    tool,
    with_tools,
)
from turnsketch.job import Job, Operation
from turnsketch.part.records import Section
from turnsketch.plan_records import Finding, Plan
from turnsketch.shop.records import Shop


def pointed(part: object = None, number: int = 32, **more: object) -> Job:
    """Return the relieved pin (or another part), its thread cut with a single point."""
    made = relieved() if part is None else part
    return job(made, *BEFORE, but(Operation("thread", number), **more))  # type: ignore[arg-type]


@dataclass(frozen=True)
class Pair:
    """Two jobs that stand beside each other."""

    code: str
    raises: Callable[[], Plan]
    clean: Callable[[], Plan]


def case(code: str, raises: Job, clean: Job, shop: Shop | None = None) -> Pair:
    return Pair(code, lambda: planned(raises, shop), lambda: planned(clean))


UNLIKE = relieved("M12x1.3")
HOLLOW = Section("cylinder", thread="M12", length="18", thread_length="16")

PAIRS = [
    case("thread-not-made", job(UNLIKE), job(relieved())),
    case("thread-special", job(UNLIKE), job(relieved())),
    case("thread-blank", job(pin(diameter="12.2 ±0.05")), job(pin(diameter="11.9 ±0.05"))),
    case("thread-no-chamfer", job(pin(front_corner=None)), job(pin())),
    case("thread-pitch", pointed(UNLIKE), pointed()),
    case("half-nuts-closed", pointed(), pointed(relieved("M12x1.5"))),
    case("thread-run-out", job(pin(), *BEFORE, Operation("thread", 32)), pointed()),
    case("thread-tip-sharp", pointed(number=31), pointed(relieved("M12x1.5"))),
    case("thread-tip-round", pointed(relieved("M12x1"), number=32), pointed()),
    case("thread-point", pointed(relieved("M12x1"), number=32), pointed()),
    case("thread-too-fast", pointed(rpm=355.0), pointed(rpm=45.0)),
    case("thread-lead", job(cap(HOLLOW)), job(tapped())),
]


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair.code)
def test_it_is_found_and_beside_it_is_not(pair: Pair) -> None:
    found = [f for f in pair.raises().findings if f.code == pair.code]
    assert found
    assert pair.code not in codes(pair.clean())
    for one in found:
        assert one.message
        assert one.remedy
        assert not one.message[0].isspace()
        assert (one.severity == "stop") == (pair.code == "thread-pitch")


def the(plan: Plan, code: str) -> Finding:
    return next(f for f in plan.findings if f.code == code)


def headed(neck: str) -> Job:
    """Return a pin whose thread begins behind a head, with a neck between them."""
    return job(
        but(
            pin(),
            sections=(
                Section("cylinder", diameter="20", length="5"),
                Section("cylinder", diameter="9", length=neck),
                Section("cylinder", thread="M12", length="24", thread_length="18"),
                Section("cylinder", diameter="25", length="20"),
            ),
        ),
        bar="32",
    )


def test_a_start_behind_a_head_is_short() -> None:
    """The slack has to come out in two pitches in front of the thread."""
    found = the(planned(headed("5")), "thread-start-short")
    assert "less than 2 pitches" in found.message
    assert "thread-start-short" not in codes(planned(headed("10")))
    left = planned(job(relieved("M12 LH"), *BEFORE, Operation("thread", 31)))
    assert "thread-start-short" not in codes(left)


def test_the_nearest_pitch_is_named() -> None:
    found = the(planned(pointed(UNLIKE)), "thread-pitch")
    assert "does not cut a pitch of 1.3 mm; the nearest is 1.25 mm" in found.message
    assert found.severity == "stop"
    assert found.pass_number is not None


def test_how_short_the_thread_ends_is_told() -> None:
    found = the(
        planned(job(pin(), *BEFORE, Operation("thread", 32, infeed="straight"))), "thread-run-out"
    )
    assert "the thread ends 3.00 mm before the length on the print" in found.message
    assert "DIN 76-1" in found.remedy


def test_what_the_blank_does_is_told() -> None:
    thick = the(planned(job(pin(diameter="12.2 ±0.05"))), "thread-blank")
    assert "11.701 mm to 11.966 mm: a nut binds on its crests" in thick.message
    thin = the(planned(job(pin(diameter="11.5 ±0.05"))), "thread-blank")
    assert "its crests are thin" in thin.message


def test_no_tool_at_all() -> None:
    shop = with_tools(without=(31, 32, 35, 86, 87, 88, 89))
    found = the(planned(job(relieved()), shop), "thread-not-made")
    assert "the shop file has no threading tool" in found.message


def test_what_keeps_a_tool_from_a_pass() -> None:
    """Each empty operation says why."""
    wrong = planned(job(relieved(), *BEFORE, Operation("die", 86)))
    assert (
        "T86 cuts M6x1-6g, and the print's threads outside are: M12x1.75-6g"
        in the(wrong, "no-pass").message
    )
    undrilled = planned(job(tapped(), Operation("face", 1), Operation("tap", 82)))
    assert "not drilled yet" in the(undrilled, "no-pass").message
    left = planned(job(pin("M12 LH"), *BEFORE, Operation("thread", 32)))
    assert any("left-hand" in f.message for f in left.findings if f.code == "no-pass")
    none = planned(job(relieved(), *BEFORE, Operation("thread", 34)))
    found = the(none, "no-pass")
    assert "no thread in the bore" in found.message
    assert found.severity == "note"


def test_reach_of_a_threading_bar() -> None:
    """A thread deeper than the bar reaches is not made, and that is said."""
    holes = (
        Section("cylinder", diameter="30", length="30"),
        Section("cylinder", thread="M24x1.5", length="10"),
    )
    part = cap(*holes, through=True)
    short = with_tools(but(tool(34), length_mm=20.0), without=(33,))
    assert "thread-not-made" in codes(planned(job(part), short))
    assert "thread-not-made" not in codes(planned(job(part)))
