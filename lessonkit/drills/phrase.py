"""A teacher's own phrase: notes and rests in bars with chords over them, and the plain text in which it is typed.

``in C | Dm7: 1/8 D4 F A C | G7: 1/4 B r 1/2 G``: first the key, then bars parted by ``|``. A chord with a colon stands
before the notes over which it begins. A length holds for all notes after it, 1/8 until one is written; 1/12 is an
eighth of a triplet. A note without an octave is the nearest to the one before. ``r`` is a rest, ``~`` holds the note
before on for another length, over the bar line too; notes joined by ``+`` sound together.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

MOST_BARS = 64
"""The most bars in a phrase."""

MOST_SOUNDS = 600
"""The most notes and rests in a phrase."""

MOST_TEXT = 6000
"""The longest text of a phrase, in characters."""

FIRST_LENGTH = Fraction(1, 8)
"""How long notes are until a length is written."""

HOLD, TOGETHER, BAR_LINE = "~", "+", "|"
RESTS = ("r", "rest")

LIKE = "write it like in C | Dm7: 1/8 D4 F A C | G7: 1/2 B G"

_START = Pitch.parse("B4")
"""A first note without an octave is the nearest to this one."""

_LENGTH = re.compile(r"([0-9]{1,2})(?:/([0-9]{1,2}))?")
_NOTE = re.compile(r"([A-Ga-g](?:[#♯x𝄪]{1,2}|[b♭𝄫]{1,2}|♮)?)([0-9])?")


def _lengths() -> dict[Fraction, str]:
    plain = [Fraction(number, 2**power) for power in range(6) for number in (1, 3, 7) if number < 4 or power > 1]
    threes = [Fraction(1, 3 * 2**power) for power in range(1, 5)]
    return {length: str(length) for length in (*plain, *threes) if length <= 1 or length == Fraction(3, 2)}


LENGTHS = _lengths()
"""Every length that can be written, with its text: plain ones from 1 to 1/32, once and twice dotted, and triplets."""


@dataclass(frozen=True, slots=True)
class Sound:
    """Notes that begin together, low to high, or a rest where there is none; and how long they last."""

    pitches: tuple[Pitch, ...]
    length: Fraction


@dataclass(frozen=True, slots=True)
class Phrase:
    """Sounds one after another in bars, with the chords that begin over them, in a key.

    ``bars`` are the lengths of the bars as they are typed; ``chords`` stand at moments counted from the start.

    >>> Phrase.parse("in C | C: 1/2 E4 ~ | G").length
    Fraction(3, 2)
    """

    key: Key
    sounds: tuple[Sound, ...]
    bars: tuple[Fraction, ...]
    chords: tuple[tuple[Fraction, Chord], ...] = ()

    def __post_init__(self) -> None:
        if not any(sound.pitches for sound in self.sounds):
            raise ValueError(f"the phrase has no note; {LIKE}")

    @staticmethod
    @lru_cache(maxsize=256)
    def parse(text: str) -> Phrase:
        """Read the text; raises ValueError with a sentence that names the bar and the place in it."""
        if len(text) > MOST_TEXT:
            raise ValueError(f"a phrase of {len(text)} characters is longer than {MOST_TEXT}")
        key, rest = key_and_rest(text, LIKE)
        return _Reading(key).read(rest)

    @property
    def length(self) -> Fraction:
        """How long the whole phrase lasts."""
        return sum(self.bars, Fraction(0))

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        """All pitches in order."""
        return tuple(pitch for sound in self.sounds for pitch in sound.pitches)

    @property
    def placed(self) -> tuple[tuple[Fraction, Sound], ...]:
        """Every sound with the moment at which it begins."""
        found, now = [], Fraction(0)
        for sound in self.sounds:
            found.append((now, sound))
            now += sound.length
        return tuple(found)

    def chord_at(self, moment: Fraction) -> Chord | None:
        """The chord that holds at a moment, or None before the first one."""
        return next((chord for onset, chord in reversed(self.chords) if onset <= moment), None)

    @property
    def ascii(self) -> str:
        """The phrase in plain letters, which ``parse`` reads again."""
        return f"in {self.key.ascii} | " + " |\n".join(_written(self))

    def __str__(self) -> str:
        return self.ascii

    def __repr__(self) -> str:
        return f"Phrase.parse({self.ascii!r})"


def key_and_rest(text: str, like: str) -> tuple[Key, str]:
    """The key that a typed text names first (``in Eb``, ``in F# minor``), and what comes after it.

    Raises ValueError where none is named, with an example of what to write.
    """
    text = text.replace(BAR_LINE, f" {BAR_LINE}", 1)
    words = text.split(maxsplit=3)
    if not words:
        raise ValueError(f"nothing is written; {like}")
    if words[0].lower() != "in" or len(words) < 2:
        raise ValueError(f"the key is missing; begin with the word in and the key, and {like}")
    name = words[1].rstrip(":,|")
    mode = words[2].rstrip(":,|").lower() if len(words) > 2 and name == words[1] else ""
    has_mode = mode.isalpha() and mode not in RESTS and len(mode) > 2
    key = Key.parse(f"{name[:20]} {mode[:20]}" if has_mode else name[:20])
    rest = text.split(maxsplit=3 if has_mode else 2)
    taken = words[2 if has_mode else 1]
    after = rest[-1] if len(rest) > (3 if has_mode else 2) else ""
    return key, (BAR_LINE + " " if taken.endswith(BAR_LINE) else "") + after


class _Reading:
    """A phrase while it is being read."""

    def __init__(self, key: Key) -> None:
        self._key = key
        self._sounds: list[Sound] = []
        self._bars: list[Fraction] = []
        self._chords: list[tuple[Fraction, Chord]] = []
        self._length = FIRST_LENGTH
        self._before = _START
        self._now = Fraction(0)

    def read(self, text: str) -> Phrase:
        bars = [bar.split() for bar in text.replace("‖", BAR_LINE).split(BAR_LINE)]
        # A line before the first bar and lines after the last one only close the page.
        while bars and not bars[0]:
            del bars[0]
        while bars and not bars[-1]:
            del bars[-1]
        if not bars:
            raise ValueError(f"the phrase has no note; {LIKE}")
        if len(bars) > MOST_BARS:
            raise ValueError(f"a phrase of {len(bars)} bars is longer than {MOST_BARS}")
        for number, words in enumerate(bars, start=1):
            start = self._now
            if not words:
                raise ValueError(f"bar {number} is empty; write a rest such as 1/1 r, or take a bar line out")
            for place, word in enumerate(words, start=1):
                try:
                    self._word(word)
                except ValueError as error:
                    raise ValueError(f"bar {number}, place {place}: {error}") from None
            if self._now == start:
                raise ValueError(f"bar {number} has no note and no rest; write a rest such as 1/1 r")
            self._bars.append(self._now - start)
            self._check_threes(number, start)
        return Phrase(self._key, tuple(self._sounds), tuple(self._bars), tuple(self._chords))

    def _word(self, word: str) -> None:
        if len(self._sounds) >= MOST_SOUNDS:
            raise ValueError(f"the phrase has more than {MOST_SOUNDS} notes; make it shorter")
        if word.endswith(":"):
            self._chord(word[:-1])
        elif _LENGTH.fullmatch(word):
            self._length = _read_length(word)
        elif word.lower() in RESTS:
            self._add(())
        elif word == HOLD:
            self._hold()
        else:
            self._add(self._notes(word))

    def _chord(self, text: str) -> None:
        chord = Chord.parse(text)
        if self._chords and self._chords[-1][0] == self._now:
            raise ValueError(f"{text!r} begins where {self._chords[-1][1].ascii!r} does; write a note between them")
        self._chords.append((self._now, chord))

    def _add(self, pitches: tuple[Pitch, ...]) -> None:
        self._sounds.append(Sound(pitches, self._length))
        self._now += self._length

    def _hold(self) -> None:
        if not self._sounds:
            raise ValueError(f"{HOLD!r} holds the note before it, and there is none")
        last = self._sounds[-1]
        if (last.length.denominator % 3 == 0) != (self._length.denominator % 3 == 0):
            raise ValueError(f"{HOLD!r} cannot join a note of a triplet to another one; strike the note again")
        self._sounds[-1] = Sound(last.pitches, last.length + self._length)
        self._now += self._length

    def _notes(self, word: str) -> tuple[Pitch, ...]:
        found: list[Pitch] = []
        for part in word.split(TOGETHER):
            match = _NOTE.fullmatch(part)
            if match is None:
                raise ValueError(
                    f"{_shown(word)} is no note, length, rest or chord; write a note like F#4 or Bb, a chord with a "
                    f"colon like Dm7:"
                )
            name = match[1]
            if match[2] is not None:
                pitch = Pitch.parse(name + match[2])
            elif found:
                pitch = _above(found[-1], name)
            else:
                pitch = nearest(self._before, name)
            if not pitch.is_on_keyboard:
                raise ValueError(f"{pitch} is not on the keyboard, which runs from A0 to C8")
            found.append(pitch)
        rising = sorted(found, key=lambda pitch: pitch.midi)
        if len({pitch.midi for pitch in rising}) < len(rising):
            raise ValueError(f"{_shown(word)} has one key of the piano twice")
        self._before = rising[0]
        return tuple(rising)

    def _check_threes(self, number: int, start: Fraction) -> None:
        """Notes of triplets come in whole triplets, so that the bar comes back to plain time."""
        now, open_since = Fraction(0), False
        for sound in self._sounds:
            is_three = sound.length.denominator % 3 == 0
            if now >= start and open_since and not is_three:
                raise ValueError(f"bar {number}: a triplet is not whole; write three notes or rests of its length")
            now += sound.length
            open_since = now.denominator % 3 == 0
        if open_since:
            raise ValueError(f"bar {number}: a triplet is not whole; write three notes or rests of its length")


def _read_length(word: str) -> Fraction:
    match = _LENGTH.fullmatch(word)
    assert match is not None
    number, parts = int(match[1]), int(match[2] or 1)
    length = Fraction(number, parts) if parts else Fraction(0)
    if length not in LENGTHS:
        raise ValueError(
            f"{word!r} is no length that can be written; take 1, 1/2, 1/4, 1/8, 1/16, 1/32, dotted 3/4, 3/8, 3/16, "
            f"or 1/6, 1/12, 1/24 for triplets"
        )
    return length


def nearest(before: Pitch, name: str) -> Pitch:
    """The pitch of a name at most a fourth of letters away from the one before, up or down."""
    pitch = Pitch.parse(f"{name}{before.octave}")
    off = pitch.staff_step - before.staff_step
    return pitch.octaves_up(-1 if off > 3 else 1 if off < -3 else 0)


def _above(before: Pitch, name: str) -> Pitch:
    pitch = Pitch.parse(f"{name}{before.octave}")
    return pitch if pitch.midi > before.midi else pitch.octaves_up(1)


def _shown(word: str) -> str:
    return repr(word if len(word) <= 30 else f"{word[:29]}…")


def _written(phrase: Phrase) -> list[str]:
    """The text of each bar."""
    lines = list(accumulate(phrase.bars, initial=Fraction(0)))
    chords = dict(phrase.chords)
    cuts = sorted({*lines, *chords})
    bars: list[list[str]] = [[] for _ in phrase.bars]
    # The first length is always written, so that nobody has to know which it is.
    length, bar = Fraction(0), 0
    before: Pitch | None = None
    for now, sound in phrase.placed:
        for place, (moment, span) in enumerate(_cut(now, sound.length, cuts)):
            while bar + 1 < len(bars) and moment >= lines[bar + 1]:
                bar += 1
            if moment in chords:
                bars[bar].append(f"{chords.pop(moment).ascii}:")
            if span != length:
                bars[bar].append(LENGTHS[span])
                length = span
            if not sound.pitches:
                bars[bar].append(RESTS[0])
            elif place:
                bars[bar].append(HOLD)
            else:
                bars[bar].append(_note_text(sound.pitches, before))
                before = sound.pitches[0]
    return [" ".join(words) for words in bars]


def _cut(now: Fraction, length: Fraction, cuts: list[Fraction]) -> Iterator[tuple[Fraction, Fraction]]:
    """A sound in parts that have a written length and cross no bar line and no chord."""
    end = now + length
    while now < end:
        until = min((cut for cut in cuts if now < cut < end), default=end)
        span = until - now
        if span not in LENGTHS:
            is_three = span.denominator % 3 == 0
            fitting = [one for one in LENGTHS if one < span and (one.denominator % 3 == 0) == is_three]
            if not fitting:
                raise ValueError(f"a note of {span} cannot be written")
            span = max(fitting)
        yield now, span
        now += span


def _note_text(pitches: tuple[Pitch, ...], before: Pitch | None) -> str:
    first, *rest = pitches
    is_near = before is not None and nearest(before, first.name.ascii) == first
    words = [first.name.ascii if is_near else first.ascii]
    last = first
    for pitch in rest:
        words.append(pitch.name.ascii if _above(last, pitch.name.ascii) == pitch else pitch.ascii)
        last = pitch
    return TOGETHER.join(words)
