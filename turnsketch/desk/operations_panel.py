"""The operations: order, on or off, tool, depth, allowances, feed, speed, and why."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Final, get_args

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QMenu,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from turnsketch.desk.extra_field import ExtraField
from turnsketch.desk.fields import ChoiceField, TextField
from turnsketch.desk.operation_edits import (
    FIELDS,
    field_text,
    listed,
    proposed_text,
    reason_text,
    usable_tools,
    with_field,
    with_list,
    with_moved,
)
from turnsketch.desk.operation_extras import extra_reason, extra_words
from turnsketch.desk.panel import label
from turnsketch.desk.session import Session
from turnsketch.desk.setup_bar import SetupBar
from turnsketch.desk.text import capital, told, tr
from turnsketch.job import Operation, OperationKind
from turnsketch.part.text import parse
from turnsketch.plan_records import PlannedOperation

__all__ = ["OperationsPage"]

_KINDS: Final[tuple[OperationKind, ...]] = get_args(OperationKind)
"""In the order of work."""


def _names() -> dict[str, str]:
    return {
        "tool": tr("Tool"),
        "depth": tr("Depth"),
        "x_allowance": tr("Leave on X"),
        "z_allowance": tr("Leave on Z"),
        "feed": tr("Feed"),
        "speed": tr("Speed"),
    }


class OperationsPage(QWidget):
    """The list of operations of the setup on show, and a form for the chosen one."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setups = SetupBar(session)
        self.list = QListWidget()
        self.list.setAccessibleName(tr("Operations"))
        self.list.setMinimumHeight(5 * (self.fontMetrics().height() + 7))
        self.tool = ChoiceField(tr("Tool"))
        self.fields: dict[str, TextField] = {}
        self.extra = ExtraField(session, self._set_extra, self._tell, self._why_extra)
        self._why: dict[str, QToolButton] = {}
        self._reason = label("", "remedy", wrap=True)
        self._showing = False
        body = QVBoxLayout(self)
        body.setContentsMargins(0, 0, 0, 0)
        body.setSpacing(5)
        body.addWidget(self.setups)
        body.addWidget(self.list, 1)
        body.addLayout(self._buttons())
        body.addLayout(self._form())
        body.addWidget(self._reason)
        self.list.currentRowChanged.connect(lambda _: self._show_form())
        self.list.itemChanged.connect(self._toggled)
        self.tool.chosen.connect(lambda number: self._change("tool", int(number)))
        session.planned.connect(lambda _: self.refresh())
        session.job_changed.connect(lambda _: self.refresh())
        session.setup_changed.connect(lambda _: self._other_setup())

    def _buttons(self) -> QHBoxLayout:
        line = QHBoxLayout()
        line.setSpacing(4)
        self._add = QToolButton()
        self._add.setText(tr("Add …"))
        self._add.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(self._add)
        for kind in _KINDS:
            menu.addAction(capital(told(kind)), partial(self._insert, kind))
        self._add.setMenu(menu)
        line.addWidget(self._add)
        for words, tip, act in (
            (tr("Up"), tr("Move the operation up"), lambda: self._move(-1)),
            (tr("Down"), tr("Move the operation down"), lambda: self._move(1)),
            (tr("Take out"), tr("Take the operation out of the list"), self._remove),
        ):
            button = QToolButton()
            button.setText(words)
            button.setToolTip(tip)
            button.clicked.connect(act)
            line.addWidget(button)
        line.addStretch(1)
        self.propose = QToolButton()
        self.propose.setText(tr("Propose"))
        self.propose.setToolTip(tr("Give the whole list back to the program"))
        self.propose.clicked.connect(self._give_back)
        line.addWidget(self.propose)
        return line

    def _form(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(5)
        grid.setVerticalSpacing(3)
        places = {"tool": (0, 0), "depth": (1, 0), "feed": (1, 1), "x_allowance": (2, 0)}
        places |= {"speed": (2, 1), "z_allowance": (3, 0)}
        for field, words in _names().items():
            row, half = places[field]
            name = label(words, "faint")
            box: QWidget = self.tool
            if field != "tool":
                box = self.fields[field] = TextField(words, self._setter(field), self._tell)
            name.setBuddy(box)
            why = self._why[field] = QToolButton()
            why.setText(tr("why?"))
            why.setObjectName("plain")
            why.setAccessibleName(tr("Why: {what}", what=words))
            why.clicked.connect(lambda _=False, f=field: self._explain(f))
            wide = 4 if field == "tool" else 1
            grid.addWidget(name, row, 3 * half)
            grid.addWidget(box, row, 3 * half + 1, 1, wide)
            grid.addWidget(why, row, 5 if field == "tool" else 3 * half + 2)
        self._grey = label(tr("grey: as proposed"), "faint")
        grid.addWidget(self._grey, 3, 3, 1, 3)
        for column, widget in enumerate((self.extra.name, self.extra, self.extra.why), 3):
            grid.addWidget(widget, 3, column)
        grid.setColumnStretch(1, 1)
        grid.setColumnStretch(4, 1)
        return grid

    # Edits

    @property
    def operations(self) -> tuple[Operation, ...]:
        """The operations that are planned."""
        answer = self._session.answer
        proposals = answer.proposals if answer is not None else ()
        own = proposals[self._setup] if self._setup < len(proposals) else ()
        return listed(self._session.job, own, self._setup)

    @property
    def _setup(self) -> int:
        """Index of the setup on show."""
        return min(self._session.setup, len(self._session.job.setups) - 1)

    def _edit(self, operations: Sequence[Operation] | None, name: str) -> None:
        self._session.edit(with_list(self._session.job, operations, self._setup), name)

    def _setter(self, field: str) -> Callable[[str], None]:
        def commit(text: str) -> None:
            row, operations = self.list.currentRow(), list(self.operations)
            if 0 <= row < len(operations):
                units = self._session.job.units
                operations[row] = with_field(operations[row], field, text, units)
                self._edit(operations, self._step(field, operations[row]))

        return commit

    def _step(self, what: str, operation: Operation) -> str:
        name = told(operation.kind)
        return tr("{what} of {operation}", what=_names().get(what, what), operation=name)

    def _change(self, field: str, value: object) -> None:
        row, operations = self.list.currentRow(), list(self.operations)
        if 0 <= row < len(operations):
            operations[row] = msgspec.structs.replace(operations[row], **{field: value})
            self._edit(operations, self._step(field, operations[row]))

    def _set_extra(self, made: Operation, field: str) -> None:
        row, operations = self.list.currentRow(), list(self.operations)
        if 0 <= row < len(operations):
            operations[row] = made
            name = told(made.kind)
            step = tr("{what} of {operation}", what=extra_words(field), operation=name)
            self._edit(operations, step)

    def _why_extra(self, field: str) -> None:
        self._reason.setText(capital(told(extra_reason(field))) + ".")

    def _toggled(self, item: QListWidgetItem) -> None:
        row, operations = self.list.row(item), list(self.operations)
        on = item.checkState() is Qt.CheckState.Checked
        if not self._showing and row < len(operations) and operations[row].enabled != on:
            operations[row] = msgspec.structs.replace(operations[row], enabled=on)
            words = tr("{kind} on") if on else tr("{kind} off")
            self._edit(operations, capital(words.format(kind=told(operations[row].kind))))

    def _move(self, by: int) -> None:
        row, operations = self.list.currentRow(), self.operations
        if 0 <= row < len(operations) and 0 <= row + by < len(operations):
            moved = with_moved(operations, row, by)
            self.list.setCurrentRow(row + by)
            self._edit(moved, tr("{kind} moved", kind=capital(told(operations[row].kind))))

    def _remove(self) -> None:
        row, operations = self.list.currentRow(), list(self.operations)
        if 0 <= row < len(operations):
            gone = operations.pop(row)
            self._edit(operations, tr("{kind} taken out", kind=capital(told(gone.kind))))

    def _insert(self, kind: OperationKind) -> None:
        row, operations = self.list.currentRow(), list(self.operations)
        tools = usable_tools(self._session.shop, kind)
        new = Operation(kind, tools[0].number if tools else None)
        at = row + 1 if row >= 0 else len(operations)
        self._edit([*operations[:at], new, *operations[at:]], tr("New: {kind}", kind=told(kind)))
        self.list.setCurrentRow(at)

    def _give_back(self) -> None:
        self._edit(None, tr("Operations as proposed"))

    # What is shown

    def _other_setup(self) -> None:
        self.list.setCurrentRow(-1)
        self.refresh()

    def refresh(self) -> None:
        """Show the list as it stands."""
        operations, row = self.operations, max(0, self.list.currentRow())
        self._showing = True
        while self.list.count() > len(operations):
            self.list.takeItem(self.list.count() - 1)
        while self.list.count() < len(operations):
            self.list.addItem(QListWidgetItem())
        for number, operation in enumerate(operations):
            item = self.list.item(number)
            tool = f" · T{operation.tool}" if operation.tool is not None else ""
            item.setText(f"{number + 1}   {capital(told(operation.kind))}{tool}")
            item.setToolTip(told(operation.reason))
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            checked = Qt.CheckState.Checked if operation.enabled else Qt.CheckState.Unchecked
            item.setCheckState(checked)
        self._showing = False
        self.propose.setEnabled(self._session.job.setups[self._setup].operations is not None)
        if operations:
            self.list.setCurrentRow(min(row, len(operations) - 1))
        self._show_form()

    def _planned(self) -> PlannedOperation | None:
        plan, row = self._session.plan, self.list.currentRow()
        if plan is None or self._setup >= len(plan.setups):
            return None
        planned = plan.setups[self._setup].operations
        return next((o for o in planned if o.number == row + 1), None)

    def _show_form(self) -> None:
        row, operations = self.list.currentRow(), self.operations
        known = 0 <= row < len(operations)
        for box in (self.tool, *self.fields.values(), *self._why.values()):
            box.setEnabled(known)
        self._reason.setText("")
        self.extra.show_operation(operations[row] if known else None)
        self._grey.setVisible(self.extra.isHidden())
        if not known:
            return
        operation, planned = operations[row], self._planned()
        tools = usable_tools(self._session.shop, operation.kind)
        names = [(str(tool.number), f"T{tool.number} {tool.name}") for tool in tools]
        self.tool.show_choice(names, "" if operation.tool is None else str(operation.tool))
        for field in FIELDS:
            box, units = self.fields[field], self._session.job.units
            box.show_text(field_text(operation, field))
            proposed = "" if planned is None else proposed_text(planned, field, units)
            box.setPlaceholderText(proposed)
            tip = tr("the program proposes {value}", value=proposed) if proposed else ""
            box.setToolTip(tip)

    def _explain(self, field: str) -> None:
        planned, session = self._planned(), self._session
        if planned is None:
            self._reason.setText(tr("It is not planned yet."))
            return
        job = session.job
        diameter = parse(job.blank.diameter, job.units, {"diameter"}).nominal
        why = told(reason_text(planned, field, session.shop, job.part.material, diameter))
        self._reason.setText((why if why.startswith("n =") else capital(why)) + ".")

    def _tell(self, reason: str) -> None:
        self._reason.setText(told(reason))
