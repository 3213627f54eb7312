"""A studio's house style: what its lessons agree on, which of it is locked, and where a lesson differs.

Each thing that can be agreed on is one entry of a table: its words, what a lesson has, and the edit that mends it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field, replace
from enum import Enum
from typing import Any, NamedTuple

from lessonkit.drills.choices import Faces
from lessonkit.drills.exercise import FingersShown
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.theory.naming import NoteNames
from lessonkit.values import dataclass


class Binding(Enum):
    """How much a point of the house style holds."""

    LOCKED = "locked"
    ADVISED = "advised"
    FREE = "free"


class Point(NamedTuple):
    """One thing that lessons can agree on: its words, a lesson's value, the edit that gives it another, and the value
    in words."""

    words: str
    of: Callable[[Lesson], Any]
    to: Callable[[Lesson, Any], Lesson]
    told: Callable[[Any], str]


def _housed(name: str, words: str, told: Callable[[Any], str]) -> Point:
    def to(lesson: Lesson, value: Any) -> Lesson:
        return replace(lesson, house=replace(lesson.house, **{name: value}))

    return Point(words, lambda lesson: getattr(lesson.house, name), to, told)


def _strengths(lesson: Lesson) -> tuple[float, float, bool]:
    hands = lesson.house.hands
    return hands.keep_thumb_off_black, hands.keep_little_finger_off_black, hands.avoid_stretches


def _with_strengths(lesson: Lesson, value: tuple[float, float, bool]) -> Lesson:
    thumb, little, avoids = value
    hands = replace(
        lesson.house.hands,
        keep_thumb_off_black=thumb,
        keep_little_finger_off_black=little,
        avoid_stretches=avoids,
    )
    return replace(lesson, house=replace(lesson.house, hands=hands))


def _own_faces(lesson: Lesson) -> int:
    """How many drills have chord names in faces of their own."""
    return sum(isinstance(one, Drill) and one.family.faces is not Faces.LESSON for one in lesson.blocks)


def _without_own_faces(lesson: Lesson, value: Any) -> Lesson:
    blocks = tuple(
        replace(one, family=one.family.with_value("faces", Faces.LESSON))
        if isinstance(one, Drill) and one.family.faces is not Faces.LESSON
        else one
        for one in lesson.blocks
    )
    return replace(lesson, blocks=blocks)


def _yes_no(value: bool) -> str:
    return "yes" if value else "no"


POINTS: Mapping[str, Point] = {
    "letterhead": Point(
        "the name at the head",
        lambda lesson: lesson.author,
        lambda lesson, value: replace(lesson, author=value),
        lambda value: value or "none",
    ),
    "letterhead_picture": _housed(
        "letterhead", "the picture at the head",
        lambda picture: "a picture of {} by {} pixels".format(*picture.size) if picture else "none",
    ),
    "paper": Point(
        "the paper",
        lambda lesson: lesson.paper,
        lambda lesson, value: replace(lesson, paper=value),
        lambda value: value.value.upper(),
    ),
    "label_style": _housed(
        "label_style", "how chord names are written",
        lambda style: f"{style.major_seventh}, {style.half_diminished}, {style.minor}, {style.diminished}"
        + f", {style.numerals}"
        + ("" if style.notes is NoteNames.ENGLISH else f", {style.notes.value}"),
    ),
    "drill_faces": Point(
        "drills whose chord names are written otherwise",
        _own_faces, _without_own_faces, lambda count: str(count) if count else "none",
    ),
    "prefers_flats_at_six": _housed("prefers_flats_at_six", "G♭ rather than F♯", _yes_no),
    "is_friendly": _housed("is_friendly", "spelled for easy reading", _yes_no),
    "strengths": Point(
        "what fingers avoid", _strengths, _with_strengths,
        lambda one: f"thumb on black {one[0]:g}, little finger on black {one[1]:g}"
        + (", stretches avoided" if one[2] else ""),
    ),
    "fingers": _housed(
        "fingers", "which fingers are printed",
        lambda shown: shown.value if isinstance(shown, FingersShown) else "as each drill usually has them",
    ),
    "starts_black_with_second": _housed("starts_black_with_second", "2-1-2-4 on a low black note", _yes_no),
    "staff_tenths": _housed("staff_tenths", "the height of the staff", lambda tenths: f"{tenths / 10:g} mm"),
    "caution": _housed("caution", "the line of care", lambda words: f"“{words}”" if words else "the usual one"),
}  # fmt: skip
"""Everything that a house style can hold."""


@dataclass(frozen=True, slots=True)
class HouseStyle:
    """A studio's agreement: ``model`` is an empty lesson that has everything as it should be, ``bindings`` say of each
    point how much it holds; what is not named is free."""

    name: str = "House style"
    model: Lesson = field(default_factory=Lesson)
    bindings: tuple[tuple[str, Binding], ...] = ()

    def __post_init__(self) -> None:
        for name, _ in self.bindings:
            if name not in POINTS:
                raise ValueError(f"{name!r} is no point of a house style; the points are {', '.join(POINTS)}")

    def binding(self, name: str) -> Binding:
        """How much a point holds."""
        return dict(self.bindings).get(name, Binding.FREE)

    def bound(self, name: str, binding: Binding) -> HouseStyle:
        """The style with one point holding otherwise."""
        return replace(self, bindings=tuple({**dict(self.bindings), name: binding}.items()))


@dataclass(frozen=True, slots=True)
class Deviation:
    """Where a lesson differs from the house style."""

    point: str
    wanted: Any
    found: Any
    binding: Binding

    def __str__(self) -> str:
        point = POINTS[self.point]
        must = "has to be" if self.binding is Binding.LOCKED else "is better"
        return f"{point.words}: {point.told(self.found)}; {must} {point.told(self.wanted)}"


def deviations(lesson: Lesson, style: HouseStyle) -> tuple[Deviation, ...]:
    """Where a lesson differs in what is locked or advised, the locked first."""
    return deviations_from(style)(lesson)


def deviations_from(style: HouseStyle) -> Callable[[Lesson], tuple[Deviation, ...]]:
    """What tells of each of many lessons where it differs; what the style wants is looked up once for all of them."""
    order = {Binding.LOCKED: 0, Binding.ADVISED: 1}
    bound = sorted(
        ((name, binding) for name in POINTS if (binding := style.binding(name)) in order),
        key=lambda one: order[one[1]],
    )
    wanted = [(name, binding, POINTS[name].of, POINTS[name].of(style.model)) for name, binding in bound]

    def found(lesson: Lesson) -> tuple[Deviation, ...]:
        return tuple(
            Deviation(name, right, own, binding) for name, binding, of, right in wanted if (own := of(lesson)) != right
        )

    return found


def mended(lesson: Lesson, style: HouseStyle, only_locked: bool = False) -> Lesson:
    """The lesson as the house style wants it, in one edit; with ``only_locked`` what is advised stays as it is."""
    for one in deviations(lesson, style):
        if one.binding is Binding.LOCKED or not only_locked:
            lesson = POINTS[one.point].to(lesson, one.wanted)
    return lesson


def house_of(lesson: Lesson, name: str = "House style") -> HouseStyle:
    """A house style taken from a lesson that is as it should be, all of it advised."""
    model = Lesson(author=lesson.author, paper=lesson.paper, house=lesson.house)
    return HouseStyle(name, model, tuple((point, Binding.ADVISED) for point in POINTS))
