"""A keyboard with MIDI in the window: recorded streams are played in, judged on the page and written down."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import mido
import pytest
from PySide6.QtCore import QPointF, Qt

from desktop.hands.finger_places import note_places
from desktop.listening.playing_in import NO_DRILL, SILENCE
from lessonkit.drills.family import family
from lessonkit.drills.phrase import Phrase
from lessonkit.drills.realise import realise
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.sound.judging import Verdict
from lessonkit.sound.midi_file import to_midi
from lessonkit.sound.performance import performance
from lessonkit.sound.played_in import NO_LIBRARY, Keyboard, NoKeyboard
from lessonkit.sound.playing import Playing
from tests.desktop.conftest import BROKEN, Driver


@dataclass
class RecordedKeyboard:
    """A keyboard that sends what was recorded, on a clock of the test's own."""

    name = "Recorded keyboard"
    received: Callable[[Sequence[int]], None] = lambda message: None
    clock: float = 100.0
    is_open: bool = False

    def open(self, received: Callable[[Sequence[int]], None]) -> RecordedKeyboard:
        self.received, self.is_open = received, True
        return self

    def close(self) -> None:
        self.is_open = False

    def play(self, driver: Driver, messages: Sequence[tuple[float, Sequence[int]]]) -> None:
        start = self.clock
        for moment, message in messages:
            self.clock = start + moment
            self.received(message)
        self.clock += SILENCE + 1
        driver.notebook.desk.playing_in._look()


@pytest.fixture
def keyboard(driver: Driver) -> RecordedKeyboard:
    keyboard = RecordedKeyboard()
    driver.notebook.desk.playing_in.open_keyboard = keyboard.open
    driver.notebook.desk.playing_in.now = lambda: keyboard.clock
    return keyboard


def recorded(family_code: str, driver: Driver, tempo: float = 72) -> list[tuple[float, Sequence[int]]]:
    """A drill of the lesson as another library reads it out of a file."""
    exercise = realise(family(family_code)(), driver.lesson.setting)
    now, found = 0.0, []
    for message in mido.MidiFile(file=io.BytesIO(to_midi(performance(exercise, Playing(tempo))))):
        now += message.time
        if not message.is_meta:
            found.append((now, message.bytes()))
    return found


def say(driver: Driver) -> str:
    return driver.notebook.desk.messages.sentence


def hear_drill(driver: Driver) -> None:
    driver.notebook.desk.selection.select(BROKEN)
    driver.notebook.actions_table["hear_drill"].trigger()


def test_a_drill_played_right_is_a_three(driver: Driver, keyboard: RecordedKeyboard) -> None:
    """It ends by itself; the mark is proposed and told in words."""
    proposed: list[tuple[str, int]] = []
    driver.notebook.desk.playing_in.proposed.connect(lambda name, rating: proposed.append((name, rating)))
    hear_drill(driver)
    assert "Recorded keyboard" in say(driver)
    keyboard.play(driver, recorded("broken-chords", driver))
    assert not keyboard.is_open
    assert proposed == [(BROKEN, 3)]
    assert "48 of 48 notes right. Proposed for a first try: 3, right at tempo." in say(driver)
    view = driver.notebook.desk.view
    assert len(driver.notebook.desk.playing_in.marks.marked(view.page_layout)) == 48


def test_wrong_late_and_missed_notes_are_shown_where_they_stand(driver: Driver, keyboard: RecordedKeyboard) -> None:
    """The fourth key is wrong, the eighth missing, and from the sixteenth on all come a second late."""
    messages, keys = [], 0
    for moment, message in recorded("broken-chords", driver):
        is_on = message[0] & 0xF0 == 0x90 and message[2] > 0
        keys += is_on
        moment += keys >= 16
        if keys == 4 and message[0] & 0xF0 in (0x80, 0x90):
            message = [message[0], message[1] + 1, message[2]]
        if keys != 8:
            messages.append((moment, message))
    hear_drill(driver)
    keyboard.play(driver, messages)
    marks = driver.notebook.desk.playing_in.marks
    view = driver.notebook.desk.view
    found = {one.note.event: one.verdict for _, one in marks.marked(view.page_layout) if one.note is not None}
    odd = {event: verdict for event, verdict in found.items() if verdict is not Verdict.RIGHT}
    assert odd == {3: Verdict.WRONG, 7: Verdict.MISSED, 15: Verdict.LATE}
    assert "Proposed for a first try: 1" in say(driver)
    place = note_places(view.page_layout, BROKEN)[3, 0].box
    point = QPointF((place.left + place.right) / 2, (place.top + place.bottom) / 2)
    assert marks.tip(view.page_layout, point) == "Another key was struck, 1 semitone higher"
    assert not view.grab().isNull()
    driver.notebook.desk.messages._offers[1].click()
    assert not marks.marked(view.page_layout)


def test_the_keys_show_while_they_are_down(driver: Driver, keyboard: RecordedKeyboard) -> None:
    """The picture of the keyboard follows the player."""
    hear_drill(driver)
    keyboard.received((0x90, 63, 70))
    driver.notebook.desk.playing_in._look()
    assert [str(down.pitch) for down in driver.notebook.desk.keyboard.down] == ["E♭4"]
    keyboard.clock += 60
    driver.notebook.desk.playing_in._look()
    assert keyboard.is_open, "a key is still down"
    driver.notebook.desk.playing_in.give_up()
    assert not say(driver)


def test_nothing_played_is_told(driver: Driver, keyboard: RecordedKeyboard) -> None:
    """The teacher ends it by hand."""
    hear_drill(driver)
    driver.notebook.desk.messages._offers[0].click()
    assert say(driver).startswith("No key was struck")


def test_marks_go_when_the_lesson_changes(driver: Driver, keyboard: RecordedKeyboard) -> None:
    """They would stand at other notes."""
    hear_drill(driver)
    keyboard.play(driver, recorded("broken-chords", driver))
    driver.press(Qt.Key.Key_Delete)
    assert driver.notebook.desk.playing_in.marks.judgement is None


def lick_messages(text: str, tempo: float) -> list[tuple[float, Sequence[int]]]:
    found: list[tuple[float, Sequence[int]]] = []
    for now, sound in Phrase.parse(text).placed:
        for pitch in sound.pitches:
            start, end = (float(moment) * 240 / tempo for moment in (now, now + sound.length))
            found += [(start, (0x90, pitch.midi, 70)), (end - 0.02, (0x80, pitch.midi, 0))]
    return sorted(found)


LICK = "in Eb | 1/8 Bb4 Ab G F Eb G Bb C5 | 1/4 D 1/12 C Bb4 Ab 1/2 G"


def test_a_lick_is_written_down_as_a_new_block(driver: Driver, keyboard: RecordedKeyboard) -> None:
    """In the lesson's key and tempo, one step of undo."""
    driver.notebook.desk.selection.select(BROKEN)
    driver.notebook.actions_table["write_lick"].trigger()
    assert "♩ = 72" in say(driver)
    keyboard.play(driver, lick_messages(LICK, 72))
    block = driver.notebook.desk.selection.only
    assert isinstance(block, Drill)
    assert block.family.lick == Phrase.parse(LICK)
    assert driver.lesson.place_of(block.id) == driver.lesson.place_of(BROKEN) + 1
    driver.notebook.open_lesson.undo()
    assert all(other.id != block.id for other in driver.lesson.blocks)


def test_a_lick_is_written_into_the_selected_own_lick(driver: Driver, keyboard: RecordedKeyboard) -> None:
    """Its chords' place, fingers and keys stay as they were chosen."""
    lesson = Lesson(key=driver.lesson.key, blocks=(Drill(family("own-lick")(), id="lick"),))
    driver.notebook.open_lesson.open(lesson, None)
    driver.notebook.desk.selection.select("lick")
    driver.notebook.actions_table["write_lick"].trigger()
    keyboard.play(driver, lick_messages(LICK, 72))
    (block,) = driver.lesson.blocks
    assert isinstance(block, Drill)
    assert block.family.lick == Phrase.parse(LICK)
    assert driver.notebook.open_lesson.undo_label == "Play a lick in"


def test_without_the_library_or_a_keyboard_a_sentence_says_so(driver: Driver, monkeypatch: pytest.MonkeyPatch) -> None:
    """Everything else works."""
    monkeypatch.setitem(sys.modules, "rtmidi", None)
    hear_drill(driver)
    assert say(driver) == f"{NO_LIBRARY[0].upper()}{NO_LIBRARY[1:]}."
    driver.notebook.desk.selection.clear()
    driver.notebook.desk.playing_in.hear_drill()
    assert say(driver) == NO_DRILL


def test_a_library_that_finds_no_midi_is_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    """It raises errors of its own where the system has none, and may list no keyboard."""

    class NoMidi:
        def __init__(self) -> None:
            raise RuntimeError("no sequencer")

    class NoPorts:
        def get_ports(self) -> list[str]:
            return ["Midi Through:0"]

    for port, told in ((NoMidi, "no sequencer"), (NoPorts, "no keyboard with MIDI")):
        monkeypatch.setitem(sys.modules, "rtmidi", type("rtmidi", (), {"MidiIn": port}))
        with pytest.raises(NoKeyboard, match=told):
            Keyboard(lambda message: None)


def test_a_real_library_brings_messages(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the window is told is what the library calls back with."""
    calls: list[Callable[[object, object], None]] = []

    class OnePort:
        def get_ports(self) -> list[str]:
            return ["Midi Through:0", "Stage piano"]

        def set_callback(self, call: Callable[[object, object], None]) -> None:
            calls.append(call)

        def open_port(self, place: int) -> None:
            assert place == 1

        def cancel_callback(self) -> None:
            calls.clear()

        def close_port(self) -> None:
            return

    monkeypatch.setitem(sys.modules, "rtmidi", type("rtmidi", (), {"MidiIn": OnePort}))
    heard: list[Sequence[int]] = []
    keyboard = Keyboard(heard.append)
    calls[0](([0x90, 60, 64], 0.0), None)
    assert (keyboard.name, heard) == ("Stage piano", [[0x90, 60, 64]])
    keyboard.close()
    assert not calls
