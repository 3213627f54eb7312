"""What is told of a lesson file where lessons are chosen: its title, keys, drills and last change."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path

from desktop.lesson_documents import STUDENT_SUFFIX, read_document
from desktop.words import say
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.storage.lesson_file import SUFFIX, LessonFileError
from lessonkit.theory.key import Key
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class LessonFacts:
    """A lesson file. ``lesson`` is None where it cannot be read, and ``problem`` says why."""

    path: Path
    changed: datetime
    lesson: Lesson | None = None
    problem: str = ""

    @property
    def title(self) -> str:
        """What it is called."""
        return (self.lesson.title if self.lesson is not None else "") or self.path.stem

    @property
    def keys(self) -> tuple[Key, ...]:
        """The lesson's key, and the keys that drills of it have for themselves."""
        if self.lesson is None:
            return ()
        own = [block.family.key for block in self.lesson.blocks if isinstance(block, Drill)]
        return tuple(dict.fromkeys((self.lesson.key, *(key for key in own if key is not None))))

    @property
    def families(self) -> tuple[str, ...]:
        """The drill families of the lesson by title, in the order in which they come."""
        blocks = self.lesson.blocks if self.lesson is not None else ()
        return tuple(dict.fromkeys(say(block.family.title) for block in blocks if isinstance(block, Drill)))

    def answers(self, search: str) -> bool:
        """Whether every word of a search stands in something that is told of it."""
        ascii_keys = " ".join(f"{key} {key.ascii}" for key in self.keys)
        text = f"{self.title} {self.path.stem} {ascii_keys} {' '.join(self.families)}".lower()
        return all(word in text for word in search.lower().split())


def lesson_files(folder: Path) -> tuple[Path, ...]:
    """The lesson files of a folder, those of students too, the one changed last first."""
    kinds = (SUFFIX, STUDENT_SUFFIX)
    try:
        found = [(path.stat().st_mtime, path) for path in folder.iterdir() if path.suffix in kinds and path.is_file()]
    except OSError:
        return ()
    return tuple(path for _, path in sorted(found, key=lambda one: (-one[0], one[1].name)))


def facts_of(paths: Iterable[Path]) -> Iterator[LessonFacts]:
    """What is told of each file, read one after the other."""
    for path in paths:
        try:
            changed = datetime.fromtimestamp(path.stat().st_mtime)
        except OSError:
            continue
        try:
            yield LessonFacts(path, changed, read_document(path)[0])
        except LessonFileError as error:
            yield LessonFacts(path, changed, None, str(error))
