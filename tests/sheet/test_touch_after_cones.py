"""What sets X of a chamfer tool when nothing but finished tapers stands."""

from __future__ import annotations

from turnsketch.document.demo import load_demo
from turnsketch.document.sheets import sheet_input
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import plan
from turnsketch.sheet.content import sheet_content

WORK = (
    Operation("face", 1),
    Operation("rough", 1),
    Operation("finish", 2),
    Operation("chamfer", 6),
)


def chamfer_tool(*behind: Section) -> str:
    """Return what sets X of the chamfer tool behind a taper on black bar."""
    taper = Section(
        "taper", front_diameter="20", back_diameter="28", length="30", front_corner="1x45°"
    )
    part = PartRecord("plug", (taper, *behind), material="mild steel")
    setup = Setup(Holding("Three-jaw 160", "20"), operations=WORK)
    job = Job(part, Blank("28", "60", "1", skin="black"), "Slipway 1", (setup,))
    lines = sheet_content(sheet_input(plan(job))).setups[0].tools
    return next(line.set_x for line in lines if line.tool.number == 6)


def test_no_trial_cut_is_taken_on_a_finished_taper() -> None:
    words = chamfer_tool()
    assert "the sharp corner" in words
    assert "NO trial cut" in words


def test_a_narrow_collar_is_measured_by_caliper() -> None:
    words = chamfer_tool(Section("cylinder", diameter="26", length="5"))
    assert words == "touch Ø26.00 turned before (narrow: measure it by caliper)"


def test_bright_bar_is_the_bar_in_a_later_setup_too() -> None:
    # Nobody turned the Ø28 of this part: it stands as it came, in front of the turned collar.
    setups = sheet_content(sheet_input(plan(load_demo("drill_arbor")))).setups
    first = next(line for line in setups[1].tools if line.tool.number == 1)
    assert first.set_x == "touch the bar, Ø28"
