"""Frozen dataclasses, made in a third of the time: opening a window makes some two hundred of them.

To a reader and to a type checker this is the ``dataclass`` of the standard library, which works the fields out here as
well. What it spends the time on, writing and compiling five methods for each class, is done once for all classes;
``__init__`` is compiled once for all classes of one shape. Making a value takes less time, too.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import MISSING, FrozenInstanceError
from functools import cache
from operator import attrgetter
from types import CodeType, FunctionType, MemberDescriptorType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(*, frozen: bool = False, slots: bool = False, eq: bool = True) -> Callable[[type], type]:
        """As ``dataclasses.dataclass``; what is not frozen is made by it."""
        if not frozen:
            return dataclasses.dataclass(slots=slots, eq=eq)
        return lambda cls: _frozen(cls, slots, eq)


def _frozen(cls: type, slots: bool, eq: bool) -> type:
    own = set(vars(cls))
    # Told to freeze, it would compile two methods of its own; so the bases look unfrozen to it for the moment.
    bases = [vars(base)["__dataclass_params__"] for base in cls.__mro__ if "__dataclass_params__" in vars(base)]
    frozen_before = [base.frozen for base in bases]
    for base in bases:
        base.frozen = False
    try:
        made: Any = dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots)(cls)
    finally:
        for base, is_frozen in zip(bases, frozen_before, strict=True):
            base.frozen = is_frozen
    made.__dataclass_params__.frozen = True
    fields = dataclasses.fields(made)
    if "__init__" not in own:
        made.__init__ = _init(made, fields)
    if "__repr__" not in own:
        made.__repr__ = _repr(tuple(field.name for field in fields if field.repr))
    if eq:
        compared = _parts(tuple(field.name for field in fields if field.compare))
        if "__eq__" not in own:
            made.__eq__ = _eq(compared)
        if "__hash__" not in own or ("__eq__" in own and made.__hash__ is None):
            made.__hash__ = _hash(compared)
    made.__setattr__, made.__delattr__ = _no_change, _no_deletion
    if slots and "__getstate__" not in own:
        # Without a dictionary of its own a value is copied to other processes by its parts.
        made.__getstate__, made.__setstate__ = _state, _take_state
    return made  # type: ignore[no-any-return]


def _init(made: type, fields: tuple[dataclasses.Field[Any], ...]) -> Callable[..., None]:
    """Its parameters are the fields. Classes of one shape share what was compiled, each with names of its own."""
    names: dict[str, Any] = {"_missing": MISSING, "_set": object.__setattr__}
    kinds: list[_Kind] = []
    defaults: list[Any] = []
    for number, field in enumerate(fields):
        if field.kw_only or not field.init:
            raise TypeError(f"{made.__qualname__}.{field.name}: only plain fields are understood here")
        has_factory = field.default_factory is not MISSING
        if has_factory:
            names[f"_factory{number}"] = field.default_factory
        if has_factory or field.default is not MISSING:
            defaults.append(field.default)
        elif defaults:
            raise TypeError(f"{made.__qualname__}.{field.name} has no default and stands behind one that has")
        place = getattr(made, field.name, None)
        is_slot = isinstance(place, MemberDescriptorType)
        if is_slot:
            names[f"_set{number}"] = place.__set__  # type: ignore[union-attr]
        kinds.append((is_slot, has_factory))
    code = _shape(tuple(kinds), hasattr(made, "__post_init__"))
    own = {f"_{number}": field.name for number, field in enumerate(fields)}
    code = code.replace(
        co_varnames=("self", *own.values()),
        co_consts=tuple(own.get(one, one) if isinstance(one, str) else one for one in code.co_consts),
        co_qualname=f"{made.__qualname__}.__init__",
    )
    init: Any = FunctionType(code, names, "__init__", tuple(defaults))
    init.__module__ = made.__module__
    init.__annotations__ = {field.name: field.type for field in fields} | {"return": None}
    return init  # type: ignore[no-any-return]


_Kind = tuple[bool, bool]
"""Of a field: whether it has a slot, and whether a function makes its default."""


@cache
def _shape(kinds: tuple[_Kind, ...], has_post_init: bool) -> CodeType:
    """An ``__init__`` whose parameters are called ``_0``, ``_1`` and so on."""
    lines = []
    for number, (is_slot, has_factory) in enumerate(kinds):
        value = f"_factory{number}() if _{number} is _missing else _{number}" if has_factory else f"_{number}"
        lines.append(f"    _set{number}(self, {value})" if is_slot else f"    _set(self, '_{number}', {value})")
    if has_post_init:
        lines.append("    self.__post_init__()")
    parameters = ", ".join(["self", *(f"_{number}" for number in range(len(kinds)))])
    made: dict[str, Any] = {}
    exec("\n".join([f"def __init__({parameters}):", *(lines or ["    pass"])]), made)
    code: CodeType = made["__init__"].__code__
    return code


def _parts(names: tuple[str, ...]) -> Callable[[Any], Any]:
    """What is compared of a value: its only part, or a tuple of its parts."""
    return attrgetter(*names) if names else lambda value: ()


def _repr(names: tuple[str, ...]) -> Callable[[Any], str]:
    def __repr__(self: Any) -> str:
        return f"{type(self).__qualname__}({', '.join(f'{name}={getattr(self, name)!r}' for name in names)})"

    return __repr__


def _eq(parts: Callable[[Any], Any]) -> Callable[[Any, object], bool]:
    def __eq__(self: Any, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        return self is other or parts(self) == parts(other)

    return __eq__


def _hash(parts: Callable[[Any], Any]) -> Callable[[Any], int]:
    def __hash__(self: Any) -> int:
        return hash(parts(self))

    return __hash__


def _no_change(self: Any, name: str, value: object) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _no_deletion(self: Any, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, field.name) for field in dataclasses.fields(self)]


def _take_state(self: Any, state: list[Any]) -> None:
    for field, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, field.name, value)
