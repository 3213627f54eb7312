"""The teacher's own music in the window: typing a lick over several lines, and opening an excerpt as one."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt

from desktop.forms.text_editors import LinesEditor
from lessonkit.drills.chart import Chart
from lessonkit.drills.family import family
from lessonkit.drills.phrase import Phrase
from lessonkit.lesson.lesson import Drill
from tests.desktop.conftest import Driver

ABC = 'X:1\nM:4/4\nL:1/8\nK:Eb\n"Fm7" zc BA "Bb7" {G}(3GFE D2 | "Ebmaj7" E8 |]\n'


def drills(driver: Driver, code: str) -> list[Drill]:
    return [block for block in driver.lesson.blocks if isinstance(block, Drill) and block.family.code == code]


def test_a_lick_counts_as_soon_as_it_can_be_read(driver: Driver) -> None:
    """While a bar is half typed the last good lick stays, and the reason stands below the box."""
    desk = driver.notebook.desk
    desk.insert(Drill(family("own-lick")()))
    form = desk.panel.form
    assert form is not None
    row = form.rows["lick"]  # type: ignore[attr-defined]
    before = driver.lesson
    assert isinstance(row.editor, LinesEditor)
    box = row.editor.box
    box.setFocus()
    box.setPlainText("in G | G: 1/4 B4 D")
    assert drills(driver, "own-lick")[0].family.lick == Phrase.parse("in G | G: 1/4 B4 D")  # type: ignore[attr-defined]
    box.setPlainText("in G | G: 1/4 B4 X")
    assert "bar 1, place 4" in row.reason
    assert drills(driver, "own-lick")[0].family.lick == Phrase.parse("in G | G: 1/4 B4 D")  # type: ignore[attr-defined]
    driver.press(Qt.Key.Key_Tab)
    assert box.toPlainText() == "in G | G: 1/4 B4 D"
    assert row.reason == ""
    driver.control(Qt.Key.Key_Z)
    assert driver.lesson == before


def test_an_excerpt_becomes_a_lick_and_its_chords_a_chart(driver: Driver, tmp_path: Path) -> None:
    """What was left out is told; the chart comes only when it is asked for."""
    path = tmp_path / "walk.abc"
    path.write_text(ABC, encoding="utf-8")
    driver.answers.excerpt = path
    desk = driver.notebook.desk
    driver.notebook.actions_table["open_excerpt"].trigger()
    driver.qtbot.waitUntil(lambda: bool(drills(driver, "own-lick")), timeout=30_000)
    lick = drills(driver, "own-lick")[0].family
    assert lick.lick.ascii.startswith("in Eb | Fm7:")  # type: ignore[attr-defined]
    assert "1 grace note was left out" in desk.messages.sentence
    assert not drills(driver, "own-chart")
    (offer,) = desk.messages._offers
    driver.qtbot.mouseClick(offer, Qt.MouseButton.LeftButton)
    assert drills(driver, "own-chart")[0].family.chart == Chart.parse("in Eb | Fm7 Bb7 | Ebmaj7")  # type: ignore[attr-defined]
    driver.settle()


def test_a_file_that_is_no_music_costs_a_sentence(driver: Driver, tmp_path: Path) -> None:
    """The lesson stays as it is."""
    path = tmp_path / "letter.txt"
    path.write_text("Dear pupil", encoding="utf-8")
    driver.answers.excerpt = path
    before = driver.lesson
    driver.notebook.actions_table["open_excerpt"].trigger()
    driver.qtbot.waitUntil(lambda: "was not put in" in driver.notebook.desk.messages.sentence, timeout=10_000)
    assert "neither MusicXML nor ABC" in driver.notebook.desk.messages.sentence
    assert driver.lesson == before
