"""JSON decoded as strictly as it can be: whatever the bytes, there is a struct or one sentence that names the place.

The traps that are closed here: files too large to read, bytes that are no text, nesting that exhausts the stack,
names that stand twice in one object (of which a decoder keeps the last), and errors of families that are not
msgspec's own.
"""

from __future__ import annotations

import json
import re
import stat
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

import msgspec

from lessonkit.storage.shapes import LARGEST_FILE, HeaderShape
from lessonkit.storage.upgrades import Step, brought_up, shape_of

Shape = TypeVar("Shape", bound=msgspec.Struct)
Value = TypeVar("Value")

DECODING_ERRORS = (msgspec.MsgspecError, UnicodeError, RecursionError, OSError, MemoryError, ValueError)
"""Every family of error that reading a file can end in."""


class LessonFileError(ValueError):
    """A file that cannot be read or written; the sentence names the file, what is wrong, where, and what to do.

    It is one line of printable words whatever the file it quotes from holds.
    """

    def __init__(self, sentence: str) -> None:
        super().__init__("".join(letter if letter.isprintable() else " " for letter in sentence))


def read_bytes(path: Path) -> bytes:
    """The bytes of a file; raises LessonFileError with a sentence where there is none or it is too large to be ours."""
    try:
        found = path.stat()
        if stat.S_ISREG(found.st_mode) and found.st_size <= LARGEST_FILE:
            return path.read_bytes()
    except FileNotFoundError:
        raise LessonFileError(f"{path.name}: there is no such file in {path.parent}") from None
    except PermissionError:
        raise LessonFileError(f"{path.name}: you may not read this file; ask its owner for permission") from None
    except (OSError, ValueError, MemoryError) as error:
        raise LessonFileError(f"{path.name}: the file cannot be read: {reason(error)}") from None
    if stat.S_ISREG(found.st_mode):
        raise LessonFileError(_too_large(path.name))
    kind = "a folder" if stat.S_ISDIR(found.st_mode) else "no ordinary file"
    raise LessonFileError(f"{path.name}: this is {kind}; choose a lesson file")


def decode(data: bytes, name: str, wanted: str, newest: int, shape: type[Shape], steps: Sequence[Step] = ()) -> Shape:
    """The struct that a file's bytes hold; raises LessonFileError with one sentence for anything else.

    ``wanted`` is the format that the file must say it has, ``newest`` the highest version that can be read.
    """
    if len(data) > LARGEST_FILE:
        raise LessonFileError(_too_large(name))
    data = data.removeprefix(b"\xef\xbb\xbf")
    _check_text(data, name)
    version = _version(data, name, wanted, newest)
    found = _decoded(data, name, shape_of(version, shape, steps))
    _check_names(data, name)
    upgraded = brought_up(found, version, steps)
    if not isinstance(upgraded, shape):
        raise TypeError(f"the steps from version {version} end in {type(upgraded).__name__}, not {shape.__name__}")
    return upgraded


def decoded_value(raw: bytes, kind: type[Value]) -> Value:
    """A part of a file that has been checked to be JSON, as a value of a kind; raises ValueError with a sentence."""
    try:
        return msgspec.json.decode(raw, type=kind)
    except msgspec.MsgspecError as error:
        place, what = _explained(str(error))
        raise ValueError(f"{place}: {what}" if place else what) from None


def at_place(place: str, make: Callable[[], Value]) -> Value:
    """What ``make`` makes; a ValueError on the way gets the place before its sentence."""
    try:
        return make()
    except ValueError as error:
        raise ValueError(f"{place}: {error}") from None


def _version(data: bytes, name: str, wanted: str, newest: int) -> int:
    kind = wanted.split()[-1]
    header = _decoded(data, name, HeaderShape)
    if header.format != wanted:
        raise LessonFileError(f"{name}: format: {header.format[:40]!r} is not {wanted!r}; this is not a {kind} file")
    if header.version > newest:
        raise LessonFileError(
            f"{name}: the file was written by a newer lessonkit (version {header.version}; this one reads up to "
            f"{newest}); open it there, or bring this one up to date"
        )
    return header.version


def _decoded(data: bytes, name: str, shape: type[Shape]) -> Shape:
    try:
        return msgspec.json.decode(data, type=shape)
    except msgspec.ValidationError as error:
        place, what = _explained(str(error))
        raise LessonFileError(f"{name}: {place}: {what}" if place else f"{name}: {what}") from None
    except msgspec.DecodeError as error:
        raise LessonFileError(f"{name}: {_where_broken(str(error), data)}") from None
    except RecursionError:
        raise LessonFileError(f"{name}: brackets lie inside one another deeper than in any file of ours") from None
    except DECODING_ERRORS as error:
        raise LessonFileError(f"{name}: the file cannot be read: {reason(error)}") from None


def _check_text(data: bytes, name: str) -> None:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        line, column = _line_and_column(data, error.start)
        raise LessonFileError(f"{name}: line {line}, column {column}: the file is not UTF-8 text") from None


class _Twice(Exception):
    """A name that stands twice in one object."""


def _check_names(data: bytes, name: str) -> None:
    """Refuse names that stand twice in one object: only one of them could be kept."""

    def check(pairs: list[tuple[str, object]]) -> None:
        seen = set()
        for key, _ in pairs:
            if key in seen:
                raise _Twice(key)
            seen.add(key)

    try:
        json.loads(data.decode(), object_pairs_hook=check, parse_int=_nothing, parse_float=_nothing)
    except _Twice as error:
        twice = str(error)[:40]
        raise LessonFileError(f"{name}: {twice}: this name stands twice in one object; keep one of them") from None
    except DECODING_ERRORS as error:
        raise LessonFileError(f"{name}: the file cannot be read: {reason(error)}") from None


def _nothing(text: str) -> None:
    return None


_PLACE = re.compile(r"(?P<what>.*?)(?: - at `(?P<place>(?:key in )?\$.*)`)?", re.DOTALL)
_KINDS = {
    "int": "a whole number", "str": "text", "bool": "true or false", "array": "a list", "object": "an object in braces",
    "null": "null", "float": "a number with a point",
}  # fmt: skip


def _explained(message: str) -> tuple[str, str]:
    """The place and the sentence of a decoder's message about a value."""
    match = _PLACE.fullmatch(message)
    assert match is not None
    what, place = match["what"], (match["place"] or "$").removeprefix("key in ").removeprefix("$").removeprefix(".")
    for pattern, explain in _EXPLANATIONS:
        found = re.fullmatch(pattern, what, re.DOTALL)
        if found is not None:
            field, sentence = explain(found)
            return ".".join(part for part in (place, field) if part), sentence
    return place, what


def _kinds(names: str) -> str:
    return " or ".join(_KINDS.get(name, name) for name in names.split(" | "))


_EXPLANATIONS = (
    (r"Object missing required field `(.*)`", lambda found: (found[1], "this field is missing")),
    (r"Object contains unknown field `(.*)`", lambda found: (found[1][:60], "there is no such field; take it out")),
    (r"Expected `(int)` >= (.*)", lambda found: ("", f"this number is less than {found[2]}")),
    (r"Expected `(int)` <= (.*)", lambda found: ("", f"this number is more than {found[2]}")),
    (r"Expected `str` of length <= (.*)", lambda found: ("", f"this text is longer than {found[1]} characters")),
    (r"Expected `array` of length <= (.*)", lambda found: ("", f"this list is longer than {found[1]}")),
    (r"Expected `str` matching regex .*", lambda found: ("", "a name here has 1 to 40 letters, digits, - or _")),
    (r"Expected `(.*)`, got `(.*)`", lambda found: ("", f"{_kinds(found[1])} belongs here, not {_kinds(found[2])}")),
    (r"Invalid RFC3339 encoded date", lambda found: ("", "this is not a day; write it like 2026-09-07")),
    (r"Invalid enum value (.*)", lambda found: ("", f"{found[1][:60]} is not one of the words that can stand here")),
    (r"Invalid value (.*)", lambda found: ("", f"{found[1][:60]} is not one of the words that can stand here")),
)


def _where_broken(message: str, data: bytes) -> str:
    """A sentence with line and column for bytes that are no JSON."""
    at = re.search(r"\(byte (\d+)\)", message)
    line, column = _line_and_column(data, int(at[1]) if at else len(data))
    if at is None and "truncated" in message:
        if not data.strip():
            return "the file is empty"
        return f"line {line}, column {column}: the file ends too early; the rest of it is missing"
    what = re.sub(r"JSON is malformed: | \(byte \d+\)", "", message)
    return f"line {line}, column {column}: this is not well-formed JSON ({what})"


def _line_and_column(data: bytes, byte: int) -> tuple[int, int]:
    """The line and column, both from 1, of a byte; a character counts as one column."""
    before = data[:byte]
    start = before.rfind(b"\n") + 1
    return before.count(b"\n") + 1, len(before[start:].decode("utf-8", errors="replace")) + 1


def _too_large(name: str) -> str:
    return f"{name}: the file is larger than {LARGEST_FILE // 2**20} MB, which no lesson is; it was not read"


def reason(error: BaseException) -> str:
    """Why the system refused, in its own words."""
    if isinstance(error, MemoryError):
        return "there is not enough memory"
    return (error.strerror if isinstance(error, OSError) and error.strerror else str(error)) or type(error).__name__
