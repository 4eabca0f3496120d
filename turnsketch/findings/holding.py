"""Findings about blank and holding."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding

__all__ = [
    "blank_too_short",
    "blank_too_small",
    "grip_too_short",
    "jaws_in_the_cut",
    "stick_out",
    "swing",
]


def blank_too_small(view: PlanView) -> Iterator[Finding]:
    """The bar is thinner than the part."""
    missing = view.part.greatest_diameter - view.blank_diameter
    if missing > 1e-6:
        yield finding(
            "blank-too-small",
            "stop",
            f"the part needs Ø{view.text(view.part.greatest_diameter)}, "
            f"the blank has Ø{view.text(view.blank_diameter)}",
            f"take a bar at least {view.text(missing)} thicker",
        )


def blank_too_short(view: PlanView) -> Iterator[Finding]:
    """The blank ends before the part and its parting cut do."""
    setup = view.setup
    back = min(point.z for point in setup.blank[0])
    needed = setup.raw_front_z - view.part.total_length
    end = min((m.to.z for p in view.passes("part off") for m in p.moves), default=needed)
    lowest = min(needed - _zero_shift(view), end)
    if back > lowest + 1e-6:
        yield finding(
            "blank-too-short",
            "stop",
            f"the blank is {view.text(back - lowest)} too short for the part and its parting cut",
            f"cut it at least {view.text(back - lowest + setup.grip_mm)} longer",
            z=back,
        )


def _zero_shift(view: PlanView) -> float:
    """Return how far the raw face stands in front of the finished one."""
    setup = view.setup
    front = max(point.z for ring in setup.part for point in ring)
    return setup.raw_front_z - front


def stick_out(view: PlanView) -> Iterator[Finding]:
    """Stick-out over diameter, free or on a centre (common practice)."""
    limits, setup = view.shop.limits, view.setup
    ratio = setup.stick_out_mm / view.blank_diameter
    centre = view.job.setups[0].holding.centre
    limit = limits.centre_ratio if centre else limits.unsupported_ratio
    if ratio <= limit + 1e-9:
        return
    how = "on a centre" if centre else "without support"
    more = setup.stick_out_mm - limit * view.blank_diameter
    remedy = (
        "add a steady rest, or turn it in two lengths"
        if centre
        else f"support the end with a centre, or grip {view.text(more)} more"
    )
    yield finding(
        "stick-out",
        "caution",
        f"the blank stands out {ratio:.1f} times its diameter {how}; "
        f"over {limit:g} it chatters and springs (common practice)",
        remedy,
        z=setup.raw_front_z,
    )


def grip_too_short(view: PlanView) -> Iterator[Finding]:
    """The jaws hold less than the shop file asks for."""
    grip, least = view.setup.grip_mm, view.chuck.least_grip_mm
    if grip < least - 1e-9:
        yield finding(
            "grip-short",
            "stop",
            f"{view.chuck.name} grips {view.text(grip)}; this shop asks for {view.text(least)}",
            f"let the blank reach {view.text(least - grip)} further into the jaws",
            z=view.setup.jaw_face_z,
        )


def jaws_in_the_cut(view: PlanView) -> Iterator[Finding]:
    """Part, or a cut, reaches the jaws or comes nearer than the line that is never passed."""
    setup = view.setup
    back = min(point.z for ring in setup.part for point in ring)
    if back < setup.jaw_face_z - 1e-6:
        yield finding(
            "jaws-in-the-cut",
            "stop",
            f"the part reaches {view.text(setup.jaw_face_z - back)} into the jaws",
            "use a longer blank, or grip less of it",
            z=back,
        )
        return
    nearest = min(
        ((m.to.z, p.number) for p in setup.passes for m in p.moves if m.kind == "cut"),
        default=None,
    )
    if nearest is not None and nearest[0] < setup.never_beyond_z - 1e-6:
        yield finding(
            "near-the-jaws",
            "caution",
            f"a cut ends {view.text(nearest[0] - setup.jaw_face_z)} in front of the jaws",
            "let the blank stick out a little further, and set the carriage stop",
            pass_number=nearest[1],
            z=nearest[0],
        )


def swing(view: PlanView) -> Iterator[Finding]:
    """The blank does not turn over the bed."""
    if view.blank_diameter > view.lathe.swing_mm:
        yield finding(
            "swing",
            "stop",
            f"{view.lathe.name} swings Ø{view.lathe.swing_mm:g} mm, "
            f"the blank has Ø{view.blank_diameter:.1f} mm",
            "choose a larger lathe",
        )
