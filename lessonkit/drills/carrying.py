"""Carries a teacher's own chords and phrases from the key they were typed in to any other, spelled by intervals.

In a key of the other mode the third, sixth and seventh follow the scale, and chords become those of the new key. What
does not belong to the old key keeps its distance to what it leads to: a chord to the next chord, a note to its goal.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from lessonkit.drills.minor_twin import twin
from lessonkit.drills.phrase import Phrase, Sound
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.pitch import Interval, NoteName, Pitch
from lessonkit.theory.roman import RomanChord, recognise
from lessonkit.values import dataclass

AT_HOME = Pitch.parse("C4")
"""The register that leaves a phrase where it was typed."""

_NO_MOVE = Interval.parse("P1")
_TRITONE = Interval.parse("A4")

FARTHEST = 1
"""A degree with more signs than this before it says nothing to a reader; such a chord has none."""

_THIRD, _SIXTH, _SEVENTH, _FOURTH = 3, 6, 7, 4
_FIFTH_DOWN = 7


@dataclass(frozen=True, slots=True)
class Carried:
    """A chord in its new key: spelled by intervals, as it is printed, and its degree where it has one."""

    strict: Chord
    printed: Chord
    degree: RomanChord | None


def changes_mode(own: Key, key: Key, follows_mode: bool) -> bool:
    """Whether something typed in one key changes between major and minor in the other."""
    return follows_mode and own.is_minor != key.is_minor


@lru_cache(maxsize=1024)
def carried_chords(chords: tuple[Chord, ...], own: Key, key: Key, follows_mode: bool) -> tuple[Carried, ...]:
    """Chords that follow one another, in another key."""
    if changes_mode(own, key, follows_mode):
        moved = _in_other_mode(chords, own, key)
    else:
        move = _between(own.tonic, key.tonic)
        moved = [_moved(chord, move) for chord in chords]
    is_at_home = own == key
    return tuple(_named(chord, key, is_at_home) for chord in moved)


@lru_cache(maxsize=512)
def carried_phrase(phrase: Phrase, key: Key, near: Pitch, follows_mode: bool) -> Phrase:
    """A phrase in another key, in the register of its own where ``near`` is C4; its chords as ``strict`` ones.

    The tonic comes to lie within a tritone of ``near``.
    """
    home = phrase.key.tonic.nearest_above(AT_HOME - _TRITONE)
    goal = key.tonic.nearest_above(near - _TRITONE)
    move = home.interval_to(goal)
    placed = carried_chords(tuple(chord for _, chord in phrase.chords), phrase.key, key, follows_mode)
    chords = tuple((onset, chord.strict) for (onset, _), chord in zip(phrase.chords, placed, strict=True))
    if changes_mode(phrase.key, key, follows_mode):
        sounds = _notes_in_other_mode(phrase, key, move, dict(chords))
    else:
        sounds = tuple(
            replace(sound, pitches=tuple(pitch + move for pitch in sound.pitches)) for sound in phrase.sounds
        )
    renamed = {onset: _renaming(one) for (onset, _), one in zip(phrase.chords, placed, strict=True)}
    if any(renamed.values()):
        sounds = _renamed(phrase, sounds, renamed)
    return Phrase(key, sounds, phrase.bars, chords)


def placed_chords(phrase: Phrase, key: Key, follows_mode: bool) -> tuple[PlacedOrBare, ...]:
    """The chords of a phrase in another key as they are printed, with their degrees."""
    placed = carried_chords(tuple(chord for _, chord in phrase.chords), phrase.key, key, follows_mode)
    return tuple((one.printed, one.degree) for one in placed)


PlacedOrBare = tuple[Chord, RomanChord | None]


def _between(low: NoteName, high: NoteName) -> Interval:
    return low.in_octave(4).interval_to(high.in_octave(4))


def _moved(chord: Chord, move: Interval) -> Chord:
    """A chord moved by an interval; where that has no spelling, from the plainest other name of its root."""
    for root in (chord.root, chord.root.simplest):
        try:
            bass = None if chord.bass is None else (root + _between(chord.root, chord.bass)) + move
            moved = Chord(root + move, chord.quality, bass)
            if moved.tones:
                return moved
        except ValueError:
            continue
    raise ValueError(f"{chord} has no spelling in this key; type it from another root")


def _named(chord: Chord, key: Key, is_at_home: bool) -> Carried:
    degree = recognise(chord, key)
    if abs(degree.alteration) > FARTHEST:
        plainer = chord if is_at_home else _moved(Chord(chord.root.simplest, chord.quality, chord.bass), _NO_MOVE)
        degree = recognise(plainer, key)
        return Carried(chord, plainer, degree if abs(degree.alteration) <= FARTHEST else None)
    return Carried(chord, chord if is_at_home else degree.in_key(key), degree)


# Chords in the other mode


def _in_other_mode(chords: Sequence[Chord], own: Key, key: Key) -> list[Chord]:
    """From the last chord to the first, since a chord outside the key is placed by the one it leads to."""
    move = _between(own.tonic, key.tonic)
    found: list[Chord] = []
    following: Chord | None = None
    was_outside = False
    for chord in reversed(chords):
        roman = recognise(chord, own)
        leads = _leads(chord, roman, following, was_outside)
        same = None if leads else twin(roman, key.is_minor)
        moves_with_next = following is not None and (roman.degree in (_THIRD, _SIXTH, _SEVENTH) or roman.alteration)
        if same is not None:
            carried = same.strict_in_key(key)
        elif not leads and key.notes.issuperset(_moved(chord, move).tones):
            # What was borrowed from the other mode is at home there.
            carried = _moved(chord, move)
        elif following is not None and moves_with_next:
            carried = _moved(chord, _between(following.root, found[0].root))
        else:
            carried = _moved(chord, move)
        was_outside = same is None and roman.degree != 5
        found.insert(0, carried)
        following = chord
    return found


def _leads(chord: Chord, roman: RomanChord, following: Chord | None, was_outside: bool) -> bool:
    """Whether a chord that the key has too is meant as the way to the next: I7 before IV, the half-diminished before
    a dominant of another degree."""
    if following is None:
        return False
    falls = (chord.root.pitch_class - following.root.pitch_class) % 12 == _FIFTH_DOWN
    is_dominant = "b7" in chord.quality.degrees and "3" in chord.quality.degrees
    goal_is_dominant = "b7" in following.quality.degrees and "3" in following.quality.degrees
    if is_dominant and roman.degree == 1:
        return falls and not goal_is_dominant
    return falls and was_outside and goal_is_dominant and chord.quality.key == "m7b5" and roman.degree == _SEVENTH


# Notes in the other mode


def _notes_in_other_mode(phrase: Phrase, key: Key, move: Interval, chords: dict[Fraction, Chord]) -> tuple[Sound, ...]:
    """From the last note to the first, since a chromatic note is placed by the one it leads to."""
    found: list[Sound] = []
    goal: tuple[Pitch, Pitch] | None = None
    typed = dict(phrase.chords)
    for now, sound in reversed(phrase.placed):
        onset = next((onset for onset, _ in reversed(phrase.chords) if onset <= now), None)
        own, new = (typed[onset], chords[onset]) if onset is not None else (None, None)
        pitches = tuple(_note(pitch, phrase.key, key, move, own, new, goal) for pitch in sound.pitches)
        found.insert(0, Sound(tuple(sorted(pitches, key=lambda pitch: pitch.midi)), sound.length))
        if sound.pitches:
            goal = (sound.pitches[0], pitches[0])
    return tuple(found)


def _note(
    pitch: Pitch, own_key: Key, key: Key, move: Interval, own: Chord | None, new: Chord | None,
    goal: tuple[Pitch, Pitch] | None,
) -> Pitch:  # fmt: skip
    step = pitch.staff_step + move.steps
    if own is not None and new is not None and pitch.name in own.tones:
        number = own.quality.degrees[own.tones.index(pitch.name)].lstrip("b#")
        for degree, tone in zip(new.quality.degrees, new.tones, strict=True):
            if degree.lstrip("b#") == number and tone.letter == step % 7:
                return _on_step(step, tone.alteration)
    natural = own_key.alteration_in_signature(pitch.letter)
    number_in_key = (pitch.letter - own_key.tonic.letter) % 7 + 1
    is_raised = own_key.mode is Mode.MINOR and number_in_key in (_SIXTH, _SEVENTH) and pitch.alteration == natural + 1
    if pitch.alteration == natural or is_raised:
        return _on_step(step, key.alteration_in_signature(step % 7))
    if goal is not None and abs(goal[0].midi - pitch.midi) == 1 and abs(goal[0].staff_step - pitch.staff_step) <= 1:
        return goal[1] - pitch.interval_to(goal[0])
    return pitch + move


def _on_step(step: int, alteration: int) -> Pitch:
    octave, letter = divmod(step, 7)
    return Pitch(letter, alteration, octave)


# Chords that are printed from another root take their notes with them


def _renaming(one: Carried) -> int:
    """How many letters the printed root lies from the strict one: A for B𝄫 is one lower."""
    return (one.printed.root.letter - one.strict.root.letter + 3) % 7 - 3


def _renamed(phrase: Phrase, sounds: tuple[Sound, ...], letters: dict[Fraction, int]) -> tuple[Sound, ...]:
    found = []
    for (now, _), sound in zip(phrase.placed, sounds, strict=True):
        onset = next((onset for onset, _ in reversed(phrase.chords) if onset <= now), None)
        shift = Interval(letters[onset], 0) if onset is not None else Interval(0, 0)
        found.append(replace(sound, pitches=tuple(_plainer(pitch, shift) for pitch in sound.pitches)))
    return tuple(found)


def _plainer(pitch: Pitch, shift: Interval) -> Pitch:
    """The pitch moved with its chord's letter, unless that makes it harder to read."""
    if shift.steps == 0:
        return pitch
    moved = pitch + shift
    return moved if abs(moved.alteration) <= max(1, abs(pitch.alteration)) else pitch
