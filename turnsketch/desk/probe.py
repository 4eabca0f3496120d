"""Whether a window can be opened here: asked before Qt is, because Qt aborts beyond catching.

No Qt here. Only Linux needs the questions; elsewhere screen and libraries are always there.
"""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Mapping
from importlib.util import find_spec
from typing import Final

__all__ = ["LIBRARIES", "obstacle"]

LIBRARIES: Final[tuple[tuple[str, str], ...]] = (
    ("libEGL.so.1", "libegl1"),
    ("libGL.so.1", "libgl1"),
    ("libxkbcommon.so.0", "libxkbcommon0"),
    ("libfontconfig.so.1", "libfontconfig1"),
    ("libdbus-1.so.3", "libdbus-1-3"),
    ("libglib-2.0.so.0", "libglib2.0-0"),
)
"""Libraries of the system that Qt loads on any screen, and the packages that bring them."""

_X11_LIBRARIES: Final[tuple[tuple[str, str], ...]] = (
    ("libxcb-cursor.so.0", "libxcb-cursor0"),
    ("libxcb-icccm.so.4", "libxcb-icccm4"),
    ("libxcb-image.so.0", "libxcb-image0"),
    ("libxcb-keysyms.so.1", "libxcb-keysyms1"),
    ("libxcb-render-util.so.0", "libxcb-render-util0"),
    ("libxcb-shape.so.0", "libxcb-shape0"),
    ("libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
)

_WITHOUT_SCREEN: Final = frozenset(
    {"offscreen", "minimal", "vnc", "linuxfb", "eglfs", "vkkhrdisplay"}
)
_INSTEAD: Final = "without a screen use: turnsketch plan JOB --pdf sheet.pdf"


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
    chosen = known.get("QT_QPA_PLATFORM", "").partition(":")[0].partition(";")[0]
    needed = LIBRARIES
    if chosen not in _WITHOUT_SCREEN:
        display, wayland = known.get("DISPLAY", ""), known.get("WAYLAND_DISPLAY", "")
        if not display and not wayland:
            return (
                "there is no screen here (neither DISPLAY nor WAYLAND_DISPLAY is set): "
                f"start the desk from a graphical session; {_INSTEAD}"
            )
        if not wayland or chosen == "xcb":
            if not _answers(display):
                return (
                    f'the screen "{display}" does not answer: check DISPLAY, or start the desk '
                    f"from a graphical session; {_INSTEAD}"
                )
            needed = (*LIBRARIES, *_X11_LIBRARIES)
    missing = [(name, package) for name, package in needed if not _loads(name)]
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
    """Return whether an X server listens behind DISPLAY; an unusual form is left to Qt."""
    import re
    import socket

    found = re.fullmatch(r"(?:unix)?([\w.-]*):(\d+)(?:\.\d+)?", display)
    if found is None:
        return True
    host, number = found.group(1), int(found.group(2))
    tries: list[tuple[int, str | tuple[str, int]]] = []
    if not host:
        name = f"/tmp/.X11-unix/X{number}"
        tries = [(socket.AF_UNIX, name), (socket.AF_UNIX, "\0" + name)]
    else:
        tries = [(socket.AF_INET, (host, 6000 + number))]
    for family, address in tries:
        with socket.socket(family, socket.SOCK_STREAM) as line:
            line.settimeout(2.0)
            try:
                line.connect(address)
            except OSError:
                continue
            return True
    return False
