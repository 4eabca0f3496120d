"""The window: a table of the print, the board, the passes, the job in pictures.

Its first paint is a bare sheet, so that something stands there at once; what it takes to draw and
to plan is imported after it. The name `Qt` is left out until then: the first look at it makes all
of its enumerations, which takes longer than the paint.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QGuiApplication
from PySide6.QtWidgets import QApplication, QMainWindow, QWidget

from turnsketch.desk.bare_sheet import BareSheet
from turnsketch.desk.style import palette, style_sheet
from turnsketch.desk.text import tr
from turnsketch.desk.theme import DARK, LIGHT, Theme
from turnsketch.desk.window_commands import WindowCommands
from turnsketch.desk.window_layout import WindowLayout
from turnsketch.document.settings import Settings

if TYPE_CHECKING:
    from turnsketch.desk.session import Session

__all__ = ["MainWindow"]

_SUFFIX = ".job.json"
_DARK_BELOW = 110
"""Lightness of the platform's own windows (0 to 255) below which it counts as dark."""


class MainWindow(WindowLayout, WindowCommands, QMainWindow):
    """One document with everything around it.

    It is made bare and shown at once; `furnish` puts everything in.

    Parameters
    ----------
    settings : Settings
        For its colours and its place on the screen.
    """

    def __init__(self, settings: Settings) -> None:
        super().__init__()
        self.settings = settings
        self.theme: Theme = LIGHT
        self.charts = None
        self.furnished = False
        self._painted: Callable[[], None] | None = None
        self._platform_dark = QGuiApplication.palette().window().color().lightness() < _DARK_BELOW
        self.setWindowTitle("TurnSketch")
        self.setAcceptDrops(True)
        self._bare = BareSheet()
        self.setCentralWidget(self._bare)
        self.restore_geometry()
        self.apply_theme()

    def furnish(self, session: Session, *, first_hint: bool = False) -> None:
        """Put everything into the window.

        Parameters
        ----------
        session : Session
            What the window shows.
        first_hint : bool
            Show the two lines for somebody who has never been here.
        """
        from turnsketch.desk.board_panel import BoardPanel
        from turnsketch.desk.exports import Exports
        from turnsketch.desk.files import FileActions
        from turnsketch.desk.findings_panel import FindingsPanel
        from turnsketch.desk.holding_panel import HoldingPanel
        from turnsketch.desk.menus import MenuBuilder
        from turnsketch.desk.panel import label
        from turnsketch.desk.pass_panel import PassPanel
        from turnsketch.desk.print_panel import PrintPanel
        from turnsketch.desk.strip import StripPanel
        from turnsketch.desk.typeface import lend_typeface

        lend_typeface()
        self.session, self.settings = session, session.settings
        self.files = FileActions(self, session, self._opened)
        self.exports = Exports(self, session, lambda: self.files.folder)
        self.print_panel = PrintPanel(session)
        self.holding_panel = HoldingPanel(session)
        self.board_panel = BoardPanel(session)
        self.pass_panel = PassPanel(session)
        self.findings_panel = FindingsPanel(session)
        self.strip = StripPanel(session)
        self.menus = MenuBuilder(self, {"recent": self.files.recent, "demo": self.files.demos})
        self._corner = label("", "aside")
        self.furnished = True
        self.lay_out()
        self.add_corner()
        self._connect()
        self.restore_splitters()
        self.apply_theme()
        self._show_state()
        self.menus.check("mode_choose")
        self.menus.check(f"chain_{session.chain}")
        self.menus.check("view_drawn")
        self.menus.check("paper_letter" if session.settings.paper == "Letter" else "paper_a4")
        self.board_panel.board.setFocus()
        self.when_painted(self.board_panel.board.viewport(), lambda: self._drawn(first_hint))

    # Wiring

    def _connect(self) -> None:
        session = self.session
        session.state_changed.connect(self._show_state)
        session.planned.connect(lambda _: self._enable())
        session.section_changed.connect(lambda _: self._enable())
        session.job_changed.connect(lambda _: self._enable())
        session.undo_stack.indexChanged.connect(lambda _: self._enable())
        session.table_changed.connect(lambda: self.menus.check(f"chain_{session.chain}"))
        self.board_panel.mode_changed.connect(lambda mode: self.menus.check(f"mode_{mode}"))
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._platform_changed)

    def _enable(self) -> None:
        session = self.session
        stack = session.undo_stack
        self.menus.enable(
            plan=session.plan is not None,
            section=bool(session.section),
            setups=len(session.job.setups) > 1,
            undo=stack.canUndo(),
            redo=stack.canRedo(),
        )
        actions = self.menus.actions
        actions["undo"].setText(tr("&Undo") + _named(stack.undoText()))
        actions["redo"].setText(tr("&Redo") + _named(stack.redoText()))

    def _show_state(self) -> None:
        document = self.session.document
        name, changed = document.name, document.changed
        self.setWindowTitle(f"{name}[*] — TurnSketch")
        self.setWindowModified(changed)
        if document.path is None and not changed:
            state = tr("not a file yet")
        else:
            state = tr("not saved") if changed else tr("saved")
        self._corner.setText(f"{name}  ·  {state}")
        self.menuBar().adjustSize()
        self._enable()

    def _opened(self, empty: bool) -> None:
        self.board_panel.message.hide()
        self.board_panel.board.fit()
        if empty:
            table = self.print_panel.table
            table.setFocus()
            table.setCurrentIndex(self.print_panel.model.index(0, 1))

    # Start and end

    def when_painted(self, widget: QWidget, act: Callable[[], None]) -> None:
        """Call `act` once `widget` has been painted for the first time."""
        self._painted = act
        widget.installEventFilter(self)

    @property
    def bare(self) -> QWidget:
        """What stands in the window until it is furnished."""
        return self._bare

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """Wait for the first paint."""
        if event.type() == QEvent.Type.Paint and self._painted is not None:
            act, self._painted = self._painted, None
            watched.removeEventFilter(self)
            QTimer.singleShot(0, self, act)
        return False

    def _drawn(self, first_hint: bool) -> None:
        """Begin to plan, and say what there is to say at a start."""
        self.session.start()
        if first_hint:
            self.board_panel.message.say(
                tr(
                    "A demo part: type over its sizes; Ctrl+N is a new one.\n"
                    "The slider plays the passes; Ctrl+E writes the pass sheet."
                )
            )
        self._offer_recovery()

    def _offer_recovery(self) -> None:
        from turnsketch.document.open_document import OpenDocument, found_recoveries

        found = found_recoveries(self.session.recovery_folder)
        if not found:
            return
        file, kept = found[0]

        def take() -> None:
            if self.files.may_leave():
                folder = self.session.recovery_folder
                self.session.replace_document(OpenDocument.recovered(kept, folder))
                file.unlink(missing_ok=True)

        self.board_panel.message.say(
            tr("Unsaved work on {name} was found from a time when the program did not end well.",
               name=Path(kept.path).name or kept.job.part.name),
            (tr("Open it"), take),
            (tr("Throw it away"), lambda: file.unlink(missing_ok=True)),
        )  # fmt: skip

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        """Ask for unsaved work, remember the layout, end the worker."""
        if not self.furnished:
            self._painted = None
            event.accept()
            return
        if not self.files.may_leave():
            event.ignore()
            return
        self.keep_layout()
        self.strip.stop()
        if self.charts is not None:
            self.charts.close()
        self.hide()
        self.session.document.drop_recovery()
        self.session.close()
        event.accept()

    # Dropped files

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:  # noqa: N802
        """Take job files."""
        names = [url.toLocalFile() for url in event.mimeData().urls()]
        if self.furnished and any(name.endswith(_SUFFIX) for name in names):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:  # noqa: N802
        """Open the first job file that was dropped."""
        for url in event.mimeData().urls():
            if url.toLocalFile().endswith(_SUFFIX):
                event.acceptProposedAction()
                path = Path(url.toLocalFile())
                QTimer.singleShot(0, self, partial(self.files.open_path, path))
                return

    # Colours

    def _platform_changed(self, *_: object) -> None:
        self._platform_dark = QGuiApplication.styleHints().colorScheme().name == "Dark"
        self.apply_theme()

    def apply_theme(self) -> None:
        """Take the theme that is set; "system" follows the platform."""
        choice = (self.session if self.furnished else self).settings.theme
        dark = self._platform_dark if choice == "system" else choice == "dark"
        self.theme = DARK if dark else LIGHT
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.setPalette(palette(self.theme))
        if not self.furnished:
            return
        self.setStyleSheet(style_sheet(self.theme))
        for panel in (self.board_panel, self.findings_panel, self.strip):
            panel.set_theme(self.theme)
        if self.charts is not None:
            self.charts.set_theme(self.theme)
        self.menus.check(f"theme_{choice}")


def _named(step: str) -> str:
    return f": {step}" if step else ""
