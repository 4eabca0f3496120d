"""Several setups on show: board, pass list, pictures, slider, findings, charts."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned, two_setups
from tests.desk.hands import Hands
from turnsketch.desk.main_window import MainWindow
from turnsketch.desk.setup_edits import pulled_out
from turnsketch.document.setups import change_setup
from turnsketch.geometry.elements import Point
from turnsketch.job import Job
from turnsketch.shop.files import demo_shop

ALT = Qt.KeyboardModifier.AltModifier
CTRL = Qt.KeyboardModifier.ControlModifier


def spans(window: MainWindow) -> list[tuple[int, int]]:
    return [window.session.span(n) for n in range(len(window.session.job.setups))]


def test_the_board_shows_the_setup_of_the_pass(two: MainWindow) -> None:
    session, board = two.session, two.board_panel.board
    (_, end), (_, last) = spans(two)
    faces = []
    for position, setup, number in ((1, 1, 1), (end, 1, end), (end + 1, 2, 1), (last, 2, 8)):
        session.go_to(position)
        found = board.plan_item.current()
        assert found is not None
        assert (found[0].number, found[1].number) == (setup, number)
        faces.append(board.drawing.blank.jaw_face if board.drawing.blank else None)
    assert faces == [-27.0, -27.0, -76.0, -76.0], "the jaws of a drag are the setup's own"
    assert two.board_panel.setup.text() == "setup 2 of 2"
    assert two.board_panel.setup.toolTip() == "Bar pulled out"


def test_the_work_stands_in_the_jaws_of_its_setup(two: MainWindow) -> None:
    """At Z-40 jaws hold the bar in the first setup; in the second nothing does."""
    board, session = two.board_panel.board, two.session
    two.theme_light()

    def colour(at: Point) -> QColor:
        lens = board.lens
        return board.grab().toImage().pixelColor(round(lens.x(at.z)), round(lens.y(at.r)))

    jaw, end = Point(-40.0, 20.0), Point(-14.0, -10.0)
    session.go_to_blank(0)
    assert colour(jaw) == QColor(two.theme.desk)
    assert colour(end) != QColor(two.theme.paper)
    session.go_to_blank(1)
    assert colour(jaw) == QColor(two.theme.paper)
    assert colour(end) == QColor(two.theme.paper), "what the first setup took is off"


def test_readings_and_pointer_count_from_the_setups_zero(make_desk: MakeDesk, qtbot: QtBot) -> None:
    desk = make_desk(change_setup(two_setups(), 1, zero="5"))
    planned(qtbot, desk)
    board, item = desk.board_panel.board, desk.board_panel.board.plan_item
    desk.session.go_to_blank(1)
    assert (item.part_z(5.0), item.setup_z(0.0)) == pytest.approx((0.0, 5.0))
    board.pointer_moved.emit(25.0, -22.0)
    assert "Z −17.00" in desk.board_panel.coordinates.text()
    desk.session.go_to(desk.session.span(1)[0] + 1)
    found, place = item.current(), item.tool_place()
    assert found is not None
    assert place is not None
    ends = [m.to.z - 5.0 for m in found[1].moves]
    assert any(place.z == pytest.approx(z) for z in ends)
    desk.session.go_to(1)
    board.pointer_moved.emit(25.0, -22.0)
    assert "Z −22.00" in desk.board_panel.coordinates.text()


def test_a_drawing_that_is_dragged_keeps_the_jaws_of_the_setup(two: MainWindow) -> None:
    board = two.board_panel.board
    two.session.choose_setup(1)
    board.preview(two.session.job)
    assert board.work_item.with_holding
    assert board.drawing.blank is not None
    assert board.drawing.blank.jaw_face == pytest.approx(-76.0)
    board.drop_preview()


def test_the_pass_list_begins_each_setup_with_a_row_of_its_own(two: MainWindow) -> None:
    table, model = two.pass_panel.table, two.pass_panel.table._model
    headings = [n for n, row in enumerate(model.rows) if row.heading]
    assert len(headings) == 2
    assert headings[0] == 0
    assert "Bar pulled out" in model.rows[headings[1]].cells[1]
    assert "pulled out 49" in model.rows[headings[1]].cells[1]
    assert table.columnSpan(headings[1], 1) == 7
    rect = table.visualRect(model.index(0, 1))
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=rect.center())
    assert (two.session.setup, two.session.position) == (0, 0)
    table.setFocus()
    table.setCurrentIndex(model.index(headings[1] - 1, 1))
    (_, end), _ = spans(two)
    assert (two.session.setup, two.session.position) == (0, end)
    QTest.keyClick(table, Qt.Key.Key_Down)
    assert (two.session.setup, two.session.position) == (1, end)
    assert table.currentIndex().row() == headings[1]
    QTest.keyClick(table, Qt.Key.Key_Down)
    assert (two.session.setup, two.session.position) == (1, end + 1)
    QTest.keyClick(table, Qt.Key.Key_Up)
    assert (two.session.setup, two.session.position) == (1, end)


def test_the_pictures_of_two_setups_stand_apart(two: MainWindow) -> None:
    row = two.strip.row
    first = next(n for n, card in enumerate(row.cards) if card.index == 1)
    gaps = [row.room_of(n).left() - row.room_of(n - 1).right() for n in range(1, len(row.cards))]
    assert gaps[first - 1] > 20 + max(gaps[: first - 1])
    assert row.room_of(len(row.cards) - 1).right() <= row.width()
    assert row.cards[first].words == "Setup 2"
    QTest.mouseClick(row, Qt.MouseButton.LeftButton, pos=row.room_of(first).center().toPoint())
    assert (two.session.setup, two.session.pass_number) == (1, None)
    assert row.current() == first
    QTest.keyClick(row, Qt.Key.Key_Left)
    assert two.session.setup == 0
    assert row.current() == first - 1
    assert row.accessibleDescription() == row.cards[first - 1].words


def test_slider_and_keys_run_over_all_setups(two: MainWindow, qtbot: QtBot) -> None:
    session, strip = two.session, two.strip
    (_, end), (_, last) = spans(two)
    assert strip.slider.maximum() == last
    strip.slider.setValue(end + 1)
    assert (session.setup, session.pass_number) == (1, 1)
    strip.slider.setValue(end)
    assert (session.setup, session.pass_number) == (0, end)
    seen = []
    for _ in range(3):
        QTest.keyClick(two, Qt.Key.Key_Right, ALT)
        seen.append((session.setup, session.pass_number))
    assert seen == [(1, None), (1, 1), (1, 2)], "the work taken up again is a stop of its own"
    for _ in range(3):
        QTest.keyClick(two, Qt.Key.Key_Left, ALT)
    assert (session.setup, session.pass_number) == (0, end)
    assert strip.aside.text() == f"setup 1: pass {end} of {end}"
    two.first_pass()
    places: set[tuple[int, int]] = set()
    session.position_changed.connect(lambda p: places.add((session.setup, p)))
    strip._clock.setInterval(2)
    two.play()
    qtbot.waitUntil(lambda: not strip.playing, timeout=20_000)
    assert session.at_end
    assert len(places) == last + 1, "every pass, and the second setup's blank"


def test_operations_are_those_of_the_setup_on_show(two: MainWindow, qtbot: QtBot) -> None:
    two.go_operations()
    page = two.pass_panel.operations
    assert [o.kind for o in page.operations] == ["face", "rough", "finish", "chamfer"]
    page.setups.choice.setFocus()
    QTest.keyClick(page.setups.choice, Qt.Key.Key_Down)
    assert [o.kind for o in page.operations] == ["rough", "finish", "chamfer", "part off"]
    page.list.setCurrentRow(0)
    page.fields["depth"].setFocus()
    Hands(two).replace("1")
    first, second = two.session.job.setups
    assert first.operations is None
    assert second.operations is not None
    assert second.operations[0].depth == "1"
    planned(qtbot, two)
    assert page.fields["depth"].text() == "1"
    page._explain("depth")
    assert page._reason.text() != "It is not planned yet."
    QTest.mouseClick(page.propose, Qt.MouseButton.LeftButton)
    assert two.session.job.setups[1].operations is None


def test_a_finding_takes_one_to_its_setup_and_pass(two: MainWindow) -> None:
    panel, session = two.findings_panel, two.session
    for row, finding in enumerate(panel.findings):
        session.go_to(0)
        panel.list.setCurrentRow(-1)
        panel.list.setCurrentRow(row)
        assert session.setup == (finding.setup or 1) - 1
        if finding.pass_number is not None:
            assert session.pass_number == finding.pass_number
        text = panel.list.item(row).data(Qt.ItemDataRole.AccessibleTextRole)
        assert f"setup {finding.setup}" in text
    assert {f.setup for f in panel.findings} == {1, 2}


def test_a_place_out_of_sight_is_brought_into_sight(make_desk: MakeDesk, qtbot: QtBot) -> None:
    desk = make_desk(change_setup(two_setups(), 1, zero="5"))
    planned(qtbot, desk)
    board, panel = desk.board_panel.board, desk.findings_panel
    board.go_to(Point(-500.0, 0.0))
    row, finding = next(
        (n, f) for n, f in enumerate(panel.findings) if f.setup == 2 and f.z is not None
    )
    panel.list.setCurrentRow(row)
    assert finding.z is not None
    assert board.frame().contains(board.lens.x(finding.z - 5.0), board.lens.y(finding.r or 0.0))


def test_the_remedy_goes_to_the_setup_of_its_finding(
    make_desk: MakeDesk, qtbot: QtBot, edited: Callable[[Job], Job]
) -> None:
    desk = make_desk(edited(two_setups()))
    planned(qtbot, desk)
    panel = desk.findings_panel
    row, finding = next((n, f) for n, f in enumerate(panel.findings) if f.code == "grip-short")
    assert finding.setup == 2
    panel.list.setCurrentRow(row)
    assert panel.remedy.isVisible()
    before = desk.session.job
    QTest.mouseClick(panel.remedy, Qt.MouseButton.LeftButton)
    job = desk.session.job
    assert job.setups[0] == before.setups[0]
    assert job.setups[1] != before.setups[1]
    assert not panel.remedy.isVisible(), "it belonged to the job before"
    planned(qtbot, desk)
    assert "grip-short" not in {f.code for f in panel.findings}
    desk.undo()
    assert desk.session.job == before


@pytest.fixture
def edited() -> Callable[[Job], Job]:
    """Pulls the bar out so far that the jaws hold less than the shop asks for."""
    return lambda job: change_setup(job, 1, pull_out="64")


def test_the_charts_run_over_all_setups(two: MainWindow, qtbot: QtBot) -> None:
    two.show_charts()
    assert two.charts is not None
    picture = two.charts.picture
    qtbot.waitUntil(lambda: not picture._image.isNull(), timeout=10_000)
    two.session.go_to(1)
    picture.make()
    first = picture._image.copy()
    two.session.go_to(two.session.span(1)[0] + 1)
    picture.make()
    assert picture._image != first, "the marked pass is one of the second setup"
    half = first.width() // 2
    assert first.copy(0, 0, half, first.height()) != picture._image.copy(0, 0, half, first.height())


def test_a_plan_that_fails_keeps_the_setup_on_show(two: MainWindow, qtbot: QtBot) -> None:
    two.session.choose_setup(1)
    two.session.edit(change_setup(two.session.job, 1, pull_out="90"), "too far")
    planned(qtbot, two)
    assert two.session.plan is None
    assert two.session.setup == 1
    assert two.holding_panel.pull_out.text() == "90"
    two.undo()
    planned(qtbot, two)
    assert two.session.setup == 1
    assert two.session.plan is not None


def test_another_document_begins_with_its_first_setup(two: MainWindow, qtbot: QtBot) -> None:
    two.session.choose_setup(1)
    two.session.document._saved = two.session.job
    QTest.keyClick(two, Qt.Key.Key_N, CTRL)
    assert (two.session.setup, two.session.position) == (0, 0)
    assert len(two.session.job.setups) == 1


def test_three_setups_keep_their_places(make_desk: MakeDesk, qtbot: QtBot) -> None:
    job = pulled_out(two_setups(), demo_shop(), 1)
    desk = make_desk(job)
    planned(qtbot, desk)
    plan = desk.session.plan
    assert plan is not None
    assert len(plan.setups) == 3
    desk.session.choose_setup(2)
    within = desk.session.span(2)[0] + 1
    desk.session.go_to(within)
    changed = msgspec.structs.replace(job, note="x")
    desk.session.edit(changed, "note")
    planned(qtbot, desk)
    assert (desk.session.setup, desk.session.position) == (2, within)
