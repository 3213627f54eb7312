"""What tells a drill to those who do not read staves: whether its chords do, or pictures of what is struck."""

from __future__ import annotations

from bisect import bisect_right

from lessonkit.drills.exercise import Exercise, Hand


def told_by_its_chords(exercise: Exercise) -> bool:
    """Whether every note belongs to the chord that is named over it, and nothing is left open."""
    onsets = [mark.onset for mark in exercise.chords]
    tones = [{tone.pitch_class for tone in mark.chord.tones} for mark in exercise.chords]
    for event in exercise.events:
        place = bisect_right(onsets, event.onset) - 1
        if event.is_open or place < 0 or any(pitch.midi % 12 not in tones[place] for pitch in event.pitches):
            return False
    return True


def is_struck(exercise: Exercise) -> bool:
    """Whether the upper hand strikes chords only, and the lower one no more than one low note at a time under them."""
    upper = Hand.RIGHT if Hand.RIGHT in exercise.hands else Hand.LEFT
    struck = [event for event in exercise.of(upper) if event.pitches]
    if any(len(event.pitches) == 1 or event.is_open for event in struck) or not struck:
        return False
    low = [event for event in exercise.of(Hand.LEFT) if event.pitches] if upper is Hand.RIGHT else []
    return len(low) <= len(struck)
