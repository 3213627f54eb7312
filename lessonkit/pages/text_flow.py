"""Spans of styled words broken into lines with the one ruler. No line is wider than asked for, and no sign is lost."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence

from lessonkit.drawing.fonts import signs_beside
from lessonkit.drawing.shapes import Box, Drawing, Face, Line, Mark, Shape, Text
from lessonkit.drawing.text_width import text_shapes, text_width
from lessonkit.engraving.chord_text import set_symbol
from lessonkit.lesson.prose import TOLD_LINE, ChordName, DegreeName, Span, Words, WritingLine
from lessonkit.pages.hyphens import parts_of
from lessonkit.pages.paper import MILLIMETRE
from lessonkit.pages.style import TextStyle
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass

_CONTROLS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b\u2028\u2029\ufeff]")
_TOKENS = re.compile(r"\n|[ \t]+|[^ \t\n]+")
_TYPED_APOSTROPHE = re.compile(r"(?<=[^\W\d_])'(?=[^\W\d_])")
"""Within a word the typewriter's stroke stands for an apostrophe."""

_NOTE = re.compile(r"[A-H][♭♯𝄪𝄫]?")

_BREAK_CHANCES = re.compile(r"(?<=[^\W\d_]-)(?=[^\W\d_])|(?<=—)(?=\w)")

LEAST_FULL = 0.85
"""A line of prose that would be less full than this takes the beginning of the next word, if that can be parted."""

SHORT_LINE = 0.16
"""A last line shorter than this part of the width looks like a slip: no more than a word."""


LEAST_WRITING_LINE = 20 * MILLIMETRE
"""No line to write on is shorter: a chord's name by hand needs as much."""

WRITING_HEIGHT = 8 * MILLIMETRE
"""A line that is written on is at least so high, as in an exercise book (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class SetLine:
    """One line: its shapes with the base line at 0, its width, its words, and what in it was not understood.

    ``rules`` are what is to be written on.
    """

    shapes: tuple[Text, ...]
    width: float
    text: str
    problems: tuple[Mark, ...] = ()
    rules: tuple[Line, ...] = ()

    def height(self, style: TextStyle) -> float:
        """How high it is; one that is written on leaves room for a hand."""
        return max(WRITING_HEIGHT, 1.35 * style.leading) if self.rules else style.leading

    def drawing(self, style: TextStyle, width: float, x: float = 0.0, before: tuple[Text, ...] = ()) -> Drawing:
        """The line as a drawing of a width, ``x`` points from its left; ``before`` is set on the same base line."""
        height = self.height(style)
        y = style.base_line + height - style.leading
        shapes: tuple[Shape, ...] = tuple(shape._replace(y=shape.y + y) for shape in before)
        shapes += tuple(shape._replace(x=shape.x + x, y=shape.y + y) for shape in self.shapes)
        shapes += tuple(
            rule._replace(x1=rule.x1 + x, x2=rule.x2 + x, y1=rule.y1 + y, y2=rule.y2 + y) for rule in self.rules
        )
        box = Box(x, y - 0.72 * style.size, x + self.width, y + 0.24 * style.size)
        problems = tuple(mark._replace(box=mark.box.moved(x, y)) for mark in self.problems)
        words = "".join(shape.text for shape in before) + " " if before else ""
        return Drawing(width, height, shapes, (Mark("text", "", box, self.text), *problems), words + self.text)


def set_lines(spans: Sequence[Span], style: TextStyle, width: float, labels: LabelStyle) -> tuple[SetLine, ...]:
    """Break spans into lines no wider than ``width`` points; no spans make one empty line.

    Lines break at spaces, after a hyphen inside a word and after a long dash; a word wider than the line breaks
    wherever it must. The notes of a chord stay together, and a word with the line behind it to write on. Prose that
    would leave a wide gap at its right edge is hyphenated. Where a last line would hold no more than a word, the lines
    above it give some away. A line to write on that ends a line goes on to its end.
    """
    units = tuple(_units(spans, style, width, labels))
    lines = _broken(units, style, width)
    if len(lines) > 1 and lines[-1].width < SHORT_LINE * width:
        for narrower in (0.95, 0.9, 0.85, 0.8):
            others = _broken(units, style, narrower * width, width)
            if len(others) > len(lines):
                break
            if others[-1].width >= SHORT_LINE * width:
                return others
    return lines


def _broken(
    units: Sequence[_Unit], style: TextStyle, width: float, end: float | None = None
) -> tuple[SetLine, ...]:  # fmt: skip
    """Units in lines that each hold as many as fit; lines to write on go on up to ``end`` points."""
    end = width if end is None else end
    lines: list[SetLine] = []
    line: list[_Piece] = []
    space: list[_Piece] = []
    used = 0.0
    for unit in units:
        if unit.is_break:
            lines.append(_finished(_filled(line, end), style))
            line, space, used = [], [], 0.0
            continue
        if unit.is_space:
            if line:
                space = list(unit.pieces)
            continue
        gap = sum(piece.width for piece in space)
        if line and used + gap + unit.width > width:
            if style.hyphenates and used < LEAST_FULL * width and unit.width <= width:
                head, tail = _parted(unit, style, width - used - gap)
                if head is not None:
                    line += [*space, head]
                    unit = _together([tail])
            lines.append(_finished(line, style))
            line, space, used, gap = [], [], 0.0, 0.0
        if unit.width > width:
            *full, rest = _torn(unit, style, width)
            lines.extend(_finished(pieces, style) for pieces in full)
            line, used = rest, sum(piece.width for piece in rest)
            continue
        line += space
        line += unit.pieces
        used += gap + unit.width
        space = []
    if line or not lines:
        lines.append(_finished(_filled(line, end), style))
    return tuple(lines)


def _filled(line: Sequence[_Piece], width: float) -> Sequence[_Piece]:
    """The last line of a paragraph; one to write on with which it ends, or all but ends, goes on to its full width."""
    place = next((place for place in reversed(range(len(line))) if line[place].is_written_on), None)
    if place is None or any(sign.isalnum() for piece in line[place + 1 :] for sign in piece.text):
        return line
    left = width - sum(piece.width for piece in line)
    return [*line[:place], _writing_piece(line[place].width + max(0.0, left)), *line[place + 1 :]]


def line_of(text: str, style: TextStyle) -> SetLine:
    """Plain words as one line, however wide."""
    return _finished([_words_piece(_clean(text), style, False, False, "")], style)


def shortened(text: str, style: TextStyle, width: float) -> SetLine:
    """Plain words as one line no wider than ``width``; what is too much gives way to an ellipsis."""
    line = line_of(text, style)
    while line.width > width and text:
        text = text[: min(len(text) - 1, int(len(text) * width / line.width))].rstrip()
        line = line_of(text + "…", style)
    return line


@dataclass(frozen=True, slots=True)
class _Piece:
    """What is set without a break: words of one style, a chord's name or a line to write on.

    Shapes from x = 0 with the base line at 0.
    """

    shapes: tuple[Text, ...]
    width: float
    text: str
    words: Words | None
    """The words that it was made of; a chord's name has none and is never torn."""
    is_written_on: bool = False


@dataclass(frozen=True, slots=True)
class _Unit:
    """What a line breaks around: pieces that stay together, a space, or a forced break."""

    pieces: tuple[_Piece, ...] = ()
    width: float = 0.0
    is_space: bool = False
    is_break: bool = False


def _clean(text: str) -> str:
    text = _CONTROLS.sub("", unicodedata.normalize("NFC", text.replace("\r\n", "\n")))
    return _TYPED_APOSTROPHE.sub("\N{RIGHT SINGLE QUOTATION MARK}", text)


def _units(spans: Sequence[Span], style: TextStyle, width: float, labels: LabelStyle) -> Iterator[_Unit]:
    held: list[_Piece] = []
    spaces: dict[tuple[bool, bool], _Unit] = {}
    for number, span in enumerate(spans):
        if isinstance(span, WritingLine):
            held.append(_writing_piece(_written_width(span, style, width)))
            continue
        if not isinstance(span, Words):
            held.append(_symbol_piece(span, style, labels))
            continue
        tokens = _TOKENS.findall(_clean(span.text))
        for place, token in enumerate(tokens):
            if token[0] not in " \t\n":
                first, *more = _BREAK_CHANCES.split(token)
                held.append(_words_piece(first, style, span.bold, span.italic, span.problem))
                for word in more:
                    yield _together(held)
                    held = [_words_piece(word, style, span.bold, span.italic, span.problem)]
                continue
            if token == " " and 0 < place < len(tokens) - 1 and _is_spelling(tokens[place - 1], tokens[place + 1]):
                held.append(_words_piece(token, style, span.bold, span.italic, ""))
                continue
            if token == " " and held and place == len(tokens) - 1 and _asks(spans[number + 1 :], held, style, width):
                held.append(_words_piece(token, style, span.bold, span.italic, ""))
                continue
            if held:
                yield _together(held)
                held = []
            if token == "\n":
                yield _Unit(is_break=True)
            else:
                space = spaces.get((span.bold, span.italic))
                if space is None:
                    piece = _words_piece(" ", style, span.bold, span.italic, "")
                    space = spaces[span.bold, span.italic] = _Unit((piece,), piece.width, is_space=True)
                yield space
    if held:
        yield _together(held)


def _asks(following: Sequence[Span], held: Sequence[_Piece], style: TextStyle, width: float) -> bool:
    """Whether a word is answered on the line behind it, which then begins beside it if both fit a line."""
    if not following or not isinstance(following[0], WritingLine):
        return False
    space = text_width(" ", style.regular, style.size)
    return sum(piece.width for piece in held) + space + _written_width(following[0], style, width) <= width


def _is_spelling(before: str, after: str) -> bool:
    """Whether two words are notes of one chord or scale, as in ``(E♭ G B♭)``, between which no line ends."""
    return _NOTE.fullmatch(before.lstrip("([“")) is not None and _NOTE.fullmatch(after.rstrip(")]”.,;:?!")) is not None


def _together(pieces: list[_Piece]) -> _Unit:
    return _Unit(tuple(pieces), sum(piece.width for piece in pieces))


def _words_piece(text: str, style: TextStyle, bold: bool, italic: bool, problem: str) -> _Piece:
    face = style.face(bold, italic)
    shapes = text_shapes(text, 0, 0, face, style.size, style.tone)
    return _Piece(shapes, text_width(text, face, style.size), text, Words(text, bold, italic, problem))


def _writing_piece(width: float) -> _Piece:
    return _Piece((), width, TOLD_LINE, None, is_written_on=True)


def _written_width(span: WritingLine, style: TextStyle, width: float) -> float:
    """As long as typed, but never too short for a hand nor longer than a line."""
    typed = text_width("_" * span.length, style.regular, style.size)
    return min(max(LEAST_WRITING_LINE, typed), width)


def _rule(x: float, width: float, style: TextStyle) -> Line:
    """A fine line just below the base line; in bold letters, which are for those who see little, a thicker one."""
    is_bold = signs_beside(style.regular) is Face.SIGNS_BOLD
    y = 0.12 * style.size
    return Line(x, y, x + width, y, (0.075 if is_bold else 0.055) * style.size, style.tone)


def _symbol_piece(span: ChordName | DegreeName, style: TextStyle, labels: LabelStyle) -> _Piece:
    symbol = span.chord.symbol(labels) if isinstance(span, ChordName) else span.degree.text(labels)
    shapes, width = set_symbol(symbol, 0, 0, style.size, style.face(span.bold, span.italic), style.tone)
    return _Piece(shapes, width, symbol, None)


def _parted(unit: _Unit, style: TextStyle, room: float) -> tuple[_Piece | None, _Piece]:
    """A word in two, the first part with its hyphen as long as fits; none where it cannot be parted so."""
    (piece, *others) = unit.pieces
    words = piece.words
    if others or words is None or words.problem:
        return None, piece
    for place in reversed(parts_of(words.text)):
        head = _words_piece(words.text[:place] + "-", style, words.bold, words.italic, "")
        if head.width <= room:
            return head, _words_piece(words.text[place:], style, words.bold, words.italic, "")
    return None, piece


def _torn(unit: _Unit, style: TextStyle, width: float) -> list[list[_Piece]]:
    """An overlong unit in lines that each hold as much as fits; the last is not full."""
    lines: list[list[_Piece]] = [[]]
    used = 0.0
    for piece in unit.pieces:
        for part in _parts(piece, style, width - used, width):
            if lines[-1] and used + part.width > width:
                lines.append([])
                used = 0.0
            lines[-1].append(part)
            used += part.width
    return lines


def _parts(piece: _Piece, style: TextStyle, first: float, width: float) -> Iterator[_Piece]:
    """Words cut where a line of ``first`` points, and then lines of ``width`` points, are full."""
    words = piece.words
    if words is None or piece.width <= first:
        yield piece
        return
    face = style.face(words.bold, words.italic)
    start, used = 0, 0.0
    for place, sign in enumerate(words.text):
        wide = text_width(sign, face, style.size)
        if used + wide > first and place > start:
            yield _words_piece(words.text[start:place], style, words.bold, words.italic, words.problem)
            start, used, first = place, 0.0, width
        used += wide
    yield _words_piece(words.text[start:], style, words.bold, words.italic, words.problem)


def _finished(pieces: Sequence[_Piece], style: TextStyle) -> SetLine:
    """Pieces set in a row; neighbours of one face become one run, so that a copied line has its spaces.

    What stands behind a line to write on is a run of its own.
    """
    shapes: list[Text] = []
    problems: list[Mark] = []
    rules: list[Line] = []
    x, first = 0.0, 0
    for piece in pieces:
        if piece.is_written_on:
            rules.append(_rule(x, piece.width, style))
            first = len(shapes)
        for shape in piece.shapes:
            last = shapes[-1] if len(shapes) > first else None
            if last is not None and (last.face, last.size, last.y) == (shape.face, shape.size, shape.y):
                shapes[-1] = last._replace(text=last.text + shape.text)
            else:
                shapes.append(shape._replace(x=shape.x + x))
        if piece.words is not None and piece.words.problem:
            box = Box(x, -0.72 * style.size, x + piece.width, 0.24 * style.size)
            problems.append(Mark("problem", piece.text, box, piece.words.problem))
        x += piece.width
    return SetLine(tuple(shapes), x, "".join(piece.text for piece in pieces), tuple(problems), tuple(rules))
