"""What an aid of a page is: a frozen dataclass whose fields declare its form and its file, and what it shows as data.

An aid is one file in ``aids/``. Its class says its ``code`` (never changed once shipped), its ``title`` and, in the
first paragraph of its docstring, what it is for; ``shown`` answers what stands on the page. Nothing else needs to know
that it exists.
"""

from __future__ import annotations

from enum import Enum
from typing import ClassVar

from lessonkit.drills import fields
from lessonkit.drills.declared import Declared
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.found_by_file import FoundByFile
from lessonkit.drills.params import Param
from lessonkit.drills.setting import Setting
from lessonkit.lesson.shown import Shown
from lessonkit.theory.key import Key
from lessonkit.values import dataclass


class Stands(Enum):
    """How much of the page's width an aid takes; two neighbours of half the width stand side by side."""

    WHOLE = "across the page"
    HALF = "half the width"


class At(Enum):
    """Where a page keeps an aid."""

    PLACE = "where it was put"
    FOOT = "at the foot of the page"


@dataclass(frozen=True, slots=True)
class Scene:
    """What surrounds an aid: the lesson's head and the drill that it belongs to.

    ``drills`` are all of the lesson and ``place`` is the place among them of the one that the aid belongs to; ``keys``
    are those that they go through, none that a worksheet asks for; ``care`` is the line of care
    and ``marks`` the ids and sheet numbers of the lesson's drills, by which a page is made again.
    """

    setting: Setting
    title: str = ""
    author: str = ""
    drill: DrillFamily | None = None
    keys: tuple[Key, ...] = ()
    care: str = ""
    marks: str = ""
    drills: tuple[DrillFamily, ...] = ()
    place: int | None = None


@dataclass(frozen=True)
class PageAid(Declared):
    """The settings that every aid has; an aid adds its own below them."""

    code: ClassVar[str] = ""
    words: ClassVar[tuple[str, ...]] = ()
    """More words under which a teacher may search for the aid."""
    heading: ClassVar[str] = ""
    """What stands above it on the page, unless it is reworded."""
    leads: ClassVar[bool] = False
    """Whether it stands before the drill that it belongs to; the others stand after it."""
    at: ClassVar[At] = At.PLACE
    may_part: ClassVar[bool] = False
    """Whether a page may end between the things that it shows."""

    heading_words: str = fields.words(
        "", label="Heading", group="On the page", most=60, help="Leave it empty for the usual heading; - for none."
    )
    stands: Stands = fields.choice(
        Stands.WHOLE, label="Takes", group="On the page",
        help="Two neighbours of half the width stand side by side.",
    )  # fmt: skip

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        """What stands on the page; raises ValueError with a sentence where the settings do not go together."""
        raise TypeError(f"{type(self).__name__} does not say what it shows")

    @property
    def printed_heading(self) -> str:
        """What stands above it."""
        return {"": self.heading, "-": ""}.get(self.heading_words.strip(), self.heading_words)

    @classmethod
    def offered(cls, declared: dict[str, Param]) -> dict[str, Param]:
        # What is kept at the foot has the whole width of the page.
        return {name: param for name, param in declared.items() if name != "stands" or cls.at is At.PLACE}


_AIDS = FoundByFile("lessonkit.lesson.aids", PageAid, "aid")


def codes() -> tuple[str, ...]:
    """The codes of all aids."""
    return _AIDS.codes


def page_aids() -> dict[str, type[PageAid]]:
    """Every aid by its code, sorted by title."""
    return _AIDS.every


def aid_if_known(code: str) -> type[PageAid] | None:
    """The aid of a code, or None where there is none; no file but its own is loaded."""
    return _AIDS.if_known(code)
