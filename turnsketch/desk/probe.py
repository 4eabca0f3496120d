"""Whether a window can be opened here: asked before Qt is, because Qt aborts beyond catching.

No Qt here. Only Linux needs the questions; elsewhere screen and libraries are always there.
"""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Mapping, Sequence
from importlib.util import find_spec
from pathlib import Path
from typing import Final

__all__ = ["LIBRARIES", "obstacle", "unloadable"]

Libraries = Sequence[tuple[str, str]]

LIBRARIES: Final[tuple[tuple[str, str], ...]] = (
    ("libEGL.so.1", "libegl1"),
    ("libGL.so.1", "libgl1"),
    ("libxkbcommon.so.0", "libxkbcommon0"),
    ("libfontconfig.so.1", "libfontconfig1"),
    ("libdbus-1.so.3", "libdbus-1-3"),
    ("libglib-2.0.so.0", "libglib2.0-0"),
)
"""Libraries of the system that Qt loads on any screen, and the packages that bring them."""

_X11_LIBRARIES: Final[Libraries] = (
    ("libxcb.so.1", "libxcb1"),
    ("libX11-xcb.so.1", "libx11-xcb1"),
    ("libxcb-cursor.so.0", "libxcb-cursor0"),
    ("libxcb-icccm.so.4", "libxcb-icccm4"),
    ("libxcb-image.so.0", "libxcb-image0"),
    ("libxcb-keysyms.so.1", "libxcb-keysyms1"),
    ("libxcb-randr.so.0", "libxcb-randr0"),
    ("libxcb-render-util.so.0", "libxcb-render-util0"),
    ("libxcb-shape.so.0", "libxcb-shape0"),
    ("libxcb-sync.so.1", "libxcb-sync1"),
    ("libxcb-xfixes.so.0", "libxcb-xfixes0"),
    ("libxcb-xkb.so.1", "libxcb-xkb1"),
    ("libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
)
_WAYLAND_LIBRARIES: Final[Libraries] = (
    ("libwayland-client.so.0", "libwayland-client0"),
    ("libwayland-cursor.so.0", "libwayland-cursor0"),
)

_WITHOUT_SCREEN: Final = frozenset({"offscreen", "minimal"})
_INSTEAD: Final = "without a screen use: turnsketch plan JOB --pdf sheet.pdf"
_SESSION: Final = f"start the desk from a graphical session; {_INSTEAD}"
_PATIENCE_S: Final = 2.0
_CHILD: Final = """
from PySide6.QtGui import QGuiApplication
raise SystemExit(QGuiApplication([]).primaryScreen() is None)
"""


def obstacle(
    environment: Mapping[str, str] | None = None, platform: str = sys.platform
) -> str | None:
    """Return why no window can be opened, with the remedy, in one sentence; None when one can.

    Parameters
    ----------
    environment : mapping, optional
        Environment variables; those of this process when omitted.
    platform : str
        As in `sys.platform`.
    """
    known = os.environ if environment is None else environment
    if find_spec("PySide6") is None:
        return "the desk needs PySide6, which is not installed: pip install PySide6-Essentials"
    if not platform.startswith("linux"):
        return None
    reasons = [_of_platform(name, known) for name in _platforms(known)]
    if None not in reasons:  # Qt tries one after the other
        return reasons[0] if reasons else _no_screen()
    return _missing(LIBRARIES)


def unloadable() -> str | None:
    """Return why Qt cannot be loaded, in one sentence with the remedy; None when it is."""
    try:
        import PySide6.QtWidgets  # noqa: F401
    except ImportError as error:
        return (
            f"the desk cannot load Qt ({error}): install that library of the system, or Qt again "
            f"with: pip install --force-reinstall PySide6-Essentials; {_INSTEAD}"
        )
    return None


def _platforms(known: Mapping[str, str]) -> list[str]:
    """Return the ways to a screen that Qt will try."""
    chosen = [part.partition(":")[0] for part in known.get("QT_QPA_PLATFORM", "").split(";")]
    if any(chosen):
        return [name for name in chosen if name]
    ways = (("wayland", "WAYLAND_DISPLAY"), ("xcb", "DISPLAY"))
    return [name for name, variable in ways if known.get(variable)]


def _of_platform(name: str, known: Mapping[str, str]) -> str | None:
    if name in _WITHOUT_SCREEN:
        return None
    if name == "xcb":
        return _of_x11(known.get("DISPLAY", ""))
    if name.startswith("wayland"):
        return _of_wayland(known)
    return _of_other(name, known)


def _no_screen() -> str:
    return f"there is no screen here (neither DISPLAY nor WAYLAND_DISPLAY is set): {_SESSION}"


def _of_x11(display: str) -> str | None:
    if not display:
        return _no_screen()
    if not _answers(display):
        return f'the screen "{display}" does not answer: check DISPLAY, or {_SESSION}'
    missing = _missing(_X11_LIBRARIES)
    if missing is None and not _lets_in(display):
        return (
            f'the screen "{display}" does not let this program in: check DISPLAY and XAUTHORITY, '
            f"or {_SESSION}"
        )
    return missing


def _of_wayland(known: Mapping[str, str]) -> str | None:
    name = known.get("WAYLAND_DISPLAY", "") or "wayland-0"
    place = Path(known.get("XDG_RUNTIME_DIR", "")) / name  # a whole path stays as it is
    if not known.get("WAYLAND_SOCKET") and not _connects(str(place)):
        return (
            f'the screen "{name}" does not answer: check WAYLAND_DISPLAY and XDG_RUNTIME_DIR, '
            f"or {_SESSION}"
        )
    return _missing(_WAYLAND_LIBRARIES)


def _of_other(name: str, known: Mapping[str, str]) -> str | None:
    """Let Qt itself try a way that few ask for, in a process that may be lost."""
    import subprocess

    try:
        done = subprocess.run(
            [sys.executable, "-c", _CHILD],
            env={**known, "QT_QPA_PLATFORM": name}, capture_output=True, timeout=20,
        )  # fmt: skip
    except (OSError, subprocess.TimeoutExpired):
        works = False
    else:
        works = done.returncode == 0
    if works:
        return None
    return f'Qt finds no screen by QT_QPA_PLATFORM "{name}": unset it, or {_SESSION}'


def _missing(libraries: Libraries) -> str | None:
    """Return which libraries are missing, with the packages to install; None when none is."""
    missing = [(name, package) for name, package in libraries if not _loads(name)]
    if not missing:
        return None
    names = ", ".join(name for name, _ in missing)
    packages = " ".join(package for _, package in missing)
    return (
        f"the desk needs libraries of the system that are missing ({names}): install them, "
        f"for example with: apt-get install {packages}"
    )


def _loads(name: str) -> bool:
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True


def _answers(display: str) -> bool:
    """Return whether an X server listens behind DISPLAY; an unusual form is left to `_lets_in`."""
    import re

    found = re.fullmatch(r"(?:unix)?([\w.-]*):(\d+)(?:\.\d+)?", display)
    if found is None:
        return True
    host, number = found.group(1), int(found.group(2))
    if host:
        return _connects((host, 6000 + number))
    name = f"/tmp/.X11-unix/X{number}"
    return _connects(name) or _connects("\0" + name)


def _connects(address: str | tuple[str, int]) -> bool:
    """Return whether somebody listens at the name of a socket, or at a host and port."""
    import socket

    family = socket.AF_UNIX if isinstance(address, str) else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as line:
        line.settimeout(_PATIENCE_S)
        try:
            line.connect(address)
        except OSError:
            return False
        return True


def _lets_in(display: str) -> bool:
    """Return whether the X server takes this program: it may ask for a cookie."""
    library = ctypes.CDLL("libxcb.so.1")
    library.xcb_connect.restype = ctypes.c_void_p
    library.xcb_connect.argtypes = [ctypes.c_char_p, ctypes.c_void_p]
    library.xcb_connection_has_error.argtypes = [ctypes.c_void_p]
    library.xcb_disconnect.argtypes = [ctypes.c_void_p]
    line = library.xcb_connect(display.encode(), None)
    taken = bool(library.xcb_connection_has_error(line) == 0)
    library.xcb_disconnect(line)
    return taken
