"""The lesson, a page and blocks saved for other programs while the window stays at work."""

from __future__ import annotations

import zipfile
from pathlib import Path

import mido
from lxml import etree
from PIL import Image

from desktop.dialogs.questions import EXPORTS
from lessonkit.export import Format
from lessonkit.lesson.lesson import Drill, Lesson, Note
from tests.desktop.conftest import Driver
from tests.lessonkit.exchange.scores import faults


def save(driver: Driver, action: str, target: Path) -> str:
    """Save by a menu entry; answers what the window says in the end."""
    driver.answers.exporting = target
    driver.notebook.actions_table[action].trigger()
    exporting = driver.notebook.desk.exporting
    driver.qtbot.waitUntil(lambda: not exporting.is_at_work, timeout=120_000)
    messages = driver.notebook.desk.messages
    driver.qtbot.waitUntil(lambda: not messages.sentence.startswith(("Saving", "Saved 1 of", "Saved 2 of")))
    return messages.sentence


def test_notes_of_the_lesson_are_a_valid_score(driver: Driver, tmp_path: Path) -> None:
    """Plain and packed hold the same."""
    assert (
        save(driver, "export_lesson", tmp_path / "a.musicxml") == f"Saved for other programs: {tmp_path / 'a.musicxml'}"
    )
    assert driver.answers.suggested is not None
    save(driver, "export_lesson", tmp_path / "a.mxl")
    plain = (tmp_path / "a.musicxml").read_bytes()
    assert not list(faults(plain))
    with zipfile.ZipFile(tmp_path / "a.mxl") as archive:
        assert archive.read("score.musicxml") == plain


def test_a_block_as_midi_and_as_a_picture(driver: Driver, tmp_path: Path) -> None:
    """What is selected, and nothing else."""
    drill = next(block for block in driver.lesson.blocks if isinstance(block, Drill))
    driver.notebook.desk.selection.select(drill.id)
    save(driver, "export_blocks", tmp_path / "one.mid")
    assert len(mido.MidiFile(tmp_path / "one.mid").tracks) >= 2
    save(driver, "export_blocks", tmp_path / "one.png")
    with Image.open(tmp_path / "one.png") as image:
        assert image.convert("L").getextrema() == (0, 255)


def test_pages_are_pictures_one_each(driver: Driver, tmp_path: Path) -> None:
    """A page in sight is one file; a lesson of several pages is several."""
    save(driver, "export_page", tmp_path / "page.svg")
    assert etree.parse(tmp_path / "page.svg").getroot().tag.endswith("svg")
    pages = len(driver.notebook.desk.drawn.pages)
    save(driver, "export_lesson", tmp_path / "all.svg")
    assert len(list(tmp_path.glob("all*.svg"))) == pages


def test_words_have_no_notes(driver: Driver, tmp_path: Path) -> None:
    """A sentence, and no file."""
    driver.notebook.open_lesson.open(Lesson(blocks=(Note("Words."),)), None)
    sentence = save(driver, "export_lesson", tmp_path / "words.mid")
    assert sentence.startswith("Not everything was saved for other programs: the lesson has no drill")
    assert not list(tmp_path.iterdir())


def test_a_place_that_cannot_be_written_is_a_sentence(driver: Driver, tmp_path: Path) -> None:
    """What stands in the way is a file."""
    (tmp_path / "taken").write_text("words")
    assert save(driver, "export_lesson", tmp_path / "taken" / "a.mid").startswith("Not everything was saved")


def test_every_kind_is_offered() -> None:
    """The question offers what can be made, and nothing else."""
    assert sorted(EXPORTS.values()) == sorted(f".{form.value}" for form in Format)


def test_saving_can_be_stopped(driver: Driver, tmp_path: Path) -> None:
    """A window that is left does not wait for a hundred pages."""
    driver.answers.exporting = tmp_path / "all.png"
    driver.notebook.actions_table["export_lesson"].trigger()
    exporting = driver.notebook.desk.exporting
    exporting.stop()
    driver.qtbot.waitUntil(lambda: not exporting.is_at_work, timeout=120_000)
    assert all(Image.open(path).verify() is None for path in tmp_path.iterdir())
