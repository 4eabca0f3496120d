"""How the window looks: nothing cut short at 1280 x 800, nothing tiny, focus and words seen."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QMenu, QTableView
from pytestqt.qtbot import QtBot

from tests.desk.conftest import MakeDesk, planned
from turnsketch.desk.column_widths import ColumnNeed, shared
from turnsketch.desk.fields import ChoiceField
from turnsketch.desk.main_window import MainWindow
from turnsketch.desk.panel import ShortLabel
from turnsketch.desk.theme import DARK, LIGHT, Theme
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import Bore, PartRecord, Section

DEMOS = ("slender_pin", "rope_roller")
"""The longest names of sections, and the longest dimension texts."""
_SLACK = 1
"""Pixels by which rounding of advances may miss."""


def cut_short(window: MainWindow) -> list[str]:
    """Return every text of the window that has less room than it takes."""
    found = [f"label: {w.text()}" for w in labels(window) if is_cut(w)]
    for button in window.findChildren(QAbstractButton):
        named = button is window.print_panel.seldom.button  # says how much there is, and elides
        if button.isVisible() and button.text() and not named:
            room, words = button.width(), button.text().replace("&", "")
            if button.fontMetrics().horizontalAdvance(words) > room + _SLACK:
                found.append(f"button: {words}")
    for choice in window.findChildren(ChoiceField):
        named = choice.accessibleName() == "Setup"  # a name that the user gives
        if choice.isVisible() and not named and choice.shown_text() != choice.currentText():
            found.append(f"choice: {choice.currentText()}")
    for table in window.findChildren(QTableView):
        found += list(cut_cells(table)) if table.isVisible() else []
    return found


def labels(window: MainWindow) -> list[QLabel]:
    return [w for w in window.findChildren(QLabel) if w.isVisible() and w.text()]


def is_cut(words: QLabel) -> bool:
    metrics = words.fontMetrics()
    if words.wordWrap():
        wrap = Qt.TextFlag.TextWordWrap
        box = metrics.boundingRect(words.contentsRect().adjusted(0, 0, 0, 9999), wrap, words.text())
        return box.height() > words.height() + _SLACK or box.width() > words.width() + _SLACK
    return metrics.horizontalAdvance(words.text()) > words.width() + _SLACK


def cut_cells(table: QTableView) -> Iterator[str]:
    model, font = table.model(), QFont(table.font())
    font.setBold(not table.wordWrap())  # a chosen pass is in bold
    metrics, head = QFontMetrics(font), table.horizontalHeader().fontMetrics()
    right = 0
    for column in range(model.columnCount()):
        width = table.columnWidth(column)
        right += width
        heading = str(model.headerData(column, Qt.Orientation.Horizontal))
        if head.horizontalAdvance(heading) > width - 8 + _SLACK:
            yield f"heading: {heading}"
        for row in range(model.rowCount()):
            text = str(model.data(model.index(row, column)) or "")
            words = text.split() if table.wordWrap() else [text]
            widest = max((metrics.horizontalAdvance(word) for word in words), default=0)
            if table.columnSpan(row, column) == 1 and widest >= width - 8:
                yield f"cell: {text}"
    if right > table.viewport().width():
        yield f"columns: {right} wide in {table.viewport().width()}"


# At 1280 x 800


@pytest.mark.parametrize("name", DEMOS)
def test_no_text_is_cut_short_at_1280_by_800(make_desk: MakeDesk, qtbot: QtBot, name: str) -> None:
    window = make_desk(name)
    planned(qtbot, window)
    QApplication.processEvents()
    assert (window.width(), window.height()) == (1280, 800)
    assert cut_short(window) == []
    window.pass_panel.show_page(1)
    QApplication.processEvents()
    assert cut_short(window) == []


def test_the_longest_figures_of_the_passes_have_room(make_desk: MakeDesk, qtbot: QtBot) -> None:
    """Inches with four decimals, and operations with long names, side by side."""
    sections = (Section("cylinder", diameter="1.000", length=".750"),)
    bore = Bore((Section("cylinder", diameter=".5100", length=".400", front_corner=".030x45°"),))
    part = PartRecord("ferrule", sections, general_tolerance="decimals", bore=bore)
    setups = (Setup(Holding("Three-jaw 125", "1.0")),)
    job = Job(part, Blank("1.125", "3.0", ".050"), "Slipway 1", setups, units="inch")
    window = make_desk(job)
    planned(qtbot, window)
    table = window.pass_panel.table
    assert "Countersink" in {str(table.model().data(table.model().index(r, 1))) for r in range(40)}
    widths = sum(table.columnWidth(column) for column in range(table.model().columnCount()))
    assert widths <= table.viewport().width()
    assert window.width() == 1280


def test_every_hint_of_the_board_has_room(make_desk: MakeDesk, qtbot: QtBot) -> None:
    window = make_desk()
    planned(qtbot, window)
    board, hint = window.board_panel.board, window.board_panel.hint
    assert isinstance(hint, ShortLabel)
    for mode in ("draw", "dimension", "scale", "choose"):
        board.set_mode(mode)
        assert hint.text()
        assert not is_cut(hint), hint.text()
    board.choose((2,), 2)
    assert not is_cut(hint), hint.text()


def test_the_check_sees_a_text_that_is_cut(desk: MainWindow) -> None:
    desk.pass_panel.table.setColumnWidth(1, 12)
    desk.holding_panel.title.setText("Blank and holding, and a good deal more than has room here")
    desk.holding_panel.title.setFixedWidth(60)
    QApplication.processEvents()
    found = cut_short(desk)
    assert any(f.startswith("label: Blank and holding") for f in found)
    assert "heading: Operation" in found


def test_an_empty_job_says_in_every_panel_what_will_stand_there(
    make_desk: MakeDesk, qtbot: QtBot
) -> None:
    window = make_desk()
    planned(qtbot, window)
    top = window.findings_panel.title.y()
    window.files.new()
    QApplication.processEvents()
    panel = window.findings_panel
    assert panel.title.y() == top, "the heading stays where it was"
    assert any(w.isVisible() and w.text().startswith("What the program") for w in labels(window))
    for view in (window.pass_panel.table.viewport(), window.strip.row):
        image = view.grab().toImage()
        paper = image.pixelColor(image.width() - 2, image.height() - 2)
        places = itertools.product(range(4, 120), range(2, 24))
        assert any(image.pixelColor(x, y) != paper for x, y in places)
    assert cut_short(window) == []


# Type, colours, keys


def test_nothing_is_smaller_than_the_platforms_text(desk: MainWindow) -> None:
    least = QApplication.font().pointSizeF()
    for widget in desk.findChildren(QLabel) + desk.findChildren(QAbstractButton):
        assert widget.font().pointSizeF() >= least, widget
    fields = desk.board_panel.board.title_fields()
    row = QFontMetrics(desk.board_panel.board.font()).height()
    assert all(field.box.height() >= 2 * row for field in fields), "room for label and value"


def luminance(colour: str) -> float:
    """Relative luminance of sRGB (WCAG 2.1)."""
    seen = QColor(colour)
    red, green, blue = map(linear, (seen.redF(), seen.greenF(), seen.blueF()))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def linear(share: float) -> float:
    return share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)


def contrast(a: str, b: str) -> float:
    """Contrast ratio of two colours (WCAG 2.1)."""
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda t: t.name)
def test_words_stand_out_from_what_is_behind_them(theme: Theme) -> None:
    for words in (theme.ink, theme.narrow, theme.chosen, theme.danger):
        assert contrast(words, theme.paper) >= 4.5, words
    for words in (theme.ink, theme.chosen):
        assert contrast(words, theme.chosen_light) >= 4.5, words
    assert contrast(theme.narrow, theme.desk) >= 3.0
    assert contrast(theme.chosen, theme.rule) >= 2.0, "a focus frame beside a hair line"


def test_focus_is_seen(desk: MainWindow) -> None:
    fields = [
        desk.print_panel.table,
        desk.holding_panel.diameter,
        desk.holding_panel.lathe,
        desk.pass_panel.table,
        desk.findings_panel.list,
        desk.strip.row,
        desk.strip.slider,
        desk.board_panel.board,
    ]
    for widget in fields:
        desk.menuBar().setFocus()
        before = widget.grab().toImage()
        widget.setFocus(Qt.FocusReason.TabFocusReason)
        QApplication.processEvents()
        assert widget.hasFocus()
        assert widget.grab().toImage() != before, widget.accessibleName()


def test_menus_open_with_alt_and_a_letter_of_their_own(desk: MainWindow) -> None:
    titles = [action.text() for action in desk.menuBar().actions()]
    assert len({letter(title) for title in titles}) == len(titles)
    for menu in desk.menuBar().findChildren(QMenu):
        letters = [letter(action.text()) for action in menu.actions() if "&" in action.text()]
        assert len(set(letters)) == len(letters), (menu.title(), letters)
    QTest.keyClick(desk, Qt.Key.Key_F, Qt.KeyboardModifier.AltModifier)
    opened = QApplication.activePopupWidget()
    assert isinstance(opened, QMenu)
    assert opened.title() == "&File"
    opened.close()


def letter(words: str) -> str:
    return words[words.index("&") + 1].lower()


def test_the_size_of_paper_is_chosen_and_remembered(desk: MainWindow) -> None:
    assert desk.menus.actions["paper_a4"].isChecked()
    desk.menus.actions["paper_letter"].trigger()
    assert desk.session.settings.paper == "Letter"


def test_columns_give_where_they_have_most_to_give() -> None:
    needs = [ColumnNeed(100, 40), ColumnNeed(60, 60), ColumnNeed(50, 20)]
    assert shared(needs, (0,), 300) == [190, 60, 50]
    widths = shared(needs, (0,), 170)
    assert sum(widths) <= 170
    assert all(w >= n.least for w, n in zip(widths, needs, strict=True))
    assert shared(needs, (0,), 50) == [40, 60, 20], "never narrower than a word"
