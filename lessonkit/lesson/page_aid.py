"""What an aid of a page is: a frozen dataclass whose fields declare its form and its file, and what it shows as data.

An aid is one file in ``aids/``. Its class says its ``code`` (never changed once shipped), its ``title`` and, in the
first paragraph of its docstring, what it is for; ``shown`` answers what stands on the page. Nothing else needs to know
that it exists.
"""

from __future__ import annotations

import importlib
import pkgutil
from enum import Enum
from functools import cache
from typing import ClassVar, cast

from lessonkit.drills import fields
from lessonkit.drills.declared import Declared
from lessonkit.drills.family import DrillFamily
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
    and ``marks`` the ids and shuffle numbers of the lesson's drills, by which a page is made again.
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

    @classmethod
    def about(cls) -> str:
        """What the aid is for, from its docstring's first paragraph."""
        return " ".join((cls.__doc__ or "").split("\n\n")[0].split())


@cache
def codes() -> tuple[str, ...]:
    """The codes of all aids. An aid's file bears its code."""
    package = importlib.import_module("lessonkit.lesson.aids")
    return tuple(sorted(module.name.replace("_", "-") for module in pkgutil.iter_modules(package.__path__)))


@cache
def page_aids() -> dict[str, type[PageAid]]:
    """Every aid by its code, sorted by title."""
    return dict(sorted(((code, _loaded(code)) for code in codes()), key=lambda item: item[1].title))


def aid_if_known(code: str) -> type[PageAid] | None:
    """The aid of a code, or None where there is none; no file but its own is loaded."""
    return _loaded(code) if code in codes() else None


@cache
def _loaded(code: str) -> type[PageAid]:
    loaded = importlib.import_module(f"lessonkit.lesson.aids.{code.replace('-', '_')}")
    for value in vars(loaded).values():
        is_own = isinstance(value, type) and value.__module__ == loaded.__name__
        if is_own and issubclass(value, PageAid) and value.code:
            if value.code != code:
                raise TypeError(f"the aid {value.code!r} stands in a file of another name: {code!r}")
            return cast("type[PageAid]", value)
    raise TypeError(f"there is no aid in the file of {code!r}")
