"""Every shape of the drill as a picture of the keyboard, in the order in which the hand meets them."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from lessonkit.drills import fields
from lessonkit.drills.exercise import Blank, Event, Exercise, Hand
from lessonkit.drills.realise import realise
from lessonkit.lesson.aids.keyboard_picture import WIDEST
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.prose import ChordName, Span, Words
from lessonkit.lesson.shown import Keyboard, Keyboards, PressedKey, Shown, Text
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.naming import renamed
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

MOST = 48
"""The most pictures that are shown."""

IN_ROW = 3


@dataclass(frozen=True)
class ShapePictures(PageAid):
    """The shapes of the drill as pictures of the keyboard, each once, with letters and fingers."""

    code = "shape-pictures"
    title = "Shapes on the keyboard"
    words = ("beginner", "pictures", "keys", "diagram")
    heading = "On the keys"
    may_part = True

    most: int = fields.whole(12, least=1, most=MOST, label="Pictures at most")
    shows_fingers: bool = fields.yes_no(True, label="Fingers")
    joins_octaves: bool = fields.yes_no(
        False, label="One picture for all octaves", help="A shape that comes again an octave higher is not shown again."
    )

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        if scene.drill is None:
            return (Text("There is no drill on this page to show."),)
        exercise = realise(scene.drill, scene.setting)
        if exercise.blank & {Blank.NOTES, Blank.RIGHT_HAND}:
            return (Text("This worksheet asks for its notes."),)
        bass = _bass(exercise)
        # One low note under each chord stands in the chord's title, not in a picture of its own.
        passed = [shape for shape in _passed(exercise) if not bass or shape.hand is Hand.RIGHT]
        found: dict[object, Shape] = {}
        numbers: dict[object, int] = {}
        order: list[tuple[Shape, int]] = []
        for shape in passed:
            known = self._known(exercise, shape, bass)
            found.setdefault(known, shape)
            order.append((shape, numbers.setdefault(known, len(found))))
        if not found:
            return (Text("This drill has no notes."),)
        hands = {shape.hand for shape in passed}
        pictures: list[Keyboard] = []
        firsts: _Firsts = {}
        for number, shape in enumerate((*found.values(),)[: self.most], 1):
            shows_fingers = self.shows_fingers and Blank.FINGERS not in exercise.blank
            pressed = tuple(PressedKey(pitch, finger if shows_fingers else None) for pitch, finger in shape.keys)
            beside = [f"{shape.hand.value} hand"] if len(hands) > 1 else []
            octaves = _octaves_above(shape, firsts)
            if octaves:
                beside.append(f"{_COUNTS.get(abs(octaves), abs(octaves))} {'higher' if octaves > 0 else 'lower'}")
            if bass:
                low = scene.setting.label_style.pitch(bass[_chord_at(exercise, shape.onset)])
                beside += [f"left hand {low}"]
            name = _titled(exercise, number, shape.onset, beside)
            pictures.append(Keyboard(name, pressed))
        told = [Text(f"And {len(found) - len(pictures)} more.", is_quiet=True)] if len(found) > len(pictures) else []
        if len(order) > len(found) and not told:
            told.append(Text(_in_order(exercise, order)))
        onsets = [shape.onset for shape in found.values()]
        rows = _in_sections(exercise, list(zip(pictures, onsets, strict=False)), scene.setting.label_style)
        return (*rows, *told)

    def _known(self, exercise: Exercise, shape: Shape, bass: _Bass) -> object:
        """By what a shape is known: in another key, under another chord or over another bass it is another one."""
        at = _chord_at(exercise, shape.onset)
        floor = shape.keys[0][0].midi // 12 * 12 if self.joins_octaves else 0
        keys = tuple(pitch.midi - floor for pitch, _ in shape.keys)
        section = bisect_right(exercise.bars, shape.onset, key=lambda bar: bar.onset)
        begun = next((bar.onset for bar in reversed(exercise.bars[:section]) if bar.label), None)
        return (shape.hand, keys, None if at is None else exercise.chords[at].chord, bass.get(at), begun)


class Shape(NamedTuple):
    """Keys that a hand holds or passes as one, from the lowest up with their fingers, and when it first does."""

    hand: Hand
    onset: Fraction
    keys: tuple[tuple[Pitch, int | None], ...]


_Bass = dict[int | None, Pitch]
"""The low note under each chord, by the chord's place."""


_Firsts = dict[tuple[Hand, tuple[int, ...]], int]
"""The octave in which keys that lie so to one another were first held."""

_COUNTS = {1: "an octave", 2: "two octaves", 3: "three octaves"}


def _octaves_above(shape: Shape, firsts: _Firsts) -> int:
    """How many octaves above its first picture the same shape is held: the pictures themselves look alike."""
    octave = shape.keys[0][0].midi // 12
    return octave - firsts.setdefault((shape.hand, tuple(pitch.midi - 12 * octave for pitch, _ in shape.keys)), octave)


def _in_sections(
    exercise: Exercise, pictures: list[tuple[Keyboard, Fraction]], style: LabelStyle
) -> Iterator[Keyboards | Text]:
    """The pictures in rows, below the name of the key, or of what else begins there."""
    labels = [(bar.onset, renamed(bar.label, style.notes)) for bar in exercise.bars if bar.label]
    if Blank.KEY in exercise.blank:
        labels = []
    row: list[Keyboard] = []
    section = -1
    for picture, onset in pictures:
        now = bisect_right(labels, onset, key=lambda one: one[0]) - 1
        if row and (now != section or len(row) == IN_ROW):
            yield Keyboards(tuple(row))
            row = []
        if now != section:
            section = now
            yield Text(f"**{labels[now][1]}**")
        row.append(picture)
    if row:
        yield Keyboards(tuple(row))


def _titled(exercise: Exercise, number: int, onset: Fraction, beside: list[str]) -> tuple[Span, ...]:
    """The picture's number, the chord that sounds there unless that is asked for, and what else there is to say."""
    at = _chord_at(exercise, onset)
    if at is None or Blank.CHORD_NAMES in exercise.blank:
        return (Words(f"{number}. {', '.join(beside)}".strip()),)
    named = (Words(f"{number}. "), ChordName(exercise.chords[at].chord, bold=True))
    return (*named, Words(f", {', '.join(beside)}")) if beside else named


def _in_order(exercise: Exercise, order: list[tuple[Shape, int]]) -> str:
    """When which picture comes, bar by bar, hand by hand."""
    told = []
    hands = [hand for hand in exercise.hands if any(shape.hand is hand for shape, _ in order)]
    for hand in hands:
        mine = [(shape.onset, number) for shape, number in order if shape.hand is hand]
        bars = (
            ", ".join(str(number) for onset, number in mine if bar.onset <= onset < bar.onset + bar.length) or "–"
            for bar in exercise.bars
        )
        told.append(f"{hand.value} hand {' | '.join(bars)}" if len(hands) > 1 else " | ".join(bars))
    return f"In order, bar by bar: {'; '.join(told)}"


def _chord_at(exercise: Exercise, onset: Fraction) -> int | None:
    """The place of the chord that holds at a moment, None before the first."""
    place = bisect_right(exercise.chords, onset, key=lambda mark: mark.onset) - 1
    return place if place >= 0 else None


def _bass(exercise: Exercise) -> _Bass:
    """The single low note of the left hand under each chord; empty where it does more, or plays alone."""
    found: _Bass = {}
    for event in exercise.of(Hand.LEFT):
        if not event.pitches:
            continue
        at = _chord_at(exercise, event.onset)
        if len(event.pitches) > 1 or found.setdefault(at, event.pitches[0]) != event.pitches[0]:
            return {}
    places = {_chord_at(exercise, event.onset) for event in exercise.of(Hand.RIGHT) if event.pitches}
    return found if places and places <= set(found) else {}


def _passed(exercise: Exercise) -> Iterator[Shape]:
    """What each hand holds or passes in one group, one after another; long groups in pieces that one picture holds."""
    groups: dict[tuple[Hand, int], list[Event]] = {}
    for event in exercise.events:
        if event.pitches:
            group = event.group if len(event.pitches) == 1 else -1 - id(event)
            groups.setdefault((event.hand, group), []).append(event)
    for (hand, _), events in groups.items():
        keys: dict[int, tuple[Pitch, int | None]] = {}
        onset = events[0].onset
        for event in events:
            for place, pitch in enumerate(event.pitches):
                span = [*keys, pitch.midi]
                if max(span) - min(span) > WIDEST - 12:
                    yield _shape(hand, onset, keys)
                    keys, onset = {}, event.onset
                keys.setdefault(pitch.midi, (pitch, event.fingers[place] if event.fingers else None))
        yield _shape(hand, onset, keys)


def _shape(hand: Hand, onset: Fraction, keys: dict[int, tuple[Pitch, int | None]]) -> Shape:
    return Shape(hand, onset, tuple(keys[midi] for midi in sorted(keys)))
