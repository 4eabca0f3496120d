from __future__ import annotations

import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from turnsketch.desk import probe
from turnsketch.desk.probe import obstacle, unloadable


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


def test_a_screen_that_does_not_let_the_program_in_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(probe, "_answers", lambda display: True)
    monkeypatch.setattr(probe, "_loads", lambda name: True)
    monkeypatch.setattr(probe, "_lets_in", lambda display: False)
    said = obstacle({"DISPLAY": ":0"}, "linux")
    assert said is not None
    assert "XAUTHORITY" in said
    monkeypatch.setattr(probe, "_lets_in", lambda display: True)
    assert obstacle({"DISPLAY": ":0"}, "linux") is None


def test_a_wayland_screen_is_asked_at_its_socket(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    known = {"WAYLAND_DISPLAY": "way-7", "XDG_RUNTIME_DIR": str(tmp_path)}
    monkeypatch.setattr(probe, "_loads", lambda name: True)
    said = obstacle(known, "linux")
    assert said is not None
    assert "way-7" in said
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as screen:
        monkeypatch.chdir(tmp_path)  # the name of a socket must be short
        screen.bind("way-7")
        screen.listen()
        assert obstacle({**known, "XDG_RUNTIME_DIR": "."}, "linux") is None
        monkeypatch.setattr(probe, "_loads", lambda name: "wayland" not in name)
        said = obstacle({**known, "XDG_RUNTIME_DIR": "."}, "linux")
    assert said is not None
    assert "libwayland-client0" in said


def test_where_the_first_way_fails_the_second_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(probe, "_of_x11", lambda display: None)
    monkeypatch.setattr(probe, "_missing", lambda libraries: None)
    assert obstacle({"WAYLAND_DISPLAY": "none-here", "DISPLAY": ":0"}, "linux") is None
    assert obstacle({"WAYLAND_DISPLAY": "none-here"}, "linux") is not None


@pytest.mark.parametrize("display", ["rubbish", "", ":732"])
def test_qt_is_not_started_for_a_name_that_leads_nowhere(
    display: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(probe, "_loads", lambda name: True)
    monkeypatch.setattr(probe, "_lets_in", lambda display: False)
    assert obstacle({"DISPLAY": display, "QT_QPA_PLATFORM": "xcb"}, "linux") is not None


def test_a_platform_that_qt_does_not_know_is_told() -> None:
    said = obstacle({**os.environ, "QT_QPA_PLATFORM": "nonsense"}, "linux")
    assert said is not None
    assert "nonsense" in said
    assert obstacle({**os.environ, "QT_QPA_PLATFORM": "nonsense;offscreen"}, "linux") is None


def test_a_qt_that_does_not_load_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    assert unloadable() is None
    monkeypatch.setitem(sys.modules, "PySide6.QtWidgets", None)
    said = unloadable()
    assert said is not None
    assert "pip install" in said


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
