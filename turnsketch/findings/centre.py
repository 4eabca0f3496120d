"""Findings about centre holes, the tailstock centre and its quill."""

from __future__ import annotations

import math
from collections.abc import Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.part.centre_holes import CentreHole, centre_hole, centre_hole_sizes, usual_size
from turnsketch.plan_records import Finding, Pass
from turnsketch.planning.centre import rim_radius

__all__ = [
    "centre_too_small",
    "centre_without_hole",
    "hole_in_raw_face",
    "hole_missing",
    "hole_not_allowed",
    "hole_not_said",
    "quill_too_short",
    "work_too_long",
]

_TAN_30 = math.tan(math.radians(30))


def _drilled(view: PlanView) -> Pass | None:
    return next((p for p in view.passes("centre hole")), None)


def _hole(view: PlanView) -> CentreHole | None:
    """Return the hole that this setup drills."""
    made = _drilled(view)
    return None if made is None else centre_hole(view.tool(made.tool).centre_size_mm)


def _in_part(view: PlanView, made: Pass) -> bool:
    """Return whether a hole stays in the finished part: it is no start for a bore's drill."""
    hole, bore = _hole(view), view.part.bore
    if hole is not None and bore is not None:
        rim = bore.aim.elements[0].shape.end.r
        if hole.countersink / 2 <= rim + 1e-6 and hole.depth <= bore.depth + 1e-6:
            return False
    return min(m.to.z for m in made.moves) < view.zero - 1e-6


def hole_not_allowed(view: PlanView) -> Iterator[Finding]:
    """The print allows no centre hole, and the one that is drilled stays in the part."""
    made, hole = _drilled(view), _hole(view)
    if view.job.part.centre_hole != "not allowed" or made is None or hole is None:
        return
    if not _in_part(view, made):
        return
    front = view.setup.raw_front_z - view.zero
    more = f"cut the blank {view.text(hole.cutoff - front)} longer and let it"
    yield finding(
        "centre-hole-not-allowed",
        "stop",
        f"the print allows no centre hole, and pass {made.number} leaves one in the front face; "
        f"a hole A {hole.pilot:g} wants {view.text(hole.cutoff)} more length, to be cut off",
        f"{more if hole.cutoff > front + 1e-6 else 'let the blank'} stand "
        f"{view.text(hole.cutoff)} in front of the finished face; face it off in another setup",
        pass_number=made.number,
        z=view.zero,
    )


def hole_not_said(view: PlanView) -> Iterator[Finding]:
    """A centre hole stays in the part, and the job does not say whether the print allows it."""
    made, hole = _drilled(view), _hole(view)
    if view.job.part.centre_hole is not None or made is None or hole is None:
        return
    if _in_part(view, made):
        yield finding(
            "centre-hole-not-said",
            "caution",
            f"pass {made.number} leaves a centre hole A {hole.pilot:g}/{hole.countersink:g} in the "
            "front face; the job does not say whether the print allows one",
            "ask, and put it into the job; where none may stay, the blank has to be "
            f"{view.text(hole.cutoff)} longer",
            pass_number=made.number,
            z=view.zero,
        )


def hole_missing(view: PlanView) -> Iterator[Finding]:
    """The print asks for a centre hole, and no setup makes one."""
    if view.job.part.centre_hole != "required" or not view.last:
        return
    drilled = any(p.operation == "centre hole" for s in view.plan.setups for p in s.passes)
    if drilled or any(s.holding.centred_blank for s in view.job.setups):
        return
    yield finding(
        "centre-hole-missing",
        "caution",
        "the print asks for a centre hole in the front face, and nothing makes it",
        "add the operation centre hole after facing, with a centre drill of the shop file",
        z=view.zero,
    )


def centre_without_hole(view: PlanView) -> Iterator[Finding]:
    """The centre is to hold an end that has no centre hole."""
    centre = view.setup.centre
    if centre is None or centre.designation:
        return
    usual, room = usual_size(view.blank_diameter), rim_radius(view.part)
    sizes = [s for s in centre_hole_sizes() if centre_hole(s).countersink / 2 <= room + 1e-6]
    fitting = [s for s in sizes if s <= usual + 1e-6]
    thin = f"the front face is too thin for A {min(centre_hole_sizes()):g}"
    told = f"A {max(fitting):g} fits the front face" if fitting else thin
    if usual in fitting:
        told = f"A {usual:g} is usual for Ø{view.text(view.blank_diameter)}"
    between = centre.between_centres_mm is not None
    yield finding(
        "centre-without-hole",
        "stop",
        f"the tailstock centre is to hold the work, and its end has no centre hole ({told})",
        "say in the job that the blank comes with both its holes"
        if between
        else "face the end and add the operation centre hole, or say that the blank comes centred"
        if fitting
        else "leave the length that carries the hole in front of the face, and face it off at last",
        z=centre.face_z,
    )


def centre_too_small(view: PlanView) -> Iterator[Finding]:
    """The centre's point is no thicker than the hole's rim: its body would run on the face."""
    centre, point = view.setup.centre, view.lathe.centre.point_diameter_mm
    if centre is None or not centre.rim_diameter_mm or point > centre.rim_diameter_mm + 1e-9:
        return
    yield finding(
        "centre-point-small",
        "stop",
        f"the centre's point of Ø{view.text(point)} does not fill the hole, whose rim has "
        f"Ø{view.text(centre.rim_diameter_mm)}: what stands behind the point runs on the face",
        "take a thicker centre, or a smaller hole",
        z=centre.face_z,
    )


def hole_in_raw_face(view: PlanView) -> Iterator[Finding]:
    """A centre hole drilled into a face that was not faced: the drill runs out of the middle."""
    made = _drilled(view)
    faced = any(p.number < (made.number if made else 0) for p in view.passes("face"))
    if made is None or faced or view.index > 0:
        return
    yield finding(
        "centre-hole-raw-face",
        "caution",
        f"pass {made.number} drills the centre hole into a face that was not faced before: the "
        "drill runs off the middle and breaks",
        "face the end first",
        pass_number=made.number,
    )


def _behind_the_face(view: PlanView) -> float:
    """Return how far the centre stands out of its quill's nose in front of the end face."""
    centre, work = view.lathe.centre, view.setup.centre
    rim = work.rim_diameter_mm if work else 0.0
    cone = max(0.0, (centre.point_diameter_mm - rim) / 2 / _TAN_30)
    return cone + centre.nose_length_mm + centre.body_length_mm


def quill_too_short(view: PlanView) -> Iterator[Finding]:
    """The quill does not reach: the carriage keeps the tailstock's body away from the work."""
    centre, work = view.lathe.centre, view.setup.centre
    if work is None or centre.carriage_room_mm <= 0:
        return
    needed = centre.carriage_room_mm - _behind_the_face(view)
    if needed > centre.quill_reach_mm + 1e-6:
        yield finding(
            "quill-reach",
            "stop",
            f"the quill has to come out {view.text(needed)} past the carriage that cuts at the "
            f"end of the work; {view.lathe.name}'s reaches {view.text(centre.quill_reach_mm)}",
            "take a longer centre, or turn the end before the centre is put in",
            z=work.face_z,
        )


def work_too_long(view: PlanView) -> Iterator[Finding]:
    """Chuck, work and centre together are longer than the lathe between its centres."""
    work = view.setup.centre
    if work is None:
        return
    lathe, chuck = view.lathe, view.chuck
    if work.between_centres_mm is not None:
        length, what = work.between_centres_mm, "the work"
    else:
        length = view.setup.stick_out_mm + chuck.jaw_length_mm + chuck.body_length_mm
        what = "chuck and work"
    if length > lathe.between_centres_mm + 1e-6:
        yield finding(
            "work-too-long",
            "stop",
            f"{what} are {view.text(length)} long; {lathe.name} has "
            f"{view.text(lathe.between_centres_mm)} between centres",
            "choose a longer lathe, or a shorter blank",
            z=work.face_z,
        )
