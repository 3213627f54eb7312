"""Every shape of the drill as a picture of the keyboard, in the order in which the hand meets them."""

from __future__ import annotations

from lessonkit.drills import fields
from lessonkit.drills.exercise import Blank, Event, Exercise, Hand
from lessonkit.drills.realise import realise
from lessonkit.lesson.aids.keyboard_picture import WIDEST
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.prose import Words
from lessonkit.lesson.shown import Keyboard, Keyboards, PressedKey, Shown, Text
from lessonkit.theory.pitch import Pitch
from lessonkit.values import dataclass

MOST = 36
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
        pictures = []
        shapes = _once_an_octave(_shapes(exercise)) if self.joins_octaves else _shapes(exercise)
        for number, (hand, shape) in enumerate(shapes[: self.most], 1):
            name = f"{number}." if len(exercise.hands) == 1 else f"{number}. {hand.value}"
            pressed = tuple(
                PressedKey(pitch, finger if self.shows_fingers and Blank.FINGERS not in exercise.blank else None)
                for pitch, finger in shape
            )
            pictures.append(Keyboard((Words(name),), pressed))
        if not pictures:
            return (Text("This drill has no notes."),)
        more = len(shapes) - len(pictures)
        told = (Text(f"And {more} more.", is_quiet=True),) if more else ()
        rows = (tuple(pictures[start : start + IN_ROW]) for start in range(0, len(pictures), IN_ROW))
        return (*map(Keyboards, rows), *told)


Shape = tuple[tuple[Pitch, int | None], ...]


def _shapes(exercise: Exercise) -> list[tuple[Hand, Shape]]:
    """The notes of each group of a hand as one shape, each shape once; long groups in pieces that one picture holds."""
    found: dict[tuple[Hand, tuple[int, ...]], Shape] = {}
    groups: dict[tuple[Hand, int], list[Event]] = {}
    for event in exercise.events:
        if event.pitches:
            groups.setdefault((event.hand, event.group if len(event.pitches) == 1 else -1 - id(event)), []).append(
                event
            )
    for (hand, _), events in groups.items():
        keys: dict[int, tuple[Pitch, int | None]] = {}
        for event in events:
            for place, pitch in enumerate(event.pitches):
                span = [*keys, pitch.midi]
                if max(span) - min(span) > WIDEST - 12:
                    _keep(found, hand, keys)
                    keys = {}
                keys.setdefault(pitch.midi, (pitch, event.fingers[place] if event.fingers else None))
        _keep(found, hand, keys)
    return [(hand, shape) for (hand, _), shape in found.items()]


def _once_an_octave(shapes: list[tuple[Hand, Shape]]) -> list[tuple[Hand, Shape]]:
    """The shapes without those that are another one some octaves higher or lower, played by the same hand."""
    found: dict[tuple[Hand, tuple[int, ...]], tuple[Hand, Shape]] = {}
    for hand, shape in shapes:
        lowest = shape[0][0].midi // 12 * 12
        found.setdefault((hand, tuple(pitch.midi - lowest for pitch, _ in shape)), (hand, shape))
    return list(found.values())


def _keep(
    found: dict[tuple[Hand, tuple[int, ...]], Shape], hand: Hand, keys: dict[int, tuple[Pitch, int | None]]
) -> None:
    if keys:
        found.setdefault((hand, tuple(sorted(keys))), tuple(keys[midi] for midi in sorted(keys)))
