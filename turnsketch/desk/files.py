"""New, open, save: what the File menu does with job files."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

import msgspec
from PySide6.QtWidgets import QMainWindow

from turnsketch.desk.dialogs import ask_open_path, ask_save_path, ask_unsaved, complain
from turnsketch.desk.session import Session
from turnsketch.desk.suggestions import new_job
from turnsketch.desk.text import tr
from turnsketch.document.files import SUFFIX
from turnsketch.document.open_document import OpenDocument
from turnsketch.errors import InputError
from turnsketch.units import Units

__all__ = ["FileActions"]


class FileActions:
    """Files of one window.

    Parameters
    ----------
    opened : callable
        Called after another document has been opened; True: it is a new, empty one.
    """

    def __init__(
        self, window: QMainWindow, session: Session, opened: Callable[[bool], None]
    ) -> None:
        self._window = window
        self._session = session
        self._opened = opened

    @property
    def _kinds(self) -> str:
        return tr("Job files") + f" (*{SUFFIX});;" + tr("All files") + " (*)"

    @property
    def folder(self) -> Path:
        """Where the next file is looked for."""
        path = self._session.document.path
        if path is not None:
            return path.parent
        recent = self._session.settings.recent
        return Path(recent[0]).parent if recent else Path.home()

    # New and open

    def new(self) -> None:
        """Begin an empty part in millimetres."""
        self._new("mm")

    def new_inch(self) -> None:
        """Begin an empty part in inches."""
        self._new("inch")

    def _new(self, units: Units) -> None:
        if not self.may_leave():
            return
        session, known = self._session, self._session.settings
        job = new_job(session.shop, units, known.lathe, known.device, known.material)
        session.replace_document(OpenDocument(job, None, session.recovery_folder))
        self._opened(True)

    def open(self) -> None:
        """Ask for a job file and open it."""
        path = ask_open_path(self._window, tr("Open a job"), self.folder, self._kinds)
        if path is not None:
            self.open_path(path)

    def open_path(self, path: Path) -> None:
        """Open the job file at `path`; what cannot be read is said, and nothing changes."""
        try:
            document = OpenDocument.opened(path, self._session.recovery_folder)
        except InputError as error:
            complain(self._window, error.what, error.where)
            return
        if not self.may_leave():
            return
        self._session.replace_document(document)
        self._remember(path)
        self._opened(False)

    def open_demo(self, name: str) -> None:
        """Open a demo part; saving it asks for a name of its own."""
        from turnsketch.document.demo import load_demo

        if self.may_leave():
            document = OpenDocument(load_demo(name), None, self._session.recovery_folder)
            self._session.replace_document(document)
            self._opened(False)

    def recent(self) -> list[tuple[str, Callable[[], object]]]:
        """Return the files of the menu "Open recent"."""
        return [
            (Path(name).name.removesuffix(SUFFIX) + f"   {Path(name).parent}",
             partial(self._open_recent, name))
            for name in self._session.settings.recent
        ]  # fmt: skip

    def _open_recent(self, name: str) -> None:
        if not Path(name).exists():
            session = self._session
            session.settings = session.settings.without_recent(name).saved(session.folder)
            complain(self._window, tr("this file is there no more"), name)
            return
        self.open_path(Path(name))

    def demos(self) -> list[tuple[str, Callable[[], object]]]:
        """Return the entries of the menu "Demo parts"."""
        from turnsketch.document.demo import demo_names, load_demo

        return [
            (load_demo(name).title or name, partial(self.open_demo, name)) for name in demo_names()
        ]

    # Save

    def save(self) -> bool:
        """Save the job; ask for a name when it has none. Return whether it is saved."""
        if self._session.document.path is None:
            return self.save_as()
        return self._save(None)

    def save_as(self) -> bool:
        """Save the job under another name."""
        document = self._session.document
        name = document.job.part.name.strip().replace("/", "-").replace(" ", "_").lower()
        proposed = document.path or self.folder / f"{name or 'job'}{SUFFIX}"
        path = ask_save_path(
            self._window, tr("Save the job as"), proposed, self._kinds, SUFFIX.lstrip(".")
        )
        return path is not None and self._save(path)

    def _save(self, path: Path | None) -> bool:
        session = self._session
        try:
            self._remember(session.document.save(path))
        except InputError as error:
            complain(self._window, error.what, error.where)
            return False
        session.state_changed.emit()
        return True

    def _remember(self, path: Path) -> None:
        session, job = self._session, self._session.job
        settings = msgspec.structs.replace(
            session.settings.with_recent(path),
            lathe=job.lathe,
            device=job.setups[0].holding.device,
            material=job.part.material,
            units=job.units,
        )
        session.settings = settings.saved(session.folder)

    def may_leave(self) -> bool:
        """Return whether the present job may be left: saved, or given up by the user."""
        document = self._session.document
        if not document.changed:
            return True
        answer = ask_unsaved(self._window, document.name)
        if answer == "cancel" or (answer == "save" and not self.save()):
            return False
        document.drop_recovery()
        return True
