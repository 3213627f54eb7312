"""The practice log: seven days with a mark for each first try, the tempo reached and a tick for pain."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills import fields
from lessonkit.lesson.page_aid import PageAid, Scene, Stands
from lessonkit.lesson.prose import Words
from lessonkit.lesson.shown import Cell, Room, Shown, Table, Text
from lessonkit.values import dataclass

NBSP = "\N{NO-BREAK SPACE}"
_MARKS = ("could not", "stopped", "right but slow", "right and steady")
LEGEND = f"First try, ring one: {', '.join(f'{mark}~{words}' for mark, words in enumerate(_MARKS))}.".replace("~", NBSP)
PAIN_LEGEND = "Pain: tick the box if anything hurt."


class Days(Enum):
    """The day on which a week begins."""

    MONDAY = "Monday"
    TUESDAY = "Tuesday"
    WEDNESDAY = "Wednesday"
    THURSDAY = "Thursday"
    FRIDAY = "Friday"
    SATURDAY = "Saturday"
    SUNDAY = "Sunday"


@dataclass(frozen=True)
class PracticeLog(PageAid):
    """Seven days, each with a mark from 0 to 3 for the first try, the tempo reached and a box to tick for pain."""

    code = "practice-log"
    title = "Practice log"
    words = ("diary", "week", "days", "pain", "marks")
    heading = "My week"

    first_day: Days = fields.choice(Days.MONDAY, label="Begins on")
    days: int = fields.whole(7, least=1, most=14, label="Days")
    shows_tempo: bool = fields.yes_no(True, label="Tempo reached")
    shows_pain: bool = fields.yes_no(True, label="A box for pain")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        week = list(Days)
        first = week.index(self.first_day)
        short = self.stands is Stands.HALF
        heads = ["Day", "First try"]
        room = [Room.MARKS]
        if self.shows_tempo:
            heads.append("Tempo")
            room.append(Room.LINE)
        if self.shows_pain:
            heads.append("Pain")
            room.append(Room.BOX)
        names = [week[(first + place) % 7].value for place in range(self.days)]
        rows: tuple[tuple[Cell, ...], ...] = tuple(((Words(name[:3] if short else name),), *room) for name in names)
        return Table(tuple(heads), rows), Text(f"{LEGEND} {PAIN_LEGEND}" if self.shows_pain else LEGEND, is_quiet=True)
