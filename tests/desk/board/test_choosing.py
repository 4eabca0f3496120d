"""Choosing, dragging, bending, splitting, retyping and deleting with mouse and keys."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from tests.desk.board.hand import Hand
from turnsketch.document.demo import load_demo
from turnsketch.geometry.elements import Arc, Point
from turnsketch.part.records import LengthDimension, PartRecord, Place, Section
from turnsketch.part.resolve import resolve


def field(hand: Hand) -> QLineEdit:
    editor = hand.board.fields.editor
    assert editor is not None
    return editor.lines[0]


def test_a_click_chooses_and_ctrl_adds(hand: Hand) -> None:
    told: list[int] = []
    hand.board.section_chosen.connect(told.append)
    hand.click(hand.pixel(Point(-40.0, 12.5)))
    assert hand.board.chosen == {2}
    hand.click(hand.pixel(Point(-62.0, 8.0)), Qt.KeyboardModifier.ControlModifier)
    assert hand.board.chosen == {2, 3}
    hand.click(QPoint(30, 600))
    assert hand.board.chosen == frozenset()
    assert told == [2, 3, 0]


def test_a_drag_shows_the_outline_live_and_is_one_edit(hand: Hand) -> None:
    corner = hand.pixel(Point(-58.0, 15.0))
    hand.drag(corner, corner + QPoint(-16, -24))
    assert len(hand.edits) == 1
    assert len(hand.dragged) >= 3
    before, after = load_demo("stepped_pin").part.sections, hand.job.part.sections
    assert after[1].length != before[1].length
    assert after[2].diameter != before[2].diameter
    assert after[0] == before[0]
    total = sum(float(s.length or 0) for s in after)
    assert total == 66.0


def test_a_dragged_corner_snaps_to_a_level_that_is_there(hand: Hand) -> None:
    hand.drag(hand.pixel(Point(-58.0, 15.0)), hand.pixel(Point(-50.0, 12.5)) + QPoint(2, 2))
    assert hand.job.part.sections[2].diameter == "25"


def test_escape_in_a_drag_puts_everything_back(hand: Hand) -> None:
    start = hand.pixel(Point(-58.0, 15.0))
    QTest.mousePress(hand.board.viewport(), Qt.MouseButton.LeftButton, pos=start)
    hand.move(start + QPoint(-30, -20), held=True)
    assert hand.board.job != load_demo("stepped_pin")
    hand.key(Qt.Key.Key_Escape)
    assert hand.board.job == load_demo("stepped_pin")
    QTest.mouseRelease(hand.board.viewport(), Qt.MouseButton.LeftButton, pos=start)
    assert hand.edits == []


def test_the_middle_of_a_section_bends_it(hand: Hand) -> None:
    hand.board.choose({2})
    middle = hand.pixel(Point(-40.0, 12.5))
    hand.drag(middle, middle + QPoint(0, 40))
    arc = hand.job.part.sections[1]
    assert (arc.kind, arc.sense) == ("arc", "concave")
    assert len(hand.edits) == 1


def test_typing_at_a_chosen_section_sets_its_diameter(hand: Hand) -> None:
    hand.click(hand.pixel(Point(-40.0, 12.5)))
    hand.type("26 g6")
    hand.key(Qt.Key.Key_Return)
    assert hand.job.part.sections[1].diameter == "26 g6"


def test_a_corner_takes_a_round_by_picking_and_typing(hand: Hand) -> None:
    hand.click(hand.pixel(Point(-58.0, 15.0)))
    hand.type("R2")
    hand.key(Qt.Key.Key_Return)
    assert hand.job.part.sections[2].front_corner == "R2"
    hand.click(hand.pixel(Point(-66.0, 15.0)))
    hand.type("1x45°")
    hand.key(Qt.Key.Key_Return)
    assert hand.job.part.sections[2].back_corner == "1x45°"


def test_delete_insert_and_double_click(hand: Hand) -> None:
    hand.click(hand.pixel(Point(-40.0, 12.5)))
    hand.key(Qt.Key.Key_Insert)
    assert len(hand.job.part.sections) == 4
    hand.board.choose({3})
    hand.key(Qt.Key.Key_Delete)
    assert len(hand.job.part.sections) == 3
    QTest.mouseDClick(
        hand.board.viewport(), Qt.MouseButton.LeftButton, pos=hand.pixel(Point(-10.0, 6.0))
    )
    assert len(hand.job.part.sections) == 4
    assert [name for _, name in hand.edits] == ["Split a section", "Delete", "Split a section"]


def test_arrows_go_along_the_sections(hand: Hand) -> None:
    for _ in range(5):
        hand.key(Qt.Key.Key_Left)
    assert hand.board.chosen == {3}
    hand.key(Qt.Key.Key_Right)
    assert hand.board.chosen == {2}
    hand.key(Qt.Key.Key_Return)
    assert field(hand).hasFocus()
    hand.key(Qt.Key.Key_Escape)
    hand.key(Qt.Key.Key_Escape)
    assert hand.board.chosen == frozenset()


def test_a_shift_drag_chooses_what_lies_in_the_rectangle(hand: Hand) -> None:
    viewport = hand.board.viewport()
    start, end = hand.pixel(Point(3.5, 26.0)), hand.pixel(Point(-45.0, -26.0))
    shift = Qt.KeyboardModifier.ShiftModifier
    QTest.mousePress(viewport, Qt.MouseButton.LeftButton, shift, start)
    hand.move((start + end) / 2, held=True)
    hand.move(end, held=True)
    QTest.mouseRelease(viewport, Qt.MouseButton.LeftButton, shift, end)
    assert hand.board.chosen == {1, 2}


# Dimensions on the board


def centre_of(hand: Hand, key: tuple[int | None, str]) -> QPoint:
    box = hand.board.layout_now().box_of(key)
    assert box is not None
    return QPointF(box.left + box.width / 2, box.top + box.height / 2).toPoint()


def test_a_dimension_is_retyped_by_a_double_click(hand: Hand) -> None:
    place = centre_of(hand, (2, "length"))
    QTest.mouseDClick(hand.board.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert field(hand).text() == "36"
    hand.type("40 ±0.1")
    hand.key(Qt.Key.Key_Return)
    assert hand.job.part.sections[1].length == "40 ±0.1"


def test_a_length_that_only_follows_is_not_typed(hand: Hand) -> None:
    place = centre_of(hand, (None, "overall"))
    QTest.mouseDClick(hand.board.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert hand.board.fields.editor is None
    assert "follows" in hand.hints[-1]


def test_two_picked_corners_take_a_length(hand: Hand) -> None:
    hand.board.set_mode("dimension")
    hand.click(hand.pixel(Point(-22.0, 12.5)))
    hand.click(hand.pixel(Point(-66.0, 15.0)))
    hand.type("44")
    hand.key(Qt.Key.Key_Return)
    assert hand.job.part.lengths == (LengthDimension(Place(2, "front"), Place(3, "back"), "44"),)


def test_the_title_block_is_edited_in_place(hand: Hand) -> None:
    box = next(f.box for f in hand.board.title_fields() if f.key == "material")
    hand.click(box.center().toPoint())
    assert field(hand).text() == "mild steel"
    hand.type("brass")
    hand.key(Qt.Key.Key_Return)
    assert hand.job.part.material == "brass"
    assert hand.edits[-1][1] == "Change material"


# Looking


def test_the_wheel_zooms_at_the_pointer_and_f_fits(hand: Hand) -> None:
    board = hand.board
    place = QPoint(500, 300)
    before = board.lens
    under = before.point(500, 300)
    event = QWheelEvent(
        QPointF(place),
        QPointF(board.viewport().mapToGlobal(place)),
        QPoint(),
        QPoint(0, 240),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(board.viewport(), event)
    assert board.lens.scale > 1.3 * before.scale
    assert board.lens.point(500, 300).distance(under) < board.lens.mm(1.5)
    hand.key(Qt.Key.Key_F)
    assert abs(board.lens.scale - before.scale) < 1e-9


def test_paper_is_dragged_to_pan(hand: Hand) -> None:
    before = hand.board.lens
    hand.drag(QPoint(60, 560), QPoint(100, 590))
    after = hand.board.lens
    assert (after.x0 - before.x0, after.y0 - before.y0) == (40, 30)
    assert hand.edits == []


def test_the_pointer_is_told_as_diameter_and_z(hand: Hand) -> None:
    told: list[tuple[float, float]] = []
    hand.board.pointer_moved.connect(lambda d, z: told.append((d, z)))
    hand.move(hand.pixel(Point(-30.0, -10.0)))
    assert abs(told[-1][0] - 20.0) < 0.3
    assert abs(told[-1][1] + 30.0) < 0.3


def test_at_the_lathe_r_runs_down_and_picking_still_works(hand: Hand) -> None:
    hand.board.set_stand_at_lathe(True)
    lens = hand.board.lens
    assert lens.y(10.0) > lens.y(0.0)
    hand.click(hand.pixel(Point(-40.0, 12.5)))
    assert hand.board.chosen == {2}
    hand.board.set_stand_at_lathe(False)
    assert hand.board.lens.y(10.0) < hand.board.lens.y(0.0)


def test_a_drag_that_ends_on_the_title_block_ends(hand: Hand) -> None:
    box = next(f.box for f in hand.board.title_fields() if f.key == "name")
    hand.drag(hand.pixel(Point(-58.0, 15.0)), box.center().toPoint())
    assert len(hand.edits) == 1
    assert hand.board.fields.editor is None


def test_what_cannot_be_solved_is_told_over_the_drawing(hand: Hand) -> None:
    before = hand.board.grab().toImage()
    hand.board.show_job(hand.board.job, None, "section 2 is free in length")
    assert hand.board.problem == "section 2 is free in length"
    assert hand.board.grab().toImage() != before


def test_arcs_that_only_the_solver_knows_are_solved_while_something_is_dragged(
    hand: Hand,
) -> None:
    sections = (
        Section("cylinder", diameter="20", length="30"),
        Section("arc", radius="R12", sense="concave", tangent="front", back_diameter="36"),
        Section("cylinder", diameter="36", length="10"),
    )
    job = msgspec.structs.replace(hand.board.job, part=PartRecord("Bell", sections))
    hand.board.show_job(job, resolve(job.part, job.units))
    assert hand.board.drawing.needs_solver
    start = hand.pixel(Point(-30.0, 10.0))
    QTest.mousePress(hand.board.viewport(), Qt.MouseButton.LeftButton, pos=start)
    hand.move(start + QPoint(-20, 0), held=True)
    hand.move(start + QPoint(-30, 0), held=True)
    arc = hand.board.drawing.of_section(2)[0].shape
    assert isinstance(arc, Arc)
    assert abs(arc.radius - 12.0) < 1e-6
    assert abs(arc.start_direction.r) < 1e-6
    QTest.mouseRelease(hand.board.viewport(), Qt.MouseButton.LeftButton, pos=start)


def test_the_chosen_section_is_told_to_screen_readers(hand: Hand) -> None:
    hand.board.choose({2})
    assert hand.board.accessibleDescription() == "2: seat cylinder 25 h6 36"


def test_a_job_that_cannot_be_read_is_told_and_harms_nothing(hand: Hand) -> None:
    sections = (Section("cylinder", diameter="twelve", length="30"),)
    job = msgspec.structs.replace(hand.board.job, part=PartRecord("Odd", sections))
    hand.board.show_job(job, None)
    assert "twelve" in hand.board.drawing.problem
    for mode in ("choose", "dimension", "draw"):
        hand.board.set_mode(mode)
        hand.move(QPoint(300, 300))
        hand.click(QPoint(420, 320))
        for key in (Qt.Key.Key_Left, Qt.Key.Key_Return, Qt.Key.Key_Insert, Qt.Key.Key_F):
            hand.key(key)
        assert not hand.board.grab().isNull()
        hand.key(Qt.Key.Key_Escape)


def test_sections_that_are_not_there_are_not_chosen(hand: Hand) -> None:
    hand.board.choose({2, 9})
    assert hand.board.chosen == {2}
