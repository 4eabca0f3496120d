"""What the ways from an empty job to the paper have in common: fields, comparison, paper."""

from __future__ import annotations

from pathlib import Path

import msgspec
from pypdf import PdfReader
from PySide6.QtCore import QPoint, QPointF

from tests.desk.hands import Mouse, answer_file_dialog
from turnsketch.desk.main_window import MainWindow
from turnsketch.desk.section_cells import COLUMNS
from turnsketch.document.bores import CHAINS, chain_sections, with_chain_sections
from turnsketch.job import Job
from turnsketch.part.resolve import resolve
from turnsketch.pipeline import plan

__all__ = ["check_paper", "compare", "corner", "export", "fill_blank", "fill_notes", "printed"]
__all__ += ["on", "shown", "title"]


def in_ink(job: Job) -> Job:
    """Return the job without where the hand drew a section: a print does not have that."""
    part = job.part
    for chain in CHAINS:
        inked = [msgspec.structs.replace(s, drawn=None) for s in chain_sections(part, chain)]
        part = with_chain_sections(part, chain, inked)
    return msgspec.structs.replace(job, part=part)


def compare(window: MainWindow, wanted: Job) -> None:
    """Check part, blank, holding, outline and passes against a job that is known."""
    made = window.session.job
    assert in_ink(made) == in_ink(wanted)
    ours, theirs = (resolve(job.part, job.units) for job in (made, wanted))
    assert ours.issues == theirs.issues == ()
    for one, other in zip(ours.aim.elements, theirs.aim.elements, strict=True):
        assert one.shape.start.distance(other.shape.start) < 1e-6
        assert one.shape.at(0.5).distance(other.shape.at(0.5)) < 1e-6
    assert window.session.plan is not None
    expected = plan(wanted)
    for setup, known in zip(window.session.plan.setups, expected.setups, strict=True):
        assert [o.kind for o in setup.operations] == [o.kind for o in known.operations]
        assert [p.readings for p in setup.passes] == [p.readings for p in known.passes]


def check_paper(path: Path, window: MainWindow) -> None:
    """Check that every page carries the mark of the plan on show."""
    assert window.session.plan is not None
    pages = PdfReader(path).pages
    assert len(pages) >= 1
    assert all(window.session.plan.mark in page.extract_text() for page in pages)


def export(mouse: Mouse, path: Path) -> None:
    """Write the pass sheet by the menu."""
    answer_file_dialog(str(path))
    mouse.menu("File", "Pass sheet as PDF …")


def corner(mouse: Mouse, number: int, end: str) -> QPoint:
    """Return where an end of a section is on the board."""
    front, back = mouse.board.drawing.ends(number)
    return mouse.pixel(front if end == "front" else back)


def title(mouse: Mouse, key: str, text: str) -> None:
    """Type into a field of the title block."""
    box = next(f.box for f in mouse.board.title_fields() if f.key == key)
    mouse.click(box.center().toPoint())
    mouse.answer(text)


def printed(mouse: Mouse, section: int, field: str) -> QPoint:
    """Return where the print's text stands on the board."""
    box = mouse.board.layout_now().box_of((section, field))
    assert box is not None
    return QPointF(box.left + box.width / 2, box.top + box.height / 2).toPoint()


def fill_notes(mouse: Mouse, job: Job) -> None:
    """Type the notes of the print into their fields."""
    panel, part = mouse.window.print_panel, job.part
    for name, text in (
        ("Inside", part.inside_corners),
        ("Edges", part.edges),
        ("All Ra", part.roughness),
    ):
        mouse.fill(mouse.field(panel, name), text or "")
    if not mouse.field(panel, "Number").isVisible():
        mouse.press(panel.seldom.button)
    mouse.fill(mouse.field(panel, "Number"), part.number)
    mouse.fill(mouse.field(panel, "Note on the job"), job.note)


def fill_blank(mouse: Mouse, job: Job) -> None:
    """Say what the part is made from and how it is held."""
    panel, blank, holding = mouse.window.holding_panel, job.blank, job.setups[0].holding
    mouse.choose(panel.lathe, job.lathe)
    mouse.choose(panel.device, holding.device)
    mouse.fill(panel.diameter, blank.diameter)
    mouse.choose(panel.skin, blank.skin)
    mouse.fill(panel.length, blank.length)
    mouse.fill(panel.front, blank.front)
    mouse.fill(panel.grip, holding.grip or "")
    mouse.fill(panel.name, job.setups[0].name)


def on(mouse: Mouse, number: int, share: float = 0.6) -> QPoint:
    """Return a place on a section."""
    return mouse.pixel(mouse.board.drawing.middle(number, share))


def shown(window: MainWindow, row: int, key: str) -> str:
    """Return what the table shows."""
    model = window.print_panel.model
    return str(model.data(model.index(row, COLUMNS.index(key))))
