"""A thread as one record, its check by three wires and the speed that a hand can follow.

`turnsketch.part.threads` makes it from a designation. Millimetres; diameters stay diameters.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from turnsketch.errors import InputError
from turnsketch.part.outline_records import Size
from turnsketch.part.thread_form import (
    best_wire,
    full_depth_diameter,
    lead_angle,
    over_wires,
    sharp_height,
    wire_range,
)

__all__ = ["Thread", "WireCheck", "thread_speed_rpm", "wire_check"]

_WIRE_DUST: Final = 5e-4
_REACTION_S: Final = 1.0
"""Time to stop a thread at its end by hand, from seeing to standing (common practice)."""


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread on a cylinder or in a bore. Millimetres, diameters."""

    text: str
    """Its designation in full: "M12x1.75-6g", "1/2-13 UNC-2A LH"."""
    standard: Literal["ISO 965-1", "ASME B1.1"]
    series: str
    """"coarse", "fine" or "special" (ISO 261); "UNC", "UNF", "UNEF", "UN" or "UNS"."""
    tolerance: str
    """Class: "6g", "6H", "2A"."""
    inside: bool
    left_hand: bool
    diameter: float
    """Nominal (basic major) diameter."""
    pitch: float
    """Also the lead: threads of one start."""
    tpi: float | None
    """Threads an inch; None for a metric thread."""
    major: Size
    """Outside: the blank before threading. Inside: from the nominal diameter up; the upper limit
    is a reference (root flat of P/24), no demand."""
    pitch_diameter: Size
    minor: Size
    """Inside: the bore before threading. Outside: the root; its upper limit must not be passed
    (a nut's crest is there), the lower one goes with the smallest root radius."""
    note: str = ""
    """What the reader should know: a pitch that no standard has, for instance."""

    @property
    def blank(self) -> Size:
        """What is turned or bored before threading, aimed at the middle of its limits."""
        return self.minor if self.inside else self.major

    @property
    def lead_angle(self) -> float:
        """Angle of the helix at the aimed pitch diameter, radians."""
        return lead_angle(self.pitch_diameter.aim, self.pitch)

    @property
    def least_tip_radius(self) -> float:
        """Root radius that the standard asks of strong outside threads.

        P/8 (ISO 965-1), H/8 (ASME B1.1, UNR). A sharper tip cuts a thread that fits, but notches
        it. Inside: 0.
        """
        if self.inside:
            return 0.0
        metric = self.standard == "ISO 965-1"
        return self.pitch / 8 if metric else sharp_height(self.pitch) / 8

    @property
    def greatest_tip_radius(self) -> float:
        """Largest tip radius that leaves the flanks straight as far as the mate's crest reaches.

        The round of the tip touches the flanks 1.5 rho from the sharp corner. At basic sizes
        that is H/6 outside and H/12 inside (ISO 68-1).
        """
        height = sharp_height(self.pitch)
        if self.inside:
            corner = self.pitch_diameter.aim + height
            return max(0.0, (corner - self.major.lower) / 3)
        corner = self.pitch_diameter.aim - height
        return max(0.0, (self.minor.upper - corner) / 3)

    def full_depth(self, tip_radius: float, pitch_diameter: float | None = None) -> float:
        """Return the diameter X at which the tool's tip stands at full depth.

        Parameters
        ----------
        tip_radius : float
            Of the tool, mm.
        pitch_diameter : float, optional
            None: the aimed one.
        """
        aimed = self.pitch_diameter.aim if pitch_diameter is None else pitch_diameter
        return full_depth_diameter(aimed, self.pitch, tip_radius, inside=self.inside)


@dataclass(frozen=True, slots=True)
class WireCheck:
    """The check of an outside thread by three wires. Millimetres."""

    wire: float
    best: float
    """Best wire, P / (2 cos 30 deg)."""
    lower: float
    """Reading over the wires at the lower limit of the pitch diameter."""
    upper: float
    aim: float
    usable: bool
    """Whether the wire lies between 0.56 P and 0.90 P."""


def wire_check(thread: Thread, wire: float | None = None) -> WireCheck:
    """Return the readings over three wires for the limits of an outside thread.

    Parameters
    ----------
    thread : Thread
        An outside thread.
    wire : float, optional
        Diameter of the wires, mm; None: the best ones.

    Raises
    ------
    InputError
        The thread is inside, or the wire is not greater than zero.
    """
    if thread.inside:
        raise InputError(
            f"{thread.text} is in a bore, where wires do not go: check it with a plug gauge"
        )
    best = best_wire(thread.pitch)
    used = best if wire is None else wire
    if not used > 0:
        raise InputError("a wire's diameter is greater than zero: write it in mm, such as 1.01")
    size = thread.pitch_diameter
    least, most = wire_range(thread.pitch)
    return WireCheck(
        wire=used,
        best=best,
        lower=over_wires(size.lower, thread.pitch, used),
        upper=over_wires(size.upper, thread.pitch, used),
        aim=over_wires(size.aim, thread.pitch, used),
        # Wires are sold and typed with three or four decimals.
        usable=least - _WIRE_DUST <= used <= most + _WIRE_DUST,
    )


def thread_speed_rpm(free_run: float, lead: float, reaction_s: float = _REACTION_S) -> float:
    """Return the highest speed that a hand can follow: n <= 60 x free run / (lead x reaction).

    Parameters
    ----------
    free_run : float
        Room behind the thread in which the tool may still run, mm.
    lead : float
        Advance in one turn, mm.
    reaction_s : float
        Time from seeing to standing, s.
    """
    return 60 * free_run / (lead * reaction_s)
