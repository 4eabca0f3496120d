"""What is imported until the window has been painted for the first time, and what comes after."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

_CHILD = """
import json, sys
from pathlib import Path
from PySide6.QtCore import QTimer
from turnsketch.desk.application import make_application, start_window
application = make_application(["turnsketch"])
window = start_window(Path(sys.argv[1]))
state = {}
furnish, drawn = window.furnish, window._drawn
def bare_painted(session, **options):
    state["first paint"] = sorted(sys.modules)
    furnish(session, **options)
def outline_painted(hint):
    state["outline painted"] = sorted(sys.modules)
    drawn(hint)
    window.session.planned.connect(planned)
def planned(answer):
    state["planned"] = sorted(sys.modules)
    state["hint"] = window.board_panel.message.words.text()
    QTimer.singleShot(0, application.quit)
window.furnish, window._drawn = bare_painted, outline_painted
application.exec()
window.close()
print(json.dumps(state))
"""
_OF_QT = {"PySide6", "shiboken6", "shibokensupport", "signature_bootstrap", "typing_extensions"}
"""`typing_extensions` is what the binding of Qt asks for when it is installed."""


def test_until_the_first_paint_only_msgspec_and_qt_are_imported(tmp_path: Path) -> None:
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run(
        [sys.executable, "-c", _CHILD, str(tmp_path)],
        env=environment, capture_output=True, text=True, timeout=120, check=True,
    )  # fmt: skip
    state = json.loads(done.stdout.splitlines()[-1])
    allowed = {"turnsketch", "msgspec", "__main__", *_OF_QT, *sys.stdlib_module_names}
    for moment in ("first paint", "outline painted"):
        tops = {name.partition(".")[0] for name in state[moment]} - allowed
        foreign = {t for t in tops if not t.startswith("_") and t != "sitecustomize"}
        assert not foreign, moment
    after = {name.partition(".")[0] for name in state["planned"]}
    assert {"numpy", "shapely"} <= after
    assert not {"matplotlib", "reportlab", "ezdxf"} & after, "those wait for their first use"
    assert state["hint"].count("\n") == 1, "the first start has a hint of two lines"
