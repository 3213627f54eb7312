"""Roman numerals: chords by their degree in a key. A numeral holds for every key; only ``in_key`` makes notes of it.

The numeral's case says the third: ``vi`` is a minor chord, ``I`` a major one, and ``vi7`` a minor, ``V7`` and ``I7`` a
dominant seventh. A sign before the numeral counts from the major scale of the tonic. In minor, III, VI and VII are
those of the natural minor, and a flat that only says so changes nothing (``bVI`` and ``VI`` are both F in A minor);
a small ``vi`` or ``vii`` stands on the raised degree (``vii°7`` on G♯, ``viø7`` on F♯ in A minor), as in music21;
``bvi`` and ``bvii`` are minor chords on the natural ones. Likewise in the other modes.
"""

from __future__ import annotations

import re
from functools import lru_cache

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.label_style import PLAIN_STYLE, LabelStyle
from lessonkit.theory.pitch import NATURAL_SEMITONES, Interval, NoteName
from lessonkit.theory.quality import ALL_QUALITIES, Quality, degree_of_interval, interval_of_degree
from lessonkit.theory.scale import Scale
from lessonkit.theory.symbol import read_quality, written_after_small, written_quality
from lessonkit.values import dataclass

NUMERALS = ("I", "II", "III", "IV", "V", "VI", "VII")
LONGEST_NUMERAL = 60
"""The longest numeral that is read, in characters."""

_HEAD = re.compile(r"(sub)?([b♭#♯]{0,9})(VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)(.*)", re.DOTALL)
_BASS = re.compile(r"([b♭#♯]{0,8}|♮|n)([1-7])")
_LIKE = "write it like IVmaj7, vim7, V7/ii or bIII7"
_FIRST_OF_MODE = {
    Mode.MAJOR: 0, Mode.DORIAN: 1, Mode.PHRYGIAN: 2, Mode.LYDIAN: 3, Mode.MIXOLYDIAN: 4, Mode.MINOR: 5, Mode.LOCRIAN: 6,
}  # fmt: skip
"""The letter (0 is C) from which the white keys make each mode."""

_SMALL = {
    "maj": "m", "6": "m6", "maj7": "m(maj7)", "7": "m7", "7b5": "m7b5", "7b9": "m7b9", "add9": "m(add9)",
    "6/9": "m6/9", "9": "m9", "maj9": "m(maj9)", "11": "m11", "13": "m13",
}  # fmt: skip
"""What a suffix means after a small numeral, where it would name a major chord after a capital one."""

_IN_FULL = LabelStyle(diminished="dim")
_NO_THIRD = ("sus2", "sus4", "7sus4", "9sus4", "5")


@dataclass(frozen=True, slots=True)
class RomanChord:
    """A chord by its degree.

    ``degree`` is 1 to 7; ``alteration`` the sign before the numeral in semitones; ``applied_to`` the chord whose key
    is meant (V7/ii: the dominant of the second degree); ``is_tritone_substitute`` marks a subV, which stands a tritone
    from the V it replaces; ``bass`` is the degree above the root (``3``, ``b7``) in the bass, None for the root.

    >>> RomanChord.parse("V7/ii").in_key(Key.parse("C"))
    Chord.parse('A7')
    """

    degree: int
    quality: Quality
    alteration: int = 0
    applied_to: RomanChord | None = None
    is_tritone_substitute: bool = False
    bass: str | None = None

    def __post_init__(self) -> None:
        if not 1 <= self.degree <= 7:
            raise ValueError(f"{self.degree} is not a degree; degrees run from 1 to 7")

    @staticmethod
    @lru_cache(maxsize=4096)
    def parse(text: str) -> RomanChord:
        """Read ``IVmaj7``, ``vim7``, ``bIII7``, ``viiø7``, ``#I°7``, ``V7/ii``, ``subV7``, ``subV7/ii`` or ``V/3``.

        After a slash a numeral is the chord that is led to, a figure from 1 to 7 the degree in the bass. Raises
        ValueError with a sentence for anything else.
        """
        plain = text.strip()
        shown = repr(plain if len(plain) <= LONGEST_NUMERAL else plain[: LONGEST_NUMERAL - 1] + "…")
        if len(plain) > LONGEST_NUMERAL:
            raise ValueError(f"{shown} is too long for a degree; {_LIKE}")
        head, *rest = plain.replace("6/9", "69").split("/")
        bass = rest.pop() if rest and _BASS.fullmatch(rest[-1].strip()) else None
        target = RomanChord.parse("/".join(rest)) if rest else None
        chord = _read_head(head.strip(), shown, target)
        return chord if bass is None else _over(chord, bass.strip())

    @property
    def is_small(self) -> bool:
        """Whether the numeral is written small: its chord has a minor third."""
        return self.quality.is_minor

    def strict_root(self, key: Key) -> NoteName:
        """The root in a key as the degrees spell it, however many accidentals that takes."""
        if self.applied_to is None:
            tonic, mode = key.tonic, key.mode
        else:
            tonic, mode = self.applied_to.strict_root(key), Mode.MINOR if self.applied_to.is_small else Mode.MAJOR
        root = degree_note(tonic, mode, self.degree, self.alteration, self.is_small)
        return root + Interval(4, 6) if self.is_tritone_substitute else root

    def strict_in_key(self, key: Key) -> Chord:
        """The chord in a key, spelled strictly: in D♭ a subV7 is E𝄫7."""
        return _chord_on(self, self.strict_root(key))

    def in_key(self, key: Key) -> Chord:
        """The chord in a key as it is printed.

        A chord on a degree of the key keeps its strict spelling. A chord on any other note whose strict spelling would
        need double accidentals is named from the enharmonic root that needs fewest: in D♭ a subV7 is D7, not E𝄫7.
        """
        return _printed(self, key)

    def text(self, style: LabelStyle = PLAIN_STYLE) -> str:
        """The numeral as it is printed in a style: ``IVmaj7``, ``vi7``, ``viiø7``, ``♭III7``, ``V7/ii``.

        A small numeral has said the minor third; in capitals the quality says it, as it does in a chord symbol.
        """
        is_small = self.is_small and style.numerals == "vi7"
        suffix = written_after_small(self.quality, style) if is_small else written_quality(self.quality, style)
        return self._with(suffix, is_small, None if self.applied_to is None else self.applied_to.text(style))

    def _with(self, suffix: str, is_small: bool, led_to: str | None) -> str:
        """The numeral with its quality as ``suffix`` and the chord that it leads to as ``led_to``."""
        target = "" if led_to is None else f"/{led_to}"
        sign = "♯" * self.alteration if self.alteration > 0 else "♭" * -self.alteration
        numeral = NUMERALS[self.degree - 1]
        sub = "sub" if self.is_tritone_substitute else ""
        return f"{sub}{sign}{numeral.lower() if is_small else numeral}{suffix}{target}{_bass_text(self)}"

    @property
    def ascii(self) -> str:
        """The numeral in plain letters, which ``parse`` reads again: ``bIII7``, ``viim7b5``, ``#idim7``.

        Files and forms write it so: beside its case the numeral says its quality in full.
        """
        suffix = "" if self.quality.key == "m" else written_quality(self.quality, _IN_FULL)
        text = self._with(suffix, self.is_small, None if self.applied_to is None else self.applied_to.ascii)
        return text.replace("+", "aug").replace("♭", "b").replace("♯", "#").replace("♮", "n")

    def __str__(self) -> str:
        return self.text()

    def __repr__(self) -> str:
        return f"RomanChord.parse({self.ascii!r})"


def recognise(chord: Chord, key: Key) -> RomanChord:
    """The degree that a chord is in a key, by the spelling of its root; chromatic ones carry ♭ or ♯. Always answers."""
    degree = (chord.root.letter - key.tonic.letter) % 7 + 1
    is_small = chord.quality.is_minor
    for alteration in (0, -1, 1, -2, 2, -3, 3, -4, 4, -5, 5, -6, 6, -7, 7, -8, 8):
        if _alteration_of(key.tonic, key.mode, degree, alteration, is_small) == chord.root.alteration:
            break
    bass = None
    if chord.bass is not None:
        steps = (chord.bass.letter - chord.root.letter) % 7
        natural = (chord.root + interval_of_degree(str(steps + 1))).alteration
        off = chord.bass.alteration - natural
        bass = ("#" * off if off > 0 else "b" * -off) + str(steps + 1)
    return RomanChord(degree, chord.quality, alteration, bass=bass)


def degree_note(tonic: NoteName, mode: Mode, degree: int, alteration: int = 0, is_small: bool = False) -> NoteName:
    """The note that a numeral stands on; ``is_small`` counts for vi and vii in minor (see the head of this file)."""
    letter = (tonic.letter + degree - 1) % 7
    return NoteName(letter, _alteration_of(tonic, mode, degree, alteration, is_small))


def _alteration_of(tonic: NoteName, mode: Mode, degree: int, alteration: int, is_small: bool) -> int:
    first = _FIRST_OF_MODE[mode]
    own = (NATURAL_SEMITONES[(first + degree - 1) % 7] - NATURAL_SEMITONES[first]) % 12
    from_major = own - NATURAL_SEMITONES[degree - 1]
    if alteration == 0 and is_small and mode is Mode.MINOR and degree in (6, 7):
        alteration = 1
    elif alteration * from_major > 0:
        # The sign says what the mode does already.
        alteration -= from_major
    letter = (tonic.letter + degree - 1) % 7
    plain = (NATURAL_SEMITONES[letter] - NATURAL_SEMITONES[tonic.letter]) % 12
    return tonic.alteration + own + alteration - plain


def _read_head(head: str, shown: str, target: RomanChord | None) -> RomanChord:
    match = _HEAD.fullmatch(head)
    if match is None:
        raise ValueError(f"{shown} is not a degree; {_LIKE}")
    sub, sign, numeral, suffix = match.groups()
    quality = read_quality(suffix)
    if quality is None:
        raise ValueError(f"{shown} is not a degree: {suffix!r} names no chord quality; {_LIKE}")
    if numeral.islower() and not quality.is_minor and quality.key not in _NO_THIRD:
        if quality.key not in _SMALL:
            raise ValueError(
                f"{shown} is not a degree: a small numeral is a minor chord; write {numeral.upper()}{suffix}"
            )
        quality = Quality.named(_SMALL[quality.key])
    if sub is not None and (numeral != "V" or sign):
        raise ValueError(f"{shown} is not a degree: only V has a tritone substitute; write it like subV7 or subV7/ii")
    plain = sign.replace("♭", "b").replace("♯", "#")
    if plain.strip("b") and plain.strip("#"):
        raise ValueError(f"{shown} is not a degree: {sign!r} mixes flats and sharps; {_LIKE}")
    alteration = len(plain) if plain.startswith("#") else -len(plain)
    degree = NUMERALS.index(numeral.upper()) + 1
    return RomanChord(degree, quality, alteration, target, sub is not None)


def _over(chord: RomanChord, bass: str) -> RomanChord:
    sign, number = bass[:-1].replace("♭", "b").replace("♯", "#").replace("♮", "n"), bass[-1]
    degree = sign.replace("n", "") + number
    if not sign:
        degree = _own_form(chord.quality, number)
    return RomanChord(
        chord.degree, chord.quality, chord.alteration, chord.applied_to, chord.is_tritone_substitute,
        None if degree == "1" else degree,
    )  # fmt: skip


def _own_form(quality: Quality, number: str) -> str:
    """The chord's own form of a degree, such as ``b3`` for the third of a minor chord; the bare number otherwise."""
    for own in quality.degrees:
        bare = own.lstrip("b#")
        if bare == number or (int(bare) > 7 and str(int(bare) - 7) == number):
            return own[: len(own) - len(bare)] + number
    return number


def _bass_text(chord: RomanChord) -> str:
    if chord.bass is None:
        return ""
    number = chord.bass.lstrip("b#")
    sign = chord.bass[: len(chord.bass) - len(number)]
    if _own_form(chord.quality, number) == chord.bass:
        return f"/{number}"
    return f"/{sign.replace('b', '♭').replace('#', '♯') or '♮'}{number}"


def _chord_on(roman: RomanChord, root: NoteName) -> Chord:
    return Chord(root, roman.quality, None if roman.bass is None else root + interval_of_degree(roman.bass))


@lru_cache(maxsize=8192)
def _printed(roman: RomanChord, key: Key) -> Chord:
    chord = roman.strict_in_key(key)
    if not any(tone.is_double for tone in chord.tones) or chord.root in key.notes:
        return chord
    candidates = (chord, *(_chord_on(roman, root) for root in chord.root.enharmonics))
    return min(candidates, key=lambda one: sum(tone.is_double for tone in one.tones))


def diatonic_chord(source: Key | Scale, degree: int, size: int = 7) -> Chord:
    """The chord that every other note of a scale makes on a degree: ``size`` 3 a triad, 7 a seventh, 9 a ninth chord.

    A key means its signature's scale (in minor the natural one). Raises ValueError where the scale has not seven notes
    or makes a chord that has no name here.
    """
    return _diatonic(Scale.of_key(source) if isinstance(source, Key) else source, degree, size)


@lru_cache(maxsize=8192)
def _diatonic(scale: Scale, degree: int, size: int) -> Chord:
    if size not in (3, 7, 9):
        raise ValueError(f"{size} is not the size of a chord on a degree; choose 3, 7 or 9")
    if len(scale.kind.tones) != 7:
        raise ValueError(f"the {scale.kind.key} scale has not seven notes, so its degrees carry no stacked chords")
    if degree < 1:
        raise ValueError(f"{degree} is not a degree of a scale; degrees count from 1")
    root = (degree - 1) % 7
    tones = scale.kind.tones
    count = {3: 3, 7: 4, 9: 5}[size]
    stacked = tuple(_rung(tones, root + 2 * place) + -tones[root] for place in range(count))
    for quality in ALL_QUALITIES:
        if quality.tones == stacked:
            return Chord(scale.degree(root + 1), quality)
    shape = " ".join(degree_of_interval(tone) for tone in stacked)
    raise ValueError(f"degree {degree} of {scale} makes a chord of {shape}, which has no name here")


def _rung(tones: tuple[Interval, ...], place: int) -> Interval:
    octaves, within = divmod(place, 7)
    return tones[within] + Interval(7 * octaves, 12 * octaves)
