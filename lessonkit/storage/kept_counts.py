"""What lessons contain, kept from one start to the next by the content of their files: a shelf need not be read.

The counts lie in one file of their own, never among the lessons. A file that is broken, of another lessonkit or of
somebody else is passed over: then everything is counted again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Literal

import msgspec
from msgspec import Meta, Struct

from lessonkit import curriculum, drills, hands, theory
from lessonkit.curriculum.coverage import Coverage, Taught, renewed, taught
from lessonkit.curriculum.seen import NOTHING, BlockCount, Reading, Seen, Skill
from lessonkit.hands.hand import Hand
from lessonkit.storage.lesson_file import lesson_from_bytes
from lessonkit.storage.safe_write import safe_write
from lessonkit.storage.strict import LessonFileError, read_bytes
from lessonkit.theory.key import Key
from lessonkit.theory.quality import ALL_QUALITIES

MOST_KEPT = 20_000
"""The most lessons whose counts are kept; those that were asked for last stay."""

LARGEST = 64 * 1024 * 1024
"""The largest file of counts that is read."""

Blocks = tuple[tuple[str, BlockCount], ...]
Stamp = tuple[int, int]
Short = Annotated[str, Meta(max_length=120)]


class KeptShape(Struct, forbid_unknown_fields=True):
    """The file: all things seen, all counts as their places in that list, all lessons as the places of their counts.

    A lesson's counts stand behind the ids of its drills; -1 is a drill that cannot be written out.
    """

    format: Literal["lesson counts"]
    version: Literal[1]
    engine: Short
    seen: list[tuple[Short, Short, Literal["right", "left"], Short, Short]]
    counts: list[list[int]]
    lessons: dict[Short, list[tuple[Short, int]]]


class KeptCounts:
    """The counts of lessons by the digest of their files. What cannot be read or written costs time, nothing else."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._blocks: dict[bytes, Blocks] = {}
        self._is_read = self._is_other = False

    def blocks(self, digest: bytes) -> Blocks | None:
        """What the lesson of a digest contains; None where nobody has counted it."""
        if not self._is_read:
            self._is_read = True
            self._blocks = _read(self._path)
        found = self._blocks.pop(digest, None)
        if found is not None:
            # The ones asked for last stand last.
            self._blocks[digest] = found
        return found

    def keep(self, digest: bytes, blocks: Blocks) -> None:
        """Keep what a lesson contains."""
        self._blocks[digest] = blocks
        self._is_other = True

    def save(self) -> None:
        """Write what is new."""
        if not self._is_other:
            return
        self._is_other = False
        for digest in list(self._blocks)[:-MOST_KEPT]:
            del self._blocks[digest]
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            safe_write(self._path, msgspec.json.encode(_shape(self._blocks)))
        except OSError:
            return


class Shelf:
    """The lessons of a folder as a coverage. Looked at again, it reads what has changed and nothing else."""

    def __init__(self, kept: KeptCounts) -> None:
        self._kept = kept
        self._found: dict[str, tuple[Path, Stamp, Taught]] = {}
        self.coverage = Coverage()
        self.problems: tuple[str, ...] = ()

    def look(self, paths: Iterable[tuple[str, Path]], is_wanted: Callable[[], bool] = lambda: True) -> Coverage:
        """The coverage of these lessons, each under its name; stops where nobody wants it any more.

        ``problems`` are the sentences about lessons that cannot be read.
        """
        found: dict[str, tuple[Path, Stamp, Taught]] = {}
        problems: list[str] = []
        for name, path in paths:
            if not is_wanted():
                return self.coverage
            try:
                status = path.stat()
                stamp = (status.st_mtime_ns, status.st_size)
                before = self._found.get(name)
                if before is not None and before[:2] == (path, stamp):
                    found[name] = before
                else:
                    found[name] = path, stamp, self._taught(name, path, before[2] if before else None)
            except LessonFileError as error:
                problems.append(str(error))
            except OSError:
                continue
        self.problems = tuple(problems)
        self.coverage = renewed(self.coverage, tuple(one for _, _, one in found.values()))
        self._found = found
        return self.coverage

    def save(self) -> None:
        """Keep what was counted for the next start."""
        self._kept.save()

    def _taught(self, name: str, path: Path, before: Taught | None) -> Taught:
        data = read_bytes(path)
        digest = hashlib.blake2b(data, digest_size=16).digest()
        blocks = self._kept.blocks(digest)
        if blocks is not None:
            return Taught(name, lambda: lesson_from_bytes(data, path.name), blocks)
        made = taught(name, lesson_from_bytes(data, path.name), like=before)
        self._kept.keep(digest, made.blocks)
        return made


def _read(path: Path) -> dict[bytes, Blocks]:
    try:
        if path.stat().st_size > LARGEST:
            return {}
        shape = msgspec.json.decode(path.read_bytes(), type=KeptShape)
        return _blocks(shape) if shape.engine == engine_mark() else {}
    except (OSError, ValueError, RecursionError, MemoryError, LookupError, msgspec.MsgspecError):
        return {}


def _blocks(shape: KeptShape) -> dict[bytes, Blocks]:
    readings = {one.value: one for one in Reading}
    qualities = {"": ""} | {one.key: one.key for one in ALL_QUALITIES}
    skills: dict[str, Skill] = {}
    keys: dict[str, Key] = {}
    seen: list[Seen] = []
    for skill, key, hand, quality, reading in shape.seen:
        if skill not in skills:
            skills[skill] = Skill.parse(skill)
        if key not in keys:
            keys[key] = Key.parse(key)
        seen.append(Seen(skills[skill], keys[key], Hand(hand), qualities[quality], readings[reading]))
    if any(not 0 <= place < len(seen) for places in shape.counts for place in places):
        raise ValueError("a count names something that nobody has seen")
    counts = [BlockCount(frozenset(map(seen.__getitem__, places))) for places in shape.counts]
    if any(not -1 <= place < len(counts) for blocks in shape.lessons.values() for _, place in blocks):
        raise ValueError("a lesson names a count that is not there")
    counts.append(NOTHING)
    return {
        bytes.fromhex(digest): tuple((block_id, counts[place]) for block_id, place in blocks)
        for digest, blocks in shape.lessons.items()
    }


def _shape(found: dict[bytes, Blocks]) -> KeptShape:
    seen: dict[Seen, int] = {}
    counts: dict[frozenset[int], int] = {}
    places: dict[int, int] = {id(NOTHING): -1}
    for blocks in found.values():
        for _, count in blocks:
            if id(count) not in places:
                own = frozenset(seen.setdefault(one, len(seen)) for one in count.seen)
                places[id(count)] = counts.setdefault(own, len(counts))
    return KeptShape(
        "lesson counts",
        1,
        engine_mark(),
        [(one.skill.ascii, one.key.ascii, one.hand.value, one.quality, one.reading.value) for one in seen],
        [sorted(own) for own in counts],
        {digest.hex(): [(name, places[id(count)]) for name, count in blocks] for digest, blocks in found.items()},
    )


@lru_cache(maxsize=1)
def engine_mark() -> str:
    """A mark that is another as soon as anything is that counting depends on: the engine's own files."""
    told = hashlib.blake2b(digest_size=16)
    for room in (theory, hands, drills, curriculum):
        for folder in room.__path__:
            for path in sorted(Path(folder).rglob("*")):
                if path.suffix in (".py", ".json"):
                    status = path.stat()
                    told.update(f"{path.name} {status.st_size} {status.st_mtime_ns}\n".encode())
    return told.hexdigest()
