"""A plan on the board: what comes off, what remains, the tool at its place, its way."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QTransform
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from turnsketch.desk.board.drawing import JAW_SHARE, Drawing
from turnsketch.desk.board.pens import (
    BLANK,
    POSITION,
    add_element,
    cosmetic,
    path_of_rings,
    scene_point,
)
from turnsketch.desk.board.plan_path import way_of
from turnsketch.desk.board.shading import fill_turned
from turnsketch.desk.board.work_item import SEE_THROUGH
from turnsketch.desk.theme import LIGHT, Theme, mixed
from turnsketch.geometry.elements import Point
from turnsketch.picture.display_list import Box
from turnsketch.picture.shapes import clipped
from turnsketch.picture.silhouette import silhouette
from turnsketch.plan_records import Obstacle, Pass, Plan, Ring, SetupPlan

if TYPE_CHECKING:
    from turnsketch.picture.layers import Layer

__all__ = ["PlanItem", "base_of", "step_of"]

_FAR = 1e5


def step_of(plan: Plan, number: int | None, setup: int = 1) -> tuple[SetupPlan, Pass] | None:
    """Return a setup by its number and its pass with that number; None when there is none."""
    for planned in plan.setups:
        for step in planned.passes if planned.number == setup else ():
            if step.number == number:
                return planned, step
    return None


def base_of(plan: Plan | None, drawing: Drawing) -> float:
    """Return what brings the first setup's z to its finished face."""
    if plan is None or not plan.setups or drawing.blank is None:
        return 0.0
    return drawing.blank.raw - plan.setups[0].raw_front_z


class PlanItem(QGraphicsItem):
    """Paints one pass of a plan, its setup's frame brought into the part's."""

    def __init__(self) -> None:
        super().__init__()
        self.theme: Theme = LIGHT
        self.share = 1.0
        """How much of the pass's cutting way is done: 1 the tool stands at its end."""
        self.base = 0.0
        """Added to the first setup's z to come to its finished face."""
        self.turned_length: float | None = None
        """Length of a part whose back end is made first; None: that finished face is its front."""
        self.print_below: Callable[[], bool] = bool
        """As in `WorkItem`."""
        self._plan: Plan | None = None
        self._number: int | None = None
        self._setup = 0
        self._layers: list[list[tuple[int, QPainterPath]]] = []
        self._blanks: list[QPainterPath] = []
        self._remaining: list[dict[int, Sequence[Ring]]] = []
        self._seen: tuple[Sequence[Ring], QPainterPath] | None = None
        """What one sees of the body below the axis, kept while the same is on show."""

    @property
    def showing(self) -> bool:
        """Whether there is a plan."""
        return self._plan is not None

    def show_plan(
        self,
        plan: Plan | None,
        number: int | None,
        layers: Sequence[Sequence[Layer]] = (),
        setup: int = 1,
    ) -> None:
        """Take another plan, another of its setups (by number), or another pass of it."""
        if plan is not self._plan or (layers and not self._layers):
            self._remaining = [
                {layer.pass_number: layer.remaining for layer in cuts} for cuts in layers
            ]
            self._layers = [
                [(layer.pass_number, path_of_rings(layer.removed)) for layer in cuts]
                for cuts in layers
            ]
            self._blanks = [path_of_rings(s.blank) for s in plan.setups] if plan else []
        self._plan, self._number = plan, number
        known = len(plan.setups) if plan is not None else 0
        self._setup = min(max(setup, 1), max(known, 1)) - 1
        self.update()

    def current(self) -> tuple[SetupPlan, Pass] | None:
        """Return the pass on show."""
        if self._plan is None:
            return None
        return step_of(self._plan, self._number, self._setup + 1)

    def setup(self) -> SetupPlan | None:
        """Return the setup on show; None without a plan."""
        known = self._plan is not None and self._setup < len(self._plan.setups)
        return self._plan.setups[self._setup] if known and self._plan is not None else None

    @property
    def later(self) -> bool:
        """Whether a setup is on show that begins with what another one left."""
        return self._setup > 0 and self.setup() is not None

    def part_z(self, z: float) -> float:
        """Return a z of the setup on show in the part's frame."""
        setup = self.setup()
        if setup is None:
            return z
        along = self.base + setup.frame.z0 + (-z if setup.frame.mirrored else z)
        return along if self.turned_length is None else -self.turned_length - along

    def setup_z(self, z: float) -> float:
        """Return a z of the part's frame as the setup on show counts it."""
        setup = self.setup()
        if setup is None:
            return z
        if self.turned_length is not None:
            z = -self.turned_length - z
        along = z - self.base - setup.frame.z0
        return -along if setup.frame.mirrored else along

    def standing(self) -> Sequence[Ring] | None:
        """Return what stands after the pass on show, setup frame; None without a plan on show."""
        setup = self.setup() if self.isVisible() else None
        if setup is None:
            return None
        known = self._remaining[self._setup] if self._setup < len(self._remaining) else {}
        return known.get(self._number or -1, setup.blank)

    def tool_place(self) -> Point | None:
        """Return where the tool's reference point stands, part frame."""
        found = self.current()
        if found is None:
            return None
        at = way_of(found[1]).place(self.share)
        return Point(self.part_z(at.z), at.r)

    def tool_rings(self) -> list[Ring]:
        """Return the shapes of tool and holder where they stand, part frame."""
        found = self.current()
        if found is None:
            return []
        at = way_of(found[1]).place(self.share)
        tool = next((t for t in found[0].tools if t.number == found[1].tool), None)
        return [
            tuple(Point(self.part_z(at.z + p.z), at.r + p.r) for p in piece.ring)
            for piece in (tool.pieces if tool is not None else ())
        ]

    def boundingRect(self) -> QRectF:  # noqa: N802 - Qt's name
        """Return all of the scene; holders are long and pens have no size in it."""
        return QRectF(-_FAR, -_FAR, 2 * _FAR, 2 * _FAR)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Draw from back to front: what remains below, layers above, holding, way, tool."""
        setup = self.setup()
        if setup is None:
            return
        painter.save()
        painter.translate(self.part_z(0.0), 0.0)
        mirrored = setup.frame.mirrored != (self.turned_length is not None)
        painter.scale(-1.0 if mirrored else 1.0, 1.0)
        painter.setOpacity(SEE_THROUGH if self.print_below() else 1.0)
        self._paint_remaining(painter)
        self._paint_layers(painter)
        painter.setOpacity(1.0)
        found = self.current()
        for obstacle in setup.obstacles:
            self._paint_obstacle(painter, obstacle)
        if found is not None:
            self._paint_way(painter, found[1])
            self._paint_tool(painter, *found)
        painter.restore()

    def _paint_remaining(self, painter: QPainter) -> None:
        """Draw what stands after the pass as a turned body below the axis."""
        blank = self._blanks[self._setup]
        setup = self.setup()
        assert setup is not None
        rings = self.standing() or setup.blank
        if self._seen is None or self._seen[0] is not rings:
            seen = path_of_rings(silhouette(rings))
            self._seen = rings, QTransform.fromScale(1.0, -1.0).map(seen)
        mirrored = self._seen[1]
        bar = rings is setup.blank and not self.later and len({p.r for r in rings for p in r}) <= 2
        fill_turned(painter, mirrored, self.theme, plain=bar)
        painter.setBrush(QBrush())
        painter.setPen(cosmetic(self.theme.narrow, 1.2))
        painter.drawPath(mirrored)
        if self.later:
            painter.setPen(cosmetic(self.theme.narrow, 1.2, BLANK))
            painter.drawPath(blank)
            outside = path_of_rings(silhouette(setup.blank))
            painter.drawPath(QTransform.fromScale(1.0, -1.0).map(outside))

    def _paint_layers(self, painter: QPainter) -> None:
        """Tint what is still to come by its order; the one being taken has a firm edge."""
        if self._setup >= len(self._layers):
            return
        layers, theme = self._layers[self._setup], self.theme
        count = max(len(layers) - 1, 1)
        for index, (number, path) in enumerate(layers):
            if self._number is not None and number < self._number:
                continue
            tint = QColor(mixed(theme.layer_light, theme.layer_dark, index / count))
            painter.setBrush(tint)
            painter.setPen(cosmetic(theme.layer_dark, 0.8))
            painter.drawPath(path)
            if number == self._number:
                painter.setBrush(QBrush(QColor(theme.chosen), Qt.BrushStyle.BDiagPattern))
                painter.setPen(cosmetic(theme.chosen, 1.6))
                painter.save()
                painter.setOpacity(0.55)
                painter.drawPath(path)
                painter.restore()

    def _paint_obstacle(self, painter: QPainter, obstacle: Obstacle) -> None:
        if obstacle.from_pass is not None and (self._number or 0) < obstacle.from_pass:
            return
        ring = self._cut_off(obstacle)
        if not ring:
            return
        path = path_of_rings([ring])
        painter.setPen(cosmetic(self.theme.ink, 1.6))
        painter.setBrush(QColor(self.theme.desk))
        for shown in (path, QTransform.fromScale(1.0, -1.0).map(path)):
            painter.drawPath(shown)

    def _cut_off(self, obstacle: Obstacle) -> Ring:
        """Cut jaws and chuck off at a share of the blank's radius: the work is what matters."""
        setup, ring = self.setup(), obstacle.ring
        if setup is None:
            return ring
        if max(p.z for p in ring) > setup.jaw_face_z + 1e-6:
            return ring
        radius = max((p.r for blank in setup.blank for p in blank), default=0.0)
        low = min(p.z for blank in setup.blank for p in blank)
        box = Box(Point(low, -_FAR), Point(_FAR, (1.0 + JAW_SHARE) * radius))
        return clipped(ring, box)

    def _paint_way(self, painter: QPainter, step: Pass) -> None:
        """Draw cuts with a firm line, positioning dashed."""
        painter.setBrush(QBrush())
        for piece, cuts in way_of(step).pieces:
            path = QPainterPath()
            add_element(path, piece, start=True)
            pen = (
                cosmetic(self.theme.chosen, 2.4)
                if cuts
                else (cosmetic(self.theme.chosen, 1.4, POSITION))
            )
            painter.setPen(pen)
            painter.drawPath(path)

    def _paint_tool(self, painter: QPainter, setup: SetupPlan, step: Pass) -> None:
        tool = next((t for t in setup.tools if t.number == step.tool), None)
        if tool is None:
            return
        at = scene_point(way_of(step).place(self.share))
        painter.save()
        painter.translate(at)
        for piece in sorted(tool.pieces, key=lambda p: p.cuts):
            painter.setPen(cosmetic(self.theme.ink, 1.6))
            painter.setBrush(QColor(self.theme.tool if piece.cuts else self.theme.desk))
            painter.drawPath(path_of_rings([piece.ring]))
        painter.restore()
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(self.theme.chosen))
        scale = abs(painter.worldTransform().m11()) or 1.0
        painter.drawEllipse(QPointF(at), 3.0 / scale, 3.0 / scale)
