"""The table "From the print": typed along with Tab and Enter, as the print is read."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QHeaderView,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from turnsketch.desk.column_widths import fit_columns
from turnsketch.desk.print_model import PrintModel

__all__ = ["SectionTable"]

Hint = QAbstractItemDelegate.EndEditHint


class _Editor(QStyledItemDelegate):
    """Makes the line in which a cell is typed."""

    def createEditor(  # noqa: N802
        self,
        parent: QWidget,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> QWidget:
        """Return a line without a frame of its own."""
        made = QLineEdit(parent)
        made.setFrame(False)
        heading = index.model().headerData(index.column(), Qt.Orientation.Horizontal)
        made.setAccessibleName(str(heading))
        return made

    def setEditorData(  # noqa: N802
        self, editor: QWidget, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Leave alone what is being typed, when an answer comes in meanwhile.

        Text that stands there chosen stays chosen: the next key replaces it.
        """
        if isinstance(editor, QLineEdit):
            text = index.data(Qt.ItemDataRole.EditRole)
            if editor.isModified() or (editor.text() and editor.text() == text):
                return
        super().setEditorData(editor, index)

    def updateEditorGeometry(  # noqa: N802
        self,
        editor: QWidget,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Give the line room for the print's longer texts."""
        room = option.rect
        least = editor.fontMetrics().averageCharWidth() * 16
        view = editor.parentWidget()
        if room.width() < least and view is not None:
            room.setWidth(min(least, view.width()))
            room.moveRight(min(room.right(), view.width() - 1))
        editor.setGeometry(room)


class SectionTable(QTableView):
    """Sections or grooves down, dimensions across."""

    insert_wanted = Signal(int)
    """Row before which one more is wanted."""
    delete_wanted = Signal(int)

    def __init__(self, model: PrintModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._model = model
        self.setModel(model)
        self.setItemDelegate(_Editor(self))
        self.setShowGrid(False)
        self.setWordWrap(True)
        self.setTabKeyNavigation(False)
        triggers = QAbstractItemView.EditTrigger
        self.setEditTriggers(
            triggers.DoubleClicked | triggers.AnyKeyPressed | triggers.EditKeyPressed
        )
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        rows, columns = self.verticalHeader(), self.horizontalHeader()
        rows.hide()
        rows.setDefaultSectionSize(self.fontMetrics().height() + 11)
        rows.setMinimumSectionSize(rows.defaultSectionSize())
        rows.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.setMinimumHeight(columns.sizeHint().height() + 2 * rows.defaultSectionSize() + 4)
        columns.setHighlightSections(False)
        columns.setMinimumSectionSize(24)
        columns.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        model.dataChanged.connect(self._refit)
        model.modelReset.connect(self._refit)

    def start(self) -> None:
        """Go to the cell where typing begins."""
        model = self._model
        self.setCurrentIndex(model.index(0, model.keys.index(model.first)))

    def sizeHint(self) -> QSize:  # noqa: N802
        """Ask for room for eight rows."""
        row = self.verticalHeader().defaultSectionSize()
        return QSize(320, self.horizontalHeader().sizeHint().height() + 8 * row)

    def resizeEvent(self, event: object) -> None:  # noqa: N802
        """Share the width among the columns."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        self._refit()

    def _refit(self, *about: object) -> None:
        """Share the width; not for texts that follow a drag: the columns would jump."""
        if not (len(about) == 3 and about[2]):
            keys = self._model.keys
            growing = tuple(keys.index(key) for key in self._model.growing)
            fit_columns(self, growing, tuple(keys.index(key) for key in self._model.typed))

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Tab and Enter run on from cell to cell; at the end Tab leaves the table."""
        key, index = event.key(), self.currentIndex()
        keys = Qt.Key
        if key in (keys.Key_Tab, keys.Key_Backtab) and self._step(index, key == keys.Key_Tab):
            return
        typing = self.state() is QAbstractItemView.State.EditingState
        if key in (keys.Key_Return, keys.Key_Enter) and index.isValid():
            if not typing:  # else the line's own Enter, which goes on by itself
                self.edit(index)
        elif key == keys.Key_Insert and index.isValid():
            self.insert_wanted.emit(index.row())
        elif key == keys.Key_Delete and index.isValid():
            if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
                self.delete_wanted.emit(index.row())
            else:
                self._model.setData(index, "")
        else:
            super().keyPressEvent(event)

    def closeEditor(self, editor: QWidget, hint: Hint) -> None:  # noqa: N802
        """Run on to the next cell, or stay where the text was refused."""
        index, refused = self.currentIndex(), self._model.refused
        super().closeEditor(editor, Hint.NoHint)
        if hint is Hint.RevertModelCache:
            self._model.forget_refused()
        elif refused is not None and hint is not Hint.NoHint:
            self.edit(self._model.index(refused.row, refused.column))
        elif hint is Hint.EditNextItem or hint is Hint.EditPreviousItem:
            if self._step(index, hint is Hint.EditNextItem):
                self.edit(self.currentIndex())
        elif hint is Hint.SubmitModelCache:
            row = min(index.row() + 1, self._model.rowCount() - 1)
            first = self._model.keys.index(self._model.first)
            self.setCurrentIndex(self._model.index(row, first))
            self.edit(self.currentIndex())

    def _step(self, index: QModelIndex, forward: bool) -> bool:
        """Go to the next cell where Tab stops; return False when there is none."""
        model = self._model
        count = model.columnCount()
        place = index.row() * count + index.column() if index.isValid() else -1
        places = range(place + 1, model.rowCount() * count)
        if not forward:
            places = range(place - 1, -1, -1)
        for other in places:
            row, column = divmod(other, count)
            if model.useful(row, column):
                self.setCurrentIndex(model.index(row, column))
                return True
        return False
