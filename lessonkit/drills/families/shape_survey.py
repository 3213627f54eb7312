"""Shape survey: one chord quality in every inversion, the keys that feel alike side by side, each to be judged."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from enum import Enum
from fractions import Fraction
from functools import lru_cache

from lessonkit.drills import fields
from lessonkit.drills.exercise import Blank, ChordMark, Exercise, FingersShown, Hand
from lessonkit.drills.family import KEY_DECK, Direction, DrillFamily, Metre
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import INVERSIONS, counted, hands_words
from lessonkit.drills.writing import Section, Step, for_hands, write
from lessonkit.hands.difficulty import Difficulty, Reason
from lessonkit.hands.easier import As, rate_chord
from lessonkit.hands.keyboard import is_black
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.chord import Chord
from lessonkit.theory.enharmonic import KeyOrder, key_of_mode, key_order
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key, Mode
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.quality import Quality
from lessonkit.theory.roman import recognise
from lessonkit.theory.voicing import close_position
from lessonkit.values import dataclass

CHORDS_ON_A_LINE = 9
"""Half notes that stand on a line with room to write under each name."""

ALIKE = 0.2
"""Scores that differ by less are called alike."""


MOST_REASONS = 8
"""How many inversions the answer page gives reasons for."""

NEARLY = 0.75
"""The share of the worst score from which an inversion is among the worst."""

REASONS_EACH = 2
"""How many reasons one inversion is given; an outer finger on a black key is one, both are two."""

PLACES = "(1) is the inversion that lies easiest for this hand, (2) the next; (=) says that all lie alike"

_OCTAVE = re.compile(r"(?<=[A-G♭♯𝄫𝄪])\d")


class Arranged(Enum):
    """In which order the keys come."""

    SHAPE = "by black and white keys"
    FIFTHS = "round the fifths"
    CHROMATIC = "chromatic"


class Judged(Enum):
    """Whether the student judges or reads."""

    STUDENT = "by the student"
    PRINTED = "printed"


@dataclass(frozen=True)
class ShapeSurvey(DrillFamily):
    """One kind of chord in all its inversions through the keys: play each, and write down how easily it lies.

    Keys whose root positions have the same pattern of black and white keys stand together, for they feel alike. The
    answer page says how hard each inversion is for this hand to land on, and counts them from 1, the easiest. It looks
    at each shape by itself; where chords follow one another, the nearest inversion may still be the better one.
    """

    code = "shape-survey"
    title = "Shape survey"
    words = ("black and white", "inversions", "easy keys", "hard keys", "hand shape", "topography")
    left_out = KEY_DECK | {"turning", "rest_between", "shaping", "repeats"}
    usual_fingers = FingersShown.NONE

    quality: Quality = fields.quality("maj", label="Chord quality", group="Chords")
    count: int = fields.whole(12, least=1, most=12, label="How many keys", group="Keys")
    arranged: Arranged = fields.choice(Arranged.SHAPE, label="Keys stand", group="Keys")
    judged: Judged = fields.choice(
        Judged.STUDENT, label="How easily it lies is judged", group="Worksheet",
        help="By the student there is a line above each chord to write on, and the ranking is on the answer page.",
    )  # fmt: skip
    lowest: Pitch = fields.pitch("B3", label="Begin near", group="Hands and range",
        help="The right hand begins at the nearest fitting note from here up; the left hand an octave or more below.",
    )  # fmt: skip
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range", applies=fields.never)
    direction: Direction = fields.choice(Direction.UP, label="Direction", group="Hands and range", applies=fields.never)
    note_length: Fraction = fields.note_value("1/2", label="Note length", group="Time")
    metre: Metre = fields.choice(Metre.FREE, label="Metre", group="Time")

    def build(self, setting: Setting) -> Exercise:
        key = self.key_in(setting)
        exercise = write(
            self,
            list(self._sections(key, setting)),
            summary=self.summary(setting),
            blank=frozenset({Blank.VERDICTS}) if self.judged is Judged.STUDENT else frozenset(),
            open_signature=True,
        )
        return replace(exercise, key=key)

    def summary(self, setting: Setting) -> str:
        where = f"in {counted(self.count, 'key')}" + (f", {self.arranged.value}" if self.count > 1 else "")
        ask = "write how easily each lies" if self.judged is Judged.STUDENT else "how easily each lies"
        return (
            f"{self.quality.words.capitalize()} chords in every inversion {where} (W white, B black), "
            f"{hands_words(self)}: {ask}"
        )

    def reasons(self, setting: Setting) -> tuple[str, ...]:
        """What the figures mean, and why the inversions that lie worst do so, in the order of the drill."""
        if self.judged is Judged.PRINTED:
            return ()
        found: list[tuple[float, int, str]] = []
        for own in self._keys(self.key_in(setting), setting):
            chord = Chord(own.tonic, self.quality)
            for number, rating in enumerate(_ratings(chord, self.playing_hands, setting.hands)):
                if rating.reasons:
                    # The rating looks at the shape in an octave of its own.
                    why = "; ".join(_OCTAVE.sub("", one.sentence) for one in _main_reasons(rating))
                    words = f"{chord} in {INVERSIONS[number]} ({rating.band.value}): {why}."
                    found.append((-rating.score, len(found), words))
        worst = [one for one in sorted(found)[:MOST_REASONS] if one[0] <= NEARLY * min(found)[0]]
        return (f"{PLACES}.", *(words for _, _, words in sorted(worst, key=lambda one: one[1])))

    def _sections(self, key: Key, setting: Setting) -> Iterator[Section]:
        before, on_line = "", CHORDS_ON_A_LINE
        for own in self._keys(key, setting):
            chord = Chord(own.tonic, self.quality)
            shapes = self._shapes(chord)
            steps = [Step(shape, self.note_length, number) for number, shape in enumerate(shapes)]
            verdicts = verdicts_of(chord, self.playing_hands, setting.hands)
            marks = tuple(
                ChordMark(number * self.note_length, chord, recognise(chord, own), verdict)
                for number, verdict in enumerate(verdicts)
            )
            pattern = pattern_of(shapes[0])
            is_new = self.arranged is Arranged.SHAPE and pattern != before
            starts_line = is_new or on_line + len(shapes) > CHORDS_ON_A_LINE
            on_line = len(shapes) if starts_line else on_line + len(shapes)
            before = pattern
            yield Section(
                own,
                for_hands(self, steps),
                marks,
                label=f"{own.tonic}: {pattern}",
                starts_line=starts_line,
            )

    def _keys(self, key: Key, setting: Setting) -> list[Key]:
        """The keys of the chords: those round the fifths from the drill's own, arranged as asked."""
        mode = Mode.MINOR if self.quality.is_minor else Mode.MAJOR
        same = (one for one in (MINOR_KEYS if self.quality.is_minor else MAJOR_KEYS) if one.tonic == key.tonic)
        start = next(same, None) or key_of_mode(key.tonic, mode, setting.prefers_flats_at_six)
        order = KeyOrder.CHROMATIC if self.arranged is Arranged.CHROMATIC else KeyOrder.FIFTHS
        keys = list(key_order(order, start, setting.prefers_flats_at_six)[: self.count])
        if self.arranged is not Arranged.SHAPE:
            return keys
        patterns = [pattern_of(self._shapes(Chord(one.tonic, self.quality))[0]) for one in keys]
        together = sorted(range(len(keys)), key=lambda place: patterns.index(patterns[place]))
        return [keys[place] for place in together]

    def _shapes(self, chord: Chord) -> list[tuple[Pitch, ...]]:
        """The chord in each inversion, every one above the one before it."""
        shapes = [close_position(chord, 0, self.lowest)]
        for inversion in range(1, len(chord.tones)):
            shapes.append(close_position(chord, inversion, shapes[-1][0]))
        return shapes


def _main_reasons(rating: Difficulty) -> list[Reason]:
    """What makes a shape harder than its neighbours: all that weighs a quarter as much as the first, two at most."""
    first = rating.reasons[0]
    return [one for one in rating.reasons if one.share * 4 >= first.share][:REASONS_EACH]


def pattern_of(shape: Sequence[Pitch]) -> str:
    """White and black keys from the lowest note up: ``BWB`` for D♭ major."""
    return "".join("B" if is_black(pitch.midi) else "W" for pitch in shape)


@lru_cache(maxsize=1024)
def _ratings(chord: Chord, hands: tuple[Hand, ...], profile: HandProfile) -> tuple[Difficulty, ...]:
    """How easily each inversion lies; where both hands play, the hand that has more trouble counts."""
    return tuple(
        max((rate_chord(chord, number, As.JUMP, hand, profile) for hand in hands), key=lambda one: one.score)
        for number in range(len(chord.tones))
    )


@lru_cache(maxsize=1024)
def verdicts_of(chord: Chord, hands: tuple[Hand, ...], profile: HandProfile) -> tuple[str, ...]:
    """How easily the inversions of a chord lie, root position first: ``easy (1)``; those that lie alike share a place,
    and where all do there is ``(=)``.
    """
    ratings = _ratings(chord, hands, profile)
    places = {}
    ranked = sorted(range(len(ratings)), key=lambda number: ratings[number].score)
    place, score = 0, -1.0
    for count, number in enumerate(ranked, start=1):
        if ratings[number].score - score >= ALIKE or not place:
            place, score = count, ratings[number].score
        places[number] = place
    if len(set(places.values())) == 1:
        return tuple(f"{rating.band.value} (=)" for rating in ratings)
    return tuple(f"{rating.band.value} ({places[number]})" for number, rating in enumerate(ratings))
