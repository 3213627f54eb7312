"""Tables that must be whole, and what the window may not do."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest
from PySide6.QtGui import QImage, QPainter, QPen
from PySide6.QtWidgets import QAbstractButton, QAbstractSpinBox, QComboBox, QLineEdit, QPlainTextEdit, QWidget

from desktop.actions import MENUS, Menu
from desktop.actions import Row as ActionRow
from desktop.actions import shortcuts as shortcuts_of
from desktop.editing.keys import in_mode, keys_in_fifths
from desktop.forms.editors import EDITORS, editor_for
from desktop.forms.side_panel import FORMS
from desktop.people.people_menus import MENUS as PEOPLE_MENUS
from desktop.plan.plan_menus import MENUS as PLAN_MENUS
from desktop.spoken import NAMES, SENTENCES
from desktop.start import make_application
from desktop.theme import DARK, LIGHT, Tones, style_sheet
from lessonkit.drills.family import families
from lessonkit.drills.params import Param
from lessonkit.lesson.lesson import KINDS, Lesson
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key, Mode
from tests.desktop.conftest import Driver

ROOT = Path(__file__).resolve().parents[2]


def test_every_kind_of_setting_has_an_editor() -> None:
    """A new kind of setting without an editor would break the form of each family that uses it."""
    assert set(Param.__subclasses__()) == set(EDITORS)


@pytest.mark.parametrize("table", [FORMS, SENTENCES, NAMES])
def test_every_kind_of_block_is_in_the_tables(table: dict[type, object]) -> None:
    """A block that cannot be named or set is a block that cannot be used."""
    assert set(table) == set(KINDS)


def test_the_editors_show_every_default_and_report_nothing(driver: Driver) -> None:
    """Showing a value is not an edit; otherwise selecting a drill would change the lesson."""
    reported: list[object] = []
    for family in families().values():
        drill = family()
        for name, param in family.declared().items():
            editor = editor_for(param)
            editor.edited.connect(reported.append)
            editor.show_value(getattr(drill, name), Lesson().setting)
            for extreme in param.extremes():
                editor.show_value(extreme, Lesson().setting)
    assert reported == []


def test_the_strip_has_all_major_and_minor_keys() -> None:
    """The order of fifths, from seven flats to seven sharps (common practice, no source)."""
    assert keys_in_fifths(Mode.MAJOR) == MAJOR_KEYS
    assert keys_in_fifths(Mode.MINOR) == MINOR_KEYS


def test_another_mode_keeps_the_tonic_where_it_can() -> None:
    """E♭ minor has six flats; G♭ minor would need nine, so the key of the same signature is taken."""
    assert in_mode(Key.parse("Eb"), Mode.MINOR) == Key.parse("Ebm")
    assert in_mode(Key.parse("Gb"), Mode.MINOR) == Key.parse("Ebm")


def test_every_control_has_a_name_for_screen_readers(driver: Driver) -> None:
    """A control without a name is silence to whoever cannot see it."""
    for block in driver.lesson.blocks:
        driver.notebook.desk.selection.select(block.id)
        kinds = (QAbstractButton, QComboBox, QAbstractSpinBox, QLineEdit, QPlainTextEdit)
        for widget in driver.window.findChildren(QWidget):
            if isinstance(widget, kinds) and not _is_inner(widget) and widget.isVisible():
                text = widget.text() if isinstance(widget, QAbstractButton) else ""
                assert widget.accessibleName() or text, (widget, widget.parent(), widget.objectName())


def _is_inner(widget: QWidget) -> bool:
    """A part that Qt itself puts into a control, which speaks for it."""
    return isinstance(widget.parent(), QComboBox | QAbstractSpinBox | QLineEdit) or widget.objectName().startswith(
        "qt_"
    )


@pytest.mark.parametrize("tones", [LIGHT, DARK])
def test_words_stand_out_from_their_ground(tones: Tones) -> None:
    """4.5 to 1 or more (Web Content Accessibility Guidelines 2.1, 1.4.3, level AA)."""
    grounds = (tones.panel, tones.control, tones.hover)
    pairs = [(words, ground) for words in (tones.ink, tones.muted) for ground in grounds]
    pairs += [(tones.on_accent, tones.accent), (tones.page_ink, tones.paper), (tones.mark, tones.paper)]
    for words, ground in pairs:
        assert _contrast(words, ground) >= 4.5, (words, ground)


def _contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours (the same guidelines, definition of contrast ratio)."""
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("tones", [LIGHT, DARK])
def test_the_style_sheet_finds_its_tones_and_pictures(tones: Tones) -> None:
    """A misspelled name would be ignored in silence."""
    sheet = style_sheet(tones)
    assert "@" not in sheet
    for part in sheet.split("url(")[1:]:
        assert Path(part.split(")")[0]).exists()


def test_qt_keeps_count_of_none(driver: Driver) -> None:
    """One release of PySide6 lost a reference to None at every void call and ended the process after some thousands."""
    image = QImage(8, 8, QImage.Format.Format_ARGB32)
    painter = QPainter(image)
    pen = QPen()
    before = sys.getrefcount(None)
    for _ in range(1000):
        painter.setPen(pen)
    after = sys.getrefcount(None)
    painter.end()
    assert abs(after - before) < 500


def test_views_know_no_window() -> None:
    """Panels receive the open lesson; a panel that knew the window would know everything."""
    for path in (ROOT / "desktop").rglob("*.py"):
        if path.name in {"start.py", "picture.py", "notebook.py"}:
            continue
        assert "desktop.notebook" not in path.read_text(encoding="utf-8"), path


def test_only_the_open_lesson_keeps_the_past() -> None:
    """One door for change."""
    for path in (ROOT / "desktop").rglob("*.py"):
        imported = {
            node.module
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.ImportFrom)
        }
        assert path.name == "open_lesson.py" or "lessonkit.lesson.history" not in imported, path


@pytest.mark.parametrize("menus", [(), PEOPLE_MENUS, PLAN_MENUS], ids=["lessons", "students", "terms"])
def test_no_key_stands_for_two_actions(menus: tuple[Menu, ...]) -> None:
    """Qt would then call neither. In another room than that of the lessons only some actions of theirs are there."""
    make_application()
    rows = [row for _, own in MENUS for row in own if isinstance(row, ActionRow) and (not menus or row.is_everywhere)]
    rows += [row for _, own in menus for row in own if isinstance(row, ActionRow)]
    keys = [key.toString() for row in rows if row.keys for key in shortcuts_of(row.keys)]
    assert len(keys) == len(set(keys)), sorted(key for key in keys if keys.count(key) > 1)
