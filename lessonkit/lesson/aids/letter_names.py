"""The notes of the drill in letters, bar by bar, for those who do not read staves yet."""

from __future__ import annotations

from lessonkit.drills import fields
from lessonkit.drills.exercise import Blank, Event, Exercise, Hand
from lessonkit.drills.realise import realise
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.shown import Shown, Steps, Text
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass

MOST_BARS = 24
LEGEND = "One line a bar; behind the dot the fingers, note by note."


@dataclass(frozen=True)
class LetterNames(PageAid):
    """The drill's notes in letters with their octaves, bar by bar; notes struck together are joined."""

    code = "letter-names"
    title = "Notes in letters"
    words = ("beginner", "reading", "letters")
    heading = "In letters"

    shows_fingers: bool = fields.yes_no(True, label="Fingers")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        if scene.drill is None:
            return (Text("There is no drill on this page to spell."),)
        exercise = realise(scene.drill, scene.setting)
        bars = tuple(
            self._bar(exercise, number, scene.setting.label_style)
            for number in range(min(len(exercise.bars), MOST_BARS))
        )
        more = len(exercise.bars) - MOST_BARS
        legend = LEGEND if self.shows_fingers else ""
        told = f"{legend} And {more} bars more." if more > 0 else legend
        return (Steps(bars), Text(told.strip(), is_quiet=True)) if told else (Steps(bars),)

    def _bar(self, exercise: Exercise, number: int, style: LabelStyle) -> str:
        bar = exercise.bars[number]
        told = []
        for hand in exercise.hands:
            inside = [event for event in exercise.of(hand) if bar.onset <= event.onset < bar.onset + bar.length]
            asked = Blank.NOTES in exercise.blank or (hand is Hand.RIGHT and Blank.RIGHT_HAND in exercise.blank)
            told.append(f"{hand.value}: {self._told(inside, exercise, asked, style)}" if len(exercise.hands) > 1
                        else self._told(inside, exercise, asked, style))  # fmt: skip
        return "; ".join(told)

    def _told(self, inside: list[Event], exercise: Exercise, asked: bool, style: LabelStyle) -> str:
        if asked:
            return "…"
        notes = " ".join("+".join(map(style.pitch, event.pitches)) or "rest" for event in inside) or "rest"
        if not self.shows_fingers or Blank.FINGERS in exercise.blank:
            return notes
        fingers = ["+".join(str(finger) for finger in event.fingers if finger) for event in inside if event.pitches]
        return f"{notes} · {' '.join(fingers)}" if any(fingers) else notes
