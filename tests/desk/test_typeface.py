"""A computer without a single typeface still shows words."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

_CHILD = """
from PySide6.QtGui import QRawFont
from PySide6.QtWidgets import QApplication
from turnsketch.desk.application import make_application
from turnsketch.desk.typeface import lend_typeface
application = make_application(["turnsketch"])
signs = "\\u00d8\\u25c0\\u25b6\\u25b2\\u25a0\\u25cf\\u26a0\\u221a\\u2212\\u2026\\u00b7\\u00b0"
def knows():
    raw = QRawFont.fromFont(QApplication.font())
    return len(set(raw.glyphIndexesForString(signs)) - {0}) == len(signs)
before = knows()
print(before, lend_typeface(), knows(), lend_typeface())
"""


def child(folder: Path, config: str) -> list[str]:
    (folder / "fonts.conf").write_text(config)
    environment = {
        **os.environ,
        "QT_QPA_PLATFORM": "offscreen",
        "FONTCONFIG_FILE": str(folder / "fonts.conf"),
    }
    done = subprocess.run(
        [sys.executable, "-c", _CHILD],
        env=environment, capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    return done.stdout.split()


def test_without_any_typeface_the_projects_own_is_lent_once(tmp_path: Path) -> None:
    assert child(tmp_path, "<fontconfig></fontconfig>") == ["False", "True", "True", "False"]
