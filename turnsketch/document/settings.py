"""What the desk remembers between two starts: a plain JSON file in the user's own folder."""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path
from typing import Final, Literal

import msgspec

from turnsketch.errors import InputError

__all__ = ["FOLDER_VARIABLE", "Settings", "ThemeChoice", "config_folder", "load_settings"]

ThemeChoice = Literal["system", "light", "dark"]

FOLDER_VARIABLE: Final = "TURNSKETCH_CONFIG"
"""Environment variable that names another folder (tests, a stick that is carried about)."""

_MOST_RECENT: Final = 8
_FILE: Final = "desk.json"


class Settings(msgspec.Struct, frozen=True):
    """Remembered things. Frozen: a change makes a new value, `saved` puts it on the disk."""

    recent: tuple[str, ...] = ()
    """Job files, the last one first."""
    theme: ThemeChoice = "system"
    layout: dict[str, bytes] = {}
    """States of the window and of its dividers, as the screen's library writes them."""
    lathe: str = ""
    """Last choices, for the next new job; empty: the first of the shop file."""
    device: str = ""
    material: str = ""
    units: Literal["mm", "inch"] = "mm"
    paper: Literal["A4", "Letter"] = "A4"
    started_before: bool = False

    def with_recent(self, path: str | os.PathLike[str]) -> Settings:
        """Return them with `path` as the last file."""
        new = os.path.abspath(path)
        kept = [other for other in self.recent if other != new]
        return msgspec.structs.replace(self, recent=(new, *kept)[:_MOST_RECENT])

    def without_recent(self, path: str) -> Settings:
        """Return them without a file that is there no more."""
        return msgspec.structs.replace(self, recent=tuple(p for p in self.recent if p != path))

    def saved(self, folder: Path) -> Settings:
        """Write them into `folder` and return them; a disk that refuses is borne in silence."""
        from turnsketch.document.files import write_bytes  # the first paint does without it

        with contextlib.suppress(OSError, InputError):
            folder.mkdir(parents=True, exist_ok=True)
            write_bytes(msgspec.json.format(msgspec.json.encode(self)), folder / _FILE)
        return self


def config_folder() -> Path:
    """Return the folder for settings and recovery copies, after the platform's custom."""
    named = os.environ.get(FOLDER_VARIABLE)
    if named:
        return Path(named)
    if sys.platform == "win32":
        base = Path(os.environ.get("APPDATA") or Path.home() / "AppData" / "Roaming")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Application Support"
    else:
        base = Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config")
    return base / "turnsketch"


def load_settings(folder: Path) -> Settings:
    """Return the settings that stand in `folder`; fresh ones when there are none that read."""
    try:
        return msgspec.json.decode((folder / _FILE).read_bytes(), type=Settings)
    except (OSError, msgspec.MsgspecError):
        return Settings()
