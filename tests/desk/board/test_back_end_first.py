"""A job whose first setup makes the back end: its plan lies on the part where it is cut."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from turnsketch import plan
from turnsketch.desk.board import Board
from turnsketch.desk.board.drawing import drawing_of
from turnsketch.document.demo import load_demo
from turnsketch.part.resolve import resolve


def test_passes_lie_at_the_end_that_they_make(qtbot: QtBot) -> None:
    job = load_demo("drill_arbor")
    assert job.setups[0].turned
    made, part = plan(job), resolve(job.part, job.units)
    board = Board()
    qtbot.addWidget(board)
    board.show_job(job, part)
    item, length = board.plan_item, part.total_length
    for number, face in ((1, -length), (2, 0.0)):
        steps = made.setups[number - 1].passes
        board.show_plan(made, steps[-1].number, setup=number)
        assert item.part_z(0.0) == pytest.approx(face), "zero is the finished face of the end"
        assert item.setup_z(item.part_z(-7.0)) == pytest.approx(-7.0)
        inward = item.part_z(-1.0) - item.part_z(0.0)
        assert inward == pytest.approx(1.0 if number == 1 else -1.0)
        places = [item.part_z(p.z) for ring in item.standing() or () for p in ring]
        assert min(places) >= -length - 1.5
        assert max(places) <= 1.5


def test_the_blank_lies_around_the_part() -> None:
    job = load_demo("drill_arbor")
    drawn = drawing_of(job, None)
    assert drawn.blank is not None
    assert drawn.blank.back == pytest.approx(-drawn.length - 1.0)
    assert drawn.blank.front == pytest.approx(1.0)
    assert drawn.blank.jaw_face is None, "the jaws hold the other end"
    assert drawing_of(job, None, setup=1).blank is not None
