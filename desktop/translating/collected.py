"""The texts to be translated, found in the code: what the window says, families declare and the engine writes."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from enum import Enum
from pathlib import Path

from lessonkit.curriculum.term import WEEKDAYS
from lessonkit.drills.chord_map import ChordMap
from lessonkit.drills.declared import Declared
from lessonkit.drills.family import families
from lessonkit.drills.params import Choice
from lessonkit.drills.wording import number_word
from lessonkit.lesson.live import signature_words
from lessonkit.lesson.page_aid import page_aids
from lessonkit.students.marks import RATINGS
from lessonkit.theory.key import MAJOR_KEYS, Mode
from lessonkit.theory.quality import ALL_QUALITIES
from lessonkit.values import dataclass

ROOT = Path(__file__).resolve().parents[2]

ENGINE_ROOMS = (
    "binder", "curriculum", "drills", "exchange", "hands", "lesson", "sound", "storage", "students", "theory",
)  # fmt: skip
"""The rooms of the engine whose sentences the window shows; the others draw, print or stand on a command line."""

NOT_SHOWN = {
    "lessonkit/sound/listening.py", "lessonkit/exchange/musicxml.py", "lessonkit/exchange/compressed.py",
    "lessonkit/exchange/written_notes.py", "lessonkit/theory/symbol.py", "lessonkit/sound/midi.py",
    "lessonkit/drills/listening_names.py", "lessonkit/drills/in_letters.py", "lessonkit/drills/reasoning.py",
    "lessonkit/drills/talking.py", "lessonkit/lesson/advice.py", "lessonkit/lesson/parents.py",
}  # fmt: skip
"""Files of those rooms that write for the printed page, for other programs or for a programmer."""

_MARKS = {"say", "english"}
_TABLES: dict[str, tuple[int, ...]] = {
    "Row": (1,), "Filled": (0,), "Insertable": (0, 1, 2), "_plain": (1, 3, 5), "_hand": (1, 3), "_rhythm": (1, 3),
    "Field": (1, 3), "button": (0, 1), "Whole": (),
}  # fmt: skip
"""Rows of tables that are said where they are shown, and which of their arguments are texts."""

_KEYWORDS = {"short", "label", "help", "unit", "group", "unset", "title"}
_PLACE = re.compile(r"\{[^{}]*\}")
_LETTERS = re.compile(r"[A-Za-z]{2,}")


@dataclass(frozen=True, slots=True)
class Text:
    """A text, the files in which it stands, and whether the engine writes it with ``{places}`` filled in."""

    english: str
    files: tuple[str, ...]
    is_pattern: bool = False


def collected() -> list[Text]:
    """Every text to be translated, sorted; each stands once, however often it is said."""
    found: dict[str, dict[str, None]] = {}
    patterns: set[str] = set()
    for english, file, is_pattern in _every():
        if _LETTERS.search(_PLACE.sub("", english)) or (not is_pattern and english.count("{") > 1):
            found.setdefault(english, {})[file] = None
            if is_pattern:
                patterns.add(english)
    return [Text(english, tuple(files), english in patterns) for english, files in sorted(found.items())]


def _every() -> Iterator[tuple[str, str, bool]]:
    for path in sorted((ROOT / "desktop").rglob("*.py")):
        if path.parent.name != "translating":
            yield from ((text, _name(path), False) for text in _said(ast.parse(path.read_text(encoding="utf-8"))))
    yield from _declared()
    for room in ENGINE_ROOMS:
        for path in sorted((ROOT / "lessonkit" / room).rglob("*.py")):
            if _name(path) in NOT_SHOWN:
                continue
            for text, is_pattern in _written(ast.parse(path.read_text(encoding="utf-8"))):
                yield text, _name(path), is_pattern


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _said(tree: ast.Module) -> Iterator[str]:
    """What the window says: in ``say`` and ``english``, in the rows of its tables, and as titles of menus."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = _called(node)
            if name in _MARKS and node.args:
                yield from _texts(node.args[0])
            elif name == "partial" and len(node.args) > 1 and getattr(node.args[0], "id", "") in _MARKS:
                yield from _texts(node.args[1])
            elif name == "counted" and len(node.args) > 1:
                for word in _texts(node.args[1]):
                    yield f"{{n}} {word}"
                    yield f"{{n}} {word}s"
            elif name in _TABLES:
                for place in _TABLES[name]:
                    if place < len(node.args):
                        yield from _texts(node.args[place])
                for keyword in node.keywords:
                    if keyword.arg in _KEYWORDS:
                        yield from _texts(keyword.value)
        elif (
            isinstance(node, ast.Tuple) and len(node.elts) == 2 and isinstance(node.elts[1], ast.Tuple | ast.Attribute)
        ):
            # The title of a menu or of a part, beside what it holds.
            yield from (text for text in _texts(node.elts[0]) if text[:1].isupper() or text.startswith("&"))


def _called(node: ast.Call) -> str:
    return node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")


def _texts(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from _texts(node.body)
        yield from _texts(node.orelse)


def _declared() -> Iterator[tuple[str, str, bool]]:
    """What families, aids and maps say of themselves and of their settings."""
    for kind in (*families().values(), *page_aids().values(), ChordMap):
        file = kind.__module__.replace(".", "/") + ".py"
        yield from ((text, file, False) for text in _of_kind(kind))
    for quality in ALL_QUALITIES:
        yield quality.words, "lessonkit/theory/quality.py", False
    for mode in Mode:
        yield f"{{tonic}} {mode.word}", "lessonkit/theory/key.py", True
    for number in range(1, 13):
        yield number_word(number), "lessonkit/drills/wording.py", False
    for way in ("up and down", "up", "down"):
        yield f"{{range}} {way}", "lessonkit/drills/wording.py", True
    yield "in {key}", "lessonkit/students/item.py", True
    for key in MAJOR_KEYS:
        yield signature_words(key), "lessonkit/lesson/live.py", False
    yield from ((words, "lessonkit/students/marks.py", False) for words in RATINGS)
    for day in WEEKDAYS:
        yield day, "lessonkit/curriculum/term.py", False


def _of_kind(kind: type[Declared]) -> Iterator[str]:
    yield kind.title
    yield kind.about()
    for param in kind.declared().values():
        yield from (param.label, param.help, param.group, param.unit, str(getattr(param, "unset", "") or ""))
        if isinstance(param, Choice):
            yield from (str(option.value) for option in param.offered)


def _written(tree: ast.Module) -> Iterator[tuple[str, bool]]:
    """Sentences of the engine, as they stand or with places, and the words of its enumerations."""
    skipped = {id(node) for node in _never_shown(tree)}
    for node in ast.walk(tree):
        if id(node) in skipped:
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            if " " in node.value.strip() and not _is_music(node.value):
                yield node.value, False
        elif isinstance(node, ast.JoinedStr):
            pattern = pattern_of(node)
            if " " in pattern.strip() and _LETTERS.search(_PLACE.sub("", pattern)) and not _is_music(pattern):
                yield pattern, True
        elif isinstance(node, ast.ClassDef) and any(getattr(base, "id", "") == Enum.__name__ for base in node.bases):
            for line in node.body:
                if isinstance(line, ast.Assign):
                    value = line.value.elts[0] if isinstance(line.value, ast.Tuple) else line.value
                    yield from ((text, False) for text in _texts(value) if " " in text or not _is_music(text))
        elif isinstance(node, ast.Dict) and all(isinstance(getattr(one, "value", None), int) for one in node.keys):
            # Words for numbers, such as threes for 3.
            yield from ((text, False) for value in node.values for text in _texts(value) if not _is_music(text))
        elif isinstance(node, ast.Call) and _called(node) == "counted" and len(node.args) > 1:
            for word in _texts(node.args[1]):
                yield f"{{count}} {word}", True
                yield f"{{count}} {word}s", True


def _never_shown(tree: ast.Module) -> Iterator[ast.AST]:
    """Docstrings, what stands within another text, what is compared with, and what only a programmer is told."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            yield node.value
        elif isinstance(node, ast.FunctionDef) and node.name in {"__repr__", "__set_name__"}:
            yield from ast.walk(node)
        elif isinstance(node, ast.JoinedStr):
            for part in node.values:
                if isinstance(part, ast.Constant):
                    yield part
                elif isinstance(part, ast.FormattedValue) and part.format_spec is not None:
                    yield from ast.walk(part.format_spec)
        elif isinstance(node, ast.Compare | ast.Subscript | ast.AnnAssign | ast.arg):
            for inner in ast.walk(node.annotation if isinstance(node, ast.AnnAssign) else node):
                if isinstance(inner, ast.Constant) and not _is_within_call(node, inner):
                    yield inner
        elif isinstance(node, ast.Raise) and node.exc is not None and "TypeError" in ast.unparse(node.exc)[:9]:
            yield from ast.walk(node.exc)
        elif isinstance(node, ast.Assign) and any(getattr(one, "id", "") == "words" for one in node.targets):
            # Words by which a family is found are no text that is shown.
            yield from ast.walk(node.value)
        elif isinstance(node, ast.Call) and _called(node) in {"compile", "parse", "getattr", "setattr"}:
            yield from ast.walk(node)


def _is_within_call(node: ast.AST, inner: ast.AST) -> bool:
    return any(isinstance(one, ast.Call) and inner in ast.walk(one) for one in ast.walk(node))


def pattern_of(node: ast.JoinedStr) -> str:
    """A text put together in the code, with a named place for each of its parts."""
    names: list[str] = []
    parts = []
    for part in node.values:
        if isinstance(part, ast.Constant):
            parts.append(str(part.value))
        elif isinstance(part, ast.FormattedValue):
            source = ast.unparse(part.value)
            if source not in names:
                names.append(source)
            parts.append(f"{{{_place_name(part.value)}{names.index(source) + 1 if len(names) > 1 else ''}}}")
    return "".join(parts)


def _place_name(node: ast.AST) -> str:
    """A word for a place that tells a translator what will stand there."""
    while True:
        if isinstance(node, ast.Name):
            return node.id.strip("_").lower()
        if isinstance(node, ast.Attribute):
            return node.attr.strip("_").lower()
        if isinstance(node, ast.Call) and node.args and isinstance(node.func, ast.Name | ast.Attribute):
            is_plain = isinstance(node.func, ast.Name) or isinstance(node.func.value, ast.Constant)
            node = node.args[0] if is_plain else node.func
        elif isinstance(node, ast.Call):
            node = node.func
        elif isinstance(node, ast.Subscript):
            node = node.value
        elif isinstance(node, ast.BoolOp):
            node = node.values[0]
        elif isinstance(node, ast.BinOp):
            node = node.left
        elif isinstance(node, ast.IfExp):
            node = node.body
        else:
            return "what"


def _is_music(text: str) -> bool:
    """Whether a text is chords, degrees, a format or a pattern of signs and no words."""
    return (
        "|" in text
        or "(.*)" in text
        or "`" in text
        or not re.search(r"(?:^|[\s(“])[A-Za-z]{3,}", _PLACE.sub(" ", text))
    )
