"""Mouse, wheel and keys of the board: handed to its tool, its camera or its fields."""

from __future__ import annotations

from typing import Protocol, cast

from PySide6.QtCore import QEvent, QPointF, Qt, SignalInstance
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QFrame, QGraphicsView, QWidget

from turnsketch.desk.board.camera import Camera
from turnsketch.desk.board.dimension_list import BoardDimension
from turnsketch.desk.board.dimension_paint import rect_of
from turnsketch.desk.board.face import BoardFace, Mode
from turnsketch.desk.board.field_opening import FieldOpening
from turnsketch.desk.board.lens import Lens
from turnsketch.desk.board.tools.base import Pointer, Tool
from turnsketch.desk.board.tools.drags import PanDrag
from turnsketch.geometry.elements import Point

__all__ = ["BoardEvents"]

_ZOOM_STEP = 1.0015


class _Whole(BoardFace, Protocol):
    """The board that these events belong to."""

    @property
    def mode(self) -> Mode: ...

    @property
    def tool(self) -> Tool: ...

    @property
    def fields(self) -> FieldOpening: ...

    @property
    def pointer_moved(self) -> SignalInstance: ...

    def fit(self) -> None: ...


class BoardEvents(QGraphicsView):
    """A graphics view whose events go to tools; `Board` gives it content."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.camera = Camera(self)
        self.hovered_key: tuple[int | None, str] | None = None
        self.hovered_field: str | None = None
        self._pointer_at: Point | None = None
        self._pan: PanDrag | None = None
        self._pressed_field: str | None = None
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.FullViewportUpdate)
        self.setRenderHint(QPainter.RenderHint.Antialiasing)
        # the scene's paper covers all: what Qt fills below it is a large part of a frame's time
        self.viewport().setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.viewport().setAutoFillBackground(False)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    @property
    def _board(self) -> _Whole:
        return cast("_Whole", self)

    @property
    def lens(self) -> Lens:
        """The map between the part and the pixels."""
        return self.camera.lens()

    @property
    def pointer_at(self) -> Point | None:
        """The place under the pointer, part frame; None while it is elsewhere."""
        return self._pointer_at

    def hover(self, number: int | None) -> None:
        """Show which section a click would choose."""
        item = self._board.work_item
        if number != item.hovered:
            item.hovered = number
            item.update()
            self.viewport().update()

    def pan(self, by: QPointF) -> None:
        """Move the sheet by pixels."""
        self.camera.pan(by)
        self.viewport().update()

    def _pointer(self, event: QMouseEvent) -> Pointer:
        pixel = event.position()
        keys = event.modifiers()
        return Pointer(
            pixel,
            self.lens.point(pixel.x(), pixel.y()),
            bool(keys & Qt.KeyboardModifier.ShiftModifier),
            bool(keys & Qt.KeyboardModifier.ControlModifier),
        )

    # The mouse

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Start what the tool does; the middle button pans in every mode."""
        board, pointer = self._board, self._pointer(event)
        if event.button() == Qt.MouseButton.MiddleButton:
            self._pan = PanDrag(board, pointer)
            return
        if event.button() == Qt.MouseButton.RightButton:
            self._escape()
            return
        if event.button() != Qt.MouseButton.LeftButton:
            return
        board.fields.close()
        everywhere = board.mode == "scale"  # the picture lies under texts and title block too
        self._pressed_field = None if everywhere else self._over_sheet(pointer)
        text = board.layout_now().at(*_xy(pointer))
        if self._pressed_field is None and (text is None or everywhere):
            board.tool.press(pointer)
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Follow the pointer."""
        board, pointer = self._board, self._pointer(event)
        self._pointer_at = pointer.at
        board.pointer_moved.emit(2.0 * abs(pointer.at.r), pointer.at.z)
        if self._pan is not None:
            self._pan.move(pointer)
            return
        if not event.buttons():
            under = board.layout_now().at(*_xy(pointer))
            self.hovered_key = under.key if under is not None else None
            self.hovered_field = self._over_sheet(pointer)
        board.tool.move(pointer)
        self.viewport().update()
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """End what the press began."""
        board, pointer = self._board, self._pointer(event)
        if event.button() == Qt.MouseButton.MiddleButton:
            self._pan = None
            return
        if event.button() != Qt.MouseButton.LeftButton:
            return
        field, self._pressed_field = self._pressed_field, None
        if field is not None:
            if field == self._over_sheet(pointer):
                board.fields.edit_title(field)
        else:
            board.tool.release(pointer)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Retype a dimension, or what the tool does."""
        pointer = self._pointer(event)
        dimension = self._board.layout_now().at(*_xy(pointer))
        if dimension is not None:
            self._retype(dimension)
        elif event.button() == Qt.MouseButton.LeftButton:
            self._board.tool.double(pointer)
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:  # noqa: N802
        """Nothing is under the pointer any more."""
        self._pointer_at = None
        self.hovered_key = self.hovered_field = None
        self.hover(None)
        self.viewport().update()
        super().leaveEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802
        """Zoom at the pointer."""
        self.camera.zoom(_ZOOM_STEP ** event.angleDelta().y(), event.position())
        self.viewport().update()
        event.accept()

    def _retype(self, dimension: BoardDimension) -> None:
        box = self._board.layout_now().box_of(dimension.key)
        if box is not None:
            self._board.fields.retype(dimension, rect_of(box).toRect())

    def _over_sheet(self, pointer: Pointer) -> str | None:
        """Return the field of the title block under the pointer."""
        for field in self._board.title_fields():
            if field.box.contains(pointer.pixel):
                return field.key
        return None

    # Keys and size

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Esc gets out of anything, F fits, plus and minus zoom; the rest is the tool's."""
        if event.key() == Qt.Key.Key_Escape:
            if not self._escape():
                event.ignore()
            return
        if self._board.tool.key(event):
            return
        centre = QPointF(self.viewport().rect().center())
        if event.key() == Qt.Key.Key_F and not event.modifiers():
            self._board.fit()
        elif event.key() in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.camera.zoom(1.25, centre)
        elif event.key() == Qt.Key.Key_Minus:
            self.camera.zoom(0.8, centre)
        else:
            event.ignore()
        self.viewport().update()

    def _escape(self) -> bool:
        """Close a field, else cancel what goes on, else go back to choosing."""
        board = self._board
        if board.fields.close() or board.tool.cancel():
            self.viewport().update()
            return True
        if board.mode != "choose":
            board.set_mode("choose")
            return True
        return False

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        """Show that the keys come here."""
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        """Show that the keys go elsewhere."""
        super().focusOutEvent(event)
        self.viewport().update()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Fit again when nothing but the size has changed."""
        super().resizeEvent(event)
        if self.camera.fitted:
            self._board.fit()


def _xy(pointer: Pointer) -> tuple[float, float]:
    return pointer.pixel.x(), pointer.pixel.y()
