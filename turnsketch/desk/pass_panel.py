"""The panel "Passes", with the operations behind the second word of its heading."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QSize, Qt
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QButtonGroup,
    QHeaderView,
    QStackedWidget,
    QStyle,
    QTableView,
    QToolButton,
    QWidget,
)

from turnsketch.desk.background import Answer
from turnsketch.desk.column_widths import fit_columns
from turnsketch.desk.operations_panel import OperationsPage
from turnsketch.desk.panel import Panel, label, say_nothing
from turnsketch.desk.pass_model import PassModel
from turnsketch.desk.session import Session
from turnsketch.desk.text import tr

__all__ = ["PassPanel", "PassTable"]

_GROWING = (1,)
"""Operation takes the room that is left."""
_WIDEST = 76
"""So many letters wide at most, the table asks for: the board needs the rest."""


class PassTable(QTableView):
    """One row a pass; the row that is chosen is the one that the board shows."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._model = PassModel(session)
        self.setModel(self._model)
        self.setAccessibleName(tr("Passes"))
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + 9)
        columns = self.horizontalHeader()
        columns.setHighlightSections(False)
        columns.setMinimumSectionSize(20)
        columns.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.selectionModel().currentRowChanged.connect(self._chosen)
        session.position_changed.connect(self._follow)
        session.planned.connect(lambda _: self._planned())

    def sizeHint(self) -> QSize:  # noqa: N802
        """Ask for room for eight rows."""
        row = self.verticalHeader().defaultSectionSize()
        return QSize(380, 8 * row)

    def resizeEvent(self, event: object) -> None:  # noqa: N802
        """Share the width among the columns."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        fit_columns(self, _GROWING, bold=True)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Say how passes come about while there are none."""
        super().paintEvent(event)
        if not self._model.rows:
            say_nothing(self.viewport(), tr("No passes yet. They come with the first section."))

    def _planned(self) -> None:
        self.clearSpans()
        for number, row in enumerate(self._model.rows):
            if row.wide:
                self.setSpan(number, 1, 1, 7)
        wanted = fit_columns(self, _GROWING, bold=True)
        bar = self.style().pixelMetric(QStyle.PixelMetric.PM_ScrollBarExtent, None, self)
        beside = bar + 2 * self.frameWidth()
        self.setMinimumWidth(min(wanted + beside, _WIDEST * self.fontMetrics().averageCharWidth()))
        self._follow(self._session.position)

    def _chosen(self, current: QModelIndex, _: QModelIndex) -> None:
        if not current.isValid():
            return
        row = self._model.rows[current.row()]
        if row.heading:
            self._session.go_to_blank(row.setup)
        else:
            self._session.go_to(row.position)

    def _follow(self, position: int) -> None:
        """Choose the row of the slider's pass, without telling the slider in turn."""
        row = self._model.row_of(position)
        blocked = self.selectionModel().blockSignals(True)
        if row is None:
            self.clearSelection()
            self.setCurrentIndex(QModelIndex())
        elif not self._is_at(row, position):
            self.selectRow(row)
        self.selectionModel().blockSignals(blocked)
        if row is not None:
            self.scrollTo(self._model.index(row, 0))
        self.viewport().update()

    def _is_at(self, row: int, position: int) -> bool:
        """Return whether the row of a pass is chosen, or the measure stop before it."""
        current = self.currentIndex()
        if not current.isValid():
            return False
        chosen = self._model.rows[current.row()]
        return current.row() == row or (chosen.measure and chosen.position == position)


class PassPanel(Panel):
    """Passes and operations, one behind the other."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(tr("Passes"), parent)
        self._session = session
        self.title.hide()
        self.table = PassTable(session)
        self.operations = OperationsPage(session)
        self._pages = QStackedWidget()
        self._pages.addWidget(self.table)
        self._pages.addWidget(self.operations)
        self._words = label("", "faint", wrap=True)
        self._group = QButtonGroup(self)
        for number, words in enumerate((tr("Passes"), tr("Operations"))):
            button = QToolButton()
            button.setObjectName("tab")
            button.setText(words)
            button.setCheckable(True)
            button.setChecked(number == 0)
            self._group.addButton(button, number)
            self.heading.insertWidget(number, button)
        self._group.idClicked.connect(self.show_page)
        self.body.addWidget(self._pages, 1)
        self.body.addWidget(self._words)
        session.planned.connect(self._show)
        session.planning_changed.connect(self._wait)

    def show_page(self, number: int) -> None:
        """Show the passes (0) or the operations (1)."""
        self._group.button(number).setChecked(True)
        self._pages.setCurrentIndex(number)

    def focus_page(self, number: int) -> None:
        """Show a page and take the keyboard there."""
        self.show_page(number)
        (self.operations.list if number else self.table).setFocus()

    def _wait(self, waiting: bool) -> None:
        if waiting:
            self.aside.setText(tr("planning …"))

    def _show(self, answer: Answer) -> None:
        plan = answer.plan
        if plan is None:
            self.aside.setText("")
            self._words.setText(
                tr("No passes yet: {reason}", reason=answer.error) if answer.error else ""
            )
        else:
            minutes = f"{plan.totals.minutes:.0f}"
            self.aside.setText(tr("{n} · {minutes} min", n=plan.totals.passes, minutes=minutes))
            removed = f"{plan.totals.removed_mm3 / 1000:.1f}"
            self._words.setText(
                tr("{n} passes, {minutes} min of cutting and positioning, {removed} cm³ off",
                   n=plan.totals.passes, minutes=f"{plan.totals.minutes:.1f}", removed=removed)
            )  # fmt: skip
        self._words.setVisible(bool(self._words.text()))
