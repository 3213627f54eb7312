"""Several blocks at once, and blocks on their way to other lessons and other programs."""

from __future__ import annotations

from xml.etree import ElementTree

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QGuiApplication, QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

from desktop.editing.clipboard import SVG_TYPE
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.theory.key import Key
from tests.desktop.conftest import BROKEN, FIRST_NOTE, OPENING, Driver

SHIFT, CONTROL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier


def selected(driver: Driver) -> tuple[str, ...]:
    return driver.notebook.desk.selection.ids


def test_shift_and_ctrl_select_several(driver: Driver) -> None:
    """As in every list: Shift takes a stretch, Ctrl one more or one less."""
    driver.click(OPENING)
    driver.click(BROKEN, SHIFT)
    assert selected(driver) == (OPENING, FIRST_NOTE, BROKEN)
    driver.click(FIRST_NOTE, CONTROL)
    assert selected(driver) == (OPENING, BROKEN)


def test_shift_and_the_arrows_select_a_stretch(driver: Driver) -> None:
    """The stretch grows and shrinks at the end that moves."""
    driver.click(FIRST_NOTE)
    driver.press(Qt.Key.Key_Down, SHIFT)
    driver.press(Qt.Key.Key_Down, SHIFT)
    assert selected(driver) == (FIRST_NOTE, BROKEN, "space")
    driver.press(Qt.Key.Key_Up, SHIFT)
    driver.press(Qt.Key.Key_Up, SHIFT)
    driver.press(Qt.Key.Key_Up, SHIFT)
    assert selected(driver) == (OPENING, FIRST_NOTE)


def test_a_stretch_turns_about_where_it_began(driver: Driver) -> None:
    """A second click with Shift measures from the same block."""
    driver.click(FIRST_NOTE)
    driver.click(BROKEN, SHIFT)
    driver.click(OPENING, SHIFT)
    assert selected(driver) == (OPENING, FIRST_NOTE)


def test_several_blocks_are_dragged_together(driver: Driver) -> None:
    """They keep their order."""
    view = driver.notebook.desk.view
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    driver.click(OPENING)
    driver.click(FIRST_NOTE, SHIFT)
    start, end = driver.point_of(OPENING), driver.point_of(BROKEN)
    driver.qtbot.mousePress(view.viewport(), left, none, start)
    driver.qtbot.mouseMove(view.viewport(), start + QPoint(0, 30))
    driver.qtbot.mouseMove(view.viewport(), end + QPoint(0, 40))
    driver.qtbot.mouseRelease(view.viewport(), left, none, end + QPoint(0, 40))
    assert [block.id for block in driver.lesson.blocks[:3]] == [BROKEN, OPENING, FIRST_NOTE]


def test_blocks_go_to_another_lesson_and_take_its_key(driver: Driver) -> None:
    """A drill that follows its lesson follows the new one."""
    driver.click(BROKEN)
    driver.control(Qt.Key.Key_C)
    family = driver.lesson.block(BROKEN).family  # type: ignore[union-attr]
    driver.notebook.open_lesson.open(Lesson(title="Other", key=Key.parse("D")), None)
    driver.control(Qt.Key.Key_V)
    block = driver.lesson.blocks[0]
    assert isinstance(block, Drill)
    assert block.family == family
    assert driver.lesson.key == Key.parse("D")


def test_blocks_are_copied_as_a_picture(driver: Driver) -> None:
    """Pixels, outlines and words at once: each program takes what it can; both pictures show the same ink."""
    driver.click(BROKEN)
    driver.press(Qt.Key.Key_C, CONTROL | SHIFT)
    content = QGuiApplication.clipboard().mimeData()
    assert content is not None
    image = QImage(content.imageData())
    assert image.width() > 1500
    assert content.text().startswith("E♭maj7 broken through its inversions")
    svg = content.data(SVG_TYPE)
    ElementTree.fromstring(bytes(svg.data()))
    renderer = QSvgRenderer(svg)
    assert renderer.isValid()
    drawn = QImage(image.size(), QImage.Format.Format_RGB32)
    drawn.fill(QColor("white"))
    painter = QPainter(drawn)
    renderer.render(painter)
    painter.end()
    assert abs(ink(drawn) - ink(image)) < 0.1 * ink(image)


def ink(image: QImage) -> float:
    """How dark an image is altogether, looked at from afar."""
    small = image.scaled(200, 60, mode=Qt.TransformationMode.SmoothTransformation)
    return sum(255.0 - QColor(small.pixel(x, y)).lightness() for x in range(200) for y in range(60))


def test_what_shows_nothing_has_no_picture(driver: Driver) -> None:
    """A new page has no ink."""
    driver.notebook.desk.selection.select("break")
    driver.notebook.actions_table["copy_picture"].trigger()
    assert "no picture" in driver.notebook.desk.messages.sentence
