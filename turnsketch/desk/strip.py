"""The panel "The job in pictures": cards along the bottom, the slider, and the keys to play."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QSizePolicy, QSlider, QToolButton, QWidget

from turnsketch.desk.background import Answer
from turnsketch.desk.cards import Card, cards_of, paint_card
from turnsketch.desk.panel import Panel, say_nothing
from turnsketch.desk.session import Session
from turnsketch.desk.text import tr
from turnsketch.desk.theme import LIGHT, Theme

__all__ = ["CardRow", "StripPanel"]

_PLAY_MS = 650
_LEAST_WIDTH, _MOST_WIDTH = 118, 240
_GAP = 12
_BREAK = 22
"""What stands between two setups besides the gap: room for a rule."""


class CardRow(QWidget):
    """The cards side by side; a click, or Left and Right, goes to one."""

    gone_to = Signal(int)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._theme = LIGHT
        self.cards: list[Card] = []
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("The job in pictures"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        session.planned.connect(self._show)
        session.position_changed.connect(lambda _: self._moved())

    def set_theme(self, theme: Theme) -> None:
        """Take the theme's colours."""
        self._theme = theme
        self.update()

    def minimumSizeHint(self) -> QSize:  # noqa: N802
        """Ask for the least width of every card, and for words below it."""
        width = max(1, len(self.cards)) * (_LEAST_WIDTH + _GAP) - _GAP + self._breaks() * _BREAK
        return QSize(width, 52 + self.fontMetrics().height())

    def sizeHint(self) -> QSize:  # noqa: N802
        """Ask for cards of a usual height."""
        return QSize(self.minimumSizeHint().width(), 84 + self.fontMetrics().height())

    def _show(self, answer: Answer) -> None:
        self.cards = cards_of(answer)
        self.updateGeometry()
        self.setMinimumWidth(self.minimumSizeHint().width())
        self.update()

    def current(self) -> int:
        """Return the number of the card that the slider stands in."""
        session = self._session
        for number, card in enumerate(self.cards):
            if card.holds(session.position, session.setup):
                return number
        return -1

    def _breaks(self, number: int | None = None) -> int:
        """Return how many breaks between setups stand before a card; None: in all."""
        if not self.cards:
            return 0
        return self.cards[-1 if number is None else number].index

    def _moved(self) -> None:
        number = self.current()
        if number >= 0:
            self.setAccessibleDescription(self.cards[number].words)
        self.update()

    def room_of(self, number: int) -> QRectF:
        """Return the frame of a card in the row."""
        count = max(1, len(self.cards))
        width = (self.width() - (count - 1) * _GAP - self._breaks() * _BREAK) / count
        width = min(_MOST_WIDTH, max(_LEAST_WIDTH, width))
        words = self.fontMetrics().height() + 7
        left = number * (width + _GAP) + self._breaks(number) * _BREAK + 1
        return QRectF(left, 1, width - 2, self.height() - words - 2)

    def _paint_break(self, painter: QPainter, room: QRectF) -> None:
        """Draw a firm rule in front of the first card of a later setup."""
        x = room.left() - (_GAP + _BREAK) / 2
        painter.setPen(QPen(QColor(self._theme.ink), 2.4))
        painter.drawLine(QPointF(x, 0.0), QPointF(x, float(self.height())))

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Paint all cards."""
        if not self.cards:
            say_nothing(self, tr("A picture for every operation will stand here."))
            return
        painter, theme, chosen = QPainter(self), self._theme, self.current()
        for number, card in enumerate(self.cards):
            room = self.room_of(number)
            here = number == chosen
            if not card.layers and card.index:
                self._paint_break(painter, room)
            pen = QPen(QColor(theme.chosen if here else theme.rule), 2 if here else 1)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(room)
            if here and self.hasFocus():
                painter.drawRect(room.adjusted(4, 4, -4, -4))
            inner = room.adjusted(6, 6, -6, -6)
            paint_card(painter, card, inner, theme, self._session.position)
            font = self.font()
            font.setBold(here)
            font.setUnderline(here and self.hasFocus())
            painter.setFont(font)
            painter.setPen(QColor(theme.chosen if here else theme.ink))
            below = QRectF(
                room.left(), room.bottom() + 4, room.width(), painter.fontMetrics().height()
            )
            painter.drawText(below, Qt.AlignmentFlag.AlignLeft, card.words)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Go to the card under the pointer."""
        for number in range(len(self.cards)):
            if self.room_of(number).contains(event.position()):
                self._go(number)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Left and Right go to the card before and the next."""
        step = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
        if step is None or not self.cards:
            super().keyPressEvent(event)
            return
        self._go(max(0, min(len(self.cards) - 1, self.current() + step)))

    def focusInEvent(self, event: object) -> None:  # noqa: N802
        """Show that the keyboard is here."""
        super().focusInEvent(event)  # type: ignore[arg-type]
        self.update()

    def focusOutEvent(self, event: object) -> None:  # noqa: N802
        """Show that it is no more."""
        super().focusOutEvent(event)  # type: ignore[arg-type]
        self.update()

    def _go(self, number: int) -> None:
        self.gone_to.emit(number)
        card = self.cards[number]
        if card.layers:
            self._session.go_to(card.last)
        else:
            self._session.go_to_blank(card.index)


class StripPanel(Panel):
    """Cards, slider, and what plays them."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(tr("The job in pictures"), parent)
        self._session = session
        self.row = CardRow(session)
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setAccessibleName(tr("Pass"))
        self.slider.setRange(0, 0)
        self.back = self._button("◀", tr("One pass back"), lambda: self.step(-1))
        self.on = self._button("▶", tr("One pass on"), lambda: self.step(1))
        self.player = self._button(tr("play"), tr("Play the passes"), self.toggle_play)
        self._clock = QTimer(self, interval=_PLAY_MS)
        self._clock.timeout.connect(self._tick)
        line = QHBoxLayout()
        line.setSpacing(4)
        self.heading.insertWidget(1, self.slider, 6)
        for widget in (self.back, self.on, self.player):
            line.addWidget(widget)
        self.heading.addLayout(line)
        self._area = QScrollArea()
        self._area.setWidget(self.row)
        self._area.setWidgetResizable(True)
        self._area.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._area.viewport().installEventFilter(self)
        self.body.addWidget(self._area, 1)
        self.slider.valueChanged.connect(session.go_to)
        self.row.gone_to.connect(lambda _: self.stop())
        session.planned.connect(self._planned)
        session.position_changed.connect(self._follow)

    def _button(self, words: str, tip: str, act: object) -> QToolButton:
        made = QToolButton()
        made.setObjectName("plain")
        made.setText(words)
        made.setToolTip(tip)
        made.setAccessibleName(tip)
        made.clicked.connect(act)
        return made

    def eventFilter(self, watched: object, event: QEvent) -> bool:  # noqa: N802
        """Let the wheel run along the cards."""
        if event.type() == QEvent.Type.Wheel:
            bar = self._area.horizontalScrollBar()
            bar.setValue(bar.value() - event.angleDelta().y())  # type: ignore[attr-defined]
            return True
        return False

    def set_theme(self, theme: Theme) -> None:
        """Take the theme's colours."""
        self.row.set_theme(theme)

    def step(self, by: int) -> None:
        """Go so many passes on."""
        self.stop()
        self._session.step(by)

    @property
    def playing(self) -> bool:
        """Whether the passes are being played."""
        return self._clock.isActive()

    def toggle_play(self) -> None:
        """Play from here, from the start when all are done, or stop."""
        if self.playing:
            self.stop()
            return
        if not self._session.passes:
            return
        if self._session.at_end:
            self._session.go_to(0)
        self._clock.start()
        self.player.setText(tr("stop"))

    def stop(self) -> None:
        """Stop playing."""
        self._clock.stop()
        self.player.setText(tr("play"))

    def _tick(self) -> None:
        if self._session.at_end:
            self.stop()
        else:
            self._session.step(1)

    def _planned(self, answer: Answer) -> None:
        blocked = self.slider.blockSignals(True)
        self.slider.setRange(0, len(self._session.passes))
        self.slider.blockSignals(blocked)
        self._follow(self._session.position)

    def _follow(self, position: int) -> None:
        blocked = self.slider.blockSignals(True)
        self.slider.setValue(position)
        self.slider.blockSignals(blocked)
        self.aside.setText(self._place_words() if self._session.passes else "")
        number = self.row.current()
        if number >= 0:
            room = self.row.room_of(number)
            self._area.ensureVisible(int(room.center().x()), 10, int(room.width() / 2) + 8, 0)

    def _place_words(self) -> str:
        """Say where the slider stands; with several setups, in which one."""
        session = self._session
        first, last = session.span(session.setup)
        number = session.pass_number
        words = tr("pass {n} of {count}", n=session.position - first, count=last - first)
        if number is None:
            words = tr("the blank") if session.setup == 0 else session.job.setup_name(session.setup)
        if len(session.job.setups) == 1:
            return words
        return tr("setup {n}: {place}", n=session.setup + 1, place=words)
