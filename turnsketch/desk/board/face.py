"""What the board's tools, fields and notes see of it: they ask for this much, not for the window.

So that they can be read and tested by themselves, and nothing imports the board but who shows it.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Literal, Protocol

from PySide6.QtCore import QPoint, QPointF, QRectF, Qt, SignalInstance
from PySide6.QtGui import QFont, QPainter
from PySide6.QtWidgets import QWidget

from turnsketch.desk.board.dimension_layout import Layout
from turnsketch.desk.board.drawing import Drawing
from turnsketch.desk.board.lens import Lens
from turnsketch.desk.board.pick import Pick, VertexPick
from turnsketch.desk.board.plan_item import PlanItem
from turnsketch.desk.board.sheet_frame import TitleField
from turnsketch.desk.board.underlay import UnderlayItem
from turnsketch.desk.board.work_item import WorkItem
from turnsketch.desk.theme import Theme
from turnsketch.document.bores import Chain
from turnsketch.job import Job
from turnsketch.plan_records import Plan

__all__ = ["BoardFace", "BoardState", "Mode", "Paints"]

Mode = Literal["choose", "draw", "dimension", "scale"]


class Paints(Protocol):
    """Draws something over the board, in pixels."""

    def paint(self, painter: QPainter) -> None:
        """Draw it."""


class BoardState(Protocol):
    """What is on show, to be read."""

    @property
    def job(self) -> Job:
        """The job, as an edit under way has it."""

    @property
    def plan(self) -> Plan | None:
        """The plan on show."""

    @property
    def drawing(self) -> Drawing:
        """What is drawn of the job."""

    @property
    def problem(self) -> str:
        """Why the part cannot be solved; empty when it can."""

    @property
    def theme(self) -> Theme:
        """The colours."""

    @property
    def lens(self) -> Lens:
        """The map between the part and the pixels."""

    @property
    def work_item(self) -> WorkItem:
        """The work in the scene."""

    @property
    def plan_item(self) -> PlanItem:
        """The plan in the scene."""

    @property
    def underlay(self) -> UnderlayItem:
        """The picture of the print under the drawing."""

    @property
    def tool(self) -> Paints:
        """What is being done."""

    @property
    def hovered_key(self) -> tuple[int | None, str] | None:
        """The dimension under the pointer."""

    @property
    def hovered_field(self) -> str | None:
        """The field of the title block under the pointer."""

    def frame(self) -> QRectF:
        """Return the drawing frame in pixels."""

    def title_fields(self) -> tuple[TitleField, ...]:
        """Return the fields of the title block in pixels."""

    def layout_now(self) -> Layout:
        """Return where the dimensions stand, in pixels."""

    def font(self) -> QFont:
        """Return the font of its texts."""

    def hasFocus(self) -> bool:  # noqa: N802 - Qt's name
        """Whether the keys come here."""

    def viewport(self) -> QWidget:
        """Return the widget that is painted."""


class BoardFace(BoardState, Protocol):
    """What is on show, and what can be done with it."""

    @property
    def chosen(self) -> frozenset[int]:
        """Numbers of the chosen sections."""

    @property
    def chosen_vertex(self) -> VertexPick | None:
        """The corner that is chosen, if one is."""

    @property
    def picks(self) -> tuple[Pick, ...]:
        """What typed text would go to."""

    @property
    def chain(self) -> Chain:
        """The chain that is drawn."""

    @property
    def hint(self) -> SignalInstance:
        """One line on what can be done now."""

    @property
    def underlay_scaled(self) -> SignalInstance:
        """How many mm a pixel of the picture under the drawing is, once it is known."""

    def choose(self, numbers: Collection[int], first: int | None = None) -> None:
        """Choose sections."""

    def choose_vertex(self, picked: VertexPick) -> None:
        """Choose a corner of the outline."""

    def hover(self, number: int | None) -> None:
        """Show which section a click would choose."""

    def say(self) -> None:
        """Tell what can be done now."""

    def set_mode(self, mode: Mode) -> None:
        """Take up another way of working."""

    def commit(self, job: Job, name: str) -> None:
        """Make one edit of what was done."""

    def preview(self, job: Job) -> None:
        """Show a job that is not an edit yet."""

    def finish_preview(self, job: Job, name: str) -> None:
        """End a drag: one edit, when anything changed."""

    def drop_preview(self) -> None:
        """Show the job again as it was before the drag."""

    def type_at(
        self, picks: Sequence[Pick], text: str, place: QPoint, *, each: bool = False
    ) -> None:
        """Open a field for the dimension of picked things, or for one that they `each` get."""

    def pan(self, by: QPointF) -> None:
        """Move the sheet by pixels."""

    def setCursor(self, shape: Qt.CursorShape) -> None:  # noqa: N802 - Qt's name
        """Show another pointer."""

    def setFocus(self) -> None:  # noqa: N802 - Qt's name
        """Take the keys."""
