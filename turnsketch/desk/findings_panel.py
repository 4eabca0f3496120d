"""The panel "Look at these first": findings, the worst first, each with its remedy."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen, QPolygon
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from turnsketch.desk.background import Answer
from turnsketch.desk.panel import Panel, label
from turnsketch.desk.remedies import Remedy, remedy_for
from turnsketch.desk.session import Session
from turnsketch.desk.text import capital, told, tr
from turnsketch.desk.theme import LIGHT, Theme
from turnsketch.plan_records import Finding

__all__ = ["FindingsPanel"]

_FINDING = Qt.ItemDataRole.UserRole
_MARK, _GAP = 14, 9
_WRAP = Qt.TextFlag.TextWordWrap


class _Row(QStyledItemDelegate):
    """Paints a finding: a mark whose shape says how grave it is, the message, the remedy."""

    theme: Theme = LIGHT
    several: bool = False
    """Say of each finding which setup it is about."""

    def sizeHint(  # noqa: N802
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the height that the words take at the list's width."""
        view = self.parent()
        width = view.viewport().width() if isinstance(view, QAbstractItemView) else 300
        finding: Finding = index.data(_FINDING)
        words = _message(finding, self.several)
        room = QRect(0, 0, width, 0)
        message, remedy = _boxes(option.fontMetrics, room, words, told(finding.remedy))
        bottom = remedy.bottom() if remedy.height() else message.bottom()
        return QSize(width, bottom + 8)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Paint one row."""
        finding: Finding = index.data(_FINDING)
        theme, room = self.theme, option.rect
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(room, QColor(theme.chosen_light))
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(QColor(theme.chosen), 2))
            painter.drawRect(room.adjusted(1, 1, -1, -1))
        _paint_mark(painter, QPoint(room.left() + 4, room.top() + 6), finding.severity, theme)
        painter.setFont(option.font)
        words = _message(finding, self.several)
        message, remedy = _boxes(option.fontMetrics, room, words, told(finding.remedy))
        painter.setPen(QColor(theme.ink))
        painter.drawText(message, _WRAP, words)
        painter.setPen(QColor(theme.chosen))
        painter.drawText(remedy, _WRAP, capital(told(finding.remedy)))
        painter.restore()


def _message(finding: Finding, several: bool) -> str:
    word = {"stop": tr("Stop: "), "caution": "", "note": ""}[finding.severity]
    if several and finding.setup is not None:
        word = tr("Setup {n}: ", n=finding.setup) + word
    message = told(finding.message)
    return word + (message if word else capital(message))


def _boxes(metrics: QFontMetrics, room: QRect, words: str, what_to_do: str) -> tuple[QRect, QRect]:
    left = room.left() + _MARK + _GAP + 4
    width = max(40, room.right() - left - 4)
    whole = QRect(0, 0, width, 10_000)
    message = metrics.boundingRect(whole, _WRAP, words)
    message = QRect(left, room.top() + 4, width, message.height())
    if not what_to_do:
        return message, QRect(left, message.bottom(), width, 0)
    remedy = metrics.boundingRect(whole, _WRAP, capital(what_to_do))
    return message, QRect(left, message.bottom() + 2, width, remedy.height())


def _paint_mark(painter: QPainter, at: QPoint, severity: str, theme: Theme) -> None:
    """Paint a square (stop), a triangle (caution) or a disc (note)."""
    box = QRect(at, QSize(_MARK, _MARK))
    painter.setPen(Qt.PenStyle.NoPen)
    if severity == "stop":
        painter.setBrush(QColor(theme.danger))
        painter.drawRect(box)
        painter.setPen(QPen(QColor(theme.paper), 2))
        painter.drawLine(box.center() - QPoint(3, 3), box.center() + QPoint(4, 4))
        painter.drawLine(box.center() + QPoint(-3, 4), box.center() + QPoint(4, -3))
    elif severity == "caution":
        painter.setBrush(QColor(theme.narrow))
        painter.setPen(QPen(QColor(theme.ink), 1.2))
        corners = [QPoint(box.left(), box.bottom()), QPoint(box.right() + 1, box.bottom())]
        painter.drawPolygon(QPolygon([*corners, QPoint(box.center().x() + 1, box.top())]))
    else:
        painter.setBrush(QColor(theme.chosen))
        painter.drawEllipse(box.adjusted(2, 2, -1, -1))


class _List(QListWidget):
    """A list whose rows are as high as their words need at its width."""

    def resizeEvent(self, event: object) -> None:  # noqa: N802
        """Lay the rows out anew."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        self.scheduleDelayedItemsLayout()


class FindingsPanel(Panel):
    """What the program noticed."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(tr("Look at these first"), parent)
        self._session = session
        self.list = _List()
        self.list.setAccessibleName(tr("Findings, the worst first"))
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self._rows = _Row(self.list)
        self.list.setItemDelegate(self._rows)
        self.remedy = QPushButton()
        self.remedy.hide()
        self._none = label("", "faint", wrap=True)
        self._none.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self.body.addWidget(self._none, 1)
        self.body.addWidget(self.list, 1)
        self.body.addWidget(self.remedy)
        self._offered: Remedy | None = None
        self.list.currentRowChanged.connect(self._chosen)
        self.list.itemClicked.connect(lambda _: self._chosen(self.list.currentRow()))
        self.remedy.clicked.connect(self.apply_remedy)
        session.job_changed.connect(lambda _: self._offer(None))
        session.planned.connect(self.show_answer)
        self.list.hide()

    def set_theme(self, theme: Theme) -> None:
        """Take the theme's colours."""
        self._rows.theme = theme
        self.list.viewport().update()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings that are shown."""
        plan = self._session.plan
        return () if plan is None else plan.findings

    def show_answer(self, answer: Answer) -> None:
        """Show the findings of a plan."""
        blocked = self.list.blockSignals(True)
        self.list.clear()
        self._rows.several = len(answer.job.setups) > 1
        for finding in self.findings:
            item = QListWidgetItem()
            item.setData(_FINDING, finding)
            place = f"{_place(finding)}: " if self._rows.several and _place(finding) else ""
            words = f"{place}{told(finding.message)}. {told(finding.remedy)}"
            words = f"{told(finding.severity)}: {words}"
            item.setData(Qt.ItemDataRole.AccessibleTextRole, words)
            item.setToolTip(_place(finding))
            self.list.addItem(item)
        self.list.blockSignals(blocked)
        self._offer(None)
        some = bool(self.findings)
        self.list.setVisible(some)
        self._none.setVisible(not some)
        empty = not answer.job.part.sections
        if empty or answer.plan is None:
            words = tr("What the program notices will stand here, the worst first.")
        else:
            words = tr("Nothing stands out.")
        self._none.setText(words)
        stops = sum(finding.severity == "stop" for finding in self.findings)
        self.aside.setText(tr("{n} stop", n=stops) if stops else "")

    def _chosen(self, row: int) -> None:
        if not 0 <= row < len(self.findings):
            self._offer(None)
            return
        finding, session = self.findings[row], self._session
        proposals = session.answer.proposals if session.answer is not None else ()
        found = None
        if session.current:  # numbers of a plan that is overtaken would go to other operations
            found = remedy_for(session.job, finding, session.shop, session.plan, proposals)
        self._offer(found)
        session.show_finding(finding)

    def _offer(self, remedy: Remedy | None) -> None:
        self._offered = remedy
        self.remedy.setVisible(remedy is not None)
        if remedy is not None:
            self.remedy.setText(told(remedy.words))

    def apply_remedy(self) -> None:
        """Carry out the remedy that is offered."""
        if self._offered is not None:
            self._session.edit(self._offered.job, self._offered.words)


def _place(finding: Finding) -> str:
    if finding.setup is None:
        return ""
    if finding.pass_number is None:
        return tr("setup {n}", n=finding.setup)
    return tr("setup {n}, pass {number}", n=finding.setup, number=finding.pass_number)
