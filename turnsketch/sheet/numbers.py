"""Numbers as they stand on the sheet: the readout's own decimals, a true minus sign."""

from __future__ import annotations

import math
from dataclasses import dataclass

from turnsketch.shop.records import Readout
from turnsketch.units import Units, from_mm

__all__ = ["MINUS", "Numbers", "decimals_of"]

MINUS = "−"


def decimals_of(step: float) -> int:
    """Return how many decimals a display with this smallest step shows (0.005: 3)."""
    for decimals in range(7):
        if math.isclose(step * 10**decimals, round(step * 10**decimals), abs_tol=1e-9):
            return decimals
    return 6


def _text(value: float, decimals: int) -> str:
    """Fixed decimals, no negative zero, true minus."""
    text = f"{value:.{decimals}f}"
    if float(text) == 0.0:
        text = text.lstrip("-")
    return text.replace("-", MINUS)


@dataclass(frozen=True, slots=True)
class Numbers:
    """Writes numbers in the units of a job, on the readout of a lathe."""

    units: Units
    x_decimals: int
    z_decimals: int
    x_step: float
    """Smallest step of the X display, display units, on diameter."""

    @classmethod
    def of(cls, units: Units, readout: Readout) -> Numbers:
        """Return the writer for one readout."""
        mm = units == "mm"
        x_step = readout.x_step_mm if mm else readout.x_step_inch
        z_step = readout.z_step_mm if mm else readout.z_step_inch
        least = 2 if mm else 3
        return cls(units, max(least, decimals_of(x_step)), max(least, decimals_of(z_step)), x_step)

    @property
    def unit(self) -> str:
        """The unit as it is written: "mm" or "in", without a point."""
        return "mm" if self.units == "mm" else "in"

    def x(self, reading: float) -> str:
        """Return an X reading (a diameter, display units) with every decimal of the display."""
        return _text(reading, self.x_decimals)

    def z(self, reading: float) -> str:
        """Return a Z reading (display units) with every decimal of the display."""
        return _text(reading, self.z_decimals)

    def _easy(self, value: float, decimals: int) -> str:
        """Return a place in air: short when it is an easy figure, else every decimal."""
        short = 1 if self.units == "mm" else 2
        if math.isclose(value, round(value, short), abs_tol=0.5 * 10**-decimals):
            text = _text(round(value, short), short)
            return text.rstrip("0").rstrip(".") if "." in text else text
        return _text(value, decimals)

    def x_place(self, reading: float) -> str:
        """Return "X 28"; a place that nothing depends on is short."""
        text = self._easy(reading, self.x_decimals)
        return f"X {text}"

    def z_place(self, reading: float) -> str:
        """Return "Z+2", "Z 0", "Z−57.800"."""
        text = self._easy(reading, self.z_decimals)
        if text.startswith(MINUS):
            return f"Z{text}"
        return "Z 0" if text == "0" else f"Z+{text}"

    def signed(self, mm: float) -> str:
        """Return a place on Z given in millimetres: "+1", "0", "−74"."""
        return self.z_place(from_mm(mm, self.units))[1:].strip()

    def near(self, mm: float) -> str:
        """Return about where something is on Z, given in millimetres, to 0.1 mm or 0.01 in."""
        decimals = 1 if self.units == "mm" else 2
        return self.z_place(round(from_mm(mm, self.units), decimals))[1:].strip()

    def short_of(self, mm: float, way: float) -> str:
        """Return a limit on Z as `near` does, never beyond it.

        Parameters
        ----------
        mm : float
            Z that must not be passed, millimetres.
        way : float
            Sign of the motion toward it: -1 toward the chuck.
        """
        return self.z_place(self.before(from_mm(mm, self.units), way))[1:].strip()

    def before(self, value: float, way: float) -> float:
        """Return the last tenth of a millimetre or hundredth of an inch that is not beyond a place.

        Nobody stops or throws a lever at a third decimal.

        Parameters
        ----------
        value : float
            Reading of the place, in the sheet's units.
        way : float
            Sign of the motion toward it.
        """
        step = 0.1 if self.units == "mm" else 0.01
        return round(way * math.floor(way * value / step + 1e-6) * step, 6)

    def length(self, mm: float) -> str:
        """Return a length given in millimetres, short when it is an easy figure, no unit."""
        return self._easy(from_mm(mm, self.units), 2 if self.units == "mm" else 3)

    def fine(self, mm: float) -> str:
        """Return a size that is measured, given in millimetres: 3 decimals, inch 4."""
        return _text(from_mm(mm, self.units), 3 if self.units == "mm" else 4)

    def diameter(self, mm: float) -> str:
        """Return a diameter given in millimetres with the decimals of the X display."""
        return _text(from_mm(mm, self.units), self.x_decimals)

    def feed(self, mm_per_rev: float) -> str:
        """Return a feed per revolution: 0.15, inch 0.0059."""
        return _text(from_mm(mm_per_rev, self.units), 2 if self.units == "mm" else 4)

    def depth(self, mm: float) -> str:
        """Return a depth of cut: 1.25, or 0.205 when the third decimal counts; inch 0.050."""
        if self.units == "inch":
            inches = from_mm(mm, "inch")
            return _text(inches, 3 if inches >= 0.01 else 4)
        return _text(mm, 2 if math.isclose(mm, round(mm, 2), abs_tol=4e-4) else 3)

    def spare(self, value: float) -> str:
        """Return a small difference in display units: 0.01 steps, or 0.003 when it is finer."""
        decimals = self.x_decimals
        whole = math.isclose(value, round(value, decimals), abs_tol=1e-6)
        return _text(value, decimals if whole else decimals + 1)

    def angle(self, radians: float) -> str:
        """Return an angle in degrees: "15°", "17.354°"."""
        text = _text(math.degrees(radians), 3).rstrip("0").rstrip(".")
        return f"{text}°"
