"""Drills played in the window: what is heard, what lights up, and what the keys and the bar do."""

from __future__ import annotations

from array import array
from dataclasses import replace
from itertools import groupby, pairwise

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QCheckBox, QComboBox, QSpinBox, QToolButton

from desktop.hands.finger_places import note_places
from desktop.listening.choices import KeptChoices
from desktop.listening.cues import Cue, Roll
from desktop.listening.listening import NO_DRILL, Listening
from desktop.listening.player import LOST
from desktop.listening.tape import FADE, Tape
from desktop.listening.ways import playing, ways_of
from desktop.memory import Memory
from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import families, family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.lesson.edits import replace_block
from lessonkit.lesson.lesson import Drill, Lesson, Note
from lessonkit.sound.performance import performance
from lessonkit.sound.playing import Gaps, Heard, Playing
from lessonkit.sound.rendering import Sound
from lessonkit.theory.key import Key
from tests.desktop.conftest import BROKEN, FIRST_NOTE, LADDER, Driver
from tests.desktop.listening import RATE, ROOM, TestRendering, TestSink, told_by_numbers

EAR, CALLS = "ear", "calls"


@pytest.fixture
def sink(driver: Driver) -> TestSink:
    """The window's loudspeaker."""
    sink = TestSink()
    driver.notebook.desk.listening.make_sink = lambda: sink
    return sink


@pytest.fixture
def rendering(driver: Driver, sink: TestSink) -> TestRendering:
    """Who makes the window's sound; nothing is counted in, so that music begins at once."""
    rendering = TestRendering()
    driver.notebook.desk.listening.make_rendering = lambda: rendering
    driver.notebook.desk.listening.choose(counts_in=False)
    return rendering


def listening(driver: Driver) -> Listening:
    return driver.notebook.desk.listening


def hear(driver: Driver, sink: TestSink, seconds: float) -> None:
    """Let time go by in steps as small as a loudspeaker's."""
    player = listening(driver)._player
    assert player is not None
    while seconds > 0:
        sink.pass_time(min(seconds, 0.1))
        player._keep_going()
        seconds -= 0.1


def keys_heard(sink: TestSink) -> list[int]:
    """The keys of the piano in the order in which they were heard, each once for as long as it sounds."""
    steady = [(sample, len(list(same))) for sample, same in groupby(array("h", bytes(sink.heard)))]
    return [sample // 100 for sample, count in steady if sample and count > round(FADE * RATE) // 2]


def select_drill(driver: Driver, block_id: str = BROKEN) -> None:
    driver.notebook.desk.selection.select(block_id)
    driver.notebook.desk.view.setFocus()


def drill(driver: Driver, block_id: str = BROKEN) -> Drill:
    block = driver.lesson.block(block_id)
    assert isinstance(block, Drill)
    return block


def test_the_space_bar_plays_the_selected_drill_and_stops_it(
    driver: Driver, sink: TestSink, rendering: TestRendering
) -> None:
    """What the hand does most is one key; the first sound is written before the key is let go."""
    select_drill(driver)
    driver.press(Qt.Key.Key_Space)
    assert listening(driver).is_playing
    assert sink.waiting() == 2 * ROOM
    assert sink.waits[:2] == array("h", [100 * rendering.asked[0].notes[0].midi]).tobytes()
    driver.press(Qt.Key.Key_Space)
    assert not listening(driver).is_playing
    assert not sink.waits


def test_space_types_a_space_where_words_are_written(driver: Driver, rendering: TestRendering) -> None:
    """Only the page plays."""
    driver.click(FIRST_NOTE)
    driver.press(Qt.Key.Key_F2)
    driver.type(" a")
    assert not listening(driver).is_playing


def test_the_notes_are_the_exercise_s(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """Everything passes the tape in order, to the end and then into silence."""
    select_drill(driver)
    exercise = realise(drill(driver).family, driver.lesson.setting)
    driver.press(Qt.Key.Key_Space)
    hear(driver, sink, rendering.asked[1].length + 2)
    assert keys_heard(sink) == [pitch.midi for event in exercise.events for pitch in event.pitches]
    assert not listening(driver).is_playing


def test_notes_light_up_while_they_sound(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """What is heard is what is lit, although more has been fed already."""
    select_drill(driver)
    driver.press(Qt.Key.Key_Space)
    played = rendering.asked[0]
    exercise = realise(drill(driver).family, driver.lesson.setting)
    assert listening(driver).lights.lit == {(BROKEN, played.notes[0].event, played.notes[0].pitch)}
    third = played.notes[2]
    hear(driver, sink, third.start + 0.05)
    assert listening(driver).lights.lit == {(BROKEN, third.event, third.pitch)}
    keyboard = driver.notebook.desk.keyboard
    assert keyboard.words == "What sounds now"
    (key,) = keyboard.down
    assert (key.pitch.midi, key.hand, key.finger) == (third.midi, third.hand, exercise.events[third.event].fingers[0])
    view = driver.notebook.desk.view
    place = note_places(view.page_layout, BROKEN)[third.event, third.pitch].box
    (light,) = listening(driver).lights.lights(view.page_layout)
    assert light.contains(place.left, place.top)
    assert light.contains(place.right, place.bottom)
    driver.press(Qt.Key.Key_Space)
    assert not listening(driver).lights.lit
    moment = keyboard.moment
    assert moment is not None
    assert keyboard.down == moment.keys


def test_the_page_scrolls_to_what_sounds(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """The second drill stands on the second page."""
    driver.control(Qt.Key.Key_0)
    view = driver.notebook.desk.view
    select_drill(driver, LADDER)
    view.verticalScrollBar().setValue(0)
    driver.press(Qt.Key.Key_Space)
    box = view.box_on_viewport(LADDER)
    assert box is not None
    assert 0 <= box.top < view.viewport().height()


def test_nothing_selected_plays_the_page(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """The page in sight has one drill; the other one stands on the next page."""
    driver.press(Qt.Key.Key_Escape)
    driver.press(Qt.Key.Key_Space)
    assert [cue.block_id for cue in listening(driver)._the_player().cues] == [BROKEN]


def test_a_selection_is_played_one_drill_after_another(
    driver: Driver, sink: TestSink, rendering: TestRendering
) -> None:
    """Words between them are passed over."""
    driver.control(Qt.Key.Key_A)
    driver.press(Qt.Key.Key_Space)
    heard = listening(driver)
    assert [cue.block_id for cue in heard._the_player().cues] == [BROKEN, LADDER]
    hear(driver, sink, rendering.asked[1].length + 2.5)
    assert {name for name, _, _ in heard.lights.lit} == {LADDER}


def test_a_page_without_drills_says_so(driver: Driver, rendering: TestRendering) -> None:
    """A key that does nothing would seem broken."""
    driver.notebook.open_lesson.open(Lesson(blocks=(Note("Words only."),)), None)
    driver.press(Qt.Key.Key_Space)
    assert driver.notebook.desk.messages.sentence == NO_DRILL


def test_playing_begins_at_the_note_that_was_clicked(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """Shift and the space bar; a wedge shows where."""
    view = driver.notebook.desk.view
    view.show_block(BROKEN)
    place = note_places(view.page_layout, BROKEN)[5, 0].box
    point: QPoint = view.on_viewport(place).center().toPoint()
    driver.qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, point)
    assert listening(driver).start_mark.wedge(view.page_layout) is not None
    view.setFocus()
    driver.press(Qt.Key.Key_Space, Qt.KeyboardModifier.ShiftModifier)
    assert rendering.asked[0].notes[0].event == 5
    assert rendering.asked[0].notes[0].start == 0


def test_no_loudspeaker_is_a_sentence(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """Nothing else stops."""
    sink.is_there = False
    select_drill(driver)
    driver.press(Qt.Key.Key_Space)
    assert driver.notebook.desk.messages.sentence == "There is no loudspeaker."
    assert not listening(driver).is_playing
    assert not listening(driver).shows_bar


def test_a_loudspeaker_that_goes_is_a_sentence(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """Someone pulls the plug."""
    select_drill(driver)
    driver.press(Qt.Key.Key_Space)
    sink.has_gone = True
    hear(driver, sink, 0.1)
    assert driver.notebook.desk.messages.sentence == LOST
    assert not listening(driver).is_playing


def test_sound_that_cannot_be_made_is_a_sentence(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """The sound room says why."""
    rendering.refusal = "90 minutes are too long for one sound"
    select_drill(driver)
    driver.press(Qt.Key.Key_Space)
    assert driver.notebook.desk.messages.sentence == "90 minutes are too long for one sound."


def test_another_tempo_is_taken_up_at_a_beat_without_a_gap(
    driver: Driver, sink: TestSink, rendering: TestRendering
) -> None:
    """The old tempo goes on until the new sound is made; no note is left out and none is heard twice."""
    select_drill(driver)
    exercise = realise(drill(driver).family, driver.lesson.setting)
    driver.press(Qt.Key.Key_Space)
    hear(driver, sink, 1)
    rendering.is_held_back = True
    driver.press(Qt.Key.Key_Period, Qt.KeyboardModifier.ControlModifier)
    hear(driver, sink, 0.5)
    assert len(sink.heard) == 2 * round(1.5 * RATE), "the old way goes on"
    rendering.let_go()
    driver.qtbot.waitUntil(lambda: listening(driver)._the_player()._wanted == {})
    faster = rendering.asked[-1]
    assert faster.length < rendering.asked[1].length
    hear(driver, sink, rendering.asked[1].length + 2)
    assert keys_heard(sink) == [pitch.midi for event in exercise.events for pitch in event.pitches]
    assert sink.starts == 1
    assert len(sink.heard) < 2 * round((rendering.asked[1].length + 1.6) * RATE)


def test_again_and_again_goes_round_without_a_gap(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """The end and the beginning are one beat apart, every time."""
    select_drill(driver)
    listening(driver).choose(loops=True)
    exercise = realise(drill(driver).family, driver.lesson.setting)
    once = performance(exercise, Playing(72)).length
    driver.press(Qt.Key.Key_Space)
    hear(driver, sink, 4 * once)
    keys = [pitch.midi for event in exercise.events for pitch in event.pitches]
    assert keys_heard(sink)[: 3 * len(keys)] == keys * 3
    assert listening(driver).is_playing


def test_a_changed_key_is_heard_from_the_next_beat(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """The lesson can be written while it plays."""
    select_drill(driver)
    driver.press(Qt.Key.Key_Space)
    hear(driver, sink, 1)
    driver.notebook.open_lesson.edit("Key", replace(driver.lesson, key=Key.parse("D")))
    hear(driver, sink, 2)
    played = listening(driver)._the_player().cue
    assert played is not None
    assert played.exercise.key == Key.parse("D")


def test_a_deleted_drill_is_silent(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """What is not there any more does not play on."""
    select_drill(driver)
    driver.press(Qt.Key.Key_Space)
    driver.press(Qt.Key.Key_Delete)
    assert not listening(driver).is_playing


def test_the_bar_is_there_while_it_plays_and_goes_when_it_is_silent(
    driver: Driver, sink: TestSink, rendering: TestRendering
) -> None:
    """Nothing else is always there."""
    assert not listening(driver).shows_bar
    select_drill(driver)
    driver.press(Qt.Key.Key_Space)
    assert listening(driver).shows_bar
    driver.press(Qt.Key.Key_Space)
    assert listening(driver)._lingering.isActive()
    listening(driver)._lingering.timeout.emit()
    assert not listening(driver).shows_bar


def test_the_bar_is_kept_on_wish(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """F7, and it is remembered."""
    select_drill(driver)
    driver.press(Qt.Key.Key_F7)
    assert listening(driver).shows_bar
    assert driver.notebook.actions_table["keep_player"].isChecked()
    driver.press(Qt.Key.Key_Space)
    driver.press(Qt.Key.Key_Space)
    listening(driver)._lingering.timeout.emit()
    assert listening(driver).shows_bar
    assert Memory().keeps_player


def test_the_bar_s_controls_choose(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """Driven with the mouse and the keys; what is chosen is remembered in another window."""
    select_drill(driver, LADDER)
    driver.press(Qt.Key.Key_F7)
    bar = listening(driver).bar
    assert bar is not None
    tempo = bar.findChild(QSpinBox)
    tempo.setFocus()
    tempo.selectAll()
    driver.type("90")
    driver.press(Qt.Key.Key_Return)
    click = bar.findChild(QCheckBox, "clicks")
    driver.qtbot.mouseClick(click, Qt.MouseButton.LeftButton, pos=QPoint(8, click.height() // 2))
    assert driver.notebook.actions_table["clicks"].isChecked()
    heard = bar.findChild(QComboBox)
    if heard.isVisible():
        heard.setFocus()
        driver.press(Qt.Key.Key_Down)
    play = next(button for button in bar.findChildren(QToolButton) if button.text() == "Play")
    driver.qtbot.mouseClick(play, Qt.MouseButton.LeftButton)
    cue = listening(driver)._the_player().cue
    assert cue is not None
    assert cue.playing.tempo == 90
    assert cue.playing.has_metronome
    assert play.text() == "Stop"
    again = KeptChoices(Memory())
    assert again.tempo(LADDER) == 90
    assert again.choices.clicks


def test_the_steps_of_tempo_are_the_ladder_s(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """Faster climbs the ladder that is printed, and beyond it the marks of a metronome."""
    climbing = replace(drill(driver).family, ladder_steps=3)
    driver.notebook.open_lesson.edit("Ladder", replace_block(driver.lesson, replace(drill(driver), family=climbing)))
    select_drill(driver)
    found = ways_of(climbing, realise(climbing, driver.lesson.setting), driver.lesson.setting)
    assert len(found.tempos) == 3
    for expected in (*found.tempos[1:], 92):
        driver.press(Qt.Key.Key_Period, Qt.KeyboardModifier.ControlModifier)
        assert KeptChoices(Memory()).tempo(BROKEN) == expected
    driver.press(Qt.Key.Key_Comma, Qt.KeyboardModifier.ControlModifier)
    assert KeptChoices(Memory()).tempo(BROKEN) == found.tempos[-1]


def by_ear(driver: Driver) -> None:
    lesson = Lesson(
        blocks=(Drill(family("by-ear")(), id=EAR), Drill(family("call-and-response")(), id=CALLS)),
    )
    driver.notebook.open_lesson.open(lesson, None)
    driver.settle()


def test_a_drill_by_ear_is_heard_and_not_shown(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """Neither a light on the page nor a key of the keyboard tells the answer, nor does the bar tell the key."""
    by_ear(driver)
    select_drill(driver, EAR)
    driver.press(Qt.Key.Key_Space)
    assert len(rendering.asked[0].notes) > 8
    assert {note.hand for note in rendering.asked[0].notes} == set(Hand)
    hear(driver, sink, 6)
    assert keys_heard(sink)
    assert not driver.notebook.desk.keyboard.down
    assert not listening(driver).lights.lit
    bar = listening(driver).bar
    assert bar is not None
    assert "to find" in bar._title.words


def test_an_answer_s_bars_are_silent_unless_a_sample_is_wanted(driver: Driver, rendering: TestRendering) -> None:
    """The student fills them."""
    by_ear(driver)
    calls = drill(driver, CALLS)
    exercise = realise(calls.family, driver.lesson.setting)
    found = ways_of(calls.family, exercise, driver.lesson.setting)
    assert found.has_samples
    choices = listening(driver).choices
    assert playing(choices, found, None).gaps is Gaps.EMPTY
    assert playing(replace(choices, plays_samples=True), found, None).gaps is Gaps.SAMPLE


def test_a_sample_answer_lights_no_other_note(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """It stands on the answer page; its keys may be seen, and notes of the call light up as ever."""
    by_ear(driver)
    listening(driver).choose(plays_samples=True)
    select_drill(driver, CALLS)
    exercise = realise(drill(driver, CALLS).family, driver.lesson.setting)
    bar = exercise.bars[1].onset
    driver.press(Qt.Key.Key_Space)
    played = rendering.asked[0]
    sample = next(note for note in played.notes if exercise.answered().events[note.event].onset >= bar)
    assert listening(driver).lights.lit
    hear(driver, sink, sample.start + 0.05)
    assert {down.pitch.midi for down in driver.notebook.desk.keyboard.down} == {sample.midi}
    assert not listening(driver).lights.lights(driver.notebook.desk.view.page_layout)


def test_a_bass_under_chord_symbols_shows_on_the_keyboard(
    driver: Driver, sink: TestSink, rendering: TestRendering
) -> None:
    """It is played by nobody's printed note."""
    listening(driver).choose(heard="bass and click")
    select_drill(driver)
    driver.press(Qt.Key.Key_Space)
    assert [str(down.pitch) for down in driver.notebook.desk.keyboard.down] == ["E♭3"]


@pytest.mark.parametrize("code", sorted(families()))
def test_what_is_offered_for_a_family_can_be_played(code: str) -> None:
    """Each way of hearing it has notes or clicks, and what does not apply is left out without a word."""
    setting = Setting(Key.parse("Eb"))
    made = family(code)()
    exercise = realise(made, setting)
    found = ways_of(made, exercise, setting)
    for heard in found.heard:
        choices = replace(
            KeptChoices(Memory()).choices, heard=heard.value, swing=67, pedalling="changed with each chord"
        )
        played = performance(exercise, playing(choices, found, None))
        assert played.notes
        if heard in (Heard.RIGHT, Heard.LEFT):
            assert {note.hand.value for note in played.notes} == {heard.value.removesuffix(" hand")}


def test_choices_changed_by_hand_are_read_with_care() -> None:
    """A settings file is the user's."""
    for words in ("", "[]", "{", '{"loops": 3, "swing": "much", "clicks": true}', '{"deep":' * 500):
        memory = Memory()
        memory.keep_words("listening", words)
        memory.keep_words("tempos", '{"one": "fast", "two": 80}')
        kept = KeptChoices(memory)
        assert kept.choices.loops is False
        assert kept.choices.swing == 50
        assert kept.tempo("one") is None
        assert kept.tempo("two") == 80


def test_a_long_drill_begins_before_all_of_it_is_made(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """The beginning is made first and played; the rest takes over where it has come to, and nothing is missing."""
    select_drill(driver)
    exercise = realise(drill(driver).family, driver.lesson.setting)
    rendering.is_held_back = True
    driver.press(Qt.Key.Key_Space)
    assert [round(asked.length) for asked, _ in rendering.held] == [8, 20]
    rest = rendering.held.pop()
    rendering.let_go()
    driver.qtbot.waitUntil(lambda: bool(sink.waits))
    hear(driver, sink, 5)
    rendering.held.append(rest)
    rendering.let_go()
    driver.qtbot.waitUntil(lambda: not listening(driver)._the_player()._wanted)
    hear(driver, sink, rest[0].length)
    assert keys_heard(sink) == [pitch.midi for event in exercise.events for pitch in event.pitches]


def test_what_is_made_too_late_is_waited_for(driver: Driver, sink: TestSink, rendering: TestRendering) -> None:
    """A slow computer pauses; it skips nothing and does not stop."""
    select_drill(driver)
    exercise = realise(drill(driver).family, driver.lesson.setting)
    rendering.is_held_back = True
    driver.press(Qt.Key.Key_Space)
    rest = rendering.held.pop()
    rendering.let_go()
    driver.qtbot.waitUntil(lambda: bool(sink.waits))
    hear(driver, sink, 12)
    assert listening(driver).is_playing
    rendering.held.append(rest)
    rendering.let_go()
    driver.qtbot.waitUntil(lambda: not listening(driver)._the_player()._wanted)
    hear(driver, sink, rest[0].length)
    keys = [pitch.midi for event in exercise.events for pitch in event.pitches]
    assert keys_heard(sink)[:19] == keys[:19]
    assert keys_heard(sink)[-12:] == keys[-12:]


class TestTape:
    """The sound that is fed, frame by frame."""

    def test_a_splice_fades_and_leaves_nothing_out(self) -> None:
        """Up to the beat the old way, from it the new one; between them no jump larger than the fade's own steps."""
        setting = Setting(Key.parse("C"))
        exercise = realise(family("broken-chords")(), setting)
        slow, fast = (Cue("one", exercise, Playing(tempo)) for tempo in (60, 120))
        tape = Tape(RATE, 1)
        old, new = (Roll(cue, told_by_numbers(cue.performance)) for cue in (slow, fast))
        tape.take(old)
        tape.feed(RATE)
        place = slow.beat_after(1.01)
        assert place is not None
        second, printed = slow.performance.places[place]
        assert printed.denominator in (1, 2, 4), "a beat of 4/4"
        start = fast.performance.places[fast.place_like(slow, place)][0]
        assert start == second / 2
        tape.splice(old.frame(second), new, new.frame(start))
        rest = array("h", tape.feed(2 * RATE))
        cut = old.frame(second) - RATE
        assert rest[:cut].tobytes() == old.samples(RATE, RATE + cut)
        faded = round(FADE * RATE)
        assert rest[cut + faded :].tobytes() == new.samples(new.frame(start) + faded, new.frame(start) + 2 * RATE - cut)
        largest = max(abs(one - other) for one, other in zip(rest[cut:], rest[cut + 1 : cut + faded], strict=False))
        assert largest < 9000 / faded * 2

    def test_the_rest_goes_on_as_loud_as_its_beginning(self) -> None:
        """Each sound is raised as far as its loudest moment allows; the change between two is too slow to be heard."""
        cue = Cue("one", realise(family("broken-chords")(), Setting(Key.parse("C"))), Playing(60))
        whole = told_by_numbers(cue.performance)
        half = array("h", (sample // 2 for sample in array("h", whole.samples)))
        tape = Tape(RATE, 1)
        tape.take(Roll(cue, replace(whole, gain=2.0), until=8.0))
        tape.feed(2 * RATE)
        tape.extend(cue, Sound(RATE, 1, half.tobytes(), gain=1.0), None)
        fed = array("h", b"".join(tape.feed(RATE // 50) for _ in range(300)))
        before = array("h", whole.samples)[2 * RATE : 2 * RATE + len(fed)]
        ratios = [one / other for one, other in zip(fed, before, strict=True) if other]
        assert ratios[0] == pytest.approx(1, abs=0.01)
        assert ratios[-1] == pytest.approx(0.5, abs=0.01)
        assert max(abs(one - other) for one, other in pairwise(ratios)) < 0.006

    def test_it_knows_what_is_heard_behind_what_is_fed(self) -> None:
        """A quarter of a second waits in the loudspeaker."""
        cue = Cue("one", realise(family("broken-chords")(), Setting(Key.parse("C"))), Playing(60))
        tape = Tape(RATE, 1)
        assert tape.heard(0) is None
        tape.take(Roll(cue, told_by_numbers(cue.performance)))
        tape.feed(RATE)
        heard = tape.heard(RATE // 4)
        assert heard is not None
        assert heard.second == pytest.approx(0.75)
        assert tape.heard(RATE) is not None
