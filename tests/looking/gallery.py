"""Pictures of everything that is engraved, for an eye to judge: ``python -m tests.looking.gallery OUT``.

One tall picture for each drill family, with every key and hand that is asked for below one another, and one for each
page of the sample lessons in every edition.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from PySide6.QtGui import QGuiApplication, QImage, QPainter

from desktop.painting.qt_painter import QtPainter
from lessonkit.drawing.shapes import Face, Placed, Text, paint
from lessonkit.drills.exercise import Exercise
from lessonkit.drills.family import DrillFamily, Hands, families
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave
from lessonkit.engraving.look import Look
from lessonkit.pages.editions import Edition, edition_pages
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.theory.key import Key

SAMPLES = Path(__file__).resolve().parents[2] / "sample_lessons"
PLAYED = {
    "articulation": "legato, a slur over each group", "loudness": "mf", "shaping": "louder up, softer down",
    "pedal_use": "changed with each bar", "shows_degrees": True,
}  # fmt: skip
"""Settings that put every kind of mark on the page."""

_MARGIN, _GAP, _LEGEND = 14.0, 10.0, 8.0


def exercises(
    family: type[DrillFamily], keys: list[str], hands: list[Hands], settings: dict[str, object]
) -> Iterator[tuple[str, Exercise]]:
    """The drill in each key and for each hand, with what it is."""
    drill = family.from_settings({name: value for name, value in settings.items() if name in family.declared()})
    for key in keys:
        for hand in hands:
            try:
                yield (
                    f"{family.code}, {key}, {hand.value}",
                    realise(replace(drill, hands=hand), Setting(Key.parse(key))),
                )
            except ValueError as error:
                print(f"{family.code} in {key}, {hand.value}: {error}")


def picture(rows: list[tuple[str, Exercise]], look: Look, zoom: float, systems: int = 99) -> QImage:
    """All rows below one another, each under a small legend; of each so many systems at most."""
    placed: list[Placed] = []
    legends: list[Text] = []
    y = _MARGIN
    for legend, exercise in rows:
        y += _LEGEND
        legends.append(Text(_MARGIN, y, legend, Face.SANS, 7.0, 0.4))
        for drawing in engrave(exercise, look)[:systems]:
            placed.append(Placed(drawing, _MARGIN, y))
            y += drawing.height + _GAP
    image = QImage(round((look.width + 2 * _MARGIN) * zoom), round((y + _MARGIN) * zoom), QImage.Format.Format_RGB32)
    image.fill("#ffffff")
    painter = QPainter(image)
    painter.scale(zoom, zoom)
    ours = QtPainter(painter, "#000000", "#ffffff")
    for one in placed:
        paint(one, ours)
    for text in legends:
        ours.text(text, 0.0, 0.0)
    painter.end()
    return image


def sample_pages(out: Path, zoom: float) -> None:
    """Every page of the sample lessons in every edition."""
    for source in sorted(SAMPLES.glob("*.lesson")):
        lesson = read_lesson(source)
        for edition in Edition:
            for number, page in enumerate(edition_pages(lesson, edition), 1):
                image = QImage(round(page.width * zoom), round(page.height * zoom), QImage.Format.Format_RGB32)
                image.fill("#ffffff")
                painter = QPainter(image)
                painter.scale(zoom, zoom)
                ours = QtPainter(painter, "#000000", "#ffffff")
                for part in page.parts:
                    paint(part.placed, ours)
                painter.end()
                image.save(str(out / f"lesson_{source.stem}_{edition.value}_{number}.png"))


def main() -> None:
    """Read what is asked for and write the pictures."""
    parser = argparse.ArgumentParser(description="pictures of every drill family and sample lesson")
    parser.add_argument("out", type=Path)
    parser.add_argument("--families", nargs="*", default=list(families()))
    parser.add_argument("--keys", nargs="*", default=["C", "Eb", "F#", "Gb", "B", "Cb"])
    parser.add_argument("--hands", nargs="*", default=[Hands.BOTH.value], help="right, left, both")
    parser.add_argument("--staff", type=float, default=7.0, help="the staff's height in millimetres")
    parser.add_argument("--zoom", type=float, default=1.6, help="pixels to a point")
    parser.add_argument("--systems", type=int, default=99, help="how many systems of each at most")
    parser.add_argument("--played", action="store_true", help="with slurs, swells, pedal and degrees")
    parser.add_argument("--set", action="append", default=[], metavar="NAME=VALUE")
    parser.add_argument("--no-lessons", action="store_true")
    given = parser.parse_args()
    application = QGuiApplication.instance() or QGuiApplication([])
    given.out.mkdir(parents=True, exist_ok=True)
    settings: dict[str, object] = dict(PLAYED) if given.played else {}
    for pair in given.set:
        name, _, value = pair.partition("=")
        settings[name] = int(value) if value.isdigit() else value
    hands = [Hands(value) for value in given.hands]
    for code in given.families:
        rows = list(exercises(families()[code], given.keys, hands, settings))
        if rows:
            picture(rows, Look(482.0, given.staff), given.zoom, given.systems).save(str(given.out / f"{code}.png"))
    if not given.no_lessons:
        sample_pages(given.out, given.zoom)
    del application


if __name__ == "__main__":
    main()
