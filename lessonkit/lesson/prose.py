"""Notes read: Markdown becomes paragraphs of spans, and live words become music. No text can fail or smuggle markup in.

Understood: paragraphs, headings with #, lists with - or 1., *italic*, **bold**, and links, of which the words stay.
Four or more underscores in a row are a line to write on. Everything else (HTML, pictures, code, quotations, addresses)
prints as it was typed. Live words are read after the Markdown, run by run, so that music can never become markup, nor
markup music.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from enum import Enum
from functools import lru_cache
from itertools import groupby

from markdown_it import MarkdownIt
from markdown_it.token import Token

from lessonkit.drills.setting import Setting
from lessonkit.lesson import live
from lessonkit.theory.chord import Chord
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.roman import RomanChord
from lessonkit.values import dataclass


class ParagraphKind(Enum):
    """What a paragraph is."""

    BODY = "body"
    HEADING = "heading"
    ITEM = "item"
    NUMBERED_ITEM = "numbered item"


@dataclass(frozen=True, slots=True)
class Words:
    """A run of words in one style; a line feed inside starts a new line.

    ``problem`` is a sentence where the words are a live word that was not understood.
    """

    text: str
    bold: bool = False
    italic: bool = False
    problem: str = ""


@dataclass(frozen=True, slots=True)
class ChordName:
    """The name of a chord, to be written in the label style."""

    chord: Chord
    bold: bool = False
    italic: bool = False


@dataclass(frozen=True, slots=True)
class DegreeName:
    """The name of a degree such as IVmaj7, to be written in the label style."""

    degree: RomanChord
    bold: bool = False
    italic: bool = False


@dataclass(frozen=True, slots=True)
class WritingLine:
    """A line to write on, typed as ``length`` underscores; where it ends a paragraph it goes on up to the margin."""

    length: int


Span = Words | ChordName | DegreeName | WritingLine


@dataclass(frozen=True, slots=True)
class Paragraph:
    """One paragraph of a note.

    ``level`` is 1 to 6 for a heading; for an item how deep its list lies, 1 the outermost; for body text 0, or the
    depth of the list item that it continues. ``number`` is the number of a numbered item, else 0. An item can be
    empty: its mark prints and leaves a line to write on.
    """

    kind: ParagraphKind
    spans: tuple[Span, ...]
    level: int = 0
    number: int = 0


@lru_cache(maxsize=4096)
def read(text: str, setting: Setting) -> tuple[Paragraph, ...]:
    """The paragraphs of a note in a setting. Takes any text and raises nothing; cached by value."""
    return tuple(
        Paragraph(
            paragraph.kind, with_writing_lines(_resolved(paragraph.runs, setting)), paragraph.level, paragraph.number
        )
        for paragraph in _paragraphs(text)
    )  # fmt: skip


@lru_cache(maxsize=4096)
def read_line(text: str, setting: Setting) -> tuple[Span, ...]:
    """The spans of a single line, such as a heading or a title: live words, no Markdown. Cached by value."""
    return _resolved((_Run(text, False, False),), setting)


def with_writing_lines(spans: Iterable[Span]) -> tuple[Span, ...]:
    """The spans with the rows of underscores among their words as lines to write on."""
    return tuple(_lines_and_words(spans))


def plain_text(paragraphs: tuple[Paragraph, ...], style: LabelStyle) -> str:
    """The note as it is searched and spoken: one line a paragraph, items with their marks, chords by name."""
    return "\n".join(_mark(paragraph) + plain_line(paragraph.spans, style) for paragraph in paragraphs)


def plain_line(spans: tuple[Span, ...], style: LabelStyle) -> str:
    """Spans as one string of plain words."""
    return "".join(_plain(span, style) for span in spans)


def problems(paragraphs: tuple[Paragraph, ...]) -> tuple[Words, ...]:
    """The live words of a note that were not understood, in order; each carries the reason."""
    spans = (span for paragraph in paragraphs for span in paragraph.spans)
    return tuple(span for span in spans if isinstance(span, Words) and span.problem)


@dataclass(frozen=True, slots=True)
class _Run:
    """Words of one style before the live words in them are read."""

    text: str
    bold: bool
    italic: bool


@dataclass(frozen=True, slots=True)
class _Raw:
    """A paragraph before its live words are read; it does not depend on the key and is cached by its text alone."""

    kind: ParagraphKind
    runs: tuple[_Run, ...]
    level: int
    number: int


_UNDERSCORES = re.compile(r"_{4,}")
"""A line to write on, as it is typed."""

_ALONE = re.compile(r"^[ \t]*_{4,}[ \t]*$", re.MULTILINE)
"""A typed line that is nothing else stands by itself, without empty lines around it too."""

TOLD_LINE = "line to write on"
"""What is said of it to those who do not see it."""


def _kept(underscores: re.Match[str]) -> str:
    """Underscores that Markdown leaves alone: two lines with words between them are no emphasis."""
    return "\\_" * len(underscores[0])


_KEPT_RULES = ["normalize", "block", "inline", "list", "heading", "paragraph", "text", "newline", "escape", "emphasis"]
_KEPT_RULES += ["link", "balance_pairs", "fragments_join"]
# Only what is named here is read. In particular references stay off: they would swallow lines such as "[a]: b".
# Without text_join a character behind a backslash stays a token of its own.
_MARKDOWN = MarkdownIt("zero").enable(_KEPT_RULES).disable("text_join")


@lru_cache(maxsize=4096)
def _paragraphs(text: str) -> tuple[_Raw, ...]:
    return tuple(_walk(_MARKDOWN.parse(_UNDERSCORES.sub(_kept, _ALONE.sub(r"\n\g<0>\n", text)))))


@dataclass(slots=True)
class _Item:
    """A list item while its tokens go by; the first paragraph inside takes its mark."""

    number: int
    is_marked: bool = False


def _walk(tokens: list[Token]) -> Iterator[_Raw]:
    next_numbers: list[int] = []
    items: list[_Item] = []
    heading = 0
    for token in tokens:
        match token.type:
            case "bullet_list_open":
                next_numbers.append(-1)
            case "ordered_list_open":
                next_numbers.append(int(token.attrs.get("start", 1)))
            case "bullet_list_close" | "ordered_list_close":
                next_numbers.pop()
            case "list_item_open":
                items.append(_Item(next_numbers[-1]))
                if next_numbers[-1] >= 0:
                    next_numbers[-1] += 1
            case "list_item_close":
                item = items.pop()
                if not item.is_marked:
                    yield _item(item, (), len(items) + 1)
            case "heading_open":
                heading = int(token.tag[1:])
            case "heading_close":
                heading = 0
            case "inline":
                runs = tuple(_runs(token.children or []))
                if items and not items[-1].is_marked:
                    items[-1].is_marked = True
                    yield _item(items[-1], runs, len(items))
                elif heading:
                    yield _Raw(ParagraphKind.HEADING, runs, heading, 0)
                else:
                    yield _Raw(ParagraphKind.BODY, runs, len(items), 0)


def _item(item: _Item, runs: tuple[_Run, ...], level: int) -> _Raw:
    if item.number < 0:
        return _Raw(ParagraphKind.ITEM, runs, level, 0)
    return _Raw(ParagraphKind.NUMBERED_ITEM, runs, level, item.number)


def _runs(tokens: list[Token]) -> Iterator[_Run]:
    """The words of an inline token, neighbours of one style joined so that a live word is never cut in two."""
    styled: list[tuple[tuple[bool, bool], str]] = []
    bold = italic = 0
    for token in tokens:
        match token.type:
            case "strong_open":
                bold += 1
            case "strong_close":
                bold -= 1
            case "em_open":
                italic += 1
            case "em_close":
                italic -= 1
            case "softbreak":
                styled.append(((bold > 0, italic > 0), " "))
            case "hardbreak":
                styled.append(((bold > 0, italic > 0), "\n"))
            case "text_special":
                # A brace behind a backslash is only a brace; doubled, the live words read it so.
                styled.append(((bold > 0, italic > 0), token.content.replace("{", "{{").replace("}", "}}")))
            case "text":
                styled.append(((bold > 0, italic > 0), token.content))
    for (is_bold, is_italic), parts in groupby(styled, key=lambda part: part[0]):
        yield _Run("".join(text for _, text in parts), is_bold, is_italic)


def _resolved(runs: tuple[_Run, ...], setting: Setting) -> tuple[Span, ...]:
    spans: list[Span] = []
    for run in runs:
        for part in live.read(run.text, setting):
            span = _span(part, run)
            before = spans[-1] if spans else None
            if isinstance(span, Words) and isinstance(before, Words) and _is_same_style(before, span):
                spans[-1] = Words(before.text + span.text, span.bold, span.italic)
            elif not isinstance(span, Words) or span.text:
                spans.append(span)
    return tuple(spans)


def _span(part: live.LivePart, run: _Run) -> Span:
    match part:
        case live.LiveChord(chord=chord):
            return ChordName(chord, run.bold, run.italic)
        case live.LiveDegree(degree=degree):
            return DegreeName(degree, run.bold, run.italic)
        case live.LiveText(text=text, problem=problem):
            return Words(text, run.bold, run.italic, problem)


def _lines_and_words(spans: Iterable[Span]) -> Iterator[Span]:
    for span in spans:
        if not isinstance(span, Words) or span.problem or "____" not in span.text:
            yield span
            continue
        place = 0
        for match in _UNDERSCORES.finditer(span.text):
            if match.start() > place:
                yield Words(span.text[place : match.start()], span.bold, span.italic)
            yield WritingLine(len(match[0]))
            place = match.end()
        if place < len(span.text):
            yield Words(span.text[place:], span.bold, span.italic)


def _is_same_style(before: Words, after: Words) -> bool:
    return (before.bold, before.italic) == (after.bold, after.italic) and not before.problem and not after.problem


def _mark(paragraph: Paragraph) -> str:
    match paragraph.kind:
        case ParagraphKind.ITEM:
            return "  " * (paragraph.level - 1) + "• "
        case ParagraphKind.NUMBERED_ITEM:
            return "  " * (paragraph.level - 1) + f"{paragraph.number}. "
        case ParagraphKind.BODY | ParagraphKind.HEADING:
            return ""


def _plain(span: Span, style: LabelStyle) -> str:
    match span:
        case Words(text=text):
            return text
        case ChordName(chord=chord):
            return chord.symbol(style)
        case DegreeName(degree=degree):
            return degree.text(style)
        case WritingLine():
            return TOLD_LINE
