"""Findings about parting off."""

from __future__ import annotations

from collections.abc import Iterator

from turnsketch.findings.view import PlanView, finding
from turnsketch.plan_records import Finding

__all__ = ["blade_too_short", "centre_engaged", "not_parted"]


def blade_too_short(view: PlanView) -> Iterator[Finding]:
    """The blade's reach ends before the axis."""
    for made in view.passes("part off"):
        tool = view.tool(made.tool)
        if made.depth > tool.reach_mm + 1e-6:
            yield finding(
                "blade-too-short",
                "stop",
                f"parting goes {view.text(made.depth)} deep; T{tool.number} reaches "
                f"{view.text(tool.reach_mm)}",
                "take a longer blade, or saw the part off",
                pass_number=made.number,
            )


def centre_engaged(view: PlanView) -> Iterator[Finding]:
    """Parting with the tailstock centre in: the part is caught and thrown."""
    if not view.job.setups[0].holding.centre:
        return
    for made in view.passes("part off"):
        yield finding(
            "parting-on-centre",
            "stop",
            "the part is parted off while the centre holds it: it jams and is thrown",
            "draw the centre back before, or leave a neck and saw it through",
            pass_number=made.number,
        )


def not_parted(view: PlanView) -> Iterator[Finding]:
    """A parting operation that does not free the part."""
    for setup, replayed in zip(view.plan.setups, view.exact.setups, strict=True):
        asked = any(o.kind == "part off" and o.first_pass for o in setup.operations)
        if asked and not replayed.parted:
            yield finding(
                "not-parted",
                "stop",
                "after parting off the part still hangs on the bar",
                "look at the blade's reach and at the length of the blank",
                setup=setup.number,
            )
