"""The two workers: what the print says comes at once, the newest plan wins, both end."""

from __future__ import annotations

import threading

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from turnsketch.desk import background
from turnsketch.desk.background import Answer, Background
from turnsketch.document.demo import load_demo
from turnsketch.document.edits import set_length
from turnsketch.shop.files import demo_shop

PIN = load_demo("stepped_pin")


def test_a_part_is_solved_while_an_older_plan_is_on_its_way(
    qapp: QApplication, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, go_on = threading.Event(), threading.Event()
    real = background._planned

    def slow(planner: object, known: Answer) -> Answer:
        begun.set()
        assert go_on.wait(20)
        return real(planner, known)  # type: ignore[arg-type]

    monkeypatch.setattr(background, "_planned", slow)
    workers, solved, planned = Background(demo_shop()), list[Answer](), list[Answer]()
    workers.resolved.connect(solved.append)
    workers.answered.connect(planned.append)
    workers.ask(PIN)
    assert begun.wait(20)
    newer = set_length(PIN, 2, "40")
    number = workers.ask(newer)
    qtbot.waitUntil(lambda: any(a.number == number for a in solved), timeout=10_000)
    assert solved[-1].part is not None
    assert solved[-1].part.total_length == pytest.approx(70.0)
    assert planned == []
    go_on.set()
    qtbot.waitUntil(lambda: bool(planned), timeout=20_000)
    assert [a.job for a in planned] == [newer], "the older plan is thrown away"
    workers.close()


def test_what_cannot_be_solved_is_answered_once_with_its_reason(
    qapp: QApplication, qtbot: QtBot
) -> None:
    workers, solved, planned = Background(demo_shop()), list[Answer](), list[Answer]()
    workers.resolved.connect(solved.append)
    workers.answered.connect(planned.append)
    workers.ask(set_length(PIN, 2, "long"))
    qtbot.waitUntil(lambda: bool(planned), timeout=20_000)
    assert "long" in planned[0].error
    assert (solved, len(planned)) == ([], 1)
    workers.close()
