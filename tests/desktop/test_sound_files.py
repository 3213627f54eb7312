"""Files to listen to, saved from the window while it stays at work."""

from __future__ import annotations

from pathlib import Path

from desktop.listening.sound_files import NO_DRILL, STOPPED
from lessonkit.drills.listening_names import listening_stem, tempos_of
from lessonkit.drills.realise import realise
from lessonkit.lesson.lesson import Drill, Lesson, Note
from tests.desktop.conftest import Driver


def test_each_drill_and_tempo_gets_a_file_and_there_is_a_page(driver: Driver, tmp_path: Path) -> None:
    """They bear the names that the handout prints."""
    driver.answers.saving = tmp_path / "for the student"
    driver.notebook.actions_table["sound_files"].trigger()
    files = driver.notebook.desk.sound_files
    driver.qtbot.waitUntil(lambda: not files.is_at_work, timeout=120_000)
    driver.qtbot.waitUntil(lambda: " are in " in driver.notebook.desk.messages.sentence)
    setting = driver.lesson.setting
    drills = [block.family for block in driver.lesson.blocks if isinstance(block, Drill)]
    names = {
        f"{listening_stem(number, drill, realise(drill, setting))}-{tempo}.mp3"
        for number, drill in enumerate(drills, start=1)
        for tempo in tempos_of(drill, setting)
    }
    assert {path.name for path in driver.answers.saving.iterdir()} == {*names, "index.html"}
    assert all(name in (driver.answers.saving / "index.html").read_text() for name in names)


def test_saving_can_be_stopped(driver: Driver, tmp_path: Path) -> None:
    """A long lesson takes a while."""
    driver.answers.saving = tmp_path
    driver.notebook.actions_table["sound_files_wav"].trigger()
    stop = driver.notebook.desk.messages._offers[0]
    assert stop.text() == "Stop"
    stop.click()
    files = driver.notebook.desk.sound_files
    driver.qtbot.waitUntil(lambda: not files.is_at_work, timeout=120_000)
    driver.qtbot.waitUntil(lambda: driver.notebook.desk.messages.sentence == STOPPED)
    assert not (tmp_path / "index.html").exists()


def test_a_folder_that_cannot_be_written_is_a_sentence(driver: Driver, tmp_path: Path) -> None:
    """What stands in the way is a file."""
    (tmp_path / "taken").write_text("words")
    driver.answers.saving = tmp_path / "taken"
    driver.notebook.actions_table["sound_files"].trigger()
    files = driver.notebook.desk.sound_files
    driver.qtbot.waitUntil(lambda: not files.is_at_work, timeout=120_000)
    driver.qtbot.waitUntil(lambda: "not saved in" in driver.notebook.desk.messages.sentence)


def test_a_lesson_of_words_has_nothing_to_hear(driver: Driver) -> None:
    """No folder is asked for."""
    driver.notebook.open_lesson.open(Lesson(blocks=(Note("Words."),)), None)
    driver.notebook.actions_table["sound_files"].trigger()
    assert driver.notebook.desk.messages.sentence == NO_DRILL
    assert "sound" not in driver.answers.asked


def test_thinking_better_of_it_does_nothing(driver: Driver) -> None:
    """Cancel in the question for the folder."""
    driver.notebook.actions_table["sound_files"].trigger()
    assert not driver.notebook.desk.sound_files.is_at_work
    assert not driver.notebook.desk.messages.sentence
