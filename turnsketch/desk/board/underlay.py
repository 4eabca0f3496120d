"""A scanned or photographed print under the drawing: referenced, scaled, faded."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QImageReader, QPixmap, QTransform
from PySide6.QtWidgets import QGraphicsPixmapItem

from turnsketch.errors import InputError

__all__ = ["UnderlayItem"]


class UnderlayItem(QGraphicsPixmapItem):
    """A picture in the scene; one pixel of it is `mm_per_pixel` millimetres."""

    def __init__(self) -> None:
        super().__init__()
        self.path: Path | None = None
        self.mm_per_pixel = 0.2
        self.setZValue(-10)
        self.setTransformationMode(Qt.TransformationMode.SmoothTransformation)
        self.setOpacity(0.45)

    def show_file(
        self, path: str | Path | None, mm_per_pixel: float, front: QPointF, opacity: float
    ) -> None:
        """Show a file at a scale; None takes the picture away. Errors as in `load`."""
        if path is None:
            self.clear()
            return
        if self.path != Path(path):
            self.load(Path(path))
        self.place(mm_per_pixel, front)
        self.setOpacity(opacity)

    def load(self, path: Path) -> None:
        """Show a PNG or JPEG file.

        Raises
        ------
        InputError
            The file is no picture that can be read.
        """
        reader = QImageReader(str(path))
        reader.setAutoTransform(True)
        image = reader.read()
        if image.isNull():
            raise InputError(
                f"the picture cannot be read ({reader.errorString()}); give a PNG or JPEG file",
                str(path),
            )
        self.path = path
        self.setPixmap(QPixmap.fromImage(image))

    def lay(self, path: Path, room: QRectF) -> None:
        """Show a file in the middle of `room` (scene), as large as it goes there.

        Errors as in `load`.
        """
        self.load(path)
        size = self.pixmap().size()
        scale = min(room.width() / size.width(), room.height() / size.height())
        middle = room.center() / scale
        self.place(scale, QPointF(size.width() / 2, size.height() / 2) - middle)

    def move_by(self, by: QPointF) -> None:
        """Move the picture by a distance in the scene."""
        self.setTransform(self.transform() * QTransform.fromTranslate(by.x(), by.y()))

    def place(self, mm_per_pixel: float, front: QPointF) -> None:
        """Set the scale, and which pixel of the picture lies on the axis at the front face."""
        self.mm_per_pixel = mm_per_pixel
        turn = QTransform()
        turn.scale(mm_per_pixel, mm_per_pixel)
        turn.translate(-front.x(), -front.y())
        self.setTransform(turn)

    def scale_by(self, seen_mm: float, true_mm: float, about: QPointF) -> None:
        """Change the scale so that what measures `seen_mm` becomes `true_mm`.

        The scene point `about` stays where it is.
        """
        if seen_mm <= 0 or true_mm <= 0:
            raise InputError("click two different places and give the length between them")
        factor = true_mm / seen_mm
        change = QTransform.fromTranslate(about.x(), about.y())
        change.scale(factor, factor)
        change.translate(-about.x(), -about.y())
        self.setTransform(self.transform() * change)
        self.mm_per_pixel *= factor

    @property
    def shown(self) -> bool:
        """Whether there is a picture to be seen."""
        return self.path is not None and self.opacity() > 0.0

    def clear(self) -> None:
        """Take the picture away."""
        self.path = None
        self.setPixmap(QPixmap())
