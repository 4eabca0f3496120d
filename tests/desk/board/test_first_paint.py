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


_EVERY_PART = """
import sys
from PySide6.QtWidgets import QApplication
app = QApplication([])
from turnsketch.desk.board import Board
from turnsketch.document.demo import demo_names, load_demo
for name in demo_names():
    board = Board()
    board.resize(800, 600)
    board.show_job(load_demo(name), None)
    board.show()
    app.processEvents()
    assert not board.grab().isNull()
heavy = {"numpy", "shapely", "matplotlib", "reportlab", "scipy"}
print(sorted(heavy & {name.partition(".")[0] for name in sys.modules}))
"""


def _heavy_after(code: str) -> str:
    """Return which heavy libraries a process of its own has loaded after some code."""
    told = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        check=True,
        timeout=60,
    )
    return told.stdout.strip()


def test_the_first_paint_needs_no_array_and_no_geometry_library() -> None:
    assert _heavy_after(_FIRST_PAINT) == "[]"


def test_the_first_paint_of_any_part_needs_no_array() -> None:
    assert _heavy_after(_EVERY_PART) == "[]"
