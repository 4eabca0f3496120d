"""All commands of the desk in one table: menu, words, keys, and what they do. No Qt.

A key is a name of the platform's own standard (``std:Save``) or a key sequence. What a command
does is the dotted name of a method of the main window.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

__all__ = ["COMMANDS", "MENUS", "SEPARATOR", "Command", "Enabled"]

Enabled = Literal["always", "plan", "section", "undo", "redo"]
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


MENUS: Final = ("File", "Edit", "Draw", "Blank", "Passes", "View", "Help")
SEPARATOR: Final = "-"


def _line(menu: str) -> Command:
    return Command(menu, SEPARATOR, "")


COMMANDS: Final[tuple[Command, ...]] = (
    Command("File", "&New part", "files.new", "std:New"),
    Command("File", "New part in &inches", "files.new_inch"),
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
    _line("File"),
    Command("File", "&Close", "close", "std:Quit"),
    Command("Edit", "&Undo", "undo", "std:Undo", "undo"),
    Command("Edit", "&Redo", "redo", "std:Redo", "redo"),
    _line("Edit"),
    Command("Edit", "&Insert a section before this one", "insert_section", "Ctrl+I", "section"),
    Command("Edit", "&Take this section out", "delete_section", "Ctrl+Del", "section"),
    Command("Draw", "&Choose and move", "mode_choose", "F6", group="mode"),
    Command("Draw", "&Draw the outline", "mode_draw", "F7", group="mode"),
    Command("Draw", "D&imension", "mode_dimension", "F8", group="mode"),
    _line("Draw"),
    Command("Draw", "&Picture of the print below …", "lay_print_below"),
    Command("Draw", "&Scale of that picture", "mode_scale", group="mode"),
    Command("Draw", "&Fade or hide that picture", "fade_print"),
    Command("Blank", "Take the &suggested blank", "suggest_blank", "Ctrl+B"),
    Command("Blank", "&Blank and holding", "go_blank", "Ctrl+2"),
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
    Command("View", "&Look at these first", "go_findings", "Ctrl+6"),
    Command("View", "&Job in pictures", "go_pictures", "Ctrl+7"),
    _line("View"),
    Command("View", "Colours of the &system", "theme_system", group="theme"),
    Command("View", "Li&ght", "theme_light", group="theme"),
    Command("View", "Dar&k", "theme_dark", group="theme"),
    Command("Help", "&Demo parts", "", submenu="demo"),
    Command("Help", "&Keys", "show_keys", "std:HelpContents"),
    _line("Help"),
    Command("Help", "&About TurnSketch", "show_about"),
)
