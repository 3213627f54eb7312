"""What a drill costs beside the engraver's own work, as ratios in one run. Nothing here asserts the clock."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from time import process_time

import pytest
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from desktop.painting.qt_painter import QtPainter
from lessonkit.drawing.shapes import Drawing, Placed, paint
from lessonkit.drills.exercise import Exercise, FingersShown
from lessonkit.drills.family import Direction, family
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave, engraver_text, forget
from lessonkit.engraving.engraver import svg_of
from lessonkit.engraving.look import Look
from lessonkit.theory.key import Key

pytestmark = pytest.mark.bench

LOOK = Look(482.0)
ROUNDS = 60


def sixty_four_notes() -> Exercise:
    """A drill of 64 eighths in A♭ with its chord's name, built anew."""
    broken = family("broken-chords").from_settings(
        {
            "octaves": 2, "direction": Direction.UP_AND_DOWN.value, "size": "ninth", "group_size": "4",
            "fingers_shown": FingersShown.ALL.value, "lowest": "Ab3",
        }
    )  # fmt: skip
    return broken.build(Setting(Key.parse("Ab")))


def fingered(exercise: Exercise) -> Exercise:
    """The same with a finger on every note, wherever fingers come from."""
    events = (replace(event, fingers=(number % 4 + 1,)) for number, event in enumerate(exercise.events))
    return replace(exercise, events=tuple(events))


def shortest(*works: Callable[[], object]) -> list[float]:
    """The shortest of many rounds of each work, in milliseconds of the processor.

    The works take turns, so that each finds the processor's memory as the others left it and none has it to itself.
    """
    times: list[list[float]] = [[] for _ in works]
    for _ in range(ROUNDS):
        for work, spent in zip(works, times, strict=True):
            start = process_time()
            work()
            spent.append(process_time() - start)
    return [1000 * min(spent) for spent in times]


def painted(drawings: tuple[Drawing, ...], painter: QPainter) -> None:
    """Paint the systems below one another as a page does."""
    y = 0.0
    ours = QtPainter(painter, "#000000", "#ffffff")
    for drawing in drawings:
        paint(Placed(drawing, 20.0, y), ours)
        y += drawing.height


def with_all_text(mei: str, exercise: Exercise) -> str:
    """The same MEI with every finger in it, as verovio alone would need it to draw the page; we set them ourselves."""
    for number, event in enumerate(exercise.events):
        head = mei.index(f'xml:id="e{number}.0"')
        end = mei.index("</measure>", head)
        start = f'<fing staff="1" startid="#e{number}.0" place="above">'
        fings = "".join(f"{start}{finger}</fing>" for finger in event.fingers)
        mei = mei[:end] + fings + mei[end:]
    return mei


def test_a_drill_of_64_notes_beside_verovio_alone(capsys: pytest.CaptureFixture[str]) -> None:
    """Exercise, MEI, verovio, drawing and paint against verovio's load and render of the same MEI."""
    application = QApplication.instance() or QApplication([])
    image = QImage(1100, 800, QImage.Format.Format_ARGB32_Premultiplied)
    painter = QPainter(image)
    painter.scale(2.0, 2.0)
    exercise = fingered(sixty_four_notes())
    mei, width = engraver_text(exercise, LOOK)
    drawings = engrave(exercise, LOOK)
    painted(drawings, painter)

    def anew() -> tuple[Drawing, ...]:
        forget()
        return engrave(exercise, LOOK)

    def everything() -> None:
        forget()
        sixty_four_notes()
        painted(engrave(exercise, LOOK), painter)

    whole_page = with_all_text(mei, exercise)
    names = ("exercise", "engrave", "paint", "all", "again")
    alone, alone_with_text, *spent = shortest(
        lambda: svg_of(mei, width), lambda: svg_of(whole_page, width),
        sixty_four_notes, anew, lambda: painted(drawings, painter), everything, lambda: engrave(exercise, LOOK),
    )  # fmt: skip
    figures = dict(zip(names, spent, strict=True))
    painter.end()
    notes = sum(len(event.pitches) for event in exercise.events)
    assert notes == 64
    assert application is not None
    with capsys.disabled():
        print(f"\n{notes} notes, verovio alone {alone:.2f} ms; with the fingers in its MEI {alone_with_text:.2f} ms")
        for name, figure in figures.items():
            print(f"  {name:10} {figure:6.2f} ms  {figure / alone:7.4f} x  {figure / alone_with_text:7.4f} x")


def test_the_length_of_a_bar_is_exact() -> None:
    """The drill that is measured is a whole number of bars."""
    assert sixty_four_notes().length % Fraction(1) == 0
