"""What the Draw menu does with the window: ways of working, what is drawn, the print below."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from turnsketch.desk.text import tr

if TYPE_CHECKING:
    from turnsketch.desk.board_panel import BoardPanel, Mode
    from turnsketch.desk.session import Session

__all__ = ["DrawCommands"]


class DrawCommands:
    """Methods of the main window, one for each command of the Draw menu."""

    session: Session
    board_panel: BoardPanel

    def mode_choose(self) -> None:
        """Choose and move things on the board."""
        self._set_mode("choose")

    def mode_draw(self) -> None:
        """Draw the outline."""
        self._set_mode("draw")

    def mode_dimension(self) -> None:
        """Pick things and type the print's text."""
        self._set_mode("dimension")

    def chain_outside(self) -> None:
        """Type and draw the outside."""
        self.session.choose_table("outside")

    def chain_bore(self) -> None:
        """Type and draw the bore from the front."""
        self.session.choose_table("bore")

    def chain_bore_back(self) -> None:
        """Type and draw the bore from the back."""
        self.session.choose_table("bore_back")

    def mode_scale(self) -> None:
        """Set the scale of the picture below: two clicks, then the length between them."""
        self._set_mode("scale")

    def lay_print_below(self) -> None:
        """Lay a scanned or photographed print under the drawing; the file is not copied."""
        from turnsketch.desk.dialogs import ask_open_path, complain
        from turnsketch.errors import InputError

        kinds = tr("Pictures") + " (*.png *.jpg *.jpeg)"
        title = tr("Picture of the print")
        path = ask_open_path(self._window, title, self._window.files.folder, kinds)
        if path is None:
            return
        try:
            self.board_panel.board.lay_underlay(path)
        except InputError as error:
            complain(self._window, error.what, error.where)
            return
        self._set_mode("scale")

    def fade_print(self) -> None:
        """Make the picture below fainter, then hide it, then show it again."""
        underlay = self.board_panel.board.underlay
        steps = (1.0, 0.45, 0.2, 0.0)
        weaker = [step for step in steps if step < underlay.opacity() - 0.01]
        underlay.setOpacity(weaker[0] if weaker else steps[0])

    def drop_print(self) -> None:
        """Take the picture below away."""
        self.board_panel.board.set_underlay(None)

    def _set_mode(self, mode: Mode) -> None:
        self.board_panel.board.set_mode(mode)
        self.board_panel.board.setFocus()

    @property
    def _window(self) -> Any:
        return self
