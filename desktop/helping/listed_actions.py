"""Every action that a menu offers, with its keys, as a list to search: made from the tables, so it is never stale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from PySide6.QtGui import QKeySequence

from desktop.actions import Menu, Row, shortcuts
from desktop.words import say
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class ListedAction:
    """One action: its name in the table, its words, where it stands and the keys that call it."""

    name: str
    words: str
    place: str
    keys: str


def listed_actions(menus: Sequence[Menu], room: str = "") -> Iterator[ListedAction]:
    """The actions of a table in its order; ``room`` is named where they belong to a room of their own."""
    for title, rows in menus:
        menu = plain_words(say(title))
        place = f"{room} › {menu}" if room else menu
        for row in rows:
            if isinstance(row, Row):
                words = say(row.text)
                yield ListedAction(row.name, plain_words(words), place, keys_of(row, words))


def plain_words(words: str) -> str:
    """The words of a menu without the signs that serve the keyboard."""
    return words.partition("\t")[0].replace("&&", "\0").replace("&", "").replace("\0", "&").removesuffix(" …")


def keys_of(row: Row, words: str) -> str:
    """The keys of an action as they are written here, the usual ones where a computer knows several."""
    named = words.partition("\t")[2]
    usual = shortcuts(row.keys)[:1] if row.keys else []
    return named or "".join(keys.toString(QKeySequence.SequenceFormat.NativeText) for keys in usual)
