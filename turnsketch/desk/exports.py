"""Out of the program: PDF, CSV, picture, print preview, print. A stop finding forbids none."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QEventLoop, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QDialog, QMainWindow

from turnsketch.desk.dialogs import ask_save_path, complain, fault_words
from turnsketch.desk.session import Session
from turnsketch.desk.tasks import run_task
from turnsketch.desk.text import tr
from turnsketch.errors import InputError
from turnsketch.plan_records import Plan

__all__ = ["Exports"]


class Exports:
    """What the File menu writes and prints."""

    def __init__(self, window: QMainWindow, session: Session, folder: Callable[[], Path]) -> None:
        self._window = window
        self._session = session
        self._folder = folder

    # Files

    def pdf(self) -> None:
        """Write the pass sheet."""
        self._export(tr("Pass sheet as PDF"), tr("PDF") + " (*.pdf)", ".pdf", self._write_pdf)

    def csv(self) -> None:
        """Write the passes as a table."""

        def write(plan: Plan, path: Path) -> None:
            from turnsketch.document.files import write_bytes
            from turnsketch.sheet.csv_file import csv_text

            write_bytes(csv_text(plan).encode("utf-8"), path)

        self._export(tr("Passes as table"), tr("Table") + " (*.csv)", ".csv", write)

    def picture(self) -> None:
        """Write a picture of part and blank."""

        def write(plan: Plan, path: Path) -> None:
            from turnsketch.picture.paint_matplotlib import write_picture

            write_picture(plan, path)

        kinds = tr("Drawing") + " (*.svg);;" + tr("Picture") + " (*.png)"
        # not beside the window: the painter keeps every font file open for each thread it sees
        self._export(tr("Picture"), kinds, ".svg", write, beside=False)

    def _write_pdf(self, plan: Plan, path: Path) -> None:
        from turnsketch.document.sheets import write_sheet

        write_sheet(plan, path, self._session.settings.paper)

    def _export(
        self,
        title: str,
        kinds: str,
        suffix: str,
        write: Callable[[Plan, Path], None],
        *,
        beside: bool = True,
    ) -> None:
        plan = self._newest_plan()
        if plan is None:
            return
        stem = self._session.document.name
        safe = "".join(c if c.isalnum() or c in " -_." else "-" for c in stem)
        path = ask_save_path(self._window, title, self._folder() / (safe + suffix), kinds, suffix)
        words = "" if path is None else tr("Writing {name} …", name=path.name)
        if path is not None and self._run(words, lambda: write(plan, path), beside=beside):
            self._session.told.emit(tr("Written: {path}", path=path))

    def _run(self, words: str, work: Callable[[], None], *, beside: bool = True) -> bool:
        """Do `work`, beside the window or at once; tell what goes wrong, and whether it went."""
        try:
            if beside:
                run_task(self._window, words, work)
            else:
                work()
        except InputError as error:
            complain(self._window, error.what, error.where)
        except OSError as error:
            complain(self._window, error.strerror or str(error), str(error.filename or ""))
        except Exception as error:  # a fault of ours must not take the window along
            complain(self._window, fault_words(error))
        else:
            return True
        return False

    def _newest_plan(self) -> Plan | None:
        """Return the plan of the job as it stands, waiting for it when it is on its way."""
        session = self._session
        if not session.current and session.job.part.sections:
            loop = QEventLoop(self._window)
            connection = session.planned.connect(lambda _: loop.quit())
            loop.exec()
            session.planned.disconnect(connection)
            loop.deleteLater()
        if session.plan is None:
            reason = session.answer.error if session.answer is not None else ""
            complain(self._window, reason or tr("there is nothing to plan yet"))
        return session.plan

    # Paper

    def preview(self) -> None:
        """Show the pass sheet in the platform's own viewer of PDF files."""
        path = self._sheet_file()
        if path is not None and not QDesktopServices.openUrl(QUrl.fromLocalFile(str(path))):
            complain(self._window, tr("no program on this computer shows PDF files"), str(path))

    def print(self) -> None:
        """Print the pass sheet on the printer that is chosen."""
        from PySide6.QtPrintSupport import QPrintDialog, QPrinter

        path = self._sheet_file()
        if path is None:
            return
        printer = QPrinter()
        dialog = QPrintDialog(printer, self._window)
        if dialog.exec() == QDialog.DialogCode.Accepted:
            self._send(path, printer.printerName(), printer.outputFileName(), printer.copyCount())
        dialog.deleteLater()

    def _send(self, path: Path, printer: str, to_file: str, copies: int) -> None:
        """Give the file to the printer; without a print service, to the viewer."""
        if to_file:
            shutil.copyfile(path, to_file)
        elif sys.platform == "win32":
            os.startfile(path, "print")  # type: ignore[attr-defined,unused-ignore]
        elif (command := shutil.which("lp")) is not None:
            chosen = ["-d", printer] if printer else []
            self._run(
                tr("Printing …"),
                lambda: _lp([command, *chosen, "-n", str(copies), str(path)]),
            )
        else:
            self.preview()

    def _sheet_file(self) -> Path | None:
        """Write the pass sheet into the program's own folder and return where it stands."""
        plan = self._newest_plan()
        if plan is None:
            return None
        folder = self._session.folder / "print"
        _clear(folder)
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{plan.mark}.pdf"
        done = self._run(tr("Making the pass sheet …"), lambda: self._write_pdf(plan, path))
        return path if done else None


_KEPT_SECONDS = 24 * 3600.0


def _lp(command: list[str]) -> None:
    try:
        subprocess.run(command, check=True, capture_output=True, timeout=60)
    except (subprocess.SubprocessError, OSError) as error:
        raise InputError(f"the printer did not take the sheet ({error})") from None


def _clear(folder: Path) -> None:
    """Take away sheets that nobody looks at any more."""
    for old in folder.glob("*.pdf") if folder.is_dir() else []:
        try:
            if time.time() - old.stat().st_mtime > _KEPT_SECONDS:
                old.unlink()
        except OSError:
            continue
