"""Record every shapely set operation that a call makes, and do just those again."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

__all__ = ["Recorded", "recording"]

NAMES = ("union_all", "difference", "intersection", "convex_hull")
_METHODS = ("difference", "intersection")


@dataclass
class Recorded:
    """Set operations with their inputs, in order."""

    calls: list[tuple[Callable[..., Any], tuple[Any, ...], dict[str, Any]]] = field(
        default_factory=list
    )

    def again(self) -> None:
        """Do every operation once more."""
        for function, arguments, named in self.calls:
            function(*arguments, **named)


@contextmanager
def recording() -> Iterator[Recorded]:
    """Record what is called inside: functions, wherever a module keeps one, and methods."""
    recorded = Recorded()
    undo: list[tuple[Any, str, Any]] = []
    for name in NAMES:
        original = getattr(shapely, name)
        wrapped = _wrapped(original, recorded)
        for module in _holders(original, name):
            undo.append((module, name, original))
            setattr(module, name, wrapped)
    for name in _METHODS:
        method = getattr(BaseGeometry, name)
        undo.append((BaseGeometry, name, method))
        setattr(BaseGeometry, name, _wrapped(method, recorded))
    try:
        yield recorded
    finally:
        for owner, name, original in undo:
            setattr(owner, name, original)


def _wrapped(function: Callable[..., Any], recorded: Recorded) -> Callable[..., Any]:
    def call(*arguments: Any, **named: Any) -> Any:
        recorded.calls.append((function, arguments, named))
        return function(*arguments, **named)

    return call


def _holders(function: Callable[..., Any], name: str) -> list[Any]:
    """Return shapely itself and the package's modules that imported the function by name."""
    modules = [m for key, m in sys.modules.items() if key.startswith("turnsketch.")]
    return [shapely, *(m for m in modules if getattr(m, name, None) is function)]
