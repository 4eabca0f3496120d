"""A bush with a bore in the demo shop, as planning sees it."""

from __future__ import annotations

from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, PartRecord, Section
from turnsketch.pipeline.request import context_of
from turnsketch.planning.context import Context, State
from turnsketch.planning.fold import change_point
from turnsketch.shop.files import demo_shop

__all__ = ["bored", "bush_job", "section", "start_of"]


def section(diameter: str, length: str | None = None, **more: str) -> Section:
    """Return a cylinder."""
    return Section("cylinder", diameter=diameter, length=length, **more)  # type: ignore[arg-type]


def bush_job(*sections: Section, through: bool = True, **more: object) -> Job:
    """Return a bush of mild steel, Ø44 and 40 long, with a bore in front."""
    bore = Bore(sections, through=through, **more)  # type: ignore[arg-type]
    part = PartRecord("bush", (section("44", "40"),), material="mild steel", bore=bore)
    setups = (Setup(Holding("Three-jaw 160", grip="25")),)
    return Job(part, Blank("50", "80"), "Slipway 1", setups)


def bored(*sections: Section, through: bool = True, **more: object) -> Context:
    """Return the context of `bush_job`."""
    return context_of(bush_job(*sections, through=through, **more), demo_shop())


def start_of(ctx: Context) -> State:
    """Return the raw blank with the tool where it is changed."""
    return State(ctx.held.region, change_point(ctx), None)
