"""A drawing while it is made: shapes and marks are gathered from the top down, words by the one ruler."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from lessonkit.drawing.shapes import Box, Drawing, Line, Mark, Piece, Rect, Shape, Text
from lessonkit.drills.setting import Setting
from lessonkit.lesson import prose
from lessonkit.lesson.prose import Span
from lessonkit.lesson.told_names import with_names
from lessonkit.pages.page_look import PageLook
from lessonkit.pages.style import FAINT, TextStyle
from lessonkit.pages.text_flow import SetLine, line_of, set_lines


class Sketch:
    """``left`` to ``right`` is the room for what is put next, ``y`` how far down it has come."""

    def __init__(self, width: float, look: PageLook, setting: Setting) -> None:
        self.width = width
        self.look = look
        self.setting = setting
        self.left, self.right, self.y = 0.0, width, 0.0
        self.shapes: list[Shape] = []
        self.marks: list[Mark] = []
        self.words: list[str] = []
        self.pieces: list[Piece] = []
        self.count = 0
        """How many things for a reader have begun; it numbers them."""
        self._within: tuple[tuple[str, int], ...] = ()

    @contextmanager
    def within(self, *kinds: str) -> Iterator[None]:
        """What is put meanwhile lies in such things, outermost first."""
        before = self._within
        for kind in kinds:
            self._within += ((kind, self.count),)
            self.count += 1
        yield
        self._within = before

    @contextmanager
    def piece(self, *kinds: str, words: str | None = None) -> Iterator[None]:
        """What is put meanwhile is one thing for a reader, in such things; its words are those put, or ``words``."""
        first, said = len(self.shapes), len(self.marks)
        with self.within(*kinds):
            yield
            texts = (mark.detail for mark in self.marks[said:] if mark.kind == "text")
            told = " ".join(texts) if words is None else words
            self.pieces.append(Piece(first, len(self.shapes), self._within, told))

    @property
    def room(self) -> float:
        """The width between left and right."""
        return self.right - self.left

    @property
    def scale(self) -> float:
        """How large everything is against the usual."""
        return self.look.letters.scale

    def spans(self, text: str) -> tuple[Span, ...]:
        """The spans of one line of text, live words and chord names read."""
        return with_names(prose.read_line(text, self.setting), self.setting.label_style.notes)

    def set(self, spans: Sequence[Span], style: TextStyle, width: float) -> tuple[SetLine, ...]:
        """Spans as lines no wider than this."""
        return set_lines(spans, style, width, self.setting.label_style)

    def line(self, line: SetLine, style: TextStyle, x: float, y: float) -> float:
        """Put a line with its top at y; answers where it ends."""
        drawing = line.drawing(style, self.width, x)
        self.shapes += [shape._replace(y=shape.y + y) for shape in drawing.shapes if isinstance(shape, Text)]
        self.shapes += [
            rule._replace(y1=rule.y1 + y, y2=rule.y2 + y) for rule in drawing.shapes if isinstance(rule, Line)
        ]
        self.marks += [mark._replace(box=mark.box.moved(0, y)) for mark in drawing.marks]
        self.words.append(line.text)
        return x + line.width

    def text(self, words: str, style: TextStyle, x: float, y: float, align: float = 0.0) -> float:
        """Put plain words with their top at y; ``align`` is 0.5 for words centred on x and 1 for words that end there.

        Answers where they end.
        """
        line = line_of(words, style)
        return self.line(line, style, x - align * line.width, y)

    def join_words(self, first: int) -> None:
        """Words put since then were one sentence over several lines; they are told as one."""
        self.words[first:] = [" ".join(self.words[first:])] if len(self.words) > first else []

    def soft(self, tone: float) -> float:
        """A tone as these letters have it: in large print nothing that is read or written on is grey."""
        return min(tone, self.look.letters.small.tone)

    def rule(self, x1: float, x2: float, y: float, width: float = 0.5, tone: float = FAINT) -> None:
        """A level line."""
        self.shapes.append(Line(x1, y, x2, y, *self.look.letters.rule(width, tone)))

    def box(self, x: float, base_line: float, size: float, tone: float) -> None:
        """An empty box to tick, standing on a base line."""
        top = base_line - size + 0.1 * size
        self.shapes.append(Rect(x, top, size, size, None, *self.look.letters.rule(0.6, tone)))

    def mark(self, kind: str, name: str, box: Box, detail: str = "") -> None:
        """Say what stands where."""
        self.marks.append(Mark(kind, name, box, detail))

    def drawing(self, spoken: str) -> Drawing:
        """What was gathered, as high as it has come."""
        return Drawing(self.width, self.y, tuple(self.shapes), tuple(self.marks), spoken, tuple(self.pieces))
