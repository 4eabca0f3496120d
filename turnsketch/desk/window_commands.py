"""What the menus do with the window; the table of commands names these methods."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from turnsketch.desk.draw_commands import DrawCommands
from turnsketch.desk.text import tr

if TYPE_CHECKING:
    from turnsketch.desk.board_panel import BoardPanel
    from turnsketch.desk.charts import ChartsWindow
    from turnsketch.desk.findings_panel import FindingsPanel
    from turnsketch.desk.holding_panel import HoldingPanel
    from turnsketch.desk.pass_panel import PassPanel
    from turnsketch.desk.print_panel import PrintPanel
    from turnsketch.desk.session import Session
    from turnsketch.desk.strip import StripPanel
    from turnsketch.desk.theme import Theme
    from turnsketch.document.settings import ThemeChoice

__all__ = ["WindowCommands"]


class WindowCommands(DrawCommands):
    """Methods of the main window, one for each command that is not about files."""

    session: Session
    theme: Theme
    charts: ChartsWindow | None
    print_panel: PrintPanel
    holding_panel: HoldingPanel
    board_panel: BoardPanel
    pass_panel: PassPanel
    findings_panel: FindingsPanel
    strip: StripPanel

    # Edit

    def undo(self) -> None:
        """Go one step back."""
        self.session.undo_stack.undo()

    def redo(self) -> None:
        """Go one step forward again."""
        self.session.undo_stack.redo()

    def insert_section(self) -> None:
        """Put a section before the chosen one."""
        if self.session.section:
            self.print_panel.tables.insert_before(self.session.section)

    def delete_section(self) -> None:
        """Take the chosen section out."""
        self.print_panel.tables.delete_chosen()

    # Blank and passes

    def suggest_blank(self) -> None:
        """Take the bar, length and grip that the program would take."""
        self.holding_panel.take_suggestion()

    def add_pulled_out(self) -> None:
        """Add a setup in which the bar is pulled out."""
        self._add_setup(0)

    def add_turned(self) -> None:
        """Add a setup in which the part is turned around."""
        self._add_setup(1)

    def add_held_again(self) -> None:
        """Add a setup that holds the work again."""
        self._add_setup(2)

    def _add_setup(self, way: int) -> None:
        from turnsketch.desk.setup_bar import add_after
        from turnsketch.desk.setup_edits import WAYS

        add_after(self.session, WAYS[way])

    def remove_setup(self) -> None:
        """Take the setup on show out of the job."""
        from turnsketch.desk.setup_bar import remove_shown

        remove_shown(self.session)

    def setup_earlier(self) -> None:
        """Move the setup on show to an earlier place."""
        self._move_setup(-1)

    def setup_later(self) -> None:
        """Move the setup on show to a later place."""
        self._move_setup(1)

    def _move_setup(self, by: int) -> None:
        from turnsketch.desk.setup_bar import move_shown

        move_shown(self.session, by)

    def next_setup(self) -> None:
        """Show the next setup from its blank on."""
        self.session.choose_setup(self.session.setup + 1)

    def previous_setup(self) -> None:
        """Show the setup before."""
        self.session.choose_setup(self.session.setup - 1)

    def next_pass(self) -> None:
        """Go one pass on."""
        self.strip.step(1)

    def previous_pass(self) -> None:
        """Go one pass back."""
        self.strip.step(-1)

    def first_pass(self) -> None:
        """Show the blank."""
        self.session.go_to(0)

    def last_pass(self) -> None:
        """Show the finished part."""
        self.session.go_to(len(self.session.passes))

    def play(self) -> None:
        """Play the passes, or stop."""
        self.strip.toggle_play()

    def propose_operations(self) -> None:
        """Give the list of operations back to the program."""
        from turnsketch.desk.operation_edits import with_list

        session = self.session
        session.edit(with_list(session.job, None, session.setup), tr("Operations as proposed"))

    def show_charts(self) -> None:
        """Open the window with the charts."""
        if self.charts is None:
            from turnsketch.desk.charts import ChartsWindow

            self.charts = ChartsWindow(self.session, self._window)
        self.charts.set_theme(self.theme)
        self.charts.show()
        self.charts.raise_()

    # View

    def fit(self) -> None:
        """Show the whole drawing."""
        self.board_panel.board.fit()

    def view_drawn(self) -> None:
        """Show the work as a drawing shows it."""
        self.board_panel.board.set_stand_at_lathe(False)

    def view_at_lathe(self) -> None:
        """Show the work as one stands at the lathe."""
        self.board_panel.board.set_stand_at_lathe(True)

    def go_print(self) -> None:
        """Take the keyboard to the table of sections."""
        table = self.print_panel.tables.table
        table.setFocus()
        if not table.currentIndex().isValid():
            table.start()

    def go_blank(self) -> None:
        """Take the keyboard to the blank."""
        self.holding_panel.diameter.setFocus()
        self.holding_panel.diameter.selectAll()

    def go_title(self) -> None:
        """Take the keyboard to the title block; Tab goes on from field to field."""
        self.board_panel.board.fields.edit_title("title")

    def go_board(self) -> None:
        """Take the keyboard to the board."""
        self.board_panel.board.setFocus()

    def go_setups(self) -> None:
        """Take the keyboard to the setups."""
        self.holding_panel.setups.choice.setFocus()

    def go_passes(self) -> None:
        """Take the keyboard to the passes."""
        self.pass_panel.focus_page(0)

    def go_operations(self) -> None:
        """Take the keyboard to the operations."""
        self.pass_panel.focus_page(1)

    def go_findings(self) -> None:
        """Take the keyboard to the findings."""
        panel = self.findings_panel
        panel.list.setFocus()
        if panel.list.currentRow() < 0 and panel.findings:
            panel.list.setCurrentRow(0)

    def go_pictures(self) -> None:
        """Take the keyboard to the job in pictures."""
        self.strip.row.setFocus()

    def theme_system(self) -> None:
        """Follow the platform's colours."""
        self._set_theme("system")

    def theme_light(self) -> None:
        """Ink on paper."""
        self._set_theme("light")

    def theme_dark(self) -> None:
        """For a dim room."""
        self._set_theme("dark")

    def paper_a4(self) -> None:
        """Write and print the pass sheet on A4."""
        self._set_paper("A4")

    def paper_letter(self) -> None:
        """Write and print the pass sheet on Letter."""
        self._set_paper("Letter")

    def _set_paper(self, paper: Literal["A4", "Letter"]) -> None:
        import msgspec

        session = self.session
        session.settings = msgspec.structs.replace(session.settings, paper=paper)
        session.settings.saved(session.folder)

    def _set_theme(self, choice: ThemeChoice) -> None:
        import msgspec

        session = self.session
        session.settings = msgspec.structs.replace(session.settings, theme=choice)
        session.settings.saved(session.folder)
        self._window.apply_theme()

    # Help

    def show_keys(self) -> None:
        """Show all keys."""
        from turnsketch.desk.about import KeysBox

        KeysBox(self._window).exec()

    def show_about(self) -> None:
        """Show what the program is made of."""
        from turnsketch.desk.about import AboutBox

        AboutBox(self._window).exec()
