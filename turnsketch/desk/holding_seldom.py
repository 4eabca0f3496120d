"""What is seldom asked of blank and holding: shape of the bar, soft jaws, inside grip, steady."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

import msgspec
from PySide6.QtWidgets import QCheckBox, QGridLayout, QHBoxLayout, QWidget

from turnsketch.desk.dimension_text import length_text
from turnsketch.desk.fields import ChoiceField, TextField
from turnsketch.desk.panel import label
from turnsketch.desk.session import Session
from turnsketch.desk.text import tr
from turnsketch.document.setups import change_holding
from turnsketch.errors import InputError
from turnsketch.job import Blank
from turnsketch.part.text import Kind, parse

__all__ = ["HoldingSeldom"]

_SHAPES: Final = ("round", "hexagon", "square", "tube")
_BORE_SHARE: Final = 0.5
"""Bore of a tube before it is typed, in outer diameters."""


class HoldingSeldom(QWidget):
    """Two lines under blank and holding; each choice is one step."""

    def __init__(self, session: Session, tell: Callable[[str], None]) -> None:
        super().__init__()
        self._session = session
        self.shape = ChoiceField(tr("Shape of the blank"))
        self.shape.setToolTip(tr("hexagon and square: the size is across flats"))
        self.bore = TextField(tr("Inner diameter of the tube"), self._set_bore, tell)
        self.soft = QCheckBox(tr("soft jaws"))
        self.inside = QCheckBox(tr("in its bore"))
        self.inside.setToolTip(tr("the jaws open inside the work's bore"))
        self.steady = TextField(tr("Steady rest behind the front face"), self._set_steady, tell)
        self.steady.setPlaceholderText(tr("none"))
        self._bore_name = label(tr("bore Ø"), "faint")
        self._lay_out()
        self.shape.chosen.connect(self._set_shape)
        self.soft.clicked.connect(lambda on: self._held(tr("Soft jaws"), soft_jaws=on))
        self.inside.clicked.connect(lambda on: self._held(tr("Held in its bore"), inside=on))

    @property
    def fields(self) -> tuple[QWidget, ...]:
        """Everything that takes the keyboard, in order."""
        return (self.shape, self.bore, self.soft, self.inside, self.steady)

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(3)
        rows: tuple[tuple[str, tuple[QWidget, ...]], ...] = (
            (tr("Shape"), (self.shape, self._bore_name, self.bore)),
            (tr("Jaws"), (self.soft, self.inside, label(tr("steady"), "faint"), self.steady)),
        )
        for row, (words, boxes) in enumerate(rows):
            name = label(words, "faint")
            name.setBuddy(boxes[0])
            grid.addWidget(name, row, 0)
            line = QHBoxLayout()
            line.setSpacing(6)
            for box in boxes:
                line.addWidget(box, 1 if box in (self.shape, self.bore, self.steady) else 0)
            grid.addLayout(line, row, 1)
        grid.setColumnStretch(1, 1)

    def show_setup(self, index: int) -> None:
        """Show the job's blank, and the holding of one setup."""
        blank, holding = self._session.job.blank, self._session.job.setups[index].holding
        shapes = [*_SHAPES, *([blank.shape] if blank.shape not in _SHAPES else [])]
        self.shape.show_choice([(s, tr(s)) for s in shapes], blank.shape)
        self.bore.show_text(blank.bore or "")
        for widget in (self.bore, self._bore_name):
            widget.setVisible(blank.shape == "tube")
        self.soft.setChecked(holding.soft_jaws)
        self.inside.setChecked(holding.inside)
        for box in (self.soft, self.inside):
            box.setEnabled(holding.kind == "chuck")
        self.steady.show_text(holding.steady or "")

    def _set_shape(self, shape: str) -> None:
        blank, units = self._session.job.blank, self._session.job.units
        bore = None
        if shape == "tube":
            half = _BORE_SHARE * parse(blank.diameter, units, {"diameter"}).nominal
            bore = length_text(round(half, 2), units)
        self._blank(msgspec.structs.replace(blank, shape=shape, bore=bore, steps=()), tr("Shape"))

    def _set_bore(self, text: str) -> None:
        self._check(text, "diameter")
        self._blank(msgspec.structs.replace(self._session.job.blank, bore=text), tr("Tube"))

    def _set_steady(self, text: str) -> None:
        if text:
            self._check(text, "length")
        self._held(tr("Steady rest"), steady=text or None)

    def _check(self, text: str, kind: Kind) -> None:
        if parse(text, self._session.job.units, {kind}).nominal <= 0:
            raise InputError(tr("give a size above 0"))

    def _blank(self, blank: Blank, name: str) -> None:
        self._session.edit(msgspec.structs.replace(self._session.job, blank=blank), name)

    def _held(self, name: str, **changes: Any) -> None:
        index = min(self._session.setup, len(self._session.job.setups) - 1)
        self._session.edit(change_holding(self._session.job, index, **changes), name)
