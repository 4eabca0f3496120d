"""From a job to its plan, and from a plan to its paper."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.plan_records import Plan
from turnsketch.shop.records import Shop

if TYPE_CHECKING:
    from turnsketch.sheet.pdf import Paper
    from turnsketch.sheet.records import SheetInput

__all__ = ["plan", "sheet_input", "write_sheet"]


def plan(job: Job, shop: Shop | None = None) -> Plan:
    """Return the plan of `job` with the tools and machines of `shop`.

    Parameters
    ----------
    job : Job
        From `load`, or made in Python; it goes through the door here.
    shop : Shop, optional
        The built-in shop when omitted.

    Raises
    ------
    InputError
        When no plan can be made. What can be planned but should not be cut carries findings.
    """
    from turnsketch.document.validate import checked
    from turnsketch.pipeline import plan as planned

    return planned(checked(job), shop)


def write_sheet(
    plan: Plan, path: str | os.PathLike[str], paper: Paper = "A4", *, gauge: bool = False
) -> None:
    """Write the pass sheet of `plan` as PDF; the file is replaced in one step.

    With `gauge` a page with the profile in true size stands last, if the part has arcs or tapers.

    Raises
    ------
    InputError
        When the file cannot be written, or the plan does not say what it was made from.
    """
    from turnsketch.document.files import write_bytes
    from turnsketch.sheet.pdf import sheet_bytes

    write_bytes(sheet_bytes(sheet_input(plan), paper, gauge=gauge), Path(path))


def sheet_input(plan: Plan) -> SheetInput:
    """Return all that the sheet of `plan` is made from.

    Raises
    ------
    InputError
        When the plan does not say what it was made from.
    """
    from turnsketch.pipeline.request import planned_part
    from turnsketch.pipeline.shop_records import chuck_of, lathe_of, material_of
    from turnsketch.sheet.records import SheetInput

    source = plan.source
    if source is None:
        raise InputError("this plan does not say what it was made from; plan its job again")
    return SheetInput(
        plan=plan,
        part=planned_part(source.job),
        job=source.job,
        lathe=lathe_of(source.job, source.shop),
        chuck=chuck_of(source.job, source.shop),
        tools=source.shop.tools,
        material=material_of(source.job, source.shop),
    )
