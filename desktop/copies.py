"""The open lesson copied into other keys, each in a file of its own beside it. No file is ever written over."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from desktop.editing.keys import typed_key
from desktop.files import Asked, LessonFiles, Tell
from desktop.open_lesson import OpenLesson
from desktop.words import say
from lessonkit.lesson.edits import transposed
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.lesson_file import SUFFIX, LessonFileError, save_lesson
from lessonkit.theory.key import Key


class Copies:
    """Asks for keys and writes the copies."""

    def __init__(self, open_lesson: OpenLesson, files: LessonFiles, asked: Asked, tell: Tell) -> None:
        self._open_lesson = open_lesson
        self._files = files
        self._asked = asked
        self._tell = tell

    def make(self) -> None:
        """Copy the lesson into the keys that are asked for."""
        if self._open_lesson.path is None and not self._files.save():
            return
        path, lesson = self._open_lesson.path, self._open_lesson.lesson
        typed = self._asked.keys_of_copies(lesson.key)
        if path is None or typed is None:
            return
        try:
            keys = keys_typed(typed, lesson)
        except ValueError as error:
            self._tell(say("No copy was made: {error}.", error=error))
            return
        written: list[Path] = []
        for key in keys:
            target = _free(path.with_name(f"{path.stem} in {key}{SUFFIX}"))
            try:
                save_lesson(transposed(lesson, key), target)
            except LessonFileError as error:
                self._tell(f"{error}.")
                return
            written.append(target)
        names = ", ".join(one.name for one in written)
        offers: list[tuple[str, Callable[[], None]]] = [
            (say("Open {tonic}", tonic=key.tonic), lambda one=one: self._files.open_recent(one))  # type: ignore[misc]
            for key, one in zip(keys, written, strict=True)
        ]
        self._tell(say("{n} copies are beside the lesson: {names}", n=len(written), names=names), *offers[:4])


def keys_typed(typed: str, lesson: Lesson) -> tuple[Key, ...]:
    """The keys that were typed, such as ``D, F, Bb``, in the mode of the lesson; raises ValueError for none."""
    words = typed.replace(",", " ").replace(";", " ").split()
    keys: list[Key] = []
    for word in words:
        key = typed_key(word.removesuffix("m") if lesson.key.is_minor else word, lesson.key.mode)
        if key is None or key.mode is not lesson.key.mode:
            raise ValueError(
                say("{typed!r} is no {mode} key; write keys like D, F, Bb", typed=word, mode=say(lesson.key.mode.word))
            )
        keys.append(key)
    if not keys:
        raise ValueError(say("no key was named; write keys like D, F, Bb"))
    return tuple(dict.fromkeys(keys))


def _free(path: Path) -> Path:
    """A name that no file has yet."""
    found, count = path, 2
    while found.exists():
        found = path.with_name(f"{path.stem} {count}{path.suffix}")
        count += 1
    return found
