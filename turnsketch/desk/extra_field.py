"""One field of the operation's form: what only its kind takes, typed or chosen."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QToolButton, QWidget

from turnsketch.desk.fields import ChoiceField, TextField
from turnsketch.desk.operation_extras import (
    CHOICES,
    EXTRAS,
    extra_choices,
    extra_text,
    extra_usual,
    extra_words,
    with_extra,
)
from turnsketch.desk.panel import label
from turnsketch.desk.session import Session
from turnsketch.desk.text import tr
from turnsketch.job import Operation

__all__ = ["ExtraField"]


class ExtraField(QWidget):
    """Hidden for kinds of operation that take nothing more, as are its `name` and its `why`.

    Parameters
    ----------
    session : Session
        For the units, and the part's grooves.
    commit : callable
        Takes the changed operation and the field that was changed.
    tell : callable
        Takes the reason why a text cannot be used.
    why : callable
        Is asked for the reason of the program's own choice in a field.
    """

    def __init__(
        self,
        session: Session,
        commit: Callable[[Operation, str], None],
        tell: Callable[[str], None],
        why: Callable[[str], None],
    ) -> None:
        super().__init__()
        self._session, self._commit = session, commit
        self._operation: Operation | None = None
        self.field = ""
        self.name = label("", "faint")
        self.text = TextField("", self._take, tell)
        self.choice = ChoiceField("")
        self.choice.chosen.connect(self._take)
        self.why = QToolButton()
        self.why.setText(tr("why?"))
        self.why.setObjectName("plain")
        self.why.clicked.connect(lambda: why(self.field))
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(5)
        line.addWidget(self.text, 1)
        line.addWidget(self.choice, 1)
        self.show_operation(None)

    def show_operation(self, operation: Operation | None) -> None:
        """Show the field of an operation's kind; None: no operation is chosen."""
        self._operation = operation
        self.field = "" if operation is None else EXTRAS.get(operation.kind, "")
        for widget in (self, self.name, self.why):
            widget.setVisible(bool(self.field))
        if operation is None or not self.field:
            return
        words, chosen = extra_words(self.field), self.field in CHOICES
        self.name.setText(words)
        self.name.setBuddy(self.choice if chosen else self.text)
        self.why.setAccessibleName(tr("Why: {what}", what=words))
        self.text.setVisible(not chosen)
        self.choice.setVisible(chosen)
        for box in (self.text, self.choice):
            box.setAccessibleName(words)
        value = extra_text(operation, self.field)
        if chosen:
            self.choice.show_choice(extra_choices(self.field), value)
        else:
            self.text.show_text(value)
            self.text.setPlaceholderText(extra_usual(self.field))

    def _take(self, text: str) -> None:
        if self._operation is not None:
            job = self._session.job
            made = with_extra(self._operation, self.field, text, job.units, len(job.part.grooves))
            self._commit(made, self.field)
