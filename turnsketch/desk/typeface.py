"""The project's own typeface, for a computer that has none: words instead of empty boxes."""

from __future__ import annotations

from importlib.resources import files

from PySide6.QtCore import QByteArray
from PySide6.QtGui import QFontDatabase, QFontInfo
from PySide6.QtWidgets import QApplication

__all__ = ["lend_typeface"]

_FILES = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")


def lend_typeface() -> bool:
    """Write in the typeface that lies in the resources where the platform has none at all.

    The size stays the platform's.

    Returns
    -------
    bool
        Whether it was lent.
    """
    font = QApplication.font()
    if QFontInfo(font).family():  # no name: Qt has found nothing and draws boxes
        return False
    fonts = files("turnsketch.resources") / "fonts"
    for name in _FILES:
        data = QByteArray((fonts / name).read_bytes())
        families = QFontDatabase.applicationFontFamilies(
            QFontDatabase.addApplicationFontFromData(data)
        )
        if not families:
            return False
        font.setFamily(families[0])
    QApplication.setFont(font)
    return True
