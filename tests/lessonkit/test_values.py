"""Our frozen dataclasses against those of the standard library: the same in every way that is used here."""

from __future__ import annotations

import dataclasses
import pickle
from dataclasses import FrozenInstanceError, field, replace

import pytest

from lessonkit import values


@values.dataclass(frozen=True, slots=True)
class Ours:
    """A value with a plain part, a default and a part made anew."""

    name: str
    size: int = 3
    parts: tuple[int, ...] = field(default_factory=tuple)

    def __post_init__(self) -> None:
        if self.size < 0:
            raise ValueError(f"a size of {self.size} is below 0")


@dataclasses.dataclass(frozen=True, slots=True)
class Theirs:
    """The same, made by the standard library."""

    name: str
    size: int = 3
    parts: tuple[int, ...] = field(default_factory=tuple)


@values.dataclass(frozen=True)
class Longer(Ours):
    """A value that adds a part to another."""

    more: str = "m"


@dataclasses.dataclass(frozen=True)
class LongerByTheLibrary(Ours):
    """The same, made by the standard library."""

    more: str = "m"


@values.dataclass(frozen=True, eq=False)
class ByIdentity:
    """A value that equals only itself."""

    name: str


@values.dataclass(frozen=True)
class OwnWords:
    """A value that says itself how it is compared and written."""

    name: str
    weight: int = field(default=0, compare=False, repr=False)

    def __hash__(self) -> int:
        return 7


@pytest.mark.parametrize("given", [("a",), ("a", 4), ("a", 4, (1, 2))])
def test_values_are_compared_hashed_and_written_as_by_the_library(given: tuple[object, ...]) -> None:
    """What a reader knows of frozen dataclasses holds."""
    ours, theirs = Ours(*given), Theirs(*given)  # type: ignore[arg-type]
    assert repr(ours).removeprefix("Ours") == repr(theirs).removeprefix("Theirs")
    assert hash(ours) == hash(theirs)
    assert ours == Ours(*given)  # type: ignore[arg-type]
    assert ours != theirs
    assert ours != replace(ours, name="b")
    assert dataclasses.asdict(ours) == dataclasses.asdict(theirs)


def test_a_value_cannot_be_changed() -> None:
    """Neither a part of its own nor a new one."""
    ours = Ours("a")
    with pytest.raises(FrozenInstanceError, match="cannot assign to field 'size'"):
        ours.size = 4  # type: ignore[misc]
    with pytest.raises(FrozenInstanceError, match="cannot delete field 'size'"):
        del ours.size
    with pytest.raises(FrozenInstanceError):
        Longer("a").more = "n"  # type: ignore[misc]


def test_a_wrong_value_cannot_be_built_nor_made_of_another() -> None:
    """The check runs for every way in."""
    with pytest.raises(ValueError, match="below 0"):
        Ours("a", -1)
    with pytest.raises(ValueError, match="below 0"):
        replace(Ours("a"), size=-1)
    with pytest.raises(TypeError, match="missing 1 required positional argument: 'name'"):
        Ours()  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="unexpected keyword argument 'sizes'"):
        Ours("a", sizes=3)  # type: ignore[call-arg]


@pytest.mark.parametrize("kind", [Longer, LongerByTheLibrary])
def test_a_value_may_be_extended_by_ours_and_by_the_librarys(kind: type[Longer]) -> None:
    """Parts of the base come first."""
    longer = kind("a", 4, (1,), "z")
    assert (longer.name, longer.size, longer.parts, longer.more) == ("a", 4, (1,), "z")
    assert longer == kind("a", 4, (1,), "z")
    assert longer != Ours("a", 4, (1,))
    assert [one.name for one in dataclasses.fields(kind)] == ["name", "size", "parts", "more"]


@pytest.mark.parametrize("value", [Ours("a", 4, (1,)), Longer("a", more="z"), OwnWords("a", 2)])
def test_a_value_goes_to_another_process_and_back(value: object) -> None:
    """Pages are printed and sound is made in processes of their own."""
    assert pickle.loads(pickle.dumps(value)) == value


def test_what_a_class_says_itself_stands() -> None:
    """Its own hash; parts that do not count are left out."""
    assert hash(OwnWords("a")) == 7
    assert OwnWords("a", 1) == OwnWords("a", 2)
    assert repr(OwnWords("a", 1)) == "OwnWords(name='a')"
    assert ByIdentity("a") != ByIdentity("a")
    assert Ours.__match_args__ == Theirs.__match_args__
