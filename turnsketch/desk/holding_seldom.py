"""What is seldom asked of blank and holding, folded away: shape, soft jaws, steady, turning."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

import msgspec
from PySide6.QtWidgets import QCheckBox, QGridLayout, QHBoxLayout, QWidget

from turnsketch.desk.blank_steps import steps_text, with_steps
from turnsketch.desk.dimension_text import length_text
from turnsketch.desk.fields import ChoiceField, TextField
from turnsketch.desk.fold import Fold
from turnsketch.desk.panel import label
from turnsketch.desk.session import Session
from turnsketch.desk.text import tr
from turnsketch.document.setups import change_holding, change_setup, grips_mm
from turnsketch.errors import InputError
from turnsketch.job import Blank, BlankStep
from turnsketch.part.text import Kind, parse

__all__ = ["HoldingSeldom"]

_SHAPES: Final = ("round", "hexagon", "square", "tube", "steps")
_BORE_SHARE: Final = 0.5
"""Bore of a tube before it is typed, in outer diameters."""


class HoldingSeldom(Fold):
    """Lines under blank and holding; each choice is one step."""

    def __init__(self, session: Session, tell: Callable[[str], None]) -> None:
        self._session = session
        self.shape = ChoiceField(tr("Shape of the blank"))
        self.shape.setToolTip(tr("hexagon and square: the size is across flats"))
        self.bore = TextField(tr("Inner diameter of the tube"), self._set_bore, tell)
        self.soft = QCheckBox(tr("soft jaws"))
        self.inside = QCheckBox(tr("in its bore"))
        self.inside.setToolTip(tr("the jaws open inside the work's bore"))
        self.steady = TextField(tr("Steady rest behind the front face"), self._set_steady, tell)
        self.steady.setPlaceholderText(tr("none"))
        self.steps = TextField(tr("Steps of the blank"), self._set_steps, tell)
        self.steps.setToolTip(
            tr('from the front back, diameter x length and a hole: "40x12; 28x30 bore 10"')
        )
        self.turned = QCheckBox(tr("part turned around: its back end is in front"))
        self._bore_name = label(tr("bore Ø"), "faint")
        self._steps_name = label(tr("Steps"), "faint")
        super().__init__(tr("More of the holding"), self._laid_out(), tr("less of the holding"))
        self.turned.clicked.connect(self._set_turned)
        self.shape.chosen.connect(self._set_shape)
        self.soft.clicked.connect(lambda on: self._held(tr("Soft jaws"), soft_jaws=on))
        self.inside.clicked.connect(lambda on: self._held(tr("Held in its bore"), inside=on))

    @property
    def fields(self) -> tuple[QWidget, ...]:
        """Everything that takes the keyboard, in order."""
        shape = (self.button, self.shape, self.bore, self.steps)
        return (*shape, self.soft, self.inside, self.steady, self.turned)

    def _laid_out(self) -> QWidget:
        inside = QWidget()
        grid = QGridLayout(inside)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(3)
        rows: tuple[tuple[str, tuple[QWidget, ...]], ...] = (
            (tr("Shape"), (self.shape, self._bore_name, self.bore)),
            ("", (self.steps,)),
            (tr("Jaws"), (self.soft, self.inside, label(tr("steady"), "faint"), self.steady)),
            (tr("Setup"), (self.turned,)),
        )
        for row, (words, boxes) in enumerate(rows):
            name = label(words, "faint") if self.steps not in boxes else self._steps_name
            name.setBuddy(boxes[0])
            grid.addWidget(name, row, 0)
            line = QHBoxLayout()
            line.setSpacing(6)
            for box in boxes:
                line.addWidget(box, 1 if box in (self.shape, self.bore, self.steady) else 0)
            grid.addLayout(line, row, 1)
        grid.setColumnStretch(1, 1)
        return inside

    def show_setup(self, index: int) -> None:
        """Show the job's blank, and the holding of one setup."""
        blank, holding = self._session.job.blank, self._session.job.setups[index].holding
        self.shape.show_choice(_shapes(), blank.shape)
        self.bore.show_text(blank.bore or "")
        for widget in (self.bore, self._bore_name):
            widget.setVisible(blank.shape == "tube")
        self.soft.setChecked(holding.soft_jaws)
        self.inside.setChecked(holding.inside)
        for box in (self.soft, self.inside):
            box.setEnabled(holding.kind == "chuck")
        self.steady.show_text(holding.steady or "")
        self.steps.show_text(steps_text(blank.steps))
        for widget in (self.steps, self._steps_name):
            widget.setVisible(blank.shape == "steps")
        self.turned.setChecked(self._session.job.setups[index].turned)
        self._summarise(index)

    def _summarise(self, index: int) -> None:
        """Say in one line what is not as usual."""
        job = self._session.job
        setup, shapes = job.setups[index], dict(_shapes())
        said = (
            shapes[job.blank.shape] if job.blank.shape != "round" else "",
            tr("soft jaws") if setup.holding.soft_jaws else "",
            tr("in its bore") if setup.holding.inside else "",
            tr("steady at {place}", place=setup.holding.steady) if setup.holding.steady else "",
            tr("turned around") if setup.turned else "",
        )
        self.summarise(" · ".join(words for words in said if words))

    def _set_shape(self, shape: str) -> None:
        blank, units = self._session.job.blank, self._session.job.units
        bore: str | None = None
        steps: tuple[BlankStep, ...] = ()
        if shape == "tube":
            half = _BORE_SHARE * parse(blank.diameter, units, {"diameter"}).nominal
            bore = length_text(round(half, 2), units)
        elif shape == "steps":  # one step is the bar that it was
            steps = (BlankStep(blank.diameter, blank.length),)
        made = msgspec.structs.replace(blank, shape=shape, bore=bore, steps=steps)
        self._blank(made, tr("Shape"))

    def _set_steps(self, text: str) -> None:
        job = self._session.job
        self._blank(with_steps(job.blank, text, job.units), tr("Steps of the blank"))

    def _set_turned(self, on: bool) -> None:
        job, index = self._session.job, self._index
        made = change_setup(job, index, turned=on, pull_out=None)
        holding = made.setups[index].holding
        if holding.grip is None:  # a grip that followed from the setup before is told
            grip = grips_mm(job)[index]
            if grip is not None:
                made = change_holding(made, index, grip=length_text(grip, job.units))
        self._session.edit(made, tr("Part turned around"))

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
        job = change_holding(self._session.job, self._index, **changes)
        self._session.edit(job, name)

    @property
    def _index(self) -> int:
        """Index of the setup on show."""
        return min(self._session.setup, len(self._session.job.setups) - 1)


def _shapes() -> tuple[tuple[str, str], ...]:
    words = (tr("round"), tr("hexagon"), tr("square"), tr("tube"), tr("cast or turned, in steps"))
    return tuple(zip(_SHAPES, words, strict=True))
