"""Chords: a root, a quality and perhaps another bass. Every tone is spelled by its letter's distance from the root."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

from lessonkit.theory.key import Key
from lessonkit.theory.label_style import PLAIN_STYLE, LabelStyle
from lessonkit.theory.pitch import Interval, NoteName, Pitch
from lessonkit.theory.quality import Quality, interval_of_degree
from lessonkit.theory.respelling import Respelling
from lessonkit.theory.symbol import LONGEST_SYMBOL, read_quality, written_quality
from lessonkit.values import dataclass

_ROOT = re.compile(r"([A-G](?:[#♯x𝄪]{1,4}|[b♭𝄫]{1,4}|♮)?)(.*)", re.DOTALL)
_BASS = re.compile(r"(.*)/\s*([A-Ga-g](?:[#♯x𝄪]{1,4}|[b♭𝄫]{1,4}|♮)?)", re.DOTALL)
_LIKE = "like Abmaj7, Dm7b5 or G/B"
_SPOKEN_SIGNS = {-2: " double flat", -1: " flat", 0: "", 1: " sharp", 2: " double sharp"}


@dataclass(frozen=True, slots=True)
class Chord:
    """A root, a quality and perhaps another bass note.

    >>> [str(tone) for tone in Chord.parse("Ab7b9").tones]
    ['A♭', 'C', 'E♭', 'G♭', 'B𝄫']
    """

    root: NoteName
    quality: Quality
    bass: NoteName | None = None

    @staticmethod
    @lru_cache(maxsize=4096)
    def parse(text: str) -> Chord:
        """Read a chord symbol in the ways that teachers type it; raises ValueError with a sentence for anything else.

        ``Abmaj7 A♭maj7 AbM7 Ab^7 AbΔ7``, ``Dm7b5 Dø Dø7 Dm7-5``, ``Bdim7 B°7 Bo7``, ``C7#9 C7(#9)``, ``G/B``. The root
        is a capital letter: a small one would leave open whether it means the note or a minor chord.
        """
        plain = text.strip()
        shown = repr(plain if len(plain) <= LONGEST_SYMBOL else plain[: LONGEST_SYMBOL - 1] + "…")
        if len(plain) > LONGEST_SYMBOL:
            raise ValueError(f"{shown} is too long for a chord symbol; write it {_LIKE}")
        match = _ROOT.fullmatch(plain)
        if match is None:
            raise ValueError(f"{shown} is not a chord symbol; begin with the root as a capital letter, {_LIKE}")
        root = NoteName.parse(match[1])
        suffix, bass = match[2].strip(), None
        over = _BASS.fullmatch(suffix)
        if over is not None:
            suffix, bass = over[1].strip(), NoteName.parse(over[2])
        quality = read_quality(suffix)
        if quality is None:
            raise ValueError(f"{shown} is not a chord symbol: {suffix!r} names no chord quality; write it {_LIKE}")
        chord = Chord(root, quality, None if bass == root else bass)
        try:
            _tones(root, quality)
        except ValueError:
            raise ValueError(f"{shown} has notes that no accidental can spell; write it from another root") from None
        return chord

    @property
    def tones(self) -> tuple[NoteName, ...]:
        """The spelled notes from the root up, one for each degree of the quality; a bass after a slash is not added."""
        return _tones(self.root, self.quality)

    @property
    def lowest(self) -> NoteName:
        """The note in the bass: the one after the slash, or the root."""
        return self.root if self.bass is None else self.bass

    def tone_for(self, degree: str) -> NoteName:
        """The note on a degree above the root.

        A bare number means the chord's own form of it (``3`` of Cm is E♭, ``9`` of C7♭9 is D♭) and the major scale's
        where the chord has none; with a sign it is exactly that degree (``b9``, ``#11``). Raises ValueError for others.
        """
        number = degree.strip()
        if number.isdigit():
            for own, tone in zip(self.quality.degrees, self.tones, strict=True):
                if own.lstrip("b#") == number:
                    return tone
        return self.root + interval_of_degree(degree)

    def symbol(self, style: LabelStyle = PLAIN_STYLE) -> str:
        """The chord's name as it is printed in a style: ``A♭maj7``, ``Dø7``, ``G/B``."""
        over = "" if self.bass is None else f"/{style.note(self.bass)}"
        return f"{style.note(self.root)}{written_quality(self.quality, style)}{over}"

    @property
    def ascii(self) -> str:
        """The chord's name in plain letters, which ``parse`` reads again: ``Abmaj7``, ``Dm7b5``, ``G/B``."""
        over = "" if self.bass is None else f"/{self.bass.ascii}"
        return f"{self.root.ascii}{self.quality.suffix}{over}"

    def speak(self) -> str:
        """The chord in words: ``A flat major seventh``, ``G major over B``."""
        over = "" if self.bass is None else f" over {_spoken(self.bass)}"
        return f"{_spoken(self.root)} {self.quality.words}{over}"

    def friendly(self, key: Key | None = None) -> Friendly:
        """The chord as a reader likes it, with a list of what was respelled; see ``friendly_chord`` for the rules."""
        return friendly_chord(self, key)

    def __str__(self) -> str:
        return self.symbol()

    def __repr__(self) -> str:
        return f"Chord.parse({self.ascii!r})"


@lru_cache(maxsize=8192)
def _tones(root: NoteName, quality: Quality) -> tuple[NoteName, ...]:
    return tuple(root + tone for tone in quality.tones)


def _spoken(name: NoteName) -> str:
    return NoteName(name.letter).ascii + _SPOKEN_SIGNS.get(name.alteration, f" altered by {name.alteration} semitones")


@dataclass(frozen=True, slots=True)
class Friendly:
    """A chord as a reader likes it: perhaps named from the enharmonic root, its notes, and what was respelled."""

    chord: Chord
    tones: tuple[NoteName, ...]
    respelled: tuple[Respelling, ...]
    strict: Chord

    def spelled(self, pitches: Iterable[Pitch]) -> tuple[Pitch, ...]:
        """Pitches of the strict chord, such as a voicing of it, as a reader likes them; they sound the same.

        Where the chord is named from another root, notes beside the chord's own move with it.
        """
        printed = dict(zip(self.strict.tones, self.tones, strict=True))
        letters = (self.chord.root.letter - self.strict.root.letter + 3) % 7 - 3
        return tuple(
            printed.get(pitch.name, pitch.name + Interval(letters, 0)).nearest_above(pitch) for pitch in pitches
        )  # fmt: skip


@lru_cache(maxsize=4096)
def friendly_chord(chord: Chord, key: Key | None = None) -> Friendly:
    """The chord as a reader likes it. What belongs to the key keeps its spelling; otherwise, as commonly practised:

    - where root, third, fifth, sixth or seventh would need a double accidental, the whole chord is named from the
      enharmonic root (E♭m7♭5 as D♯m7♭5), and so it is where the root or the third is C♭, F♭, E♯ or B♯ and the other
      root needs fewer accidentals (D♭m7 as C♯m7), unless the key's own signature lies on that side;
    - a fifth or seventh of a diminished seventh takes the plain name (C°7 as C E♭ G♭ A);
    - an altered fifth of a dominant, a ninth, eleventh or thirteenth that would be double takes the single name
      (A♭7♭9 with A), and a ♯9 is written as a minor tenth (C7♯9 with E♭) where that is no C♭ or F♭.
    """
    if key is not None and key.notes.issuperset(chord.tones):
        return Friendly(chord, chord.tones, (), chord)
    root = _friendly_root(chord, key)
    named = Chord(root, chord.quality)
    at_home = frozenset[NoteName]() if key is None else key.notes
    tones = tuple(
        own if own in at_home else read for own, read in zip(named.tones, _friendly_tones(named), strict=True)
    )
    printed = dict(zip(chord.tones, tones, strict=True))
    bass = chord.bass
    if bass is not None:
        bass = printed.get(bass, bass.simplest if bass.is_double else bass)
        printed[chord.lowest] = bass
    respelled = tuple(Respelling(strict, name) for strict, name in printed.items() if strict != name)
    return Friendly(Chord(root, chord.quality, bass), tones, respelled, chord)


def _friendly_root(chord: Chord, key: Key | None) -> NoteName:
    is_diminished_seventh = "bb7" in chord.quality.degrees
    frame = {"1", "b3", "3"} if is_diminished_seventh else {"1", "2", "b3", "3", "4", "5", "6", "7", "b7"}
    if chord.quality.is_minor and not is_diminished_seventh:
        frame.add("b5")
    framed = [tone for degree, tone in zip(chord.quality.degrees, chord.tones, strict=True) if degree in frame]
    is_at_home = key is not None and not is_diminished_seventh and key.signature * chord.root.alteration > 0
    third = chord.tones[1] if "3" in chord.quality.degrees[1] else chord.root
    reads_badly = not is_at_home and (chord.root.is_white_accidental or third.is_white_accidental)
    if not reads_badly and not any(tone.is_double for tone in framed):
        return chord.root
    candidates = (chord.root, *chord.root.enharmonics)
    return min(candidates, key=lambda root: _awkwardness(_friendly_tones(Chord(root, chord.quality))))


def _awkwardness(tones: tuple[NoteName, ...]) -> tuple[int, int, int]:
    doubles = sum(tone.is_double for tone in tones)
    return doubles, sum(tone.is_white_accidental for tone in tones), sum(abs(tone.alteration) for tone in tones)


def _friendly_tones(chord: Chord) -> tuple[NoteName, ...]:
    degrees = zip(chord.quality.degrees, chord.tones, strict=True)
    return tuple(_friendly_tone(chord, degree, tone) for degree, tone in degrees)


def _friendly_tone(chord: Chord, degree: str, tone: NoteName) -> NoteName:
    if "bb7" in chord.quality.degrees and degree in ("b5", "bb7"):
        return tone.simplest if tone.is_double or tone.is_white_accidental else tone
    if degree == "#9":
        tenth = chord.root + interval_of_degree("b3")
        if not tenth.is_double and not tenth.is_white_accidental:
            return tenth
    is_altered_fifth = degree == "#5" or (degree == "b5" and not chord.quality.is_minor)
    is_tension = is_altered_fifth or degree.lstrip("b#") in ("9", "11", "13")
    return tone.simplest if is_tension and tone.is_double else tone
