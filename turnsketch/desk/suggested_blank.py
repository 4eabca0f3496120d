"""The button with the blank that the program would take."""

from __future__ import annotations

from typing import Final

import msgspec
from PySide6.QtWidgets import QPushButton, QWidget

from turnsketch.desk.session import Session
from turnsketch.desk.suggestions import part_size, suggested
from turnsketch.desk.text import tr
from turnsketch.job import Job

__all__ = ["SuggestedBlank"]

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


class SuggestedBlank(QPushButton):
    """Offers the suggested blank where the job has another, and takes it."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.clicked.connect(self.take)

    def take(self) -> None:
        """Take the bar, the length and the grip that the program would take."""
        self._session.edit(self._suggested(), tr("Suggested blank"))

    def _suggested(self) -> Job:
        """Return the job with the suggested blank; several setups keep their length and grips."""
        job = self._session.job
        better = suggested(job, self._session.shop, part_size(job.part, job.units))
        if len(job.setups) == 1:
            return better
        bar = {"diameter": better.blank.diameter, "skin": better.blank.skin}
        return msgspec.structs.replace(job, blank=msgspec.structs.replace(job.blank, **bar))

    def show_setup(self, number: int) -> None:
        """Offer what the program would take, where the job has something else."""
        job = self._session.job
        if self._session.answer is None or number > 0 or job.blank.shape != "round":
            self.hide()
            return
        better = self._suggested()
        other_bar = (better.blank.diameter, better.blank.skin) != (
            job.blank.diameter,
            job.blank.skin,
        )
        codes = {f.code for f in self._session.plan.findings} if self._session.plan else set()
        self.setVisible(better != job and (other_bar or bool(codes & _BLANK_CODES)))
        grip = better.setups[0].holding.grip
        if len(job.setups) > 1:
            self.setText(
                tr("Take Ø{bar} {skin}", bar=better.blank.diameter, skin=tr(better.blank.skin))
            )
            self.setToolTip(tr("The next larger bar in stock"))
            return
        self.setText(
            tr("Take Ø{bar} {skin}, {length} long, grip {grip}", bar=better.blank.diameter,
               skin=tr(better.blank.skin), length=better.blank.length, grip=grip)
        )  # fmt: skip
        self.setToolTip(
            tr("The next larger bar in stock, with room for grip, parting blade and clearance")
        )
