"""From the part to the pixels of the board and back."""

from __future__ import annotations

from dataclasses import dataclass

from turnsketch.geometry.elements import Point

__all__ = ["Lens"]


@dataclass(frozen=True, slots=True)
class Lens:
    """How the board shows the part just now. Pixels: x to the right, y down."""

    scale: float
    """Pixels for one millimetre."""
    x0: float
    """Where z = 0 is."""
    y0: float
    """Where the axis is."""
    turned: bool = False
    """r runs down: as one stands at the lathe."""

    @property
    def up(self) -> float:
        """Sign of y for growing r: -1 as on a drawing, +1 as at the lathe."""
        return 1.0 if self.turned else -1.0

    def x(self, z: float) -> float:
        """Return the pixel of a place along the axis."""
        return self.x0 + z * self.scale

    def y(self, r: float) -> float:
        """Return the pixel of a radius (negative: beyond the axis)."""
        return self.y0 + self.up * r * self.scale

    def point(self, x: float, y: float) -> Point:
        """Return the place of the part under a pixel."""
        return Point((x - self.x0) / self.scale, self.up * (y - self.y0) / self.scale)

    def mm(self, pixels: float) -> float:
        """Return how many millimetres a number of pixels are."""
        return pixels / self.scale
