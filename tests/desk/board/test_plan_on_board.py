"""A plan over the drawing: layers, what remains, the tool at its place, the readings beside it."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtTest import QTest

from tests.desk.board.hand import Hand
from turnsketch.desk.board.plan_path import main_move, readings_words, way_of
from turnsketch.desk.theme import DARK, LIGHT
from turnsketch.document.demo import load_demo
from turnsketch.geometry.elements import Arc, Point
from turnsketch.pipeline import plan
from turnsketch.plan_records import Move, Pass, Plan, Reading


@pytest.fixture(scope="module")
def pin_plan() -> Plan:
    return plan(load_demo("stepped_pin"))


def image(hand: Hand) -> QImage:
    return hand.board.grab().toImage()


def colour_at(hand: Hand, at: Point) -> QColor:
    return image(hand).pixelColor(hand.pixel(at))


def test_layers_go_as_the_passes_go(hand: Hand, pin_plan: Plan) -> None:
    board = hand.board
    last = pin_plan.setups[0].passes[-1].number
    over_the_end = Point(-11.0, 10.0)  # metal above the thin end, gone when it is turned
    paper = QColor(LIGHT.paper)
    board.set_theme(LIGHT)
    board.show_plan(pin_plan, None)
    assert colour_at(hand, over_the_end) != paper
    board.show_plan(pin_plan, last)
    assert colour_at(hand, over_the_end) == paper


def test_the_body_below_shows_what_remains(hand: Hand, pin_plan: Plan) -> None:
    board = hand.board
    board.set_theme(LIGHT)
    below_the_end = Point(-14.0, -10.0)
    board.show_plan(pin_plan, None)
    assert colour_at(hand, below_the_end) != QColor(LIGHT.paper)
    board.show_plan(pin_plan, pin_plan.setups[0].passes[-1].number)
    assert colour_at(hand, below_the_end) == QColor(LIGHT.paper)


def test_the_tool_stands_where_the_pass_is_fed_to(hand: Hand, pin_plan: Plan) -> None:
    board = hand.board
    for step in pin_plan.setups[0].passes:
        board.show_plan(pin_plan, step.number)
        main = main_move(step)
        assert main is not None
        assert board.plan_item.tool_place() == pytest.approx(step.moves[main].to)
        board.show_plan(pin_plan, step.number, share=0.0)
        assert board.plan_item.tool_place() != pytest.approx(step.moves[main].to)


def test_the_readings_are_those_of_the_plan(pin_plan: Plan) -> None:
    setup = pin_plan.setups[0]
    for step in setup.passes:
        words = readings_words(pin_plan, setup, step, 1.0).replace("−", "-").split()
        reading = step.readings[main_move(step) or 0]
        assert float(words[1]) == pytest.approx(reading.x, abs=5e-4)
        assert float(words[3]) == pytest.approx(reading.z, abs=5e-4)
        near = readings_words(pin_plan, setup, step, 0.999999).replace("−", "-").split()
        assert float(near[1]) == pytest.approx(reading.x, abs=0.02)


def test_without_a_plan_the_drawing_is_as_before(hand: Hand, pin_plan: Plan) -> None:
    before = image(hand)
    hand.board.show_plan(pin_plan, 3)
    assert image(hand) != before
    hand.board.show_plan(None, None)
    assert image(hand) == before


def test_every_pass_paints_in_light_and_dark_both_ways_up(hand: Hand, pin_plan: Plan) -> None:
    board = hand.board
    for theme in (LIGHT, DARK):
        board.set_theme(theme)
        for lathe in (True, False):
            board.set_stand_at_lathe(lathe)
            for step in pin_plan.setups[0].passes[::5]:
                board.show_plan(pin_plan, step.number)
                picture = image(hand)
                assert picture.pixelColor(QPoint(3, 3)) == QColor(theme.paper)


def _step(*moves: Move) -> Pass:
    reading = Reading(0.0, 0.0)
    return Pass(1, "rough", 1, Point(2.0, 10.0), moves, 500, 50, 0.1, 1.0, 1.0, reading, ())


def test_while_a_corner_is_dragged_all_that_comes_off_follows(hand: Hand, pin_plan: Plan) -> None:
    board = hand.board
    board.set_theme(LIGHT)
    board.show_plan(pin_plan, pin_plan.setups[0].passes[-1].number)
    over_the_end = Point(-11.0, 10.0)
    assert colour_at(hand, over_the_end) == QColor(LIGHT.paper)
    start = hand.pixel(Point(-58.0, 15.0))
    QTest.mousePress(board.viewport(), Qt.MouseButton.LeftButton, pos=start)
    hand.move(start + QPoint(-20, -10), held=True)
    hand.move(start + QPoint(-30, -12), held=True)
    assert colour_at(hand, over_the_end) == QColor(LIGHT.layer_light)
    hand.key(Qt.Key.Key_Escape)
    assert colour_at(hand, over_the_end) == QColor(LIGHT.paper)
    QTest.mouseRelease(board.viewport(), Qt.MouseButton.LeftButton, pos=start)


def test_the_tool_makes_way_for_drawing(hand: Hand, pin_plan: Plan) -> None:
    hand.board.show_plan(pin_plan, 3)
    hand.board.set_mode("draw")
    assert not hand.board.plan_item.isVisible()
    hand.key(Qt.Key.Key_Escape)
    assert hand.board.plan_item.isVisible()


def test_the_cut_that_matters_is_the_longest() -> None:
    step = _step(
        Move("cut", Point(2.0, 8.0)),
        Move("cut", Point(-10.0, 8.0)),
        Move("cut", Point(-10.0, 9.0)),
    )
    assert main_move(step) == 1
    assert way_of(step).place(1.0) == Point(-10.0, 8.0)
    assert main_move(_step(Move("position", Point(0.0, 0.0)))) is None


def test_a_share_of_the_way_counts_cuts_alone() -> None:
    step = _step(
        Move("position", Point(2.0, 8.0)),
        Move("cut", Point(-10.0, 8.0)),
        Move("position", Point(-10.0, 9.0)),
    )
    way = way_of(step)
    assert way.place(0.5) == pytest.approx(Point(-4.0, 8.0))
    assert way.place(1.0) == Point(-10.0, 8.0)
    arc = way_of(_step(Move("cut", Point(0.0, 12.0), Point(0.0, 10.0), "ccw")))
    assert isinstance(arc.pieces[0][0], Arc)
    assert way_of(_step()).place(1.0) == Point(0.0, 0.0)
