"""What can be put into a lesson, in the words of the shelf. Drill families come from the engine, none by name."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from desktop.words import say
from lessonkit.drills.chord_map import ChordMap
from lessonkit.drills.family import DrillFamily, families
from lessonkit.lesson.lesson import Aid, Block, DifficultyMap, Drill, Heading, Note, PageBreak, Space
from lessonkit.lesson.page_aid import PageAid, page_aids
from lessonkit.lesson.presets import Preset
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class Insertable:
    """One entry of the shelf: its group, name and purpose, further words to find it by, and what it makes.

    ``is_kept`` marks a preset, which can be renamed and deleted; ``family`` is that of a drill; ``is_fitted`` says that
    a search has chosen settings of it.
    """

    group: str
    title: str
    about: str
    words: tuple[str, ...]
    make: Callable[[], Block]
    is_kept: bool = False
    family: type[DrillFamily] | None = None
    is_fitted: bool = False

    @property
    def text(self) -> str:
        """Everything that it can be found by."""
        said = (self.shown_group, self.shown_title, self.shown_about, *map(say, self.words))
        return " ".join(dict.fromkeys((self.group, self.title, self.about, *self.words, *said)))

    @property
    def shown_group(self) -> str:
        """The group in the window's language."""
        return say(self.group)

    @property
    def shown_title(self) -> str:
        """The name in the window's language; a preset is called as the teacher called it."""
        return self.title if self.is_kept else say(self.title)

    @property
    def shown_about(self) -> str:
        """The purpose in the window's language."""
        return say(self.about)

    def answers(self, search: str) -> bool:
        """Whether every word of a search begins a word of the entry."""
        return is_begun(search, self.text)

    def is_called(self, search: str) -> bool:
        """Whether every word of a search begins a word of the entry's name."""
        return is_begun(search, f"{self.title} {self.shown_title}")


_WORDS = (
    Insertable("Words", "Note", "Prose; music in braces follows the key", ("text", "write", "chord"), lambda: Note("")),
    Insertable("Words", "Heading", "Opens a part of the lesson", ("title", "section"), lambda: Heading("New heading")),
    Insertable("Words", "Small heading", "Opens a smaller part", ("title",), lambda: Heading("New heading", 2)),
    Insertable("Room", "Space", "Empty room to write in by hand", ("gap", "blank", "lines"), Space),
    Insertable("Room", "New page", "What follows starts on a new page", ("break",), PageBreak),
)


def is_begun(search: str, text: str) -> bool:
    """Whether every word of a search begins a word of a text."""
    words = f" {text.lower().replace('-', ' ')}"
    return all(f" {word}" in words for word in search.lower().replace("-", " ").split())


def insertables(presets: Sequence[Preset] = ()) -> tuple[Insertable, ...]:
    """Everything that can be put in: words and room, the many drills, and what the teacher has kept."""
    drills = tuple(_drill(family) for family in families().values())
    kept = tuple(Insertable("My presets", one.name, "", ("preset",), one.new_block, True) for one in presets)
    # Drills come first: they are what a lesson is made of.
    return (*_WORDS, *drills, _map(), *map(_aid, page_aids().values()), *kept)


def _map() -> Insertable:
    return Insertable("Drills", ChordMap.title, str(ChordMap.__doc__), ChordMap.words, DifficultyMap)


def _aid(aid: type[PageAid]) -> Insertable:
    return Insertable("Beside the music", aid.title, aid.about(), aid.words, lambda: Aid(aid()))


def _drill(family: type[DrillFamily]) -> Insertable:
    labels = tuple(param.label for param in family.declared().values())
    return Insertable(
        "Drills", family.title, family.about(), family.words + labels, lambda: Drill(family()), family=family
    )
