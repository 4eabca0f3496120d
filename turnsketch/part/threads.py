"""Threads by their designation: pitch, limits, blank and hand.

ISO metric threads after ISO 68-1, 261, 724 and 965-1 (`threads_metric`), Unified threads after
ASME B1.1 (`threads_unified`). Millimetres; diameters stay diameters.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final, Literal

from turnsketch.errors import InputError
from turnsketch.part._thread_text import Designation, read_designation
from turnsketch.part.outline_records import Size
from turnsketch.part.thread_form import (
    ThreadLimits,
    basic_minor,
    basic_pitch_diameter,
    root_diameter,
)
from turnsketch.part.thread_record import Thread, WireCheck, thread_speed_rpm, wire_check
from turnsketch.part.threads_metric import (
    MetricClass,
    coarse_pitch,
    fine_pitches,
    metric_class,
    metric_limits,
    usual_class,
)
from turnsketch.part.threads_unified import Series, series_of, standard_tpi, unified_limits
from turnsketch.units import INCH_MM

__all__ = ["Thread", "WireCheck", "read_thread", "thread_speed_rpm", "wire_check"]

_DEEPEST: Final = 0.5
"""The root is at least this share of the diameter; a coarser pitch leaves no core."""
_LARGEST_IN: Final = 6


def read_thread(text: str, *, inside: bool | None = None) -> Thread:
    """Return the thread that a designation means.

    Parameters
    ----------
    text : str
        ``M12``, ``M12x1.75-6g``, ``M12x1.5 LH``, ``1/2-13 UNC-2A``, ``#10-32 UNF LH``. Without a
        class the usual one holds: 6g and 6H (to M1.4 6h and 5H), 2A and 2B.
    inside : bool, optional
        Where the thread stands; None: as its class says, outside without one.

    Raises
    ------
    InputError
        It is no thread, a size or pitch that no standard has without saying it in full, or a
        class of the other side.
    """
    designation = read_designation(text)
    if designation.system == "metric":
        return _metric(designation, inside)
    return _unified(designation, inside)


def _side(designation: Designation, stated: bool, inside: bool | None) -> bool:
    """Return whether the thread is inside, when its class says `stated`."""
    if inside is not None and inside != stated:
        outside, bore = ("6g", "6H") if designation.system == "metric" else ("2A", "2B")
        want = bore if inside else outside
        sides = ("an outside", "a bore's") if inside else ("an inside", "an outside")
        raise InputError(
            f"{designation.tolerance} is {sides[0]} class, and this is {sides[1]} thread: "
            f"write {want}"
        )
    return stated


def _metric(designation: Designation, inside: bool | None) -> Thread:
    diameter = float(designation.size)
    pitch, series = _metric_pitch(designation, diameter)
    if designation.tolerance is None:
        side = bool(inside)
        name = usual_class(diameter, inside=side)
        tolerance: MetricClass = metric_class(name)
    else:
        name = designation.tolerance
        tolerance = metric_class(name)
        side = _side(designation, tolerance.inside, inside)
    _check_core(designation, diameter, pitch)
    limits = metric_limits(diameter, pitch, tolerance)
    return _thread(
        designation,
        f"M{designation.name}x{pitch:g}",
        standard="ISO 965-1",
        series=series,
        tolerance=name,
        inside=side,
        diameter=diameter,
        pitch=pitch,
        limits=limits,
        note="" if series != "special" else _no_pitch_note(designation, diameter, pitch),
    )


def _no_pitch_note(designation: Designation, diameter: float, pitch: float) -> str:
    pitches = [coarse_pitch(diameter), *fine_pitches(diameter)]
    has = ", ".join(f"{known:g}" for known in pitches if known is not None)
    usual = f" (it has {has})" if has else ""
    return f"ISO 261 has no pitch {pitch:g} for M{designation.name}{usual}"


def _metric_pitch(designation: Designation, diameter: float) -> tuple[float, str]:
    coarse = coarse_pitch(diameter)
    if designation.rate is None:
        if coarse is None:
            fine = ", ".join(f"{pitch:g}" for pitch in fine_pitches(diameter))
            rest = f" (ISO 261 has {fine})" if fine else ""
            raise InputError(
                f"M{designation.name} has no coarse pitch: write it, "
                f'such as "M{designation.name}x1"{rest}'
            )
        return coarse, "coarse"
    pitch = float(designation.rate)
    if coarse == pitch:
        return pitch, "coarse"
    return pitch, "fine" if pitch in fine_pitches(diameter) else "special"


def _unified(designation: Designation, inside: bool | None) -> Thread:
    tpi, series = _unified_pitch(designation)
    if designation.tolerance is None:
        side = bool(inside)
        name = "2B" if side else "2A"
    else:
        name = designation.tolerance
        side = _side(designation, name.endswith("B"), inside)
    diameter, pitch = float(designation.size) * INCH_MM, INCH_MM / float(tpi)
    _check_core(designation, diameter, pitch)
    limits = unified_limits(designation.size, tpi, series, name)
    return _thread(
        designation,
        f"{designation.name}-{tpi.normalize():f} {series}",
        standard="ASME B1.1",
        series=series,
        tolerance=name,
        inside=side,
        diameter=diameter,
        pitch=pitch,
        tpi=float(tpi),
        limits=limits,
        note="" if series != "UNS" else "not a pitch of the standard series (UNS)",
    )


def _unified_pitch(designation: Designation) -> tuple[Decimal, Series]:
    size, stated = designation.size, designation.series
    if designation.rate is None:
        tpi = standard_tpi(size, stated or "")
        if tpi is None:
            raise InputError(
                f"{designation.name} has no pitch in {stated}: write the threads an inch, "
                f'such as "{designation.name}-20 UN"'
            )
        return tpi, series_of(size, tpi)
    tpi = designation.rate
    found = series_of(size, tpi)
    if stated in ("UNC", "UNF", "UNEF") and stated != found:
        usual = standard_tpi(size, stated)
        has = f"{usual.normalize():f} threads an inch" if usual else "no pitch"
        raise InputError(
            f"{designation.name} {stated} has {has}, not {tpi.normalize():f}: "
            f"mend the pitch, or write {found}"
        )
    # UN and UNS on a print stay, but the tolerance of a pitch that is UNC there is UNC's.
    return tpi, found


def _thread(
    designation: Designation,
    words: str,
    *,
    standard: Literal["ISO 965-1", "ASME B1.1"],
    series: str,
    tolerance: str,
    inside: bool,
    diameter: float,
    pitch: float,
    limits: ThreadLimits,
    note: str,
    tpi: float | None = None,
) -> Thread:
    """Return the record; `words` are those of its designation in front of the class."""
    source = f"{tolerance} ({standard})"
    major, middle, minor = _sizes(diameter, pitch, limits, source, inside=inside)
    return Thread(
        text=f"{words}-{tolerance}{' LH' if designation.left_hand else ''}",
        standard=standard,
        series=series,
        tolerance=tolerance,
        inside=inside,
        left_hand=designation.left_hand,
        diameter=diameter,
        pitch=pitch,
        tpi=tpi,
        major=major,
        pitch_diameter=middle,
        minor=minor,
        note=note,
    )


def _check_core(designation: Designation, diameter: float, pitch: float) -> None:
    if designation.system == "unified" and designation.size > _LARGEST_IN:
        raise InputError(f'ASME B1.1 runs to 6 in, not {designation.name}: write it in mm, "M..."')
    if root_diameter(diameter, pitch) < _DEEPEST * diameter:
        raise InputError(
            f"the pitch is too coarse for the diameter {designation.name}: "
            "the thread would be deeper than the core is thick"
        )


def _sizes(
    diameter: float, pitch: float, limits: ThreadLimits, source: str, *, inside: bool
) -> tuple[Size, Size, Size]:
    """Return major, pitch and minor diameter, each aimed at the middle of its limits."""
    basic = (
        diameter,
        basic_pitch_diameter(diameter, pitch),
        basic_minor(diameter, pitch) if inside else root_diameter(diameter, pitch),
    )
    major, middle, minor = (
        Size(nominal, pair.lower, pair.upper, pair.middle, source)
        for nominal, pair in zip(basic, limits, strict=True)
    )
    return major, middle, minor
