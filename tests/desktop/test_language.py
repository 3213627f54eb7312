"""The window in another language: every text passes through the one door, and German is whole."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QTranslator
from PySide6.QtWidgets import QWidget

from desktop.people.people_room import PARTS as STUDENT_PARTS
from desktop.people.people_room import PeopleRoom
from desktop.plan.plan_room import PARTS as TERM_PARTS
from desktop.plan.plan_room import PlanRoom
from desktop.rooms import STUDENTS, TERMS
from desktop.translated import CONTEXT, Translated
from desktop.translating.collected import Text, collected
from desktop.translating.files import is_counted, read_translations
from desktop.words import FOLDER, say, within
from lessonkit.drills.family import families
from lessonkit.lesson.lesson import Aid, Drill
from lessonkit.lesson.page_aid import page_aids
from tests.desktop.conftest import Driver
from tests.desktop.shown_texts import Marked, speak, texts_of, unmarked

SAMPLES = Path(__file__).resolve().parents[2] / "sample_lessons"
GERMAN = FOLDER / "lessonkit_de.ts"
PATTERNS = FOLDER / "sentences.json"

# What stands in the window as somebody wrote it, in every language: names of files and formats, keys, music, lengths.
DATA = frozenset(
    word
    for line in (
        "Evening lesson Begin here chord today Goodbye heading",
        "MusicXML MIDI MEI ABC PDF SVG PNG WAV CSV JPEG English Deutsch lessonkit",
        "Ctrl Shift Alt Del Return Space Left Right Home End Tab Esc Ins PgUp PgDown Backspace Enter",
        "small medium large comfortable ninth notes roman degree scale signature key tempo tonic right",
    )
    for word in line.split()
)


@pytest.fixture
def marked() -> Iterator[None]:
    """The language in which everything that is translated stands between marks."""
    speak(Marked({text.english for text in collected()}, PATTERNS))
    yield
    speak(None)


@pytest.fixture
def german() -> Iterator[None]:
    """The window's texts in German."""
    speak(Translated(GERMAN.with_suffix(".qm"), PATTERNS))
    yield
    speak(None)


@pytest.fixture(scope="module")
def texts() -> list[Text]:
    return collected()


def test_german_is_whole(texts: list[Text]) -> None:
    """Every text has its German; python -m desktop.translating lists the others as unfinished."""
    assert untranslated(texts) == []


def untranslated(texts: list[Text]) -> list[str]:
    known = read_translations(GERMAN).forms
    return [text.english for text in texts if not known.get(text.english)]


def test_translations_keep_the_places() -> None:
    """A place that is lost would leave a number out; one too many would end the sentence with an error."""
    for english, forms in read_translations(GERMAN).forms.items():
        for form in forms:
            wanted, found = (set(re.findall(r"\{(\w+)", text)) for text in (english, form))
            assert found == wanted, english
            assert english.startswith(" ") == form.startswith(" "), english
            if "&" in english:
                assert form.count("&") == english.count("&"), english


def test_what_qt_reads_is_what_was_translated() -> None:
    """The compiled file would otherwise be an older one."""
    translator = QTranslator()
    assert translator.load(str(GERMAN.with_suffix(".qm")))
    for english, forms in read_translations(GERMAN).forms.items():
        if is_counted(english) and len(forms) == 2:
            assert translator.translate(CONTEXT, english, "", 1) == forms[0]
            assert translator.translate(CONTEXT, english, "", 5) == forms[1]
        elif forms:
            assert translator.translate(CONTEXT, english) == forms[0]


def test_patterns_have_their_translations() -> None:
    """A sentence of the engine is recognised by a pattern that has a translation."""
    known = read_translations(GERMAN).forms
    waiting = [one for one in json.loads(PATTERNS.read_text(encoding="utf-8")) if not known.get(one)]
    assert waiting == []


@pytest.mark.usefixtures("german")
def test_german_says_texts_counts_and_sentences() -> None:
    """Exact texts, numbers in their forms, and sentences that the engine put together."""
    assert say("&New") == "&Neu"
    assert say("{n} blocks", n=1) == "1 Block"
    assert say("{n} blocks", n=3) == "3 Blöcke"
    assert say("Broken chords") == "Akkordbrechungen"
    assert say("B♭ major") == "B♭-Dur"
    assert say("'Q' is not a key; write it like Eb, F# minor or D dorian").startswith("'Q' ist keine Tonart")
    assert say("Nobody has ever written this") == "Nobody has ever written this"
    assert within("Tonart") == "Tonart"


@pytest.mark.usefixtures("german")
def test_an_error_within_a_sentence_is_said_too() -> None:
    """The engine raises in English, the window tells in German."""
    told = say(
        "No copy was made: {error}.", error=ValueError("'Q' is not a key; write it like Eb, F# minor or D dorian")
    )
    assert told.startswith("Es wurde nichts kopiert: 'Q' ist keine Tonart")


def test_english_needs_no_file() -> None:
    """The start is not to wait for languages that nobody wants."""
    assert say("{n} blocks", n=2) == "2 blocks"
    assert within("Key") == "key"


@pytest.fixture
def marked_driver(marked: None, request: pytest.FixtureRequest) -> Driver:
    """A window in marks."""
    return request.getfixturevalue("driver")


def assert_all_marked(driver: Driver, where: str, own: frozenset[str] = frozenset()) -> None:
    left = {
        (where, widget, text)
        for widget, text in texts_of(driver.window)
        if any(word not in DATA and word not in own for word in unmarked(text))
    }
    assert not left, "\n".join(sorted({f"{widget}: {text}" for _, widget, text in left}))


def test_all_of_the_lessons_room_is_translated(marked_driver: Driver) -> None:
    """Menus, shelf, strip, panel, keyboard, bars: no English is left where somebody reads another language."""
    desk = marked_driver.notebook.desk
    for block in (None, *marked_driver.lesson.blocks):
        if block is not None:
            desk.selection.select(block.id)
        marked_driver.settle()
        assert_all_marked(marked_driver, "lesson" if block is None else block.id)


def test_all_forms_are_translated(marked_driver: Driver) -> None:
    """Every family's and every aid's settings, choices, help and units."""
    desk = marked_driver.notebook.desk
    blocks = [Drill(family()) for family in families().values()] + [Aid(aid()) for aid in page_aids().values()]
    left = set()
    for block in blocks:
        desk.insert(block)
        marked_driver.notebook.desk.panel.finish()
        for widget, text in texts_of(desk.panel):
            if any(word not in DATA for word in unmarked(text)):
                left.add((widget, text))
    assert not left, "\n".join(f"{widget}: {text}" for widget, text in sorted(left))


def test_the_students_room_is_translated(marked_driver: Driver, tmp_path: Path) -> None:
    """Each part of a student."""
    shutil.copy(SAMPLES / "m_k.student", tmp_path)
    marked_driver.notebook._memory.students_folder = tmp_path
    room = entered(marked_driver, STUDENTS)
    assert isinstance(room, PeopleRoom)
    marked_driver.qtbot.waitUntil(lambda: room.studio.is_read, timeout=60000)
    own = written_in(SAMPLES / "m_k.student")
    for title, _ in STUDENT_PARTS:
        room.show_part(title)
        marked_driver.qtbot.wait(400)
        assert_all_marked(marked_driver, title, own)


def test_the_terms_room_is_translated(marked_driver: Driver, tmp_path: Path) -> None:
    """Each part of a term, with a week, a lesson and the term in hand."""
    names = ("twelve_keys.term", "broken_chords.lesson", "twelve_bars.lesson")
    for name in names:
        shutil.copy(SAMPLES / name, tmp_path)
    marked_driver.notebook._memory.term = tmp_path / "twelve_keys.term"
    room = entered(marked_driver, TERMS)
    assert isinstance(room, PlanRoom)
    marked_driver.qtbot.waitUntil(lambda: room.beside.is_read and room.counting.is_judged, timeout=60000)
    own = frozenset().union(*(written_in(SAMPLES / name) for name in names))
    for title, _ in TERM_PARTS:
        room.show_part(title)
        marked_driver.qtbot.wait(50)
        assert_all_marked(marked_driver, title, own)
    marked_driver.notebook.plan.close()


def entered(driver: Driver, name: str) -> QWidget | None:
    rooms = driver.notebook.rooms
    assert rooms is not None
    rooms.go(name)
    driver.qtbot.waitUntil(lambda: rooms.current == name, timeout=60000)
    return rooms.made(name)


def written_in(path: Path) -> frozenset[str]:
    """The words of a file, which stay as they are in every language."""
    return frozenset(re.findall(r"[A-Za-z]{3,}", path.read_text(encoding="utf-8")))
