"""Sizes, leading and spaces of a page. Vertical measures are steps of one grid, so that pages are calm."""

from __future__ import annotations

from dataclasses import replace

from lessonkit.drawing.shapes import INK, Face
from lessonkit.values import dataclass

GRID = 7.5
"""Half a line of text, in points; every block begins on it."""

PROSE_WIDTH = 396.0
"""The longest line of prose, about 75 letters: a line as wide as the music would be tiring to read.

Prose ends where music ends; what is left at its left side belongs to headings."""

INDENT = 16.0
"""How far a list item hangs in, for each depth of the list."""

SIDE = 97.0
"""The column at the left in which headings stand beside what they head, in points; music takes the whole width."""

NARROWEST = 420.0
"""The narrowest text, in usual letters, that has such a column."""

GUTTER = 21.0
"""Between two things that stand side by side."""

SOFT, FAINT = 0.35, 0.62
"""Tones for what stands back: captions and running heads; rules and frames."""


@dataclass(frozen=True, slots=True)
class TextStyle:
    """How a paragraph is set: size and leading in points, and a face for each emphasis."""

    size: float
    leading: float
    regular: Face = Face.SERIF
    bold: Face = Face.SERIF_BOLD
    italic: Face = Face.SERIF_ITALIC
    bold_italic: Face = Face.SERIF_BOLD_ITALIC
    tone: float = 0.0
    hyphenates: bool = False
    """Whether a word may be parted where a line would be left short; headings and captions never are."""

    def face(self, is_bold: bool, is_italic: bool) -> Face:
        """The face of an emphasis."""
        if is_italic:
            return self.bold_italic if is_bold else self.italic
        return self.bold if is_bold else self.regular

    @property
    def base_line(self) -> float:
        """How far below the top of a line its base line lies; ascenders and descenders then fill the line evenly."""
        return self.leading / 2 + 0.24 * self.size


BODY = TextStyle(11, 15, hyphenates=True)
AIMS = TextStyle(12, 18, Face.SERIF_ITALIC, Face.SERIF_BOLD_ITALIC, Face.SERIF, Face.SERIF_BOLD)
CAPTION = TextStyle(9.5, 15, tone=0.2)
FACTS = TextStyle(10, 15, tone=SOFT)
SMALL = TextStyle(8.5, 12, tone=SOFT)
RUNNING = replace(SMALL, regular=Face.SERIF_ITALIC)
TITLE = TextStyle(24, 30, Face.SERIF_BOLD, Face.SERIF_BOLD, Face.SERIF_BOLD_ITALIC)
HEADING_1 = TextStyle(16, 22.5, Face.SERIF_BOLD, Face.SERIF_BOLD, Face.SERIF_BOLD_ITALIC)
HEADING_2 = TextStyle(12.5, 15, Face.SERIF_BOLD, Face.SERIF_BOLD, Face.SERIF_BOLD_ITALIC)
HEADING_3 = TextStyle(11, 15, Face.SERIF_BOLD_ITALIC, Face.SERIF_BOLD_ITALIC, Face.SERIF_BOLD)

AID = TextStyle(10, 13, hyphenates=True)
AID_LARGE = TextStyle(11.5, 15, Face.SERIF_ITALIC, Face.SERIF_BOLD_ITALIC, Face.SERIF, Face.SERIF_BOLD)
SIDE_HEADING = TextStyle(11, 15, Face.SERIF_BOLD, Face.SERIF_BOLD, Face.SERIF_BOLD_ITALIC)
AID_HEADING = TextStyle(10, 13, Face.SERIF_BOLD, Face.SERIF_BOLD, Face.SERIF_BOLD_ITALIC)

HEADINGS: dict[int, TextStyle] = {1: HEADING_1, 2: HEADING_2, 3: HEADING_3}
"""The styles of headings by level; deeper ones look like the third."""

SPACE_ABOVE_HEADING: dict[int, float] = {1: 4 * GRID, 2: 3 * GRID, 3: 2 * GRID}
SPACE_ABOVE_SIDE_HEADING = 2 * GRID
SPACE_BELOW_HEADING = 0.5 * GRID
"""Below a heading inside a note."""
SPACE_UNDER_HEADING = GRID
"""The most space below a heading of the lesson, whatever follows it wants."""
SPACE_BETWEEN_BLOCKS = 2 * GRID
SPACE_BETWEEN_PARAGRAPHS = GRID
SPACE_BETWEEN_ITEMS = 0.4 * GRID
SPACE_BETWEEN_SYSTEMS = 1.5 * GRID
SPACE_ABOVE_DRILL = 3 * GRID
SPACE_BELOW_LEADING_AID = 1.5 * GRID
"""The most space between a drill and the aid that leads to it."""
SPACE_BELOW_CAPTION = 0.5 * GRID


@dataclass(frozen=True, eq=False)
class Letters:
    """The styles that belong together on a page; there are few, each made once and told apart by identity.

    ``scale`` is the height of the grid against the usual one; all spaces grow with it.
    """

    name: str
    scale: float
    longest_line: float
    body: TextStyle
    aims: TextStyle
    caption: TextStyle
    facts: TextStyle
    small: TextStyle
    running: TextStyle
    title: TextStyle
    headings: tuple[TextStyle, TextStyle, TextStyle]
    aid: TextStyle
    aid_large: TextStyle
    aid_heading: TextStyle
    side_heading: TextStyle

    @property
    def grid(self) -> float:
        """Half a line of text."""
        return GRID * self.scale

    @property
    def is_black(self) -> bool:
        """Whether nothing on the page is grey or fine, as in large print."""
        return self.small.tone == INK

    def rule(self, width: float, tone: float) -> tuple[float, float]:
        """Width and tone of a rule or a frame that is so wide and so grey in ordinary letters."""
        return (max(2 * width, LEAST_LARGE_RULE), INK) if self.is_black else (width, tone)

    def heading(self, level: int) -> TextStyle:
        """The style of a heading; levels below the third look like it."""
        return self.headings[min(level, 3) - 1]


def scaled(letters: Letters, name: str, factor: float) -> Letters:
    """The same letters larger or smaller, their spaces with them."""

    def sized(style: TextStyle) -> TextStyle:
        return replace(style, size=style.size * factor, leading=style.leading * factor)

    first, second, third = map(sized, letters.headings)
    return Letters(
        name, letters.scale * factor, letters.longest_line * factor, sized(letters.body), sized(letters.aims),
        sized(letters.caption), sized(letters.facts), sized(letters.small), sized(letters.running),
        sized(letters.title), (first, second, third), sized(letters.aid), sized(letters.aid_large),
        sized(letters.aid_heading), sized(letters.side_heading),
    )  # fmt: skip


def _bold_sans(size: float, leading: float) -> TextStyle:
    """Half bold; what stands out, by whatever emphasis, is as heavy as the family has it."""
    return TextStyle(size, leading, Face.SANS_BOLD, Face.SANS_BLACK, Face.SANS_BLACK, Face.SANS_BLACK)


def _black_sans(size: float, leading: float) -> TextStyle:
    return replace(_bold_sans(size, leading), regular=Face.SANS_BLACK)


NORMAL = Letters(
    "normal", 1.0, PROSE_WIDTH, BODY, AIMS, CAPTION, FACTS, SMALL, RUNNING, TITLE, (HEADING_1, HEADING_2, HEADING_3),
    AID, AID_LARGE, AID_HEADING, SIDE_HEADING,
)  # fmt: skip
"""The letters of ordinary handouts."""

LEAST_LARGE_RULE = 1.0
"""No rule of large print is finer, in points."""

LARGE_LEAST = 16.0
"""No letter of large print is smaller, in points (common practice)."""

_LARGE_BODY = replace(_bold_sans(17, 24), hyphenates=True)
LARGE = Letters(
    "large", 1.5, 10_000.0, _LARGE_BODY, _bold_sans(18, 26), _bold_sans(16, 22.5), _bold_sans(16, 22.5),
    _bold_sans(16, 21), _bold_sans(16, 21), _black_sans(26, 34),
    (_black_sans(22, 30), _black_sans(19, 26), _black_sans(17, 24)), _bold_sans(17, 23), _bold_sans(18, 25),
    _black_sans(18, 25), _black_sans(17, 24),
)  # fmt: skip
"""Bold letters without serifs, all of them black, for readers with low vision."""


def closer(letters: Letters, name: str) -> Letters:
    """The same letters with a tenth less space between lines and blocks."""

    def closed(style: TextStyle) -> TextStyle:
        return replace(style, leading=max(style.leading * 0.9, style.size * 1.18))

    first, second, third = map(closed, letters.headings)
    return Letters(
        name, letters.scale * 0.9, letters.longest_line, closed(letters.body), closed(letters.aims),
        closed(letters.caption), closed(letters.facts), closed(letters.small), closed(letters.running),
        closed(letters.title), (first, second, third), closed(letters.aid), closed(letters.aid_large),
        closed(letters.aid_heading), closed(letters.side_heading),
    )  # fmt: skip


CLOSE = closer(NORMAL, "close")
"""The ordinary letters with less space."""

POSTER = scaled(NORMAL, "poster", 1.5)
"""The ordinary letters for A3, whose text is half as wide again as that of A4: lines break at the same words."""

CLOSE_POSTER = closer(POSTER, "close poster")
