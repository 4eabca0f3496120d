"""Boards for tests, driven with real mouse and keys."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from tests.desk.board.hand import Hand
from turnsketch.desk.board import Board
from turnsketch.document.demo import load_demo
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import PartRecord


@pytest.fixture
def hand(qtbot: QtBot) -> Hand:
    """A hand on a board with the stepped pin."""
    return _hand(qtbot, load_demo("stepped_pin"))


@pytest.fixture
def empty_hand(qtbot: QtBot) -> Hand:
    """A hand on a board with nothing but a blank."""
    setup = Setup(Holding("Three-jaw 160", "25"))
    return _hand(qtbot, Job(PartRecord("New", ()), Blank("32", "102"), "Slipway 1", (setup,)))


def _hand(qtbot: QtBot, job: Job) -> Hand:
    board = Board()
    qtbot.addWidget(board)
    board.resize(900, 700)
    with qtbot.waitExposed(board):
        board.show()
    board.activateWindow()
    board.setFocus()
    board.show_job(job, None)
    return Hand(board)
