"""Blocks as they stand in files, both ways. Two tables, one entry a kind; tests hold them whole."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import partial
from itertools import accumulate
from typing import Any, TypeVar

import msgspec
from msgspec import Raw

from lessonkit.drills.chord_map import ChordMap
from lessonkit.drills.declared import Declared
from lessonkit.drills.family import family_if_known
from lessonkit.drills.params import Plain
from lessonkit.lesson.lesson import (
    Aid,
    Block,
    DifficultyMap,
    Drill,
    Heading,
    Note,
    PageBreak,
    Space,
    UnknownAid,
    UnknownDrill,
)
from lessonkit.lesson.page_aid import aid_if_known
from lessonkit.storage.shapes import (
    AidShape,
    BlockShape,
    DifficultyMapShape,
    DrillShape,
    HeadingShape,
    NoteShape,
    PageBreakShape,
    SpaceShape,
)
from lessonkit.storage.strict import at_place, decoded_value
from lessonkit.storage.written import Tree, Verbatim

Kind = TypeVar("Kind", bound=Declared)

LONGEST_UNKNOWN = 100_000
"""The most characters of settings that are kept for a drill or an aid that is not known."""

DEEPEST_UNKNOWN = 20
"""How deep the settings of an unknown drill or aid may lie inside one another."""

PlainShape = str | int | bool | list[str | int] | None
"""A setting in a file, as strictly as can be said before its family is asked."""


def block_from_shape(shape: BlockShape, place: str) -> Block:
    """The block that a shape stands for; raises ValueError with the place, as ``blocks[3].drill.octaves: 9 is …``."""
    return READERS[type(shape)](shape, place)


def tree_of_block(block: Block) -> Tree:
    """A block as it is written, its kind first."""
    return WRITERS[type(block)](block)


def text_from_shape(text: str | list[str]) -> str:
    """A text that may be written as a list of lines."""
    return text if isinstance(text, str) else "\n".join(text)


def tree_of_text(text: str) -> Tree:
    """A text as it is written: a text of several lines is a list of them, so that changes can be followed."""
    lines = text.split("\n")
    return text if len(lines) == 1 else lines


def _heading(shape: HeadingShape, place: str) -> Heading:
    return at_place(f"{place}.text", lambda: Heading(shape.text, shape.level, shape.id))


def _note(shape: NoteShape, place: str) -> Note:
    return at_place(f"{place}.text", lambda: Note(text_from_shape(shape.text), shape.id, shape.for_teacher))


def _space(shape: SpaceShape, place: str) -> Space:
    return at_place(place, lambda: Space(shape.height, shape.id))


def _page_break(shape: PageBreakShape, place: str) -> PageBreak:
    return at_place(place, lambda: PageBreak(shape.id))


def _drill(shape: DrillShape, place: str) -> Drill | UnknownDrill:
    found = _read(family_if_known(shape.family), shape.drill, f"{place}.drill", "a drill")
    if isinstance(found, str):
        return at_place(f"{place}.family", partial(UnknownDrill, shape.family, found, shape.id))
    return Drill(found, shape.id)


def _difficulty_map(shape: DifficultyMapShape, place: str) -> DifficultyMap:
    return DifficultyMap(_declared(ChordMap, shape.map, f"{place}.map"), shape.id)


def _aid(shape: AidShape, place: str) -> Aid | UnknownAid:
    found = _read(aid_if_known(shape.aid), shape.settings, f"{place}.settings", "an aid")
    if isinstance(found, str):
        return at_place(f"{place}.aid", partial(UnknownAid, shape.aid, found, shape.id))
    return Aid(found, shape.id)


def _read(kind: type[Kind] | None, settings: Raw, place: str, what: str) -> Kind | str:
    """What declares its settings, made from those in a file; their text where this program does not know the kind."""
    raw = bytes(settings)
    if not raw.lstrip().startswith(b"{"):
        raise ValueError(f"{place}: the settings of {what} stand in braces")
    if kind is None:
        return at_place(place, lambda: canonical_settings(raw))
    return _declared(kind, at_place(place, lambda: decoded_value(raw, dict[str, Raw])), place)


def _declared(kind: type[Kind], settings: Mapping[str, Raw], place: str) -> Kind:
    """What declares its settings, made from those in a file; errors name the place."""
    declared = kind.declared()
    plain: dict[str, Plain] = {}
    for name, item in settings.items():
        where = f"{place}.{name[:60]}"
        if name not in declared:
            raise ValueError(f"{where}: {kind.title} has no such setting; it has {', '.join(declared)}")
        plain[name] = at_place(where, partial(_plain, item))
    try:
        return kind.from_settings(plain)
    except ValueError as error:
        names_a_setting = str(error).split(":", 1)[0] in declared
        raise ValueError(f"{place}{'.' if names_a_setting else ': '}{error}") from None


def _plain(raw: Raw) -> Plain:
    value: Any = decoded_value(bytes(raw), PlainShape)  # type: ignore[arg-type]
    if isinstance(value, list) and len({type(item) for item in value}) > 1:
        raise ValueError("a list holds either texts or numbers, not both")
    return value  # type: ignore[no-any-return]


def canonical_settings(raw: bytes) -> str:
    """The JSON text of unknown settings with the blanks between its parts taken out and nothing else touched."""
    if len(raw) > LONGEST_UNKNOWN:
        raise ValueError(f"settings of {len(raw)} characters are more than {LONGEST_UNKNOWN}")
    bare = re.sub(rb'"(?:[^"\\]|\\.)*"|[^\[\]{}]', b"", raw, flags=re.DOTALL)
    if max(accumulate(1 if bracket in b"[{" else -1 for bracket in bare), default=0) > DEEPEST_UNKNOWN:
        raise ValueError(f"brackets lie inside one another more than {DEEPEST_UNKNOWN} deep")
    try:
        return msgspec.json.format(raw, indent=-1).decode("utf-8")
    except msgspec.MsgspecError as error:
        raise ValueError(f"the settings are not well-formed JSON: {error}") from None


def _heading_tree(block: Heading) -> Tree:
    return {"kind": "heading", "id": block.id, "level": block.level, "text": block.text}


def _note_tree(block: Note) -> Tree:
    # What only some notes have is written for these only, so that lessons of before stay as they are.
    mark: dict[str, Tree] = {"for_teacher": True} if block.for_teacher else {}
    return {"kind": "note", "id": block.id, "text": tree_of_text(block.text), **mark}


def _drill_tree(block: Drill) -> Tree:
    return {"kind": "drill", "id": block.id, "family": block.family.code, "drill": block.family.settings()}


def _difficulty_map_tree(block: DifficultyMap) -> Tree:
    return {"kind": "difficulty map", "id": block.id, "map": block.map.settings()}


def _aid_tree(block: Aid) -> Tree:
    return {"kind": "aid", "id": block.id, "aid": block.shows.code, "settings": block.shows.settings()}


def _unknown_aid_tree(block: UnknownAid) -> Tree:
    return {"kind": "aid", "id": block.id, "aid": block.code, "settings": Verbatim(block.settings)}


def _unknown_tree(block: UnknownDrill) -> Tree:
    return {"kind": "drill", "id": block.id, "family": block.code, "drill": Verbatim(block.settings)}


def _space_tree(block: Space) -> Tree:
    return {"kind": "space", "id": block.id, "height": block.height}


def _page_break_tree(block: PageBreak) -> Tree:
    return {"kind": "page break", "id": block.id}


READERS: dict[type, Callable[[Any, str], Block]] = {
    HeadingShape: _heading,
    NoteShape: _note,
    DrillShape: _drill,
    DifficultyMapShape: _difficulty_map,
    AidShape: _aid,
    SpaceShape: _space,
    PageBreakShape: _page_break,
}
"""From every shape to its block."""

WRITERS: dict[type, Callable[[Any], Tree]] = {
    Heading: _heading_tree,
    Note: _note_tree,
    Drill: _drill_tree,
    UnknownDrill: _unknown_tree,
    DifficultyMap: _difficulty_map_tree,
    Aid: _aid_tree,
    UnknownAid: _unknown_aid_tree,
    Space: _space_tree,
    PageBreak: _page_break_tree,
}
"""From every kind of block to what is written."""
