"""Until the first paint only msgspec, the standard library and PySide6 are imported."""

from __future__ import annotations

import os
import subprocess
import sys

_FIRST_PAINT = """
import sys
from PySide6.QtWidgets import QApplication
app = QApplication([])
from turnsketch.desk.board import Board
from turnsketch.desk.theme import DARK
from turnsketch.document.demo import load_demo
board = Board()
board.resize(800, 600)
board.set_theme(DARK)
board.show_job(load_demo("knob"), None)
board.show()
app.processEvents()
assert not board.grab().isNull()
assert len(board.drawing.elements) == 5
heavy = {"numpy", "shapely", "matplotlib", "reportlab", "scipy"}
print(sorted(heavy & {name.partition(".")[0] for name in sys.modules}))
"""


def test_the_first_paint_needs_no_array_and_no_geometry_library() -> None:
    told = subprocess.run(
        [sys.executable, "-c", _FIRST_PAINT],
        capture_output=True,
        text=True,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        check=True,
        timeout=60,
    )
    assert told.stdout.strip() == "[]"
