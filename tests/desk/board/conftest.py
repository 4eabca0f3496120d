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
def board(qtbot: QtBot) -> Board:
    """A board on the screen that shows no job yet."""
    made = Board()
    qtbot.addWidget(made)
    made.resize(900, 700)
    with qtbot.waitExposed(made):
        made.show()
    made.activateWindow()
    made.setFocus()
    return made


@pytest.fixture
def hand(board: Board) -> Hand:
    """A hand on a board with the stepped pin."""
    return _hand(board, load_demo("stepped_pin"))


@pytest.fixture
def empty_hand(board: Board) -> Hand:
    """A hand on a board with nothing but a blank."""
    setup = Setup(Holding("Three-jaw 160", "25"))
    return _hand(board, Job(PartRecord("New", ()), Blank("32", "102"), "Slipway 1", (setup,)))


def _hand(board: Board, job: Job) -> Hand:
    board.show_job(job, None)
    return Hand(board)
