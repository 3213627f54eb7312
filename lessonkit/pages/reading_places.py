"""Where the paragraphs of a note lie for a reader: in themselves, or as items in lists, which may lie in items."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lessonkit.lesson.prose import Paragraph, ParagraphKind

Within = tuple[tuple[str, int], ...]

_LISTS = {ParagraphKind.ITEM: "list", ParagraphKind.NUMBERED_ITEM: "numbered list"}
DEEPEST_HEADING = 3


def places_of(paragraphs: Sequence[Paragraph]) -> Iterator[Within]:
    """For each paragraph what it lies in, as a ``Piece`` says it."""
    open_lists: list[tuple[str, int, int]] = []
    for number, paragraph in enumerate(paragraphs):
        kind = _LISTS.get(paragraph.kind)
        if kind is not None:
            yield _item(open_lists, kind, max(1, paragraph.level), number)
        elif paragraph.kind is ParagraphKind.HEADING:
            open_lists.clear()
            yield ((f"heading {min(paragraph.level + 1, DEEPEST_HEADING)}", number),)
        else:
            del open_lists[paragraph.level :]
            yield (*_bodies(open_lists), ("paragraph", number))


def _item(open_lists: list[tuple[str, int, int]], kind: str, level: int, number: int) -> Within:
    """A new item at a level: of the list that is open there, or of one that begins."""
    goes_on = len(open_lists) >= level and open_lists[level - 1][0] == kind
    begun = open_lists[level - 1][1] if goes_on else number
    del open_lists[level - 1 :]
    while len(open_lists) < level - 1:
        open_lists.append((kind, number, number))
    open_lists.append((kind, begun, number))
    return _bodies(open_lists)


def _bodies(open_lists: list[tuple[str, int, int]]) -> Within:
    within: list[tuple[str, int]] = []
    for kind, begun, item in open_lists:
        within += ((kind, begun), ("item", item), ("body", item))
    return tuple(within)
