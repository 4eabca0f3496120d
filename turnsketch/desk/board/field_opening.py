"""Fields that the board opens over itself: at picked things, at dimensions, in the title block."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QRect

from turnsketch.desk.board.dimension_list import BoardDimension
from turnsketch.desk.board.editors import FieldEditor
from turnsketch.desk.board.pick import Pick
from turnsketch.desk.board.sheet_frame import FIELDS, changed
from turnsketch.desk.board.typed import Edit, retyped, typed_at, typed_at_each
from turnsketch.desk.text import tr

if TYPE_CHECKING:
    from turnsketch.desk.board.face import BoardFace

__all__ = ["FieldOpening"]


class FieldOpening:
    """One field at a time; a new one closes the one before."""

    def __init__(self, board: BoardFace) -> None:
        self._board = board
        self._editor: FieldEditor | None = None

    @property
    def editor(self) -> FieldEditor | None:
        """The open field, if there is one."""
        return self._editor

    def type_at(
        self, picks: Sequence[Pick], text: str, place: QPoint, *, each: bool = False
    ) -> None:
        """Open a field for the dimension of picked things; `text` is typed already.

        Two things take the length between them; with `each` every one takes the text.
        """
        board, make = self._board, typed_at_each if each else typed_at
        label = tr("length") if len(picks) == 2 and not each else tr("dimension")
        if each and len(picks) > 1:
            label = tr("dimension of all {n}", n=len(picks))
        editor = self._open(label, "", lambda typed: make(board.job, picks, typed))
        editor.open_at(place)
        if text:
            editor.start_with(text)

    def retype(self, dimension: BoardDimension, rect: QRect) -> None:
        """Open a field over a dimension that stands on the board."""
        board = self._board
        if not dimension.text:
            board.hint.emit(tr("This length follows from the others; it is not typed."))
            return
        editor = self._open(
            tr("dimension"),
            dimension.text,
            lambda typed: retyped(board.job, dimension.section, dimension.field, typed),
            bare=True,
        )
        editor.open_over(rect)

    def edit_title(self, key: str) -> None:
        """Open a field of the title block; Enter takes it."""
        board = self._board
        field = next((f for f in board.title_fields() if f.key == key), None)
        if field is None or key not in FIELDS:
            board.hint.emit(tr("The mark names the state of the job; it is not typed."))
            return
        name = tr("Change {field}").format(field=field.label)
        editor = self._open(
            field.label,
            field.value,
            lambda typed: (changed(board.job, key, typed), name),
            bare=True,
        )
        here = FIELDS.index(key)
        editor.onward = lambda way: self.edit_title(FIELDS[(here + way) % len(FIELDS)])
        editor.open_over(field.box.toRect())

    def close(self) -> bool:
        """Close the open field without taking it; False when none is open."""
        if self._editor is None:
            return False
        self._editor.give_up()
        return True

    def _open(
        self, label: str, text: str, make: Callable[[str], Edit], *, bare: bool = False
    ) -> FieldEditor:
        self.close()
        board = self._board

        def take(texts: Sequence[str]) -> None:
            job, name = make(texts[0].strip())
            if job != board.job:
                board.commit(job, name)

        editor = FieldEditor(board.viewport(), (label,), (text,), take, board.theme, bare=bare)
        editor.closed.connect(self._closed)
        self._editor = editor
        return editor

    def _closed(self) -> None:
        self._editor = None
        self._board.setFocus()
        self._board.viewport().update()
