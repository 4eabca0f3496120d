from __future__ import annotations

import os
import subprocess
import sys

import pytest

from turnsketch.desk import probe
from turnsketch.desk.probe import obstacle


def test_offscreen_nothing_is_in_the_way() -> None:
    assert obstacle({"QT_QPA_PLATFORM": "offscreen"}, "linux") is None


def test_without_a_screen_one_sentence_says_so_with_the_remedy() -> None:
    said = obstacle({}, "linux")
    assert said is not None
    assert "no screen" in said
    assert "turnsketch plan" in said
    assert obstacle({}, "win32") is None


def test_a_screen_that_does_not_answer_is_told() -> None:
    said = obstacle({"DISPLAY": ":731"}, "linux")
    assert said is not None
    assert ":731" in said


def test_missing_libraries_are_named_with_their_packages(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(probe, "_loads", lambda name: name != "libEGL.so.1")
    said = obstacle({"QT_QPA_PLATFORM": "offscreen"}, "linux")
    assert said is not None
    assert "libEGL.so.1" in said
    assert "apt-get install libegl1" in said


def test_the_command_line_says_it_in_one_line_with_status_2() -> None:
    kept = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    kept["QT_QPA_PLATFORM"] = "xcb"
    done = subprocess.run(
        [sys.executable, "-m", "turnsketch"], env=kept, capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert done.stderr.startswith("turnsketch: there is no screen here")
