"""Dimensions of real parts on real boards: every text stands, none over another."""

from __future__ import annotations

import itertools

import pytest
from pytestqt.qtbot import QtBot

from turnsketch.desk.board import Board
from turnsketch.desk.board.dimension_layout import Box
from turnsketch.desk.board.dimension_list import dimensions_of, shown_text
from turnsketch.desk.board.drawing import drawing_of
from turnsketch.document.demo import demo_names, load_demo
from turnsketch.document.edits import add_length_dimension, set_length
from turnsketch.part.records import Place
from turnsketch.part.resolve import resolve


def over(a: Box, b: Box) -> bool:
    across = a.left < b.left + b.width and b.left < a.left + a.width
    return across and a.top < b.top + b.height and b.top < a.top + a.height


@pytest.mark.parametrize("size", [(560, 480), (900, 700), (1800, 1100)])
@pytest.mark.parametrize("lathe", [False, True])
@pytest.mark.parametrize("name", demo_names())
def test_no_two_texts_overlap(qtbot: QtBot, name: str, lathe: bool, size: tuple[int, int]) -> None:
    board = Board()
    qtbot.addWidget(board)
    board.resize(*size)
    board.show()
    job = load_demo(name)
    board.show_job(job, resolve(job.part, job.units))
    board.set_stand_at_lathe(lathe)
    for _ in range(3):
        placed = board.layout_now().placed
        assert len(placed) == len(dimensions_of(board.drawing))
        for a, b in itertools.combinations(placed, 2):
            assert not over(a.box, b.box), (a.dimension.shown, b.dimension.shown)
        board.camera.zoom(0.6, board.frame().center())


def test_every_text_of_the_print_stands_on_the_board() -> None:
    job = load_demo("stepped_pin")
    shown = [d.shown for d in dimensions_of(drawing_of(job, None))]
    assert sorted(shown) == sorted(
        ["Ø12", "Ø25 h6", "Ø30", "1x45°", "1x45°", "√ Ra 1.6", "22", "36", "8", "(66)"]
    )


def test_the_overall_length_is_told_once_and_only_when_it_is_known() -> None:
    job = load_demo("stepped_pin")
    whole = add_length_dimension(job, Place(1, "front"), Place(3, "back"), "66")
    assert [d.shown for d in dimensions_of(drawing_of(whole, None))].count("(66)") == 0
    free = set_length(job, 2, None)
    assert not [d for d in dimensions_of(drawing_of(free, None)) if d.field == "overall"]


def test_doubtful_lengths_are_marked() -> None:
    job = add_length_dimension(load_demo("stepped_pin"), Place(1, "front"), Place(2, "back"), "60")
    drawing = drawing_of(job, resolve(job.part, job.units))
    assert [i.kind for i in drawing.issues] == ["contradiction"]
    doubts = {d.shown: d.doubt for d in dimensions_of(drawing)}
    assert doubts["60"] == "contradiction"


@pytest.mark.parametrize(
    ("field", "text", "wanted"),
    [
        ("diameter", "25 h6", "Ø25 h6"),
        ("diameter", "Ø25", "Ø25"),
        ("back_diameter", "(20)", "(Ø20)"),
        ("radius", "8", "R8"),
        ("radius", "R.625", "R.625"),
        ("length", "36", "36"),
        ("angle", "1:10", "1:10"),
    ],
)
def test_signs_before_the_text(field: str, text: str, wanted: str) -> None:
    assert shown_text(field, text) == wanted
