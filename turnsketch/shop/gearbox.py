"""Which threads a lathe's gearbox cuts, and whether the half-nuts may be opened between passes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from turnsketch.shop.records import Lathe, ThreadDial
from turnsketch.units import INCH_MM

__all__ = ["HalfNuts", "ThreadGearing", "thread_gearing"]

HalfNuts = Literal["any place", "by the dial", "stay closed"]

_SAME: Final = 1e-6
"""Relative difference of two pitches that are the same."""
_WHOLE: Final = 1e-6


@dataclass(frozen=True, slots=True)
class ThreadGearing:
    """How a lathe cuts one pitch."""

    pitch: float
    """Asked for, mm."""
    setting: str | None
    """What the gearbox is set to, "1.75 mm" or "13 threads an inch"; None: it can't cut it."""
    half_nuts: HalfNuts
    """stay closed: after each pass withdraw the tool, reverse the spindle to the start."""
    marks: str
    """Of the thread dial where the half-nuts close by it, "1 or 3"; else empty."""
    nearest: str
    """The setting nearest to the pitch; empty when the lathe cuts no threads."""
    nearest_pitch: float | None
    """Its pitch, mm."""

    @property
    def possible(self) -> bool:
        """Whether the gearbox cuts this pitch."""
        return self.setting is not None


def thread_gearing(lathe: Lathe, pitch: float) -> ThreadGearing:
    """Return how the lathe cuts a thread of that lead.

    The half-nuts may be closed at any place when the leadscrew's pitch is a whole multiple of
    the thread's; otherwise at the marks that the dial's plate gives for it; otherwise they stay
    closed, because the tool would not find its groove again.

    Parameters
    ----------
    lathe : Lathe
        Its leadscrew, gearbox and dial.
    pitch : float
        Lead of the thread, mm.
    """
    settings = _settings(lathe)
    nearest = min(settings, key=lambda setting: abs(setting[0] - pitch), default=None)
    found = nearest is not None and _same(nearest[0], pitch)
    marks = _marks(lathe.thread_dial, pitch) if found else ""
    half_nuts: HalfNuts = "stay closed"
    if found and _is_multiple(lathe.leadscrew_pitch_mm, pitch):
        half_nuts, marks = "any place", ""
    elif marks:
        half_nuts = "by the dial"
    return ThreadGearing(
        pitch=pitch,
        setting=nearest[1] if nearest is not None and found else None,
        half_nuts=half_nuts,
        marks=marks,
        nearest=nearest[1] if nearest is not None else "",
        nearest_pitch=nearest[0] if nearest is not None else None,
    )


def _same(one: float, other: float) -> bool:
    return abs(one - other) <= _SAME * other


def _is_multiple(leadscrew: float, pitch: float) -> bool:
    ratio = leadscrew / pitch
    return ratio > 0.5 and abs(ratio - round(ratio)) < _WHOLE * ratio


def _settings(lathe: Lathe) -> list[tuple[float, str]]:
    """Return pitch in mm and name of every setting, the metric ones first."""
    metric = [(pitch, f"{pitch:g} mm") for pitch in lathe.thread_pitches_mm]
    inch = [(INCH_MM / tpi, f"{tpi:g} threads an inch") for tpi in lathe.threads_per_inch]
    return metric + inch


def _pitches(line: ThreadDial) -> Iterable[float]:
    yield from line.pitches_mm
    yield from (INCH_MM / tpi for tpi in line.threads_per_inch)


def _marks(dial: Iterable[ThreadDial], pitch: float) -> str:
    for line in dial:
        if any(_same(known, pitch) for known in _pitches(line)):
            return line.marks
    return ""
