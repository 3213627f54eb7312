"""Sections bound together: contents in front, page numbers that run through, bookmarks, an index of keys and drills."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from lessonkit.binder.rows import Row, pages_of_rows
from lessonkit.binder.section import Section
from lessonkit.curriculum.seen import ORDER, WORDS, Axis
from lessonkit.lesson.lesson import Lesson
from lessonkit.pages.blocks import look_of
from lessonkit.pages.head import number_at_foot
from lessonkit.pages.page import OutlineEntry, Page
from lessonkit.pages.paper import SHEETS

INDEXED = ((Axis.KEY, "Keys"), (Axis.FAMILY, "Drills"))
"""Along what the index looks things up."""


def bound(
    title: str, told: str, sections: Sequence[Section], has_index: bool = True, begins_right: bool = False
) -> tuple[Page, ...]:
    """All pages of a binder. Raises ValueError where there is nothing to bind.

    With ``begins_right`` an empty page comes before each lesson that would begin on a left-hand one.
    """
    if not sections:
        raise ValueError(f"{title}: there is no lesson to bind; place one in a week, and give it to this student")
    paper = sections[0].lesson
    # The contents take as many pages whatever the numbers in them are.
    front = len(pages_of_rows(title, told, _contents(sections, [0] * len(sections), 0 if has_index else None), paper))
    starts, number = [], front + 1
    for section in sections:
        number += begins_right and number % 2 == 0
        starts.append(number)
        number += len(section.pages)
    index_at = number if has_index else None
    pages = [*pages_of_rows(title, told, _contents(sections, starts, index_at), paper)]
    pages[0] = replace(pages[0], outline=(OutlineEntry("Contents", 0, 0.0),))
    for section, start in zip(sections, starts, strict=True):
        if len(pages) + 1 < start:
            pages.append(Page(pages[-1].width, pages[-1].height, start - 1, ()))
        pages += [_in_binder(page, section, start + place, place == 0) for place, page in enumerate(section.pages)]
    if index_at is not None:
        pages += pages_of_rows("Index", "", [*_index(sections, starts)], paper, columns=2, first=index_at)
    return tuple(_numbered(page, number, paper) for number, page in enumerate(pages, 1))


def _contents(sections: Sequence[Section], starts: Sequence[int], index_at: int | None) -> list[Row]:
    rows: list[Row] = []
    for section, start in zip(sections, starts, strict=True):
        rows.append(Row(section.told, is_head=True))
        rows.append(Row(section.title, (start,), 0))
        rows += [
            Row(entry.text, (start + place,), 1)
            for place, page in enumerate(section.pages)
            for entry in page.outline
            if entry.level == 1 and entry.text != section.title
        ]
    if index_at is not None:
        rows += [Row("At the end", is_head=True), Row("Index", (index_at,))]
    return rows


def _in_binder(page: Page, section: Section, number: int, is_first: bool) -> Page:
    """A page of a section with its number; its bookmarks stand below that of the section."""
    own = tuple(entry for entry in page.outline if entry.level > 0)
    outline = (OutlineEntry(section.title, 0, 0.0), *own) if is_first else own
    return replace(page, number=number, outline=outline)


def _numbered(page: Page, number: int, paper: Lesson) -> Page:
    if not page.parts:
        return replace(page, number=number)
    foot = number_at_foot(str(number), SHEETS[paper.paper], look_of(paper))
    return replace(page, number=number, parts=(*page.parts, foot))


def _index(sections: Sequence[Section], starts: Sequence[int]) -> Iterator[Row]:
    for axis, title in INDEXED:
        found: dict[object, dict[int, None]] = {}
        for section, start in zip(sections, starts, strict=True):
            for value, place in section.found(axis):
                found.setdefault(value, {})[start + place] = None
        yield Row(title, is_head=True)
        for value in sorted(found, key=ORDER[axis]):
            yield Row(WORDS[axis](value), tuple(sorted(found[value])))
