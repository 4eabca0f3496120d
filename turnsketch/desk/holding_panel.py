"""The panel "Blank and holding": bar, length, device, grip, lathe, and what is suggested."""

from __future__ import annotations

from itertools import pairwise
from typing import Any, Final

import msgspec
from PySide6.QtWidgets import QCheckBox, QGridLayout, QHBoxLayout, QPushButton, QWidget

from turnsketch.desk.background import Answer
from turnsketch.desk.dimension_text import length_text
from turnsketch.desk.fields import ChoiceField, TextField
from turnsketch.desk.panel import Panel, Said, label
from turnsketch.desk.session import Session
from turnsketch.desk.suggestions import part_size, suggested
from turnsketch.desk.text import tr
from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.part.text import Kind, parse

__all__ = ["HoldingPanel"]

_ZERO_ALLOWED: Final = frozenset({"front"})
_BLANK_CODES: Final = frozenset(
    {
        "blank-too-short",
        "blank-too-small",
        "grip-long",
        "grip-short",
        "jaws-in-the-cut",
        "near-the-jaws",
    }
)
"""Findings that the suggested blank does away with."""


class HoldingPanel(Panel):
    """What the part is made from, and how it is held."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(tr("Blank and holding"), parent)
        self._session = session
        self._setup = 0
        self.diameter = self._field("diameter", tr("Bar Ø"), "diameter")
        self.length = self._field("length", tr("Length of the blank"), "length")
        self.front = self._field("front", tr("In front of the finished face"), "length")
        self.skin = ChoiceField(tr("Skin of the bar"))
        self.device = ChoiceField(tr("Held in"))
        self.grip = TextField(tr("Grip"), self._set_grip, self._tell)
        self.centre = QCheckBox(tr("on the tailstock centre"))
        self.lathe = ChoiceField(tr("Lathe"))
        self.take = QPushButton()
        self.said = Said()
        self._lay_out()
        self._connect()
        self.show_job()

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(3)
        rows: tuple[tuple[str, tuple[QWidget, ...]], ...] = (
            (tr("Bar Ø"), (self.diameter, self.skin)),
            (tr("Length"), (self.length, label(tr("in front"), "faint"), self.front)),
            (tr("Held"), (self.device, label(tr("grip"), "faint"), self.grip)),
            ("", (self.centre,)),
            (tr("Lathe"), (self.lathe,)),
        )
        for row, (words, boxes) in enumerate(rows):
            name = label(words, "faint")
            name.setBuddy(boxes[0])
            grid.addWidget(name, row, 0)
            line = QHBoxLayout()
            line.setSpacing(6)
            for box in boxes:
                line.addWidget(box, 3 if box is self.device else 1 if box.objectName() == "" else 0)
            grid.addLayout(line, row, 1)
        grid.setColumnStretch(1, 1)
        self.body.addLayout(grid)
        self.body.addWidget(self.said)
        self.body.addWidget(self.take)
        self.body.addStretch(1)
        chain: list[QWidget] = [self.diameter, self.skin, self.length, self.front, self.device]
        chain += [self.grip, self.centre, self.lathe, self.take]
        for before, after in pairwise(chain):
            QWidget.setTabOrder(before, after)

    def _connect(self) -> None:
        session = self._session
        session.job_changed.connect(lambda _: self.show_job())
        session.planned.connect(self._show_plan)
        session.position_changed.connect(lambda _: self._follow_setup())
        self.skin.chosen.connect(lambda text: self._set_blank("skin", text, tr("Skin of the bar")))
        self.lathe.chosen.connect(
            lambda text: session.edit(
                msgspec.structs.replace(session.job, lathe=text), tr("Lathe {name}", name=text)
            )
        )
        self.device.chosen.connect(
            lambda text: self._set_holding(device=text, name=tr("Held in {name}", name=text))
        )
        self.centre.clicked.connect(
            lambda on: self._set_holding(centre=on, name=tr("Tailstock centre"))
        )
        self.take.clicked.connect(self.take_suggestion)

    # Edits

    def _field(self, field: str, words: str, kind: Kind) -> TextField:
        def commit(text: str) -> None:
            self._check(text, kind, field in _ZERO_ALLOWED)
            self._set_blank(field, text, words)

        return TextField(words, commit, self._tell)

    def _check(self, text: str, kind: Kind, may_be_zero: bool) -> None:
        size = parse(text, self._session.job.units, {kind}).nominal
        if size <= 0 and not may_be_zero:
            raise InputError(tr("give a size above 0"))

    def _set_blank(self, field: str, value: str, name: str) -> None:
        job = self._session.job
        blank = msgspec.structs.replace(job.blank, **{field: value})
        self._session.edit(msgspec.structs.replace(job, blank=blank), name)

    def _set_grip(self, text: str) -> None:
        if text or self._setup == 0:
            self._check(text, "length", False)
        self._set_holding(grip=text or None, name=tr("Grip"))

    def _set_holding(self, *, name: str, **changes: Any) -> None:
        job = self._session.job
        kinds = {d.name for d in self._session.shop.drivers}
        if "device" in changes:
            changes["kind"] = "between centres" if changes["device"] in kinds else "chuck"
        setups = list(job.setups)
        holding = msgspec.structs.replace(setups[self._setup].holding, **changes)
        setups[self._setup] = msgspec.structs.replace(setups[self._setup], holding=holding)
        self._session.edit(msgspec.structs.replace(job, setups=tuple(setups)), name)

    def take_suggestion(self) -> None:
        """Take the bar, the length and the grip that the program would take."""
        self._session.edit(self._suggested(), tr("Suggested blank"))

    def _suggested(self) -> Job:
        job = self._session.job
        return suggested(job, self._session.shop, part_size(job.part, job.units))

    # What is shown

    def _follow_setup(self) -> None:
        passes, position = self._session.passes, self._session.position
        setup = passes[position - 1][0].number - 1 if 0 < position <= len(passes) else 0
        if setup != self._setup:
            self._setup = setup
            self.show_job()

    def show_job(self) -> None:
        """Show the job as it stands."""
        job, shop = self._session.job, self._session.shop
        self._setup = min(self._setup, len(job.setups) - 1)
        holding = job.setups[self._setup].holding
        self.diameter.show_text(job.blank.diameter)
        self.length.show_text(job.blank.length)
        self.front.show_text(job.blank.front)
        self.skin.show_choice((("bright", tr("bright")), ("black", tr("black"))), job.blank.skin)
        devices = [c.name for c in shop.chucks] + [d.name for d in shop.drivers]
        self.device.show_choice([(name, name) for name in devices], holding.device)
        self.grip.show_text(holding.grip or "")
        self.centre.setChecked(holding.centre)
        lathes = [record.name for record in shop.lathes]
        self.lathe.show_choice([(name, name) for name in lathes], job.lathe)
        self._show_suggestion()

    def _show_suggestion(self) -> None:
        """Offer what the program would take, where the job has something else."""
        job = self._session.job
        if self._session.answer is None or self._setup > 0:
            self.take.hide()
            return
        better = self._suggested()
        other_bar = (better.blank.diameter, better.blank.skin) != (
            job.blank.diameter,
            job.blank.skin,
        )
        codes = {f.code for f in self._session.plan.findings} if self._session.plan else set()
        self.take.setVisible(better != job and (other_bar or bool(codes & _BLANK_CODES)))
        grip = better.setups[0].holding.grip
        self.take.setText(
            tr("Take Ø{bar} {skin}, {length} long, grip {grip}", bar=better.blank.diameter,
               skin=tr(better.blank.skin), length=better.blank.length, grip=grip)
        )  # fmt: skip
        self.take.setToolTip(
            tr("The next larger bar in stock, with room for grip, parting blade and clearance")
        )

    def _show_plan(self, answer: Answer) -> None:
        plan = answer.plan
        if plan is None or self._setup >= len(plan.setups):
            self.aside.setText("")
        else:
            setup = plan.setups[self._setup]
            units = answer.job.units
            bar = parse(answer.job.blank.diameter, units, {"diameter"}).nominal
            out = length_text(round(setup.stick_out_mm, 2), units)
            ratio = f"{setup.stick_out_mm / bar:.1f}"
            self.aside.setText(tr("stick-out {out} · {ratio} × Ø", out=out, ratio=ratio))
        self._show_suggestion()

    def _tell(self, reason: str) -> None:
        self.said.say(reason, kind="wrong")
