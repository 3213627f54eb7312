"""An excerpt from another program as the teacher's own phrase and chart, with a report of what was not taken.

The door of this room for what comes in: ``read_excerpt`` guards the file, has it parsed apart and makes our values.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

from lessonkit.drills.chart import Chart, Share
from lessonkit.drills.exercise import Meter
from lessonkit.drills.family import Metre
from lessonkit.drills.phrase import LENGTHS, Phrase, Sound
from lessonkit.exchange.apart import parsed_apart
from lessonkit.exchange.guarding import UnreadableExcerpt as UnreadableExcerpt
from lessonkit.exchange.guarding import guarded
from lessonkit.theory.authority import CHORD_KINDS
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.progression import MOST_CHORDS_IN_BAR
from lessonkit.values import dataclass

_SUFFIXES = {kind: suffix for suffix, kind in CHORD_KINDS.items()} | {
    "major-13th": "maj13", "dominant-13th": "13", "minor-major-ninth": "m(maj9)", "augmented-major-ninth": "maj9#5",
    "half-diminished-minor-ninth": "m7b5b9", "half-diminished-ninth": "m9b5", "diminished-minor-ninth": "dim7b9",
    "suspended-fourth-seventh": "7sus4", "dominant": "7", "half-diminished": "m7b5",
}  # fmt: skip
"""What stands after a chord's root for each kind that MusicXML and music21 have."""


@dataclass(frozen=True, slots=True)
class Excerpt:
    """What was read: the phrase, the chart where there are chord symbols, the metre, and what was not taken."""

    phrase: Phrase
    chart: Chart | None
    metre: Metre
    report: tuple[str, ...]


def read_excerpt(path: Path) -> Excerpt:
    """A MusicXML file (plain or compressed) or an ABC text; raises UnreadableExcerpt with a sentence."""
    text = guarded(path)
    plain = parsed_apart(text)
    report = [*text.report, *map(str, plain["report"])]
    meter = _meter(plain["meter"])
    chords = list(_chords(plain["bars"], report))
    sounds, bars = _sounds(plain["bars"], report)
    key = _key(plain, sounds, [chord for _, _, chord in chords], report)
    onsets = [sum(bars[:number], Fraction(0)) for number in range(len(bars))]
    placed: dict[Fraction, Chord] = {}
    for number, onset, chord in chords:
        if onset < bars[number]:
            placed.setdefault(onsets[number] + onset, chord)
    try:
        phrase = Phrase(key, tuple(sounds), tuple(bars), tuple(sorted(placed.items(), key=lambda item: item[0])))
        phrase = Phrase.parse(phrase.ascii)
    except ValueError as error:
        raise UnreadableExcerpt(f"{path.name} cannot be written as a phrase: {error}") from None
    metre = next((one for one in Metre if one.meter is not None and one.meter == meter), Metre.FREE)
    if metre is Metre.FREE and meter is not None:
        report.append(f"The metre {meter} is not among those of a drill; the excerpt stands in free time.")
    return Excerpt(phrase, _chart(key, chords, bars, meter, report), metre, tuple(dict.fromkeys(report)))


def _meter(plain: list[int] | None) -> Meter | None:
    try:
        return None if plain is None else Meter(*plain)
    except ValueError as error:
        raise UnreadableExcerpt(str(error)) from None


# Notes


def _sounds(bars: list[dict[str, Any]], report: list[str]) -> tuple[list[Sound], list[Fraction]]:
    """The notes one after another with ties joined, and how long each bar is."""
    sounds: list[Sound] = []
    lengths: list[Fraction] = []
    is_open = False
    for number, bar in enumerate(bars):
        full = Fraction(bar["length"])
        own = [(_pitches(pitches), Fraction(length), bool(tied)) for pitches, length, tied in bar["notes"]]
        filled = sum((length for _, length, _ in own), Fraction(0))
        odd = next((length for _, length, _ in own if not _can_be_written(length)), None)
        if odd is not None or filled > full or filled.denominator % 3 == 0:
            why = "is longer than its metre" if odd is None and filled > full else "has lengths that a phrase has not"
            report.append(f"Bar {number + 1} {why} (groups of five, very short notes); it became a rest.")
            own, filled = [((), full, False)], full
        if filled < full and 0 < number < len(bars) - 1:
            own.append(((), full - filled, False))
            filled = full
        if not own:
            own, filled = [((), full, False)], full
        for pitches, length, is_tied in own:
            last = sounds[-1] if sounds and is_open else None
            threes = {one.denominator % 3 == 0 for one in (length, *((last.length,) if last else ()))}
            if last is not None and last.pitches == pitches and len(threes) == 1:
                sounds[-1] = Sound(pitches, last.length + length)
            else:
                if last is not None and pitches:
                    report.append(f"A tie in bar {number + 1} joins notes that differ; they are struck again.")
                sounds.append(Sound(pitches, length))
            is_open = is_tied and bool(pitches)
        lengths.append(filled)
    return sounds, lengths


def _pitches(names: list[str]) -> tuple[Pitch, ...]:
    found = {pitch.midi: pitch for pitch in map(Pitch.parse, names) if pitch.is_on_keyboard}
    return tuple(found[midi] for midi in sorted(found))


def _can_be_written(length: Fraction) -> bool:
    """Whether a length is a sum of lengths that can be written: whole thirty-seconds, or parts of triplets."""
    return 32 % length.denominator == 0 or (length.denominator % 3 == 0 and length in LENGTHS)


# Chords


def _chords(bars: list[dict[str, Any]], report: list[str]) -> Iterator[tuple[int, Fraction, Chord]]:
    """Each chord with the place of its bar and its onset within it."""
    for number, bar in enumerate(bars):
        for onset, root, kind, written, changes, bass, figure in bar["chords"]:
            chord = _chord(root, kind, written, changes, bass)
            if chord is not None:
                yield number, Fraction(onset), chord
            elif root:
                shown = figure.replace("-", "♭", 1)
                report.append(f"The chord “{shown}” in bar {number + 1} was not understood and left out.")


def _chord(root: str, kind: str, written: str, changes: list[str], bass: str) -> Chord | None:
    """A chord by its kind and changes, or by what stands after its root on the page."""
    if not root:
        return None
    over = f"/{bass}" if bass else ""
    suffix = _SUFFIXES.get(kind)
    degrees = "".join(change.split(" ", 1)[1] for change in changes if not change.startswith("subtract"))
    kept = all(not change.startswith("subtract") for change in changes)
    tries = []
    if suffix is not None and kept:
        if suffix == "maj":
            suffix = ""
        bare = f"add{degrees}" if degrees.isdigit() and not suffix.strip("m") else degrees
        tries.append(f"{root}{suffix}{bare}{over}")
    if written:
        tries.append(f"{root}{written}{over}")
    for text in tries:
        try:
            return Chord.parse(text)
        except ValueError:
            continue
    return None


def _key(plain: dict[str, Any], sounds: list[Sound], chords: list[Chord], report: list[str]) -> Key:
    """The key that the file names; where it gives only a signature, by the last chord or note."""
    key = Key.parse(str(plain["key"]))
    if plain["has_mode"]:
        return key
    relative = Key(key.degree(6), Mode.MINOR)
    lasts = [sound.pitches[0].name for sound in sounds if sound.pitches]
    is_minor = chords[-1].root == relative.tonic and chords[-1].quality.is_minor if chords else False
    if not chords and lasts:
        is_minor = lasts[-1] == relative.tonic
    found = relative if is_minor else key
    report.append(f"The file does not say whether it is major or minor; it was taken for {found}.")
    return found


def _chart(
    key: Key, chords: list[tuple[int, Fraction, Chord]], bars: list[Fraction], meter: Meter | None, report: list[str]
) -> Chart | None:
    """The chords in bars, each with its beats; a pick-up without a chord is left out."""
    if not chords:
        return None
    beat = Fraction(3, 8) if meter is not None and meter.unit == 8 and meter.beats % 3 == 0 else Fraction(1, 4)
    by_bar: list[list[tuple[int, Chord]]] = [[] for _ in bars]
    for number, onset, chord in chords:
        place = int(onset / beat)
        if onset % beat:
            report.append(f"In the chart, {chord} in bar {number + 1} was moved to the beat in which it comes.")
        if not any(place == one for one, _ in by_bar[number]):
            by_bar[number].append((place, chord))
    full = int((meter.bar if meter is not None else Fraction(1)) / beat)
    shares: list[tuple[Share, ...]] = []
    sounding: Chord | None = None
    for own in by_bar:
        starts = sorted(own, key=lambda item: item[0])
        if sounding is not None and (not starts or starts[0][0] > 0):
            starts.insert(0, (0, sounding))
        if not starts or full > MOST_CHORDS_IN_BAR:
            continue
        if starts[0][0] > 0:
            starts[0] = (0, starts[0][1])
        ends = [*(place for place, _ in starts[1:]), full]
        row = [Share(chord, end - place) for (place, chord), end in zip(starts, ends, strict=True) if end > place]
        if len({share.shares for share in row}) == 1:
            row = [Share(share.chord) for share in row]
        if row:
            shares.append(tuple(row))
            sounding = starts[-1][1]
    return Chart(key, tuple(shares)) if shares else None
