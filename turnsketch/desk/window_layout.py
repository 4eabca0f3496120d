"""Where the panels stand in the window, and how that is remembered."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QSplitter, QVBoxLayout, QWidget

from turnsketch.document.settings import Settings

if TYPE_CHECKING:
    from PySide6.QtCore import Qt
    from PySide6.QtWidgets import QLabel

    from turnsketch.desk.board_panel import BoardPanel
    from turnsketch.desk.findings_panel import FindingsPanel
    from turnsketch.desk.holding_panel import HoldingPanel
    from turnsketch.desk.pass_panel import PassPanel
    from turnsketch.desk.print_panel import PrintPanel
    from turnsketch.desk.session import Session
    from turnsketch.desk.strip import StripPanel

__all__ = ["WindowLayout"]

_GAP = 9


class WindowLayout:
    """The part of the main window that lays it out."""

    session: Session
    settings: Settings
    board_panel: BoardPanel
    print_panel: PrintPanel
    holding_panel: HoldingPanel
    pass_panel: PassPanel
    findings_panel: FindingsPanel
    strip: StripPanel
    _corner: QLabel

    def lay_out(self) -> None:
        """Put the panels into their dividers."""
        from PySide6.QtCore import Qt

        self.left = _split(Qt.Orientation.Vertical, self.print_panel, self.holding_panel)
        self.right = _split(Qt.Orientation.Vertical, self.pass_panel, self.findings_panel)
        self.top = _split(Qt.Orientation.Horizontal, self.left, self.board_panel, self.right)
        self.outer = _split(Qt.Orientation.Vertical, self.top, self.strip)
        self.top.setStretchFactor(1, 1)
        self.left.setStretchFactor(0, 1)
        self.right.setStretchFactor(0, 1)
        self.outer.setStretchFactor(0, 1)
        ground = QWidget()
        ground.setObjectName("ground")
        body = QVBoxLayout(ground)
        body.setContentsMargins(12, 2, 12, 12)
        body.addWidget(self.outer)
        self._window.setCentralWidget(ground)

    def add_corner(self) -> None:
        """Show the name and the state of the job at the right end of the menu bar."""
        from PySide6.QtCore import Qt

        corner = self._corner_box = QWidget()
        line = QVBoxLayout(corner)
        line.setContentsMargins(0, 4, 16, 0)
        line.addWidget(self._corner)
        self._window.menuBar().setCornerWidget(corner, Qt.Corner.TopRightCorner)

    @property
    def splitters(self) -> dict[str, QSplitter]:
        """The dividers by the names under which they are remembered."""
        return {"left": self.left, "right": self.right, "top": self.top, "outer": self.outer}

    def restore_geometry(self) -> None:
        """Take the window's place of the last time."""
        layout = self.settings.layout
        if not ("window" in layout and self._window.restoreGeometry(layout["window"])):
            room = QGuiApplication.primaryScreen().availableGeometry()
            self._window.resize(min(1600, room.width()), min(1000, room.height()))

    def restore_splitters(self) -> None:
        """Take the dividers' places of the last time."""
        layout = self.settings.layout
        for name, splitter in self.splitters.items():
            if not (name in layout and splitter.restoreState(layout[name])):
                self.usual_sizes(name, splitter)

    def usual_sizes(self, name: str, splitter: QSplitter) -> None:
        """Give a divider the places that suit most screens."""
        letter = self._window.fontMetrics().averageCharWidth()
        wide = self._window.width() > 220 * letter  # room enough for longer names at the left
        left = (70 if wide else 60) * letter
        sizes = {
            "left": [10_000, self.holding_panel.sizeHint().height()],
            "right": [380, 205],
            "top": [left, max(400, self._window.width() - left - 74 * letter), 72 * letter],
            "outer": [self._window.height() - 190, 165],
        }
        splitter.setSizes(sizes[name])

    def keep_layout(self) -> None:
        """Remember the places of window and dividers."""
        import msgspec

        session = self.session
        layout = {"window": bytes(self._window.saveGeometry().data())}
        layout |= {n: bytes(s.saveState().data()) for n, s in self.splitters.items()}
        settings = msgspec.structs.replace(session.settings, layout=layout, started_before=True)
        session.settings = settings.saved(session.folder)

    @property
    def _window(self) -> Any:
        return self


def _split(direction: Qt.Orientation, *widgets: QWidget) -> QSplitter:
    made = QSplitter(direction)
    made.setHandleWidth(_GAP)
    made.setChildrenCollapsible(False)
    for widget in widgets:
        made.addWidget(widget)
    return made
