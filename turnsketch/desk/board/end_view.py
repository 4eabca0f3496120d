"""The work as seen from its free end: shaded rings of metal around the hole, with the edges."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPolygonF

from turnsketch.desk.board.pens import AXIS, cosmetic
from turnsketch.desk.theme import mixed
from turnsketch.geometry.elements import Element, Point, chain_chords
from turnsketch.plan_records import Ring

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardState

__all__ = ["Band", "bands_of", "end_view_box", "paint_end_view"]

_STEPS = 60
"""Rings are told apart to this share of the radius."""
_CHORD_MM = 0.05
_SAME = 1e-6
_PAD = 10.0
_LEAST_PX = 36.0


@dataclass(frozen=True, slots=True)
class Band:
    """One ring of the picture: what is nearest to the eye between two radii."""

    inner: float
    outer: float
    z: float | None
    """Of the metal that one sees there; None: one looks through."""
    level: bool
    """It is square to the axis."""


@lru_cache(maxsize=4)
def bands_of(metal: tuple[Ring, ...], voids: tuple[Ring, ...] = ()) -> tuple[Band, ...]:
    """Return the rings that one sees from +z, from the axis outward.

    Parameters
    ----------
    metal : tuple of rings
        Half section, rings apart from one another or one in another (even-odd).
    voids : tuple of rings
        What is taken out of it; they may overlap.
    """
    points = [p.r for ring in metal + voids for p in ring]
    most = max(points, default=0.0)
    if most <= _SAME:
        return ()
    grid = most / _STEPS
    places = sorted({0.0, most, *(round(r / grid) * grid for r in points if r > _SAME)})
    found: list[Band] = []
    for inner, outer in pairwise(places):
        width = outer - inner
        near = [_seen(metal, voids, inner + share * width) for share in (0.25, 0.5, 0.75)]
        level = None not in near and max(map(_z, near)) - min(map(_z, near)) < 0.02 * width
        band = Band(inner, outer, near[1], level)
        last = found[-1] if found else None
        if last is not None and _same(last, band):
            found[-1] = Band(last.inner, outer, last.z, last.level)
        else:
            found.append(band)
    return tuple(found)


def _z(value: float | None) -> float:
    return 0.0 if value is None else value


def _same(a: Band, b: Band) -> bool:
    if a.z is None or b.z is None:
        return a.z is None and b.z is None
    return a.level and b.level and abs(a.z - b.z) < 1e-4


def _seen(metal: Sequence[Ring], voids: Sequence[Ring], r: float) -> float | None:
    """Return the greatest z of metal at a radius; None where there is none."""
    holes = [span for ring in voids for span in _spans((ring,), r)]
    tops = [top for low, high in _spans(metal, r) if (top := _top(low, high, holes)) is not None]
    return max(tops, default=None)


def _top(low: float, high: float, holes: Sequence[tuple[float, float]]) -> float | None:
    """Return the upper end of a stretch of metal with holes in it."""
    for bottom, top in sorted(holes, key=lambda span: -span[1]):
        if top >= high - _SAME and bottom < high:
            high = bottom
    return high if high > low + _SAME else None


def _spans(rings: Iterable[Ring], r: float) -> list[tuple[float, float]]:
    """Return the stretches of z inside rings at a radius."""
    crossings: list[float] = []
    for ring in rings:
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            if (a.r > r) != (b.r > r):
                crossings.append(a.z + (r - a.r) / (b.r - a.r) * (b.z - a.z))
    crossings.sort()
    return list(zip(crossings[::2], crossings[1::2], strict=False))


def end_view_box(board: BoardState) -> QRectF | None:
    """Return where the picture stands: beside the title block; None where it has no room.

    Only work with a hole in it is shown from its end.
    """
    setup = board.plan_item.setup() if board.plan is not None else None
    tube = setup is not None and all(p.r > _SAME for ring in setup.blank for p in ring)
    if not board.drawing.bores and not tube:
        return None
    fields, frame = board.title_fields(), board.frame()
    top, left = min(f.box.top() for f in fields), min(f.box.left() for f in fields)
    size = min(frame.bottom() - top - 2 * _PAD, left - frame.left() - 3 * _PAD)
    if size < _LEAST_PX:
        return None
    return QRectF(left - _PAD - size, frame.bottom() - _PAD - size, size, size)


def paint_end_view(painter: QPainter, board: BoardState) -> None:
    """Draw the work from its free end: what stands after the pass on show, else the part."""
    box = end_view_box(board)
    bands = _bands(board) if box is not None else ()
    if box is None or not bands:
        return
    theme, middle = board.theme, box.center()
    flat = board.drawing.blank.flat if board.drawing.blank is not None else None
    radius = bands[-1].outer
    scale = box.width() / 2 / radius
    sizes = [b.z for b in bands if b.z is not None]
    high, low = max(sizes, default=0.0), min(sizes, default=0.0)
    painter.save()
    outline = _polygon(middle, flat * scale, board) if flat is not None and flat < radius else None
    if outline is not None:
        painter.setClipPath(outline)
    for band in bands[::-1]:
        tone = theme.paper
        if band.z is not None:
            depth = (high - band.z) / (high - low) if high > low else 0.0
            share = (1.0 if band.level else 0.6) - 0.45 * depth
            tone = mixed(theme.shade_dark, theme.shade_light, share)
        painter.setBrush(QColor(tone))
        line = (theme.ink, 1.4) if band is bands[-1] or band.z is None else (theme.narrow, 0.9)
        painter.setPen(cosmetic(*line) if _edge(band, bands) else Qt.PenStyle.NoPen)
        painter.drawEllipse(middle, band.outer * scale, band.outer * scale)
    painter.setClipping(False)
    if outline is not None:
        painter.setBrush(QBrush())
        painter.setPen(cosmetic(theme.ink, 1.4))
        painter.drawPath(outline)
    painter.setPen(cosmetic(theme.narrow, 0.9, AXIS))
    reach = box.width() / 2 + 5.0
    painter.drawLine(middle - QPointF(reach, 0.0), middle + QPointF(reach, 0.0))
    painter.drawLine(middle - QPointF(0.0, reach), middle + QPointF(0.0, reach))
    painter.restore()


def _edge(band: Band, bands: Sequence[Band]) -> bool:
    """Return whether an edge of the metal stands at a band's outer radius."""
    place = bands.index(band)
    return place + 1 >= len(bands) or band.level or bands[place + 1].level or band.z is None


def _polygon(middle: QPointF, flat_px: float, board: BoardState) -> QPainterPath:
    count = 4 if board.job.blank.shape == "square" else 6
    corner = flat_px / math.cos(math.pi / count)
    turned = math.pi / count if count == 4 else 0.0
    path = QPainterPath()
    path.addPolygon(
        QPolygonF(
            [
                middle
                + QPointF(
                    corner * math.cos(2 * math.pi * n / count + turned),
                    corner * math.sin(2 * math.pi * n / count + turned),
                )
                for n in range(count)
            ]
        )
    )
    path.closeSubpath()
    return path


def _bands(board: BoardState) -> tuple[Band, ...]:
    shown = board.plan_item.standing()
    if shown is not None:
        return bands_of(tuple(tuple(ring) for ring in shown))
    drawing = board.drawing
    if not drawing.elements:
        return ()
    metal = _ring([e.shape for e in drawing.elements])
    return bands_of((metal,), tuple(_ring([e.shape for e in b.void]) for b in drawing.bores))


def _ring(shapes: Sequence[Element]) -> tuple[Point, ...]:
    return tuple(chain_chords(list(shapes), _CHORD_MM))
