"""Plan a turned part for a hand-moved lathe with a digital readout.

The names below are all that other programs should use. They are looked up when first used
(PEP 562), so that importing the package costs next to nothing:

>>> import turnsketch
>>> plan = turnsketch.plan(turnsketch.load("pin.job.json"))  # doctest: +SKIP
>>> turnsketch.write_sheet(plan, "pin.pdf")  # doctest: +SKIP
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__all__ = ["load", "plan", "plot", "replay", "save", "write_sheet"]

if TYPE_CHECKING:
    from turnsketch.checking.replay import replay
    from turnsketch.document.files import load, save
    from turnsketch.document.sheets import plan, write_sheet
    from turnsketch.picture.paint_matplotlib import plot

_HOMES = {
    "load": "turnsketch.document.files",
    "plan": "turnsketch.document.sheets",
    "plot": "turnsketch.picture.paint_matplotlib",
    "replay": "turnsketch.checking.replay",
    "save": "turnsketch.document.files",
    "write_sheet": "turnsketch.document.sheets",
}


def __getattr__(name: str) -> Any:
    """Return a public name, importing its module now."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    """Return the public names beside those of every module."""
    return sorted({*globals(), *__all__})
