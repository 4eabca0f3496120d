"""The job in pictures: one small card per operation, in the theme's colours."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from turnsketch.desk.background import Answer
from turnsketch.desk.text import capital, told, tr
from turnsketch.desk.theme import Theme, mixed
from turnsketch.plan_records import Ring, SetupPlan

if TYPE_CHECKING:
    from turnsketch.picture.layers import Layer

__all__ = ["Card", "cards_of", "paint_card"]

_JAW_SHARE = 1.5
"""Jaws are cut off at this share of the blank's radius: the work is what matters."""


@dataclass(frozen=True, slots=True)
class Card:
    """One picture: the blank of a setup, or one of its operations."""

    words: str
    setup: SetupPlan
    layers: tuple[Layer, ...]
    """Those of the operation, none for the blank."""
    before: tuple[Ring, ...]
    """What stands before it."""
    first: int
    """Positions of the slider that belong to it, the first and the last."""
    last: int

    @property
    def index(self) -> int:
        """Index of its setup."""
        return self.setup.number - 1

    def holds(self, position: int, setup: int) -> bool:
        """Return whether the slider, with a setup on show, stands in this card."""
        within = self.first <= position <= self.last
        return setup == self.index and within

    def remaining(self, position: int) -> tuple[Ring, ...]:
        """Return what stands: at the slider's place in this operation, else after it."""
        if not self.layers:
            return self.before
        taken = position - self.first + 1 if self.first <= position <= self.last else None
        return self.layers[-1 if taken is None else taken - 1].remaining

    def shown_layers(self, position: int) -> tuple[Layer, ...]:
        """Return the layers that are off, at the slider's place."""
        if self.first <= position <= self.last:
            return self.layers[: position - self.first + 1]
        return self.layers


def cards_of(answer: Answer) -> list[Card]:
    """Return the cards of a plan, in the order of the work."""
    cards: list[Card] = []
    position = 0
    plan = answer.plan
    for setup, cuts in zip(plan.setups if plan is not None else (), answer.layers, strict=False):
        many = plan is not None and len(plan.setups) > 1
        words = tr("Setup {n}", n=setup.number) if many else tr("Blank")
        cards.append(Card(words, setup, (), setup.blank, position, position))
        before = setup.blank
        for operation in setup.operations:
            own = tuple(c for c in cuts if c.operation_number == operation.number)
            if not own:
                continue
            name = capital(told(operation.kind))
            words = f"{setup.number}: {name}" if many else name
            last = position + len(own)
            cards.append(Card(words, setup, own, before, position + 1, last))
            before, position = own[-1].remaining, last
    return cards


def paint_card(painter: QPainter, card: Card, room: QRectF, theme: Theme, position: int) -> None:
    """Paint what stands in the setup's holding, and in sand what the operation takes."""
    low, high, radius = _extent(card.setup)
    scale = min(room.width() / (high - low), room.height() / (2 * radius))
    middle = room.center()

    def place(z: float, r: float) -> QPointF:
        return QPointF(middle.x() + scale * (z - (low + high) / 2), middle.y() - scale * r)

    def path(rings: Iterable[Ring]) -> QPainterPath:
        made = QPainterPath()
        for half in (1.0, -1.0):
            for ring in rings:
                made.addPolygon(QPolygonF([place(p.z, half * p.r) for p in (*ring, ring[0])]))
        return made

    painter.save()
    painter.setClipRect(room)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    ink = QPen(QColor(theme.ink), 1.2)
    _draw(painter, path(_near(card.setup)), theme.desk, QPen(QColor(theme.narrow), 0.9))
    standing = path(card.remaining(position))
    _draw(painter, standing, theme.part, None)
    layers = card.shown_layers(position)
    for number, layer in enumerate(layers):
        tint = mixed(theme.layer_light, theme.layer_dark, (number + 1) / len(layers))
        _draw(painter, path(layer.removed), tint, QPen(QColor(tint), 0.5))
    _draw_outline(painter, card.remaining(position), place, ink)
    axis = QPen(QColor(theme.narrow), 0.8)
    axis.setDashPattern([10, 3, 1.5, 3])
    painter.setPen(axis)
    painter.drawLine(QPointF(room.left(), middle.y()), QPointF(room.right(), middle.y()))
    painter.restore()


def _draw(painter: QPainter, path: QPainterPath, colour: str, pen: QPen | None) -> None:
    painter.setPen(Qt.PenStyle.NoPen if pen is None else pen)
    painter.setBrush(QColor(colour))
    painter.drawPath(path)


def _draw_outline(
    painter: QPainter,
    rings: Sequence[Ring],
    place: Callable[[float, float], QPointF],
    ink: QPen,
) -> None:
    """Draw the outline of both halves, without the line along the axis."""
    painter.setPen(ink)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for ring in rings:
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            if a.r <= 1e-6 and b.r <= 1e-6:
                continue
            for half in (1.0, -1.0):
                painter.drawLine(place(a.z, half * a.r), place(b.z, half * b.r))


def _extent(setup: SetupPlan) -> tuple[float, float, float]:
    """Return lowest z, highest z and radius of what a card shows."""
    points = [p for ring in setup.blank for p in ring]
    radius = max(p.r for p in points) * _JAW_SHARE
    front = max(p.z for p in points)
    part = min((p.z for ring in setup.part for p in ring), default=front)
    back = min(setup.jaw_face_z - setup.grip_mm / 2, part - 2.0)
    return max(back, min(p.z for p in points) - 5.0), front + 4.0, radius


def _near(setup: SetupPlan) -> list[Ring]:
    """Return jaws and centre; a chuck's body lies outside of the picture."""
    return [o.ring for o in setup.obstacles if "body" not in o.name and "plate" not in o.name]
