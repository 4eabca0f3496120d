"""The panel "Blank and holding": bar, length, device, grip, lathe, and what is suggested."""

from __future__ import annotations

from itertools import pairwise
from typing import Any, Final

import msgspec
from PySide6.QtWidgets import QCheckBox, QGridLayout, QHBoxLayout, QWidget

from turnsketch.desk.background import Answer
from turnsketch.desk.dimension_text import length_text
from turnsketch.desk.fields import ChoiceField, TextField
from turnsketch.desk.holding_seldom import HoldingSeldom
from turnsketch.desk.panel import Panel, Said, label
from turnsketch.desk.session import Session
from turnsketch.desk.setup_bar import SetupBar
from turnsketch.desk.suggested_blank import SuggestedBlank
from turnsketch.desk.text import tr
from turnsketch.document.setups import change_holding, change_setup
from turnsketch.errors import InputError
from turnsketch.part.centre_holes import centre_hole
from turnsketch.part.text import Kind, parse

__all__ = ["HoldingPanel"]

_ZERO_ALLOWED: Final = frozenset({"front"})
_DECIMALS: Final = 2


class HoldingPanel(Panel):
    """What the part is made from, and how it is held."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(tr("Blank and holding"), parent)
        self._session = session
        self.setups = SetupBar(session)
        self.diameter = self._field("diameter", tr("Bar Ø"), "diameter")
        self.length = self._field("length", tr("Length of the blank"), "length")
        self.front = self._field("front", tr("In front of the finished face"), "length")
        self.skin = ChoiceField(tr("Skin of the bar"))
        self.device = ChoiceField(tr("Held in"))
        self.grip = TextField(tr("Grip"), self._set_grip, self._tell)
        self.name = TextField(tr("Name of the setup"), self._set_name, self._tell)
        self.pull_out = TextField(
            tr("Bar pulled out against the setup before"), self._set_pull_out, self._tell
        )
        self.zero = TextField(tr("What Z shows at the finished face"), self._set_zero, self._tell)
        self.centre = QCheckBox(tr("on the tailstock centre"))
        self.centred = QCheckBox(tr("hole in blank"))
        self.hole = TextField(tr("Size of the hole in the blank"), self._set_hole, self._tell)
        self.hole.setToolTip(tr("diameter of its pilot in mm: 2.5; empty: usual for the bar"))
        self.hole.setFixedWidth(self.hole.fontMetrics().averageCharWidth() * 8)
        self.lathe = ChoiceField(tr("Lathe"))
        self.seldom = HoldingSeldom(session, self._tell)
        self.take = SuggestedBlank(session)
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
            ("", (self.centre, self.centred, self.hole)),
            (tr("Name"), (self.name,)),
            (tr("Pulled"), (self.pull_out,)),
            (tr("Lathe"), (self.lathe, label(tr("Z at face"), "faint"), self.zero)),
        )
        for row, (words, boxes) in enumerate(rows):
            name = label(words, "faint")
            name.setBuddy(boxes[0])
            if self.pull_out in boxes:
                self._of_later = [name, *boxes]
            grid.addWidget(name, row, 0)
            line = QHBoxLayout()
            line.setSpacing(6)
            for box in boxes:
                line.addWidget(box, 3 if box is self.device else 1 if box.objectName() == "" else 0)
            grid.addLayout(line, row, 1)
        grid.setColumnStretch(1, 1)
        self.body.addWidget(self.setups)
        self.body.addLayout(grid)
        self.body.addWidget(self.seldom)
        self.body.addWidget(self.said)
        self.body.addWidget(self.take)
        self.body.addStretch(1)
        chain: list[QWidget] = [self.setups.choice, self.setups.add, self.setups.change]
        chain += [self.diameter, self.skin, self.length, self.front, self.device, self.grip]
        chain += [self.centre, self.centred, self.hole, self.name, self.pull_out, self.lathe]
        chain += [self.zero, *self.seldom.fields, self.take]
        for before, after in pairwise(chain):
            QWidget.setTabOrder(before, after)

    def _connect(self) -> None:
        session = self._session
        session.job_changed.connect(lambda _: self.show_job())
        session.planned.connect(self._show_plan)
        session.setup_changed.connect(lambda _: self.show_job())
        self.skin.chosen.connect(lambda text: self._set_blank("skin", text, tr("Skin of the bar")))
        self.lathe.chosen.connect(
            lambda text: session.edit(
                msgspec.structs.replace(session.job, lathe=text), tr("Lathe {name}", name=text)
            )
        )
        self.device.chosen.connect(
            lambda text: self._set_holding(device=text, name=tr("Held in {name}", name=text))
        )
        self.centre.clicked.connect(lambda on: self._set_centre(on))
        self.centred.clicked.connect(
            lambda on: self._set_holding(
                centred_blank=on, centre_size=None, name=tr("Centre hole in the blank")
            )
        )

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
        pulled = self._session.job.setups[self._setup].pull_out is not None
        if text or not pulled:
            self._check(text, "length", False)
        job = change_holding(self._session.job, self._setup, grip=text or None)
        if text:  # either of the two says how the work is held
            job = change_setup(job, self._setup, pull_out=None)
        self._session.edit(job, tr("Grip"))

    def _set_pull_out(self, text: str) -> None:
        job, plan = self._session.job, self._session.plan
        grip = job.setups[self._setup].holding.grip
        if text:
            self._check(text, "length", False)
            grip = None
        elif grip is None:
            known = plan is not None and self._setup < len(plan.setups)
            if plan is None or not known:
                raise InputError(tr("type the grip, and the way goes out by itself"))
            grip = length_text(plan.setups[self._setup].grip_mm, job.units)
        job = change_holding(job, self._setup, grip=grip)
        job = change_setup(job, self._setup, pull_out=text or None)
        self._session.edit(job, tr("Bar pulled out"))

    def _set_centre(self, on: bool) -> None:
        """Put the centre in or take it out; without it nothing asks for a hole in the blank."""
        fields: dict[str, Any] = {"centre": on}
        if not on and self._session.job.setups[self._setup].holding.kind == "chuck":
            fields |= {"centred_blank": False, "centre_size": None}
        self._set_holding(name=tr("Tailstock centre"), **fields)

    def _set_hole(self, text: str) -> None:
        if text:
            centre_hole(parse(text, "mm", {"length"}).nominal)
        self._set_holding(centre_size=text or None, name=tr("Centre hole in the blank"))

    def _set_zero(self, text: str) -> None:
        text = text or "0"
        parse(text, self._session.job.units, {"length"})
        self._set_setup(tr("Z at the face"), zero=text)

    def _set_name(self, text: str) -> None:
        if not text:
            raise InputError(tr("give the setup a name, for the sheet"))
        self._set_setup(tr("Name of the setup"), name=text)

    def _set_setup(self, step: str, **changes: Any) -> None:
        self._session.edit(change_setup(self._session.job, self._setup, **changes), step)

    def _set_holding(self, *, name: str, **changes: Any) -> None:
        kinds = {d.name for d in self._session.shop.drivers}
        if "device" in changes:
            changes["kind"] = "between centres" if changes["device"] in kinds else "chuck"
            if changes["device"] in kinds:  # a dog drives it from outside
                changes |= {"inside": False, "soft_jaws": False}
        self._session.edit(change_holding(self._session.job, self._setup, **changes), name)

    def take_suggestion(self) -> None:
        """Take the bar, the length and the grip that the program would take."""
        self.take.take()

    # What is shown

    @property
    def _setup(self) -> int:
        """Index of the setup on show."""
        return min(self._session.setup, len(self._session.job.setups) - 1)

    def show_job(self) -> None:
        """Show the job as it stands."""
        job, shop = self._session.job, self._session.shop
        setup = job.setups[self._setup]
        holding = setup.holding
        self.diameter.show_text(job.blank.diameter)
        self.length.show_text(job.blank.length)
        self.front.show_text(job.blank.front)
        self.skin.show_choice((("bright", tr("bright")), ("black", tr("black"))), job.blank.skin)
        devices = [c.name for c in shop.chucks] + [d.name for d in shop.drivers]
        self.device.show_choice([(name, name) for name in devices], holding.device)
        self.grip.show_text(holding.grip or "")
        self.centre.setChecked(holding.centre)
        self.centred.setChecked(holding.centred_blank)
        self.centred.setVisible(holding.centre or holding.kind != "chuck")
        self.hole.show_text(holding.centre_size or "")
        self.hole.setPlaceholderText(tr("usual"))
        self.hole.setVisible(holding.centred_blank)
        self.name.show_text(self._session.job.setup_name(self._setup))
        self.pull_out.show_text(setup.pull_out or "")
        self.zero.show_text(setup.zero)
        for widget in self._of_later:
            widget.setVisible(self._setup > 0)
        self.pull_out.setEnabled(not setup.turned)
        lathes = [record.name for record in shop.lathes]
        self.lathe.show_choice([(name, name) for name in lathes], job.lathe)
        self.seldom.show_setup(self._setup)
        self._show_stick_out()
        self.take.show_setup(self._setup)

    def _show_plan(self, _: Answer) -> None:
        self._show_stick_out()
        self.take.show_setup(self._setup)

    def _show_stick_out(self) -> None:
        """Show how far the blank stands out, and how deep it is held where the job leaves it."""
        plan, answer = self._session.plan, self._session.answer
        if plan is None or answer is None or self._setup >= len(plan.setups):
            self.aside.setText("")
            self.grip.setPlaceholderText("")
            return
        setup, units = plan.setups[self._setup], answer.job.units
        bar = parse(answer.job.blank.diameter, units, {"diameter"}).nominal
        out = length_text(round(setup.stick_out_mm, _DECIMALS), units)
        ratio = f"{setup.stick_out_mm / bar:.1f}"
        self.aside.setText(tr("stick-out {out} · {ratio} × Ø", out=out, ratio=ratio))
        self.grip.setPlaceholderText(length_text(round(setup.grip_mm, _DECIMALS), units))

    def _tell(self, reason: str) -> None:
        self.said.say(reason, kind="wrong")
