"""All commands of the desk in one table: menu, words, keys, and what they do. No Qt.

A key is a name of the platform's own standard (``std:Save``) or a key sequence. What a command
does is the dotted name of a method of the main window.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

__all__ = ["COMMANDS", "MENUS", "SEPARATOR", "Command", "Enabled"]

Enabled = Literal["always", "plan", "section", "setups", "undo", "redo"]
"""What must be there for a command to be offered."""


@dataclass(frozen=True, slots=True)
class Command:
    """One entry of a menu."""

    menu: str
    words: str
    action: str
    keys: str = ""
    when: Enabled = "always"
    group: str = ""
    """Commands of one group exclude one another, and show which holds."""
    submenu: str = ""
    """Filled while it opens: "recent" or "demo"."""


MENUS: Final = ("&File", "&Edit", "&Draw", "&Blank", "&Passes", "&View", "&Help")
"""Their names; Alt and the underlined letter opens one."""
SEPARATOR: Final = "-"


def _line(menu: str) -> Command:
    return Command(menu, SEPARATOR, "")


COMMANDS: Final[tuple[Command, ...]] = (
    Command("File", "&New part", "files.new", "std:New"),
    Command("File", "New part in inc&hes", "files.new_inch"),
    Command("File", "&Open …", "files.open", "std:Open"),
    Command("File", "Open &recent", "", submenu="recent"),
    _line("File"),
    Command("File", "&Save", "files.save", "std:Save"),
    Command("File", "Save &as …", "files.save_as", "Ctrl+Shift+S"),
    _line("File"),
    Command("File", "Pass sheet as &PDF …", "exports.pdf", "Ctrl+E", "plan"),
    Command("File", "Passes as table (&CSV) …", "exports.csv", "", "plan"),
    Command("File", "P&icture …", "exports.picture", "", "plan"),
    _line("File"),
    Command("File", "Print pre&view", "exports.preview", "Ctrl+Shift+P", "plan"),
    Command("File", "Prin&t …", "exports.print", "std:Print", "plan"),
    Command("File", "Sheet on A&4", "paper_a4", group="paper"),
    Command("File", "Sheet on &Letter", "paper_letter", group="paper"),
    _line("File"),
    Command("File", "Clos&e", "close", "std:Quit"),
    Command("Edit", "&Undo", "undo", "std:Undo", "undo"),
    Command("Edit", "&Redo", "redo", "std:Redo", "redo"),
    _line("Edit"),
    Command("Edit", "&Insert a section before this one", "insert_section", "Ctrl+I", "section"),
    Command("Edit", "&Take this section out", "delete_section", "Ctrl+Del", "section"),
    Command("Draw", "&Choose and move", "mode_choose", "F6", group="mode"),
    Command("Draw", "&Draw the outline", "mode_draw", "F7", group="mode"),
    Command("Draw", "D&imension", "mode_dimension", "F8", group="mode"),
    _line("Draw"),
    Command("Draw", "&Outside", "chain_outside", "Ctrl+F6", group="chain"),
    Command("Draw", "Bore from the fro&nt", "chain_bore", "Ctrl+F7", group="chain"),
    Command("Draw", "&Bore from the back", "chain_bore_back", "Ctrl+F8", group="chain"),
    _line("Draw"),
    Command("Draw", "&Picture of the print below …", "lay_print_below"),
    Command("Draw", "&Scale and place of that picture", "mode_scale", group="mode"),
    Command("Draw", "&Fade or hide that picture", "fade_print"),
    Command("Draw", "Take that picture &away", "drop_print"),
    Command("Blank", "Take the &suggested blank", "suggest_blank", "Ctrl+B"),
    Command("Blank", "&Blank and holding", "go_blank", "Ctrl+2"),
    _line("Blank"),
    Command("Blank", "Set&ups", "go_setups", "Ctrl+8"),
    Command("Blank", "Add a setup: &pull the bar out", "add_pulled_out", "Ctrl+Shift+B"),
    Command("Blank", "Add a setup: &turn the part around", "add_turned", "Ctrl+Shift+T"),
    Command("Blank", "Add a setup: &hold the work again", "add_held_again"),
    Command("Blank", "&Next setup", "next_setup", "Alt+PgDown", "setups"),
    Command("Blank", "Setup be&fore", "previous_setup", "Alt+PgUp", "setups"),
    Command("Blank", "Move this setup &earlier", "setup_earlier", "Alt+Shift+Up", "setups"),
    Command("Blank", "Move this setup &later", "setup_later", "Alt+Shift+Down", "setups"),
    Command("Blank", "Take this setup &out", "remove_setup", "", "setups"),
    Command("Passes", "&Next pass", "next_pass", "Alt+Right", "plan"),
    Command("Passes", "Pass &before", "previous_pass", "Alt+Left", "plan"),
    Command("Passes", "To the b&lank", "first_pass", "Alt+Home", "plan"),
    Command("Passes", "To the &end", "last_pass", "Alt+End", "plan"),
    Command("Passes", "&Play or stop", "play", "F9", "plan"),
    _line("Passes"),
    Command("Passes", "&Operations", "go_operations", "Ctrl+5"),
    Command("Passes", "Operations as p&roposed", "propose_operations"),
    Command("Passes", "&Charts", "show_charts", "Ctrl+T", "plan"),
    Command("View", "&Fit the drawing", "fit", "Ctrl+0"),
    Command("View", "As &drawn", "view_drawn", "F3", group="side"),
    Command("View", "As one stands at the &lathe", "view_at_lathe", "F4", group="side"),
    _line("View"),
    Command("View", "From the &print", "go_print", "Ctrl+1"),
    Command("View", "&Board", "go_board", "Ctrl+3"),
    Command("View", "P&asses", "go_passes", "Ctrl+4"),
    Command("View", "Look at these fi&rst", "go_findings", "Ctrl+6"),
    Command("View", "&Job in pictures", "go_pictures", "Ctrl+7"),
    Command("View", "&Title block", "go_title", "Ctrl+9"),
    _line("View"),
    Command("View", "Colours of the &system", "theme_system", group="theme"),
    Command("View", "Li&ght", "theme_light", group="theme"),
    Command("View", "Dar&k", "theme_dark", group="theme"),
    Command("Help", "&Demo parts", "", submenu="demo"),
    Command("Help", "&Keys", "show_keys", "std:HelpContents"),
    _line("Help"),
    Command("Help", "&About TurnSketch", "show_about"),
)
