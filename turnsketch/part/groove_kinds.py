"""What each kind of groove needs, and the shape that it makes with what its standard adds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from turnsketch.errors import InputError
from turnsketch.geometry.elements import Element, Point, moved
from turnsketch.part import groove_shapes as shapes
from turnsketch.part.groove_fields import WORDS, GrooveFields
from turnsketch.part.outline_records import Size
from turnsketch.part.records import AT_SHOULDER
from turnsketch.part.ring_grooves import read_ring, ring_groove
from turnsketch.part.text import Dimension, parse
from turnsketch.part.thread_reliefs import read_relief, thread_relief
from turnsketch.part.undercuts import (
    Undercut,
    UndercutForm,
    read_undercut,
    undercut_chain,
    usual_undercuts,
)
from turnsketch.units import from_mm

__all__ = ["GrooveShape", "shape_of"]

_OFF_RING_MM = 0.5
"""A ring's nominal diameter is its shaft's, but for the shaft's tolerance."""

_DEPTH_MORE_MM, _LENGTH_MORE_MM = 0.1, 0.2
"""DIN 509: t1 and f may come out so much greater."""

_PREFERRED = (0.2, 0.4, 0.6, 1.0)
"""Radii of DIN 509 that are preferred (from memory)."""

_RELIEF_SLOPE = math.radians(30.0)
"""DIN 76-1: of a relief's run-out to the thread (from memory)."""

_FLOOR_ROUNDED_MM = 0.2
"""The greatest length of a relief is its floor and this run-out, rounded, at the floor's nominal
diameter: with the length kept and the floor at its aim, the floor is so much shorter at most."""


@dataclass(frozen=True, slots=True)
class GrooveShape:
    """A groove's shape in its section's frame, and its sizes."""

    elements: Sequence[Element]
    """Drawn as outside; those at a shoulder are in place already."""
    width: Size
    diameter: Size
    corner: float
    source: str = "print"


def shape_of(f: GrooveFields) -> GrooveShape:
    """Return the shape of a groove; InputError names the field that is wrong."""
    kind = f.record.kind
    if kind in AT_SHOULDER:
        return _at_shoulder(f)
    return _ring(f) if kind == "ring" else _free(f)


def _free(f: GrooveFields) -> GrooveShape:
    """Return a plain, round-bottomed or vee groove."""
    record, top = f.record, f.host.radius
    f.forbid(("size",), f"a {WORDS[record.kind]} has no designation")
    diameter = f.size("diameter", "diameter")
    corner = f.corner()
    if record.kind == "vee":
        return _vee(f, diameter, corner)
    diameter = f.need(diameter, "diameter", f"the {WORDS[record.kind]} has no depth")
    depth = f.depth(diameter)
    if record.kind == "round":
        f.forbid(("angle", "corner"), "width and diameter give a round bottom its radius")
        front, back, width = f.walls(f.size("width", "length"))
        elements = shapes.round_bottom(front, back, top, top - depth)
        return GrooveShape(elements, width, diameter, (front - back) / 2)
    front, back, width = f.walls(f.size("width", "length"))
    angle = f.dimension("angle", "angle")
    slant = 0.0 if angle is None else angle.nominal
    elements = shapes.plain(front, back, top, top - depth, slant, corner)
    return GrooveShape(elements, width, diameter, corner)


def _vee(f: GrooveFields, diameter: Size | None, tip: float) -> GrooveShape:
    top = f.host.radius
    half = _half_angle(f)
    if not math.radians(5) <= half <= math.radians(80):
        raise InputError("a vee opens by 10 to 160 degrees", f"{f.path}.angle")
    width = f.size("width", "length")
    blunt = tip * (1.0 / math.sin(half) - 1.0)
    if diameter is not None:
        f.forbid(("width",), "angle and bottom diameter give the width")
        wide = 2 * (f.depth(diameter) + blunt) * math.tan(half)
        width = Size(wide, wide, wide, wide, "worked out")
    elif width is not None:
        depth = width.aim / 2 / math.tan(half) - blunt
        at = 2 * (top + depth) if f.host.inside else 2 * (top - depth)
        diameter = Size(at, at, at, at, "worked out")
    else:
        raise InputError(
            "a vee groove needs its width or its bottom diameter", f"{f.path}.diameter"
        )
    front, back, width = f.walls(width)
    depth = f.depth(diameter)
    elements = shapes.vee((front + back) / 2, top, top - depth, half, tip)
    return GrooveShape(elements, width, diameter, tip)


def _half_angle(f: GrooveFields) -> float:
    """Return half of a vee's angle: a bare angle is the included one."""
    text = f.record.angle
    if text is None:
        raise InputError("a vee groove needs its included angle", f"{f.path}.angle")
    try:
        included = text if "incl" in text else f"{text} incl"
        return parse(included, f.units, {"angle"}).nominal
    except InputError as error:
        raise error.within(f"{f.path}.angle") from None


def _ring(f: GrooveFields) -> GrooveShape:
    """Return a retaining ring's groove; its width is aimed at the least, m.

    A blade as wide as m makes that in one plunge, and no blade cuts less than its width.
    """
    f.forbid(("angle",), "a ring groove has upright walls")
    inside, size = f.host.inside, f.record.size
    try:
        if size is None:
            given = f.host.section.diameter
            shaft = 2 * f.host.radius if given is None else given.nominal
            sizes = ring_groove(shaft, inside=inside)
        else:
            sizes = read_ring(size, inside=inside)
    except InputError as error:
        raise error.within(f"{f.path}.size") from None
    if abs(sizes.size - 2 * f.host.radius) > _OFF_RING_MM:
        raise InputError(
            f"the ring {sizes.designation} does not belong on "
            f"Ø{from_mm(2 * f.host.radius, f.units):.4g}: mend one of them",
            f"{f.path}.size",
        )
    least = replace(sizes.width, aim=sizes.width.lower)
    diameter = f.size("diameter", "diameter") or sizes.bottom
    front, back, width = f.walls(f.size("width", "length") or least)
    top, depth = f.host.radius, f.depth(diameter)
    elements = shapes.plain(front, back, top, top - depth, 0.0, f.corner())
    return GrooveShape(elements, width, diameter, f.corner(), sizes.designation)


def _at_shoulder(f: GrooveFields) -> GrooveShape:
    """Return an undercut or a thread relief."""
    f.forbid(("angle", "corner", "width"), "the standard gives it")
    in_front = f.shoulder_in_front()
    at = (f.host.section.front if in_front else f.host.section.back).z
    if f.record.kind == "thread relief":
        return _relief(f, at, in_front)
    f.forbid(("diameter",), "the standard gives its depth")
    form: UndercutForm = "F" if f.record.kind == "undercut F" else "E"
    sizes = _undercut(f, form)
    top, inside = f.host.radius, f.host.inside
    # t1 may come out deeper by a tolerance and not shallower: the middle is aimed at.
    aimed = replace(sizes, depth=sizes.depth + _DEPTH_MORE_MM / 2)
    shape = [moved(e, Point(0.0, top)) for e in undercut_chain(aimed, form)]
    elements = shapes.turned_to(shape, at, top, shoulder_in_front=in_front, inside=inside)
    sign = 1.0 if inside else -1.0
    deep, deeper = (
        2 * (top + sign * depth) for depth in (sizes.depth, sizes.depth + _DEPTH_MORE_MM)
    )
    source = sizes.designation(form)
    limits = min(deep, deeper), max(deep, deeper)
    diameter = Size(deep, *limits, (deep + deeper) / 2, source)
    long = sizes.length
    width = Size(long, long, long + _LENGTH_MORE_MM, long, source)
    return GrooveShape(elements, width, diameter, sizes.radius, source)


def _undercut(f: GrooveFields, form: UndercutForm) -> Undercut:
    path = f"{f.path}.size"
    if f.record.size is not None:
        try:
            return read_undercut(f.record.size, form)
        except InputError as error:
            raise error.within(path) from None
    usual = usual_undercuts(2 * f.host.radius)
    if not usual:
        raise InputError(
            f"DIN 509 has no usual undercut for Ø{2 * f.host.radius:.4g}: give its size",
            path,
        )
    # Of several the standard's first row of radii is preferred.
    return next((u for u in usual if u.radius in _PREFERRED), usual[0])


def _form_and_pitch(f: GrooveFields) -> tuple[bool, Dimension | None]:
    """Return whether a relief's size asks for the short form, and the pitch; None: none stands."""
    path, text = f"{f.path}.size", f.record.size
    if text is None:
        return False, None
    try:
        short, pitch = read_relief(text, inside=f.host.inside)
        return short, parse(pitch, f.units, {"length"}) if pitch else None
    except InputError as error:
        raise error.within(path) from None


def _relief(f: GrooveFields, at: float, in_front: bool) -> GrooveShape:
    top, inside, given = f.host.radius, f.host.inside, f.host.section.diameter
    thread, (short, typed) = f.thread, _form_and_pitch(f)
    if typed is not None:
        pitch = typed.nominal
    elif thread is not None:
        pitch = thread.pitch
    else:
        raise InputError("a thread relief needs the thread's pitch as its size", f"{f.path}.size")
    # The standard counts from the thread's nominal diameter, not from the blank's.
    nominal = 2 * top if given is None else given.nominal
    try:
        sizes = thread_relief(pitch, inside=inside, short=short)
        floor = sizes.diameter(nominal if thread is None else thread.diameter)
    except InputError as error:
        raise error.within(f"{f.path}.size") from None
    diameter = f.size("diameter", "diameter") or floor
    depth = f.depth(diameter)
    floor_length = sizes.length - depth / math.tan(_RELIEF_SLOPE)
    if floor_length < sizes.floor_length - _FLOOR_ROUNDED_MM:
        floor_length = sizes.floor_length
    shape = shapes.relief(top, top - depth, floor_length, sizes.length, sizes.radius)
    elements = shapes.turned_to(shape, at, top, shoulder_in_front=in_front, inside=inside)
    source = sizes.designation
    width = Size(sizes.length, sizes.floor_length, sizes.length, sizes.length, source)
    return GrooveShape(elements, width, diameter, sizes.radius, source)
