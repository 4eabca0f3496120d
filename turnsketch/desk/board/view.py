"""The board: the drawing of the part on a sheet, with tools to draw, choose and dimension it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter
from PySide6.QtWidgets import QWidget

from turnsketch.desk.board.dimension_layout import Layout
from turnsketch.desk.board.drawing import Drawing, back_end_first, drawing_of, solved
from turnsketch.desk.board.face import Mode
from turnsketch.desk.board.field_opening import FieldOpening
from turnsketch.desk.board.fit import fitting
from turnsketch.desk.board.labels import section_words
from turnsketch.desk.board.overlay import LayoutCache, paint_overlay
from turnsketch.desk.board.pick import Pick, SectionPick, VertexPick
from turnsketch.desk.board.plan_item import base_of
from turnsketch.desk.board.readout import clear_of_tool
from turnsketch.desk.board.sheet_frame import TitleField, title_fields
from turnsketch.desk.board.stage import BoardStage
from turnsketch.desk.board.tools import ChooseTool, DimensionTool, DrawTool, ScaleTool, Tool
from turnsketch.desk.text import tr
from turnsketch.document.bores import Chain, all_sections
from turnsketch.job import Blank, Job
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.records import PartRecord
from turnsketch.plan_records import Plan

if TYPE_CHECKING:
    from turnsketch.picture.layers import Layer

__all__ = ["Board", "Mode"]

_TOOLS: dict[Mode, type[Tool]] = {
    "choose": ChooseTool,
    "draw": DrawTool,
    "dimension": DimensionTool,
    "scale": ScaleTool,
}
_NOTHING = Job(PartRecord("", ()), Blank("", ""), "", ())


class Board(BoardStage):
    """Shows a job and a plan, and turns what is done on it into new jobs.

    The board holds no truth: after `edited` its owner calls `show_job` with the new job and its
    solved part; until then the board shows the new job in pencil.
    """

    edited = Signal(object, str)
    """A new `Job`, and the name of the step; once per finished action."""
    dragging = Signal(object)
    """The `Job` while something is dragged; `edited` follows at the release."""
    section_chosen = Signal(int)
    """Number of the section that was chosen; 0: none."""
    pointer_moved = Signal(float, float)
    """Diameter and z under the pointer, mm."""
    hint = Signal(str)
    """One line on what can be done now."""
    underlay_scaled = Signal(float)
    """Two clicks and a length gave the picture under the drawing this many mm for a pixel."""
    mode_changed = Signal(str)
    """The board went to another mode by itself (Esc leaves drawing and dimensioning)."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.job: Job = _NOTHING
        self.plan: Plan | None = None
        self.problem = ""
        self._needs_solver = False
        self._setup = 0
        self.drawing: Drawing = drawing_of(_NOTHING, None)
        self.chosen: frozenset[int] = frozenset()
        self._vertex: VertexPick | None = None
        self._settled: tuple[Job, ResolvedPart | None] = (_NOTHING, None)
        self._layouts = LayoutCache()
        self.fields = FieldOpening(self)
        self.mode: Mode = "choose"
        self.chain: Chain = "outside"
        self.tool: Tool = ChooseTool(self)
        self.setAccessibleName(tr("Board"))
        self.setAccessibleDescription(section_words(self.job, ()))

    # What it shows

    def show_job(self, job: Job, part: ResolvedPart | None, problem: str = "") -> None:
        """Show `job`; `part` is its solved part, None while it cannot be solved.

        `problem` says in words why it cannot; it stands over the drawing.
        """
        first = self.job is _NOTHING
        self.problem = problem
        self._settled = (job, part)
        self._show(job, part)
        self._needs_solver = self.drawing.needs_solver
        kept = frozenset(n for n in self.chosen if n <= len(all_sections(job.part)))
        if kept != self.chosen:
            self.choose(kept)
        if self._vertex is not None and self._vertex.vertex >= len(self.drawing.all_vertices):
            self._vertex = None
        if first:
            self.fit()

    def _show(self, job: Job, part: ResolvedPart | None) -> None:
        self.job = job
        self.drawing = drawing_of(job, part, self._setup)
        self.work_item.show_drawing(self.drawing)
        self.viewport().update()

    def show_plan(
        self,
        plan: Plan | None,
        pass_number: int | None,
        layers: Sequence[Sequence[Layer]] | None = None,
        share: float = 1.0,
        setup: int = 1,
    ) -> None:
        """Show a pass of a plan over the drawing; no plan: the drawing alone.

        Without a pass nothing is cut yet. `layers` are those of `picture.layers.plan_layers`,
        worked out here when left out. `share` says how much of the pass is done: at 1 the tool
        stands at the end of the cut that matters. `setup` is the number of the setup on show,
        whose pass it is; without a pass its blank is shown in its holding.
        """
        if plan is not None and plan is not self.plan and layers is None:
            from turnsketch.picture.layers import plan_layers  # shapely: not before it is needed

            layers = plan_layers(plan)
        if setup - 1 != self._setup:
            self._setup = setup - 1
            self._show(*self._settled)
        self.plan = plan
        self.plan_item.share = share
        self.plan_item.base = base_of(plan, self.drawing)
        turned = back_end_first(self.job)
        self.plan_item.turned_length = self.drawing.length if turned else None
        self.plan_item.show_plan(plan, pass_number, layers or (), setup)
        self._show_layers()
        self.viewport().update()

    def _show_layers(self, settled: bool = True) -> None:
        """Show the plan; in its place all that comes off, while something is dragged or drawn."""
        shown = self.plan is not None and settled and self.mode != "draw"
        self.plan_item.setVisible(shown)
        self.work_item.removal = self.plan is not None and not shown
        self.work_item.with_holding = self.work_item.body_below = not shown
        self.work_item.with_blank = not (shown and self.plan_item.later)
        self.work_item.update()

    def fit(self) -> None:
        """Show all of the work, with room for its dimensions."""
        line, turned = QFontMetricsF(self.font()).height(), self.camera.turned
        for _ in range(2):  # how many rows the dimensions take depends on the scale
            layout = self._whole_layout()
            self.camera.fit(*fitting(self.drawing, self.frame(), line, turned, layout))
        self.viewport().update()

    # What is chosen

    def choose(self, numbers: Collection[int], first: int | None = None) -> None:
        """Choose sections; `first` is the one that `section_chosen` tells."""
        self._vertex = None
        known = len(all_sections(self.job.part))
        chosen = frozenset(n for n in numbers if 1 <= n <= known)
        if chosen != self.chosen:
            self.chosen = self.work_item.chosen = chosen
            self.section_chosen.emit(first if first in chosen else min(chosen, default=0))
        self.setAccessibleDescription(section_words(self.job, sorted(self.chosen)))
        self.say()
        self.work_item.update()
        self.viewport().update()

    def choose_vertex(self, picked: VertexPick) -> None:
        """Choose a corner of the outline."""
        self.choose(())
        self._vertex = picked
        self.say()
        self.viewport().update()

    @property
    def picks(self) -> tuple[Pick, ...]:
        """What typed text would go to."""
        if self._vertex is not None:
            return (self._vertex,)
        return tuple(SectionPick(n) for n in sorted(self.chosen))

    @property
    def chosen_vertex(self) -> VertexPick | None:
        """The corner that is chosen, if one is."""
        return self._vertex

    # What is done

    def set_mode(self, mode: Mode) -> None:
        """Take up choosing, drawing or dimensioning."""
        self.fields.close()
        self.tool.cancel()
        self.mode, self.tool = mode, _TOOLS[mode](self)
        self._show_layers()
        drawing = mode != "choose"
        self.setCursor(Qt.CursorShape.CrossCursor if drawing else Qt.CursorShape.ArrowCursor)
        self.say()
        self.mode_changed.emit(mode)
        self.viewport().update()

    def set_chain(self, chain: Chain) -> None:
        """Take another chain of the part for drawing: the outside, or the bore of an end."""
        if chain != self.chain:
            self.chain = chain
            if self.mode == "draw":
                self.set_mode("draw")

    def say(self) -> None:
        """Tell what can be done now."""
        self.hint.emit(self.tool.words())

    def commit(self, job: Job, name: str) -> None:
        """Make one edit of what was done."""
        self._show_layers()
        self.show_job(job, None)
        self.edited.emit(job, name)

    def preview(self, job: Job) -> None:
        """Show a job that is not an edit yet; a plan makes way for what comes off altogether."""
        self._show_layers(settled=False)
        self._show(job, solved(job) if self._needs_solver else None)
        self.dragging.emit(job)

    def finish_preview(self, job: Job, name: str) -> None:
        """End a drag: one edit, when anything changed."""
        if job == self._settled[0]:
            self.drop_preview()
        else:
            self.commit(job, name)

    def drop_preview(self) -> None:
        """Show the job again as it was before the drag."""
        self._show_layers()
        self._show(*self._settled)
        self.dragging.emit(self._settled[0])

    def type_at(
        self, picks: Sequence[Pick], text: str, place: QPoint, *, each: bool = False
    ) -> None:
        """Open a field for the dimension of picked things, or for one that they `each` get."""
        self.fields.type_at(picks, text, place, each=each)

    # What is drawn over the scene

    def title_fields(self) -> tuple[TitleField, ...]:
        """Return the fields of the title block in pixels."""
        mark = self.plan.mark if self.plan is not None else ""
        return title_fields(self.job, mark, self.frame(), self.font())

    def layout_now(self) -> Layout:
        """Return where the dimensions stand, in pixels; not those that the tool stands over."""
        return clear_of_tool(self, self._whole_layout())

    def _whole_layout(self) -> Layout:
        metrics = QFontMetricsF(self.font())
        return self._layouts.get(self.drawing, self.lens, self.frame(), metrics)

    def drawForeground(self, painter: QPainter, rect: QRectF | QRect) -> None:  # noqa: N802 - Qt's name
        """Draw dimensions, frame and title block in pixels over the scene."""
        painter.save()
        painter.resetTransform()
        paint_overlay(painter, self)
        painter.restore()
