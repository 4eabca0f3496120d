"""How widgets look: the theme's colours as a palette and as rules of one style sheet."""

from __future__ import annotations

from PySide6.QtGui import QColor, QPalette

from turnsketch.desk.theme import Theme

__all__ = ["palette", "style_sheet"]

_SHEET = """
QMainWindow, QDialog, QWidget#ground {{ background: {desk}; }}
QFrame#panel {{ background: {paper}; border: 1px solid {rule}; }}
QLabel {{ background: transparent; }}
QLabel#title {{ font-weight: bold; }}
QLabel#aside, QLabel#faint {{ color: {narrow}; }}
QLabel#remedy {{ color: {chosen}; }}
QFrame#said {{ border: none; }}
QFrame#said[kind="wrong"] {{ border-left: 3px solid {danger}; }}
QFrame#said[kind="open"] {{ border-left: 3px solid {ink}; }}
QFrame#message {{ background: {chosen_light}; border: 1px solid {chosen}; }}
QMenuBar {{ background: {desk}; color: {ink}; padding: 2px 6px; }}
QMenuBar::item {{ background: transparent; padding: 4px 10px; }}
QMenuBar::item:selected {{ background: {chosen_light}; }}
QMenu {{ background: {paper}; color: {ink}; border: 1px solid {rule}; }}
QMenu::item {{ padding: 4px 24px 4px 20px; }}
QMenu::item:selected {{ background: {chosen_light}; color: {ink}; }}
QMenu::item:disabled {{ color: {narrow}; }}
QMenu::separator {{ height: 1px; background: {rule}; margin: 4px 8px; }}
QAbstractItemView {{
    background: {paper}; color: {ink}; border: 1px solid transparent; outline: 0;
    selection-background-color: {chosen_light}; selection-color: {ink};
}}
QAbstractItemView:focus {{ border: 1px solid {chosen}; }}
QTableView::item {{ border-bottom: 1px solid {rule}; padding: 0 1px; }}
QTableView::item:selected {{ background: {chosen_light}; color: {ink}; }}
QTableView::item:focus {{
    border: 2px solid {chosen}; border-left-width: 1px; border-right-width: 1px; padding: 0;
}}
PassTable::item:focus {{ border: none; border-bottom: 1px solid {rule}; padding: 0 1px; }}
QListWidget::item {{ padding: 3px 2px; }}
QListWidget::item:selected {{ background: {chosen_light}; color: {ink}; }}
QHeaderView {{ background: {paper}; border: none; padding: 0; }}
QHeaderView::section {{ background: {paper}; color: {narrow}; border: none; padding: 2px 4px; }}
QToolButton::menu-indicator {{ image: none; }}
QLineEdit, ChoiceField {{
    background: {paper}; color: {ink}; border: 1px solid transparent;
    border-bottom-color: {rule}; padding: 2px 4px;
    selection-background-color: {chosen}; selection-color: {paper};
    placeholder-text-color: {narrow};
}}
QLineEdit:hover, ChoiceField:hover {{ border-color: {rule}; }}
QLineEdit:focus, ChoiceField:focus {{ border: 2px solid {chosen}; padding: 1px 3px; }}
QLineEdit[wrong="true"] {{ border: 2px dashed {danger}; }}
QLineEdit:disabled, ChoiceField:disabled {{ color: {narrow}; }}
ChoiceField {{ padding-left: 6px; }}
ChoiceField:focus {{ padding-left: 5px; }}
ChoiceField::drop-down {{ border: none; width: 18px; }}
ChoiceField QAbstractItemView {{ border: 1px solid {rule}; }}
QPushButton, QToolButton {{
    background: transparent; color: {chosen}; border: 1px solid {rule}; padding: 3px 10px;
}}
QPushButton:hover, QToolButton:hover {{ background: {chosen_light}; }}
QPushButton:focus, QToolButton:focus {{ border: 2px solid {chosen}; padding: 2px 9px; }}
QPushButton:default {{ border-color: {chosen}; }}
QFileDialog QToolButton, QPrintDialog QToolButton {{ padding: 2px; }}
QFileDialog QToolButton:focus, QPrintDialog QToolButton:focus {{ padding: 1px; }}
QPushButton:disabled, QToolButton:disabled {{ color: {narrow}; }}
QPushButton:checked, QToolButton:checked {{ background: {chosen_light}; font-weight: bold; }}
QToolButton#plain, QPushButton#plain {{ border: 1px solid transparent; padding: 2px 4px; }}
QToolButton#plain:focus, QPushButton#plain:focus {{ border: 1px solid {chosen}; }}
QToolButton#tab {{
    border: 1px solid transparent; color: {narrow}; padding: 0 3px; margin: 0 6px 0 -3px;
}}
QToolButton#tab:checked {{ background: transparent; color: {ink}; font-weight: bold; }}
QToolButton#tab:focus {{ border: 1px solid {chosen}; }}
QCheckBox {{ color: {ink}; spacing: 6px; }}
QCheckBox:focus {{ color: {chosen}; }}
QCheckBox::indicator, QAbstractItemView::indicator {{
    width: 12px; height: 12px; border: 1px solid {narrow}; background: {paper};
}}
QCheckBox::indicator:checked, QAbstractItemView::indicator:checked {{
    background: {chosen}; border: 1px solid {chosen};
}}
QCheckBox::indicator:focus {{ border: 2px solid {chosen}; }}
QScrollArea, QScrollArea > QWidget > QWidget {{ background: {paper}; border: none; }}
QScrollBar:vertical {{ background: {paper}; width: 10px; margin: 0; }}
QScrollBar:horizontal {{ background: {paper}; height: 10px; margin: 0; }}
QScrollBar::handle {{ background: {rule}; border: 2px solid {paper}; }}
QScrollBar::handle:vertical {{ min-height: 24px; }}
QScrollBar::handle:horizontal {{ min-width: 24px; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
QSplitter::handle {{ background: transparent; }}
QSplitter::handle:hover {{ background: {rule}; }}
QSlider {{ min-height: 24px; }}
QSlider::groove:horizontal {{ height: 2px; background: {rule}; }}
QSlider::sub-page:horizontal {{ height: 2px; background: {chosen}; }}
QSlider::handle:horizontal {{
    width: 9px; margin: -7px 0; background: {paper}; border: 2px solid {chosen};
}}
QSlider::handle:horizontal:focus {{ background: {chosen}; }}
QToolTip {{ background: {paper}; color: {ink}; border: 1px solid {chosen}; padding: 3px; }}
QProgressBar {{ border: 1px solid {rule}; background: {paper}; text-align: center; }}
QProgressBar::chunk {{ background: {chosen}; }}
"""


def palette(theme: Theme) -> QPalette:
    """Return the palette of `theme`, for what the style sheet leaves to the platform's style."""
    made = QPalette()
    roles = QPalette.ColorRole
    for role, colour in (
        (roles.Window, theme.desk),
        (roles.WindowText, theme.ink),
        (roles.Base, theme.paper),
        (roles.AlternateBase, theme.paper),
        (roles.Text, theme.ink),
        (roles.PlaceholderText, theme.narrow),
        (roles.Button, theme.paper),
        (roles.ButtonText, theme.ink),
        (roles.BrightText, theme.danger),
        (roles.Highlight, theme.chosen),
        (roles.HighlightedText, theme.paper),
        (roles.ToolTipBase, theme.paper),
        (roles.ToolTipText, theme.ink),
        (roles.Link, theme.chosen),
        (roles.Mid, theme.rule),
        (roles.Light, theme.paper),
        (roles.Dark, theme.rule),
    ):
        made.setColor(role, QColor(colour))
    for role in (roles.WindowText, roles.Text, roles.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, role, QColor(theme.narrow))
    return made


def style_sheet(theme: Theme) -> str:
    """Return the style sheet of `theme`. Sizes of type are left to the platform."""
    names = (
        "desk", "paper", "ink", "narrow", "rule", "chosen", "chosen_light", "danger",
    )  # fmt: skip
    return _SHEET.format(**{name: getattr(theme, name) for name in names})
