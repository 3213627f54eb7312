"""MIDI files as other libraries read them; rendering, its memory, and what is imported when."""

from __future__ import annotations

import io
import subprocess
import sys
import warnings
import wave
from fractions import Fraction
from pathlib import Path
from typing import Any

import mido
import numpy
import pytest

from lessonkit.drills.exercise import Exercise
from lessonkit.drills.family import families, family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.sound import rendering
from lessonkit.sound.midi_file import TICKS, to_midi
from lessonkit.sound.performance import joined, performance
from lessonkit.sound.playing import Playing
from lessonkit.sound.rendering import NoSound, RenderingApart, sound_of
from lessonkit.theory.key import MAJOR_KEYS, Key
from tests.lessonkit.exchange.scores import notes_of

FAMILIES = list(families().values())
TEMPO = 90
NEAR = 0.002
"""A tick at the slowest is three milliseconds; here it is less than one."""

Heard = tuple[str, int, float]


def by_sound(exercise: Exercise) -> list[Heard]:
    """Hand, key and second of each note, from the printed music."""
    beat = 3 / 8 if exercise.meter is not None and exercise.meter.unit == 8 else 1 / 4
    names = [f"{hand.value.capitalize()} hand" for hand in exercise.hands]
    whole = 60 / TEMPO / beat
    from lessonkit.theory.pitch import Pitch

    return sorted(
        (names[one.staff - 1], Pitch.parse(one.pitch).midi, float(one.onset) * whole) for one in notes_of(exercise)
    )


def agree(found: list[Heard], expected: list[Heard]) -> None:
    """The same notes at the same times, to a tick."""
    assert [one[:2] for one in found] == [one[:2] for one in expected]
    for (*_, heard), (*_, written) in zip(found, expected, strict=True):
        assert abs(heard - written) < NEAR


def check_midi(exercise: Exercise, folder: Path) -> None:
    """Hold a file to pretty_midi and partitura."""
    content = to_midi(performance(exercise, Playing(TEMPO, plays_rolls=False)), "A drill")
    expected = by_sound(exercise)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import partitura
        import pretty_midi

        read = pretty_midi.PrettyMIDI(io.BytesIO(content))
        path = folder / "one.mid"
        path.write_bytes(content)
        second = partitura.load_performance_midi(path)
    agree(sorted((one.name, note.pitch, note.start) for one in read.instruments for note in one.notes), expected)
    found = [(note["midi_pitch"], note["note_on"]) for part in second.performedparts for note in part.notes]
    agree(sorted(("", *one) for one in found), sorted(("", *one[1:]) for one in expected))


@pytest.mark.parametrize(("place", "kind"), list(enumerate(FAMILIES)), ids=lambda one: getattr(one, "code", ""))
def test_every_family_sounds_alike_in_other_readers(place: int, kind: Any, tmp_path: Path) -> None:
    """The notes of the page, by hand, key and time."""
    check_midi(realise(kind(), Setting(MAJOR_KEYS[(place * 4) % 15])), tmp_path)


@pytest.mark.whole
@pytest.mark.parametrize("key", MAJOR_KEYS, ids=lambda key: key.ascii)
@pytest.mark.parametrize("kind", FAMILIES, ids=lambda kind: kind.code)
def test_every_family_in_every_key_sounds_alike(kind: Any, key: Key, tmp_path: Path) -> None:
    """All families in all fifteen keys."""
    check_midi(realise(kind(), Setting(key)), tmp_path)


def test_a_file_has_tracks_names_tempo_key_and_metre() -> None:
    """Type 1: the tempo first, then each hand under its name, then the clicks."""
    drill = family("block-chords").from_settings({"hands": "both", "metre": "6/8"})
    played = performance(realise(drill, Setting(Key.parse("Gb"))), Playing(60, count_in=1))
    file = mido.MidiFile(file=io.BytesIO(to_midi(played, "Block chords")))
    assert file.type == 1
    assert [track.name for track in file.tracks] == ["Block chords", "Right hand", "Left hand", "Click"]
    told = {message.type: message for message in file.tracks[0]}
    assert told["set_tempo"].tempo == 666_667  # 60 dotted quarters are 90 quarters a minute
    assert (told["time_signature"].numerator, told["time_signature"].denominator) == (6, 8)
    assert told["key_signature"].key == "Gb"
    assert {message.channel for message in file.tracks[3] if message.type == "note_on"} == {9}


def test_drills_of_other_tempos_and_metres_stay_on_their_beats() -> None:
    """In a lesson's file the second drill begins on a quarter of its own tempo and has its own metre."""
    first = performance(realise(family("block-chords")(), Setting(Key.parse("C"))), Playing(70))
    drill = family("block-chords").from_settings({"metre": "6/8"})
    second = performance(realise(drill, Setting(Key.parse("F"))), Playing(101))
    file = mido.MidiFile(file=io.BytesIO(to_midi(joined([first, second]))))
    now, told = 0, []
    for message in file.tracks[0]:
        now += message.time
        if message.type in ("set_tempo", "time_signature"):
            told.append((now / TICKS, message.type))
    begins = (first.length + 4 * 60 / 70) * 70 / 60
    assert begins == round(begins)
    kinds = ("set_tempo", "time_signature")
    assert told == [(0, kind) for kind in kinds] + [(round(begins), kind) for kind in kinds]
    now, struck = 0, []
    for message in file.tracks[1]:
        now += message.time
        if message.type == "note_on":
            struck.append(now)
    assert all(moment % (TICKS // 4) == 0 for moment in struck)


def test_pedal_goes_down_after_the_notes_and_up_before_the_next() -> None:
    """Otherwise the harmony before would ring on under it."""
    drill = family("block-chords").from_settings({"pedal_use": "changed with each bar"})
    played = performance(realise(drill, Setting(Key.parse("C"))), Playing(60))
    track = mido.MidiFile(file=io.BytesIO(to_midi(played))).tracks[1]
    moments, now = [], 0
    for message in track:
        now += message.time
        if message.type == "control_change":
            moments.append((now, message.value))
    values = [value for _, value in moments]
    assert values == [127, 0] * len(played.pedals)
    assert [now for now, _ in moments] == sorted(now for now, _ in moments)
    second = played.pedals[1].start * TICKS
    assert moments[1][0] < second < moments[2][0]


def test_a_key_struck_again_is_let_go_before() -> None:
    """Two notes of one key never overlap in a file."""
    drill = family("ostinato").from_settings({"articulation": "legato, a slur over each group"})
    file = mido.MidiFile(file=io.BytesIO(to_midi(performance(realise(drill, Setting(Key.parse("C"))), Playing(200)))))
    for track in file.tracks:
        down: set[int] = set()
        for message in track:
            if message.type == "note_on":
                assert message.note not in down
                down.add(message.note)
            elif message.type == "note_off":
                down.discard(message.note)


@pytest.fixture
def short() -> Any:
    """A performance of a few seconds."""
    rendering.forget()
    drill = family("block-chords").from_settings({"octaves": 1})
    return performance(realise(drill, Setting(Key.parse("C"))), Playing(240))


def test_the_same_music_is_rendered_once(short: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """By content: an equal performance made anew finds the sound that is kept."""
    calls = []
    real = rendering.rendered
    monkeypatch.setattr(rendering, "rendered", lambda midi: calls.append(midi) or real(midi))
    first = sound_of(short)
    drill = family("block-chords").from_settings({"octaves": 1})
    assert sound_of(performance(realise(drill, Setting(Key.parse("C"))), Playing(240))) is first
    assert len(calls) == 1
    sound_of(performance(realise(drill, Setting(Key.parse("C"))), Playing(200)))
    assert len(calls) == 2


def test_the_oldest_sounds_are_forgotten(short: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Memory has a limit."""
    monkeypatch.setattr(rendering, "MOST_KEPT", 1)
    first = sound_of(short)
    sound_of(short.from_second(0.1))
    assert sound_of(short) is not first


def test_sound_is_as_long_as_the_music_rings_out_and_never_clips(short: Any) -> None:
    """The last chord rings on a little; the loudest moment stays below the limit."""
    sound = sound_of(short)
    assert short.length + 1 < sound.length < short.length + 3
    samples = numpy.frombuffer(sound.samples, "<i2").astype(int)
    assert 3000 < abs(samples).max() < 32767 * 0.95
    with wave.open(io.BytesIO(sound.wav())) as file:
        assert (file.getframerate(), file.getnchannels(), file.getsampwidth()) == (sound.rate, sound.channels, 2)
        assert file.readframes(file.getnframes()) == sound.samples


def test_mp3_is_small_and_sounds_alike(short: Any) -> None:
    """Read back by libsndfile: as long, and the same but for what compression takes."""
    import soundfile

    sound = sound_of(short)
    content = sound.mp3()
    assert len(content) < len(sound.samples) / 15
    read, rate = soundfile.read(io.BytesIO(content))
    assert rate == sound.rate
    assert abs(len(read) / rate - sound.length) < 0.1
    original = numpy.frombuffer(sound.samples, "<i2").reshape(-1, 2).mean(axis=1) / 32768
    size = min(len(read), len(original))
    assert numpy.corrcoef(read[:size], original[:size])[0, 1] > 0.98


def test_too_long_a_sound_is_refused(short: Any) -> None:
    """A sentence instead of a full memory."""
    with pytest.raises(NoSound, match="minutes are too long"):
        sound_of(joined([short] * 2, pause=rendering.LONGEST * 5))


def test_another_process_renders_the_same(short: Any) -> None:
    """A window stays free meanwhile; what comes back is kept as if it had been rendered here."""
    apart = RenderingApart()
    try:
        sound = apart.sound_of(short).result(timeout=60)
        assert sound_of(short) is sound
        assert apart.sound_of(short).result(timeout=1) is sound
        rendering.forget()
        assert sound_of(short) == sound
    finally:
        apart.close()


def test_a_process_that_died_is_said_and_started_again(short: Any) -> None:
    """A sentence for what was under way, and the next wish is granted."""
    rendering.forget()
    apart = RenderingApart()
    try:
        assert apart.sound_of(short).result(timeout=60).length > 0
        for process in apart._pool._processes.values():
            process.kill()
        lost = apart.sound_of(short.from_second(0.1))
        # The death may have been noticed before, and then nothing was lost.
        error = lost.exception(timeout=60)
        assert error is None or (isinstance(error, NoSound) and "broken off" in str(error))
        assert apart.sound_of(short.from_second(0.2)).result(timeout=60).length > 0
    finally:
        apart.close()


def test_a_wish_can_be_taken_back_and_too_long_ones_are_refused(short: Any) -> None:
    """Turning the tempo leaves many wishes behind that nobody waits for any more."""
    apart = RenderingApart()
    try:
        wishes = [apart.sound_of(short.from_second(0.01 * number)) for number in range(1, 12)]
        assert wishes[-1].cancel()
        assert wishes[0].result(timeout=60).length > 0
        too_long = joined([short] * 2, pause=rendering.LONGEST * 5)
        assert isinstance(apart.sound_of(too_long).exception(timeout=1), NoSound)
    finally:
        apart.close()


def test_nothing_of_sound_is_imported_before_it_is_needed() -> None:
    """The room may be imported at start: its libraries come with the first note."""
    code = (
        "import sys; import lessonkit.sound.listening, lessonkit.cli;"
        "print({name.split('.')[0] for name in sys.modules}"
        " & {'numpy', 'mido', 'midirenderer', 'soundfile', 'pretty_midi', 'music21', 'PySide6'})"
    )
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == "set()"


def test_a_moment_is_kept_exactly() -> None:
    """Thirds and fifths of a beat land on whole ticks."""
    for length in (Fraction(1, 3), Fraction(1, 5), Fraction(1, 16), Fraction(1, 12)):
        assert (length * TICKS).denominator == 1
