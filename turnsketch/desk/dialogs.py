"""The few questions that the desk asks."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from turnsketch.desk.text import capital, told, tr

__all__ = ["ask_open_path", "ask_save_path", "ask_unsaved", "complain", "fault_words"]


def ask_open_path(parent: QWidget, title: str, folder: Path, kinds: str) -> Path | None:
    """Return the file that is chosen; None when nothing is."""
    name, _ = QFileDialog.getOpenFileName(parent, title, str(folder), kinds)
    return Path(name) if name else None


def ask_save_path(
    parent: QWidget, title: str, proposed: Path, kinds: str, suffix: str
) -> Path | None:
    """Return where to write, with its ending; None when nothing is chosen."""
    dialog = QFileDialog(parent, title, str(proposed.parent), kinds)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setFileMode(QFileDialog.FileMode.AnyFile)
    dialog.setDefaultSuffix(suffix.lstrip("."))
    dialog.selectFile(proposed.name)
    accepted = dialog.exec()
    names = dialog.selectedFiles()
    dialog.deleteLater()
    return Path(names[0]) if accepted and names else None


def ask_unsaved(parent: QWidget, name: str) -> Literal["save", "discard", "cancel"]:
    """Ask what becomes of unsaved work."""
    buttons = QMessageBox.StandardButton
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setWindowTitle(tr("Not saved"))
    box.setText(tr("{name} has been changed and is not saved.", name=name))
    box.setInformativeText(tr("Save it before it is closed?"))
    box.setStandardButtons(buttons.Save | buttons.Discard | buttons.Cancel)
    box.setDefaultButton(buttons.Save)
    answer = box.exec()
    box.deleteLater()
    if answer == buttons.Save:
        return "save"
    return "discard" if answer == buttons.Discard else "cancel"


def complain(parent: QWidget, what: str, where: str = "") -> None:
    """Say what went wrong, in one sentence with its remedy."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Warning)
    box.setWindowTitle(tr("This did not work"))
    box.setText(capital(told(what)))
    box.setInformativeText(where)
    box.exec()
    box.deleteLater()


def fault_words(error: BaseException) -> str:
    """Return the words for a fault that is not the user's."""
    return tr(
        "a fault of the program itself ({kind}: {error}); please report it with the job file",
        kind=type(error).__name__,
        error=error,
    )
