"""Plain values written as JSON that people can read and compare: two spaces a level, short lists on one line."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence

from lessonkit.values import dataclass

LONGEST_LIST_LINE = 100
"""Characters of a list of plain values that still stands on one line."""


@dataclass(frozen=True, slots=True)
class Verbatim:
    """JSON text that goes into the file as it is."""

    text: str


Tree = Mapping[str, "Tree"] | Sequence["Tree"] | str | int | bool | None | Verbatim
"""What can be written. There are no numbers with a point in our files, so that none can be infinite or undefined."""


def json_bytes(tree: Tree) -> bytes:
    """The JSON of a tree in UTF-8 with one line feed at its end; keys keep their order."""
    return ("".join(_pieces(tree, "\n")) + "\n").encode("utf-8")


def _pieces(tree: Tree, line: str) -> Iterator[str]:
    if isinstance(tree, Mapping):
        names = [f"{json.dumps(name, ensure_ascii=False)}: " for name in tree]
        yield from _within("{", "}", names, list(tree.values()), line)
    elif isinstance(tree, Verbatim):
        yield tree.text
    elif isinstance(tree, Sequence) and not isinstance(tree, str):
        short = _on_one_line(tree)
        if short is not None:
            yield short
        else:
            yield from _within("[", "]", [""] * len(tree), list(tree), line)
    else:
        yield json.dumps(tree, ensure_ascii=False, allow_nan=False)


def _within(opening: str, closing: str, names: list[str], trees: list[Tree], line: str) -> Iterator[str]:
    if not trees:
        yield opening + closing
        return
    deeper = line + "  "
    for place, (name, tree) in enumerate(zip(names, trees, strict=True)):
        yield f"{',' if place else opening}{deeper}{name}"
        yield from _pieces(tree, deeper)
    yield line + closing


def _on_one_line(trees: Sequence[Tree]) -> str | None:
    """A list of numbers or short words as one line; None where it holds more or is too long for that."""
    if not all(isinstance(tree, str | int) and (not isinstance(tree, str) or len(tree) < 8) for tree in trees):
        return None
    text = json.dumps(list(trees), ensure_ascii=False)
    return text if len(text) <= LONGEST_LIST_LINE else None
