"""What declares its settings by its fields: drill families and maps. Form, file and checks are made from the fields."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from typing import Any, ClassVar, Self

from lessonkit.drills.params import Param, Plain
from lessonkit.values import dataclass

_DECLARED: dict[type, dict[str, Param]] = {}
"""The settings of each class that has been asked for them."""


@dataclass(frozen=True)
class Declared:
    """A frozen dataclass whose fields are made with the functions of ``fields.py``."""

    title: ClassVar[str] = ""

    @classmethod
    def declared(cls) -> dict[str, Param]:
        """The settings by name in the order of the form; cached for each class."""
        if cls not in _DECLARED:
            fields = dataclasses.fields(cls)
            own = {field.name: field.metadata["param"] for field in fields if "param" in field.metadata}
            _DECLARED[cls] = cls.offered(own)
        return _DECLARED[cls]

    @classmethod
    def offered(cls, declared: dict[str, Param]) -> dict[str, Param]:
        """The settings that make sense for this class, out of all that its fields declare."""
        return declared

    @classmethod
    def about(cls) -> str:
        """What the class is for, from its docstring's first paragraph."""
        return " ".join((cls.__doc__ or "").split("\n\n")[0].split())

    def settings(self) -> dict[str, Plain]:
        """Every setting as plain values, ready for a file."""
        return {name: param.plain(getattr(self, name)) for name, param in self.declared().items()}

    @classmethod
    def from_settings(cls, plain: Mapping[str, Plain]) -> Self:
        """What plain settings stand for; those not named keep their default.

        Raises ValueError as ``octaves: 9 is more than 4`` for the first setting that is wrong.
        """
        declared = cls.declared()
        values: dict[str, Any] = {}
        for name, item in plain.items():
            if name not in declared:
                raise ValueError(f"{name}: {cls.title} has no such setting; it has {', '.join(declared)}")
            try:
                values[name] = declared[name].value(item)
            except ValueError as error:
                raise ValueError(f"{name}: {error}") from None
        return cls(**values)

    def with_value(self, name: str, value: Any) -> Self:
        """The same with one setting changed to a musical value; raises ValueError as ``from_settings`` does."""
        param = self._param(name)
        return self._with(name, lambda: param.value(param.plain(value)))

    def with_text(self, name: str, text: str) -> Self:
        """The same with one setting changed to what was typed; raises ValueError as ``from_settings`` does."""
        param = self._param(name)
        return self._with(name, lambda: param.from_text(text))

    def _param(self, name: str) -> Param:
        param = self.declared().get(name)
        if param is None:
            raise ValueError(f"{name}: {self.title} has no such setting; it has {', '.join(self.declared())}")
        return param

    def _with(self, name: str, make: Callable[[], Any]) -> Self:
        try:
            return dataclasses.replace(self, **{name: make()})
        except ValueError as error:
            raise ValueError(f"{name}: {error}") from None
