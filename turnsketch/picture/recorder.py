"""A painter that only remembers, for tests and for measuring."""

from __future__ import annotations

from dataclasses import dataclass, field

from turnsketch.picture.display_list import (
    Arrow,
    DisplayList,
    Fill,
    Item,
    Label,
    Spot,
    Stroke,
    paint,
)

__all__ = ["Recorder", "record"]


@dataclass
class Recorder:
    """Remembers what it is given, with the order."""

    calls: list[tuple[str, Item]] = field(default_factory=list)

    def stroke(self, item: Stroke) -> None:
        """Remember a polyline."""
        self.calls.append(("stroke", item))

    def fill(self, item: Fill) -> None:
        """Remember an area."""
        self.calls.append(("fill", item))

    def label(self, item: Label) -> None:
        """Remember a text."""
        self.calls.append(("label", item))

    def arrow(self, item: Arrow) -> None:
        """Remember an arrow."""
        self.calls.append(("arrow", item))

    def spot(self, item: Spot) -> None:
        """Remember a disc."""
        self.calls.append(("spot", item))

    def of_role(self, kind: str, role: str) -> list[Item]:
        """Return what was drawn by one call in one role."""
        return [item for name, item in self.calls if name == kind and item.role == role]


def record(picture: DisplayList) -> Recorder:
    """Return a recorder that has seen `picture`."""
    recorder = Recorder()
    paint(picture.items, recorder)
    return recorder
