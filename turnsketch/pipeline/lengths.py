"""Lengths as they are written into a job: rounded to what a person sets, in the job's units."""

from __future__ import annotations

import math

from turnsketch.job import Job
from turnsketch.units import from_mm, to_mm

__all__ = ["length_of", "rounded_down", "rounded_up", "said"]

_SAME_MM = 1e-6


def length_of(value_mm: float, job: Job) -> str:
    """Return a length as dimension text in the job's units."""
    places = 3 if job.units == "mm" else 4
    text = f"{from_mm(value_mm, job.units):.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def said(value_mm: float, job: Job) -> str:
    """Return a length with its unit, for a sentence."""
    return f"{length_of(value_mm, job)} {'in' if job.units == 'inch' else 'mm'}"


def rounded_down(value_mm: float, job: Job) -> float:
    """Return a length down to half a millimetre, or 1/32 inch; millimetres."""
    return math.floor(value_mm / _unit(job) + _SAME_MM) * _unit(job)


def rounded_up(value_mm: float, job: Job) -> float:
    """Return a length up to half a millimetre, or 1/32 inch; millimetres."""
    return math.ceil(value_mm / _unit(job) - _SAME_MM) * _unit(job)


def _unit(job: Job) -> float:
    """Return what lengths are rounded to: half a millimetre, or 1/32 inch."""
    return 0.5 if job.units == "mm" else to_mm(1 / 32, "inch")
