"""Kinds that are found by their files: one class a file, the file bearing its code. Drill families and page aids are.

A file is loaded only when its class is asked for, so that a lesson loads no more than it uses.
"""

from __future__ import annotations

import importlib
import pkgutil
from functools import cached_property
from typing import ClassVar, Generic, Protocol, TypeVar, cast


class Coded(Protocol):
    """What such a class says of itself."""

    code: ClassVar[str]
    title: ClassVar[str]


Kind = TypeVar("Kind", bound=Coded)


class FoundByFile(Generic[Kind]):
    """The classes of a package that extend ``base``; ``what`` says in an error what one of them is."""

    def __init__(self, package: str, base: type[Kind], what: str) -> None:
        self._package = package
        self._base = base
        self._what = what
        self._loaded: dict[str, type[Kind]] = {}

    @cached_property
    def codes(self) -> tuple[str, ...]:
        """The codes of all, sorted; none is loaded to know them."""
        package = importlib.import_module(self._package)
        return tuple(sorted(module.name.replace("_", "-") for module in pkgutil.iter_modules(package.__path__)))

    @cached_property
    def every(self) -> dict[str, type[Kind]]:
        """All by their codes, sorted by title."""
        return dict(sorted(((code, self._of(code)) for code in self.codes), key=lambda item: item[1].title))

    def if_known(self, code: str) -> type[Kind] | None:
        """The class of a code, or None where there is none; no file but its own is loaded."""
        return self._of(code) if code in self.codes else None

    def _of(self, code: str) -> type[Kind]:
        if code not in self._loaded:
            self._loaded[code] = self._load(code)
        return self._loaded[code]

    def _load(self, code: str) -> type[Kind]:
        module = importlib.import_module(f"{self._package}.{code.replace('-', '_')}")
        for value in vars(module).values():
            is_own = isinstance(value, type) and value.__module__ == module.__name__
            if is_own and issubclass(value, self._base) and value.code:
                if value.code != code:
                    raise TypeError(f"the {self._what} {value.code!r} stands in a file of another name: {code!r}")
                return cast("type[Kind]", value)
        raise TypeError(f"there is no {self._what} in the file of {code!r}")
