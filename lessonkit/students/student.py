"""A student as the teacher knows them: hands, reading, chords met, marks, handouts. Initials or a code suffice."""

from __future__ import annotations

from dataclasses import field, replace
from datetime import date
from enum import Enum

from lessonkit.hands.profile import HandProfile
from lessonkit.lesson.lesson import Paper, check_line, check_text
from lessonkit.students.item import Item
from lessonkit.students.marks import Attempt, Cause, Mark, attempts
from lessonkit.students.schedule import Rhythm, Standing, standings
from lessonkit.students.weakness import Chart, Row, chart, key_weakness
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.quality import QUALITIES, Quality
from lessonkit.values import dataclass

SMALLEST_STAFF_TENTHS, LARGEST_STAFF_TENTHS = 60, 160
"""The staffs that can be asked for, in tenths of a millimetre."""

LEAST_MINUTES, MOST_MINUTES = 5, 240
MOST_MARKS = 20_000
MOST_HANDOUTS = 1_000


class ReadingLevel(Enum):
    """What a student reads, the least first."""

    KEYBOARD = "keyboard pictures with letters"
    LETTERS = "letter names"
    ONE_STAFF = "one staff"
    GRAND_STAFF = "grand staff"
    SYMBOLS = "chord symbols"
    DEGREES = "degrees"
    EAR = "by ear"


class AgeBand(Enum):
    """How old a student is, roughly; the exact age is nobody's business."""

    SIX_TO_EIGHT = "6 to 8"
    NINE_TO_ELEVEN = "9 to 11"
    TWELVE_TO_FOURTEEN = "12 to 14"
    FIFTEEN_TO_SEVENTEEN = "15 to 17"
    ADULT = "adult"

    @property
    def is_child(self) -> bool:
        """Whether the student is under twelve."""
        return self in (AgeBand.SIX_TO_EIGHT, AgeBand.NINE_TO_ELEVEN)


TRIADS_AND_SEVENTHS = ("maj", "m", "7", "maj7", "m7")
"""The chords that a new student is taken to have met."""


@dataclass(frozen=True, slots=True)
class GivenBlock:
    """A drill as it stood on a handout: the id of its block, its name there, and the items that it plays."""

    block_id: str
    title: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Handout:
    """What was given on a day: the lesson's title, and its drills in their order."""

    id: str
    day: date
    title: str
    blocks: tuple[GivenBlock, ...]

    def __post_init__(self) -> None:
        check_line(self.title, "a title")


@dataclass(frozen=True, slots=True)
class Student:
    """One student. Every field is what the teacher said; what follows from the marks is worked out, never kept.

    ``weak_share`` is how many of a drill's keys, in a hundred, are to be weak ones; ``staff_tenths`` the smallest staff
    that is printed, in tenths of a millimetre. ``vocabulary`` holds the plain names of the chord qualities met.
    ``pain_cleared`` is the day on which the teacher gave stretches free again. ``handout_typed`` and ``keys_typed`` are
    a record that is being typed and not taken in yet. ``notes`` are for the teacher and never printed.
    """

    code: str
    hands: HandProfile = field(default_factory=HandProfile)
    is_growing: bool = False
    was_injured: bool = False
    reading: ReadingLevel = ReadingLevel.GRAND_STAFF
    vocabulary: frozenset[str] = frozenset(TRIADS_AND_SEVENTHS)
    label_style: LabelStyle = field(default_factory=LabelStyle)
    staff_tenths: int = 70
    paper: Paper = Paper.A4
    minutes: int = 15
    age: AgeBand = AgeBand.ADULT
    weak_share: int = 50
    rhythm: Rhythm = field(default_factory=Rhythm)
    pain_cleared: date | None = None
    notes: str = ""
    marks: tuple[Mark, ...] = ()
    handouts: tuple[Handout, ...] = ()
    handout_typed: str = ""
    keys_typed: str = ""

    def __post_init__(self) -> None:
        check_line(self.code, "a student's code")
        if not self.code.strip():
            raise ValueError("a student has a code; initials will do")
        if len(self.code) > 40:
            raise ValueError(f"a code of {len(self.code)} characters is longer than 40; initials will do")
        check_text(self.notes, "the notes")
        for what, number, least, most in (
            ("a staff", self.staff_tenths, SMALLEST_STAFF_TENTHS, LARGEST_STAFF_TENTHS),
            ("a day's practice", self.minutes, LEAST_MINUTES, MOST_MINUTES),
            ("a share of weak keys", self.weak_share, 0, 100),
            ("the number of marks", len(self.marks), 0, MOST_MARKS),
            ("the number of handouts", len(self.handouts), 0, MOST_HANDOUTS),
        ):
            if not least <= number <= most:
                raise ValueError(f"{what} of {number} is not between {least} and {most}")
        for quality in self.vocabulary:
            Quality.named(quality)

    @property
    def tries(self) -> tuple[Attempt, ...]:
        """Every first try of every item, in the order of the days."""
        return tuple(attempts(self.marks))

    @property
    def standings(self) -> dict[Item, Standing]:
        """Where every item stands, in the order in which items were begun."""
        return standings(self.tries, self.rhythm)

    def chart(self, day: date) -> Chart:
        """Weak keys, qualities and shapes as they stand on a day."""
        return chart(self.tries, day, self.hands)

    def key_rows(self, day: date) -> dict[Key, Row]:
        """The keys that have been tried and how weak each is on a day."""
        return key_weakness(self.tries, day, self.hands)

    def pain_since(self, day: date) -> date | None:
        """The day of the newest tick for pain that nobody has cleared, if there is one up to a day."""
        ticks = [mark.day for mark in self.marks if mark.cause is Cause.PAIN and mark.day <= day]
        newest = max(ticks, default=None)
        if newest is None or (self.pain_cleared is not None and newest <= self.pain_cleared):
            return None
        return newest

    def handout(self, handout_id: str) -> Handout:
        """The handout of an id; raises KeyError where there is none."""
        for handout in self.handouts:
            if handout.id == handout_id:
                return handout
        raise KeyError(handout_id)


def with_mark(student: Student, mark: Mark) -> Student:
    """The student with one more mark."""
    return replace(student, marks=(*student.marks, mark))


def without_last_mark(student: Student) -> Student:
    """The student without the mark that was typed last; unchanged where there is none."""
    return replace(student, marks=student.marks[:-1])


def with_handout(student: Student, handout: Handout) -> Student:
    """The student with one more handout given."""
    return replace(student, handouts=(*student.handouts, handout))


def cleared(student: Student, day: date) -> Student:
    """The student after the teacher has given stretches and loud jumps free again."""
    return replace(student, pain_cleared=day)


def with_quality_met(student: Student, quality: str) -> Student:
    """The student with one more chord quality met; raises ValueError where there is none of that name."""
    return replace(student, vocabulary=student.vocabulary | {Quality.named(quality).key})


def in_teaching_order(vocabulary: frozenset[str]) -> tuple[str, ...]:
    """Chord qualities in the order in which they are taught."""
    order = {quality.key: place for place, quality in enumerate(QUALITIES)}
    return tuple(sorted(vocabulary, key=lambda key: (order.get(key, len(order)), key)))
