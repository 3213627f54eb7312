"""A drill in words for who does not read staves yet: the same notes as letters, hand by hand and bar by bar."""

from __future__ import annotations

from collections.abc import Iterator

from lessonkit.drills.exercise import Bar, Event, Exercise, Hand
from lessonkit.theory.label_style import PLAIN_STYLE, LabelStyle
from lessonkit.theory.pitch import Pitch

_MIDDLE_C = Pitch.parse("C4")


def in_letters(exercise: Exercise, hands: tuple[Hand, ...], style: LabelStyle = PLAIN_STYLE) -> str:
    """The notes of some hands in the words of a note: a line for each hand in each key, bars parted by strokes."""
    lines: list[str] = []
    for label, bars in _keys(exercise, style):
        where = f"**{label}** " if label else ""
        for hand in hands:
            events = [event for event in exercise.of(hand) if event.pitches and _within(event, bars)]
            if not events:
                continue
            written = " | ".join(filter(None, (_bar(events, bar, style) for bar in bars)))
            lines.append(
                f"- {where}{hand.value.capitalize()} hand, from {_place(events[0].pitches[0], style)}: {written}"
            )
    return "\n".join(lines)


def by_ear(exercise: Exercise, style: LabelStyle = PLAIN_STYLE) -> str:
    """What is said in place of the notes to who plays by ear."""
    count = len(exercise.chords)
    first = next((event.pitches for event in exercise.events if event.pitches), ())
    chords = f"{count} chords" if count > 1 else "one chord"
    start = f" The first sound is {' '.join(style.note(pitch.name) for pitch in first)}." if first else ""
    key = style.key(exercise.key)
    return f"**By ear.** In {key}, {chords}.{start} Listen, sing it, find it, play it; then in another key."


def _keys(exercise: Exercise, style: LabelStyle) -> Iterator[tuple[str, list[Bar]]]:
    """The bars of each key with its name; the name is empty where there is but one."""
    found: list[tuple[str, list[Bar]]] = []
    for bar in exercise.bars:
        if bar.key is not None or not found:
            found.append((style.key(bar.key or exercise.key), []))
        found[-1][1].append(bar)
    for label, bars in found:
        yield (label if len(found) > 1 else ""), bars


def _within(event: Event, bars: list[Bar]) -> bool:
    return bars[0].onset <= event.onset < bars[-1].onset + bars[-1].length


def _bar(events: list[Event], bar: Bar, style: LabelStyle) -> str:
    """One bar: single notes parted by blanks, groups by commas, notes struck together joined by +."""
    own = [event for event in events if bar.onset <= event.onset < bar.onset + bar.length]
    groups: dict[int, list[str]] = {}
    for event in own:
        groups.setdefault(event.group, []).append("+".join(style.note(pitch.name) for pitch in event.pitches))
    return ", ".join(" ".join(group) for group in groups.values())


def _place(pitch: Pitch, style: LabelStyle) -> str:
    """Where a note lies, for who counts from the middle of the keyboard."""
    octaves, name = pitch.octave - _MIDDLE_C.octave, style.note(pitch.name)
    if octaves == 0:
        return f"the {name} above middle C" if pitch.name != _MIDDLE_C.name else "middle C"
    if octaves == -1:
        return f"the {name} below middle C"
    side = "higher" if octaves > 0 else "lower"
    far = octaves if octaves > 0 else -octaves - 1
    many = "an octave" if far == 1 else f"{far} octaves"
    near = "above" if octaves > 0 else "below"
    return f"the {name} {near} middle C, {many} {side}"
