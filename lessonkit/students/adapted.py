"""What comes of adapting a lesson: the lesson, where it came from, and its changes, each with a reason."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import field
from datetime import date
from enum import Enum
from pathlib import Path

from lessonkit.lesson.lesson import Lesson
from lessonkit.students.student import Student
from lessonkit.values import dataclass

Edit = Callable[[Lesson], Lesson]


class Kind(Enum):
    """What a change is about."""

    HANDS = "hands"
    NAMES = "chord names"
    PAPER = "paper"
    STAFF = "staff"
    PAIN = "pain"
    KEYS = "keys"
    CHORDS = "chords"
    REACH = "reach"
    TEMPO = "tempo"
    EASIER = "easier"
    READING = "reading"
    CARE = "care"


@dataclass(frozen=True, slots=True)
class Proposal:
    """What a step would change: where, what, why, and how; a question is left as it is unless it is answered yes."""

    kind: Kind
    block_id: str
    what: str
    reason: str
    apply: Edit
    is_question: bool = False

    @property
    def key(self) -> str:
        """The name under which it is taken back or answered; the same each time."""
        asked = "ask-" if self.is_question else ""
        return f"{asked}{self.kind.name.lower()}" + (f":{self.block_id}" if self.block_id else "")


@dataclass(frozen=True, slots=True)
class Change:
    """One change, or one that was proposed: ``block_id`` is empty where it is of the whole lesson."""

    key: str
    kind: Kind
    block_id: str
    what: str
    reason: str
    is_applied: bool
    is_question: bool = False


@dataclass(frozen=True, slots=True)
class Adapted:
    """A lesson for one student, and where it came from. The original is untouched.

    ``made`` is the lesson as it was made, before the teacher changed anything by hand; ``from_file`` is where the
    original stands, None where it stands in no file.
    """

    original: Lesson
    made: Lesson
    lesson: Lesson
    code: str
    day: date
    changes: tuple[Change, ...] = ()
    choices: Mapping[str, bool] = field(default_factory=dict)
    from_file: Path | None = None

    def change(self, key: str) -> Change:
        """The change of a key; raises KeyError where there is none."""
        for change in self.changes:
            if change.key == key:
                return change
        raise KeyError(key)


Step = Callable[[Lesson, Student, date], Iterator[Proposal]]
"""One step of adapting: it looks at a lesson and proposes changes."""
