"""From an empty job to the paper by keyboard alone, and how many actions that takes."""

from __future__ import annotations

from pathlib import Path

import msgspec
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned
from tests.desk.hands import Hands, answer_file_dialog
from tests.desk.whole_job import check_paper
from turnsketch.document.demo import load_demo
from turnsketch.job import Job
from turnsketch.part.records import PartRecord
from turnsketch.pipeline import plan

TAB, ENTER = Qt.Key.Key_Tab, Qt.Key.Key_Return


def printed_dimensions(part: PartRecord) -> int:
    """Count what the drawing prints at its sections, and its lengths."""
    fields = (
        "diameter", "front_diameter", "back_diameter", "length", "angle", "radius",
        "front_corner", "back_corner", "roughness",
    )  # fmt: skip
    at_sections = sum(getattr(s, f) is not None for s in part.sections for f in fields)
    return at_sections + len(part.lengths)


def without_names(job: Job) -> Job:
    """Return what the drawing says, without what the shop calls things."""
    sections = tuple(msgspec.structs.replace(s, name="") for s in job.part.sections)
    part = msgspec.structs.replace(job.part, sections=sections, number="")
    setups = tuple(msgspec.structs.replace(s, name="") for s in job.setups)
    return msgspec.structs.replace(job, part=part, setups=setups, title="", note="")


def test_the_stepped_pin_by_keyboard_from_nothing_to_the_pass_sheet(
    make_desk: MakeDesk, qtbot: QtBot, tmp_path: Path
) -> None:
    window = make_desk("knob")
    hands = Hands(window)
    wanted = load_demo("stepped_pin")

    hands.ctrl(Qt.Key.Key_N)
    assert window.session.job.part.sections == ()
    for text, then in (
        ("12", TAB), ("22", TAB), ("1x45°", ENTER),
        ("25 h6", TAB), ("36", TAB), ("1x45°", TAB), ("1.6", ENTER),
        ("30", TAB), ("8", ENTER),
    ):  # fmt: skip
        hands.field(text, then)
    hands.key(Qt.Key.Key_Escape)
    hands.key(TAB)
    hands.replace("Rowlock pin")
    hands.key(TAB)  # material and tolerances are right as they stand
    hands.key(TAB)
    for text in ("R0.8", "-0.3", "Ra 3.2"):
        hands.replace(text)
    hands.ctrl(Qt.Key.Key_2)
    assert window.session.job.blank.diameter == "32", "the next larger bar is suggested"
    hands.key(TAB)
    hands.key(TAB)
    hands.replace("102")
    hands.key(TAB)
    hands.key(TAB)
    hands.replace("25")
    planned(qtbot, window)

    sheet = tmp_path / "pin.pdf"
    answer_file_dialog(str(sheet))
    hands.actions += 1
    hands.ctrl(Qt.Key.Key_E)
    assert without_names(window.session.job) == without_names(wanted)
    made, expected = window.session.plan, plan(wanted)
    assert made is not None
    assert made.setups[0].passes == expected.setups[0].passes or [
        p.readings for p in made.setups[0].passes
    ] == [p.readings for p in expected.setups[0].passes]
    check_paper(sheet, window)
    assert hands.actions <= 1.5 * printed_dimensions(wanted.part) + 6
