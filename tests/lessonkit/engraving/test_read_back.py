"""What is printed is what is meant: pitches are read back out of the drawing as a pianist reads them.

The reader here knows staff lines, clefs, signatures, accidentals, bar lines and octave lines by their places and their
shapes, and nothing of the exercise. Rules of reading: common practice, no source.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

import pytest

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.drawing.shapes import Drawing, Mark
from lessonkit.drills.exercise import Bar, BarEnd, Event, Exercise, Hand, Meter
from lessonkit.drills.family import DrillFamily, Hands, families
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave
from lessonkit.engraving.look import Look
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.pitch import NATURAL_SEMITONES, Pitch

LOOK = Look(482.0, shows_answers=True)
"""As the answers are printed, so that what a worksheet leaves out is there to be read."""

ALTERATIONS = {0xE260: -1, 0xE261: 0, 0xE262: 1, 0xE263: 2, 0xE264: -2, 0xE265: 3, 0xE266: -3}
BOTTOM_STEPS = {0xE050: 30, 0xE07A: 30, 0xE062: 18, 0xE07C: 18}
"""The staff step of the bottom line under each clef: E4 in the treble, G2 in the bass."""

OCTAVES = {"8va": 1, "15ma": 2, "8vb": -1, "15mb": -2}


class Reader:
    """One staff being read from left to right; what is open at the end of a line is carried to the next."""

    def __init__(self) -> None:
        self.bottom = 0
        self.signature: dict[int, int] = {}
        self.in_bar: dict[int, int] = {}
        self.is_in_signature = False
        self.found: dict[str, Pitch] = {}

    def read(self, drawing: Drawing, staff: Mark) -> None:
        number = staff.name
        space = (staff.box.bottom - staff.box.top) / 4
        owners = {mark.name: mark.detail for mark in drawing.marks if mark.kind == "note"}
        lines = [mark for mark in drawing.marks if mark.kind == "octave line" and mark.detail == number]
        self.is_in_signature = False
        # Every line says its signature again; one that says none has none.
        self.signature = {}

        def step_of(mark: Mark, code: int) -> int:
            origin = mark.box.top - glyph_box(code).top * 4 * space / 1000
            return self.bottom + round((staff.box.bottom - origin) / (space / 2))

        for mark in sorted(drawing.marks, key=lambda mark: mark.box.left + mark.box.right):
            if mark.kind == "clef" and mark.name == number:
                self.bottom = BOTTOM_STEPS[int(mark.detail, 16)]
            elif mark.kind == "bar line":
                self.in_bar = {}
                self.is_in_signature = False
            elif mark.kind == "signature" and mark.name == number:
                if not self.is_in_signature:
                    self.signature = {}
                self.is_in_signature = True
                code = int(mark.detail, 16)
                self.signature[step_of(mark, code) % 7] = ALTERATIONS[code]
            elif mark.kind == "accidental" and owners.get(mark.name) == number:
                code = int(mark.detail, 16)
                if code in ALTERATIONS:
                    self.in_bar[step_of(mark, code)] = ALTERATIONS[code]
            elif mark.kind == "note" and mark.detail == number:
                self.is_in_signature = False
                # All heads are alike in height: half a space to either side of their origin.
                step = self.bottom + round((staff.box.bottom - (mark.box.top + mark.box.bottom) / 2) / (space / 2))
                alteration = self.in_bar.get(step, self.signature.get(step % 7, 0))
                middle = (mark.box.left + mark.box.right) / 2
                step += sum(7 * OCTAVES[line.name] for line in lines if line.box.left <= middle <= line.box.right)
                self.found.setdefault(mark.name, Pitch(step % 7, alteration, step // 7))


def read(drawings: Iterable[Drawing]) -> dict[str, Pitch]:
    """Every pitch that is printed, by the name of its mark."""
    readers: dict[str, Reader] = {}
    for drawing in drawings:
        for staff in (mark for mark in drawing.marks if mark.kind == "staff"):
            readers.setdefault(staff.name, Reader()).read(drawing, staff)
    return {name: pitch for reader in readers.values() for name, pitch in reader.found.items()}


def meant(exercise: Exercise) -> dict[str, Pitch]:
    return {
        f"{number}.{index}": pitch
        for number, event in enumerate(exercise.events)
        for index, pitch in enumerate(event.pitches)
    }


def assert_printed_as_meant(exercise: Exercise) -> None:
    printed = read(engrave(exercise, LOOK))
    wanted = meant(exercise.answered())
    wrong = {name: (str(printed.get(name)), str(pitch)) for name, pitch in wanted.items() if printed.get(name) != pitch}
    assert not wrong, f"printed and meant differ: {wrong}"
    assert len(printed) == len(wanted)


@pytest.mark.parametrize("family", families().values(), ids=lambda family: family.code)
@pytest.mark.parametrize("key", MAJOR_KEYS, ids=lambda key: key.ascii)
def test_every_family_prints_the_notes_that_it_means_in_every_major_key(family: type[DrillFamily], key: Key) -> None:
    """A wrong accidental or octave on the page teaches a wrong chord."""
    assert_printed_as_meant(family().build(Setting(key)))
    assert_printed_as_meant(replace(family(), hands=Hands.BOTH).build(Setting(key)))


@pytest.mark.parametrize("family", families().values(), ids=lambda family: family.code)
@pytest.mark.parametrize("key", MINOR_KEYS, ids=lambda key: key.ascii)
def test_every_family_prints_the_notes_that_it_means_in_every_minor_key(family: type[DrillFamily], key: Key) -> None:
    """Raised sixths and sevenths come and go against the signature."""
    assert_printed_as_meant(replace(family(), hands=Hands.BOTH).build(Setting(key)))


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=lambda key: key.ascii)
@pytest.mark.parametrize("scale", ["blues", "major blues", "major pentatonic"])
def test_small_notes_leave_no_doubt_about_the_notes_after_them(key: Key, scale: str) -> None:
    """Their signs are read by no one here, and every other note is still what it means."""
    settings = {"scale": scale, "crushes": True, "hands": "both"}
    for cell in ("1-2-3-4", "1-3-5-3", "1-2-3"):
        assert_printed_as_meant(families()["sequences"].from_settings({**settings, "cell": cell}).build(Setting(key)))


@pytest.mark.parametrize("hands", Hands)
@pytest.mark.parametrize("family", families().values(), ids=lambda family: family.code)
def test_wide_drills_are_printed_under_octave_lines_and_changed_clefs_as_meant(
    family: type[DrillFamily], hands: Hands
) -> None:
    """Octave lines and clefs move where notes stand; they must not move what they mean."""
    for octaves in (1, 3, 4):
        try:
            exercise = replace(family(), hands=hands, octaves=octaves).build(Setting(Key.parse("Db")))
        except ValueError:
            continue
        assert_printed_as_meant(exercise)


def at_random(seed: int, end: BarEnd, is_open: bool = False) -> Exercise:
    """Sixteen bars of spelled notes and chords without any sense, all over the keyboard, the key changing twice."""
    chance = random.Random(seed)
    events = []
    for hand, low, high in ((Hand.RIGHT, 45, 108), (Hand.LEFT, 21, 74)):
        moment, here = Fraction(0), chance.randrange(low, high)
        group = 0
        while moment < 16:
            length = chance.choice([Fraction(1, 8)] * 4 + [Fraction(1, 4), Fraction(1, 16), Fraction(3, 8)])
            length = min(length, 16 - moment)
            here = min(high, max(low, here + chance.randrange(-9, 10)))
            shape = chance.choice([(0,), (0,), (0, 4), (0, 3, 7), (0, 12)])
            pitches = sorted(
                {spelled(chance, min(high, here + up)) for up in shape},
                key=lambda pitch: (pitch.staff_step, pitch.midi),
            )
            if chance.random() < 0.3:
                group += 1
            steps = {pitch.staff_step for pitch in pitches}
            if len(steps) == len(pitches):
                events.append(Event(hand, moment, length, tuple(pitches), group=group))
            moment += length
    keys = {0: chance.choice(MAJOR_KEYS), 5: chance.choice(MAJOR_KEYS), 11: chance.choice(MINOR_KEYS)}
    bars = tuple(
        Bar(Fraction(n), Fraction(1), keys.get(n), starts_line=n == 11, end=end if n < 15 else BarEnd.FINAL)
        for n in range(16)
    )
    return Exercise(keys[0], Meter(4, 4), tuple(events), bars, open_signature=is_open)


def spelled(chance: random.Random, midi: int) -> Pitch:
    """Any spelling of a key of the piano with at most two signs."""
    choices = [
        Pitch(letter, alteration, octave)
        for letter in range(7)
        for alteration in (-2, -1, -1, 0, 0, 0, 1, 1, 2)
        for octave in range(9)
        if 12 * (octave + 1) + NATURAL_SEMITONES[letter] + alteration == midi
    ]
    return chance.choice(choices)


@pytest.mark.parametrize("is_open", [False, True], ids=["signature", "open"])
@pytest.mark.parametrize("end", [BarEnd.SINGLE, BarEnd.INVISIBLE])
@pytest.mark.parametrize("seed", range(8))
def test_notes_without_any_sense_are_printed_as_meant(seed: int, end: BarEnd, is_open: bool) -> None:
    """Drills keep to keys and chords; whatever accidentals may follow one another, the reader gets them right."""
    assert_printed_as_meant(at_random(seed, end, is_open))


def test_the_reader_notices_a_wrong_note() -> None:
    """A reader that accepts everything would prove nothing: with its accidentals gone, nonsense is read wrongly."""
    exercise = at_random(1, BarEnd.SINGLE)
    bare = tuple(
        replace(drawing, marks=tuple(mark for mark in drawing.marks if mark.kind != "accidental"))
        for drawing in engrave(exercise, LOOK)
    )
    assert read(bare) != meant(exercise)
