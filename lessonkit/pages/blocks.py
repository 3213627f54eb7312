"""How each kind of block is drawn: a table by kind. Drawing is pure, and cached by what a block says, not by its id."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from lessonkit.drawing.shapes import Drawing, Mark, Rect, Text
from lessonkit.drills.chord_map import ChordMap
from lessonkit.drills.difficulty import difficulty
from lessonkit.drills.exercise import Blank, Exercise, Hand
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.reach_marks import reach_marks, reach_sentences
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.tempo_ladder import is_dotted, tempo_ladder
from lessonkit.drills.told import chance_told, remarks_told
from lessonkit.engraving.engrave import engrave
from lessonkit.engraving.look import Look
from lessonkit.lesson import prose
from lessonkit.lesson.lesson import (
    Block,
    DifficultyMap,
    Drill,
    Heading,
    Lesson,
    Note,
    PageBreak,
    Space,
    UnknownDrill,
)
from lessonkit.lesson.prose import Paragraph, ParagraphKind, Span, Words
from lessonkit.pages.ladder_drawing import ladder_drawing
from lessonkit.pages.map_drawing import badge_of, map_drawing
from lessonkit.pages.paper import MILLIMETRE, TEXT_WIDTH
from lessonkit.pages.style import (
    BODY,
    CAPTION,
    FAINT,
    GRID,
    HEADINGS,
    INDENT,
    PROSE_WIDTH,
    SMALL,
    SPACE_ABOVE_DRILL,
    SPACE_ABOVE_HEADING,
    SPACE_BELOW_CAPTION,
    SPACE_BELOW_HEADING,
    SPACE_BETWEEN_BLOCKS,
    SPACE_BETWEEN_ITEMS,
    SPACE_BETWEEN_PARAGRAPHS,
    SPACE_BETWEEN_SYSTEMS,
    TextStyle,
)  # fmt: skip
from lessonkit.pages.text_flow import SetLine, line_of, set_lines
from lessonkit.theory.label_style import LabelStyle


@dataclass(frozen=True, slots=True)
class Part:
    """One drawing that is never cut: a line of a note, a caption, a system.

    ``above`` is the space it wants above it, except at the top of a page; ``keeps`` holds it on one page with the
    part that follows, of this block or the next. ``outline`` and ``level`` are set for a heading.
    """

    drawing: Drawing
    above: float = 0.0
    keeps: bool = False
    outline: str = ""
    level: int = 0


@dataclass(frozen=True, slots=True)
class BlockDrawing:
    """A block as parts from top to bottom; ``is_break`` asks for a new page instead."""

    parts: tuple[Part, ...] = ()
    is_break: bool = False


def look_of(lesson: Lesson, shows_answers: bool = False) -> Look:
    """How the lesson's drills are engraved on its pages."""
    return Look(TEXT_WIDTH, label_style=lesson.house.label_style, shows_answers=shows_answers)


def draw_block(block: Block, lesson: Lesson, look: Look) -> BlockDrawing:
    """Draw a block. Never raises for what a lesson can hold: a drill that cannot be built says why in its place."""
    return DRAWERS[type(block)](block, lesson.setting, look)


def draw_heading(heading: Heading, setting: Setting, look: Look) -> BlockDrawing:
    """A heading keeps with what follows it."""
    return _heading(heading.text, heading.level, setting)


def draw_note(note: Note, setting: Setting, look: Look) -> BlockDrawing:
    """A note may part between its lines, but leaves no single line of a paragraph behind or ahead."""
    return _note(note.text, setting)


def draw_drill(drill: Drill, setting: Setting, look: Look) -> BlockDrawing:
    """A caption with the drill's key and what it is, then its systems."""
    return _drill(drill.family, setting, look)


def draw_difficulty_map(block: DifficultyMap, setting: Setting, look: Look) -> BlockDrawing:
    """A caption that says what the map compares, then its table."""
    return _difficulty_map(block.map, setting)


def draw_unknown_drill(drill: UnknownDrill, setting: Setting, look: Look) -> BlockDrawing:
    """A drill of another version keeps its place."""
    return _unknown_drill(drill.code, setting.label_style)


def draw_space(space: Space, setting: Setting, look: Look) -> BlockDrawing:
    """Nothing, as high as asked."""
    return BlockDrawing((Part(Drawing(TEXT_WIDTH, space.height * MILLIMETRE, (), spoken="space to write in"), GRID),))


def draw_page_break(page_break: PageBreak, setting: Setting, look: Look) -> BlockDrawing:
    """No drawing; a new page."""
    return BlockDrawing(is_break=True)


DRAWERS: dict[type[Any], Callable[[Any, Setting, Look], BlockDrawing]] = {
    Heading: draw_heading,
    Note: draw_note,
    Drill: draw_drill,
    UnknownDrill: draw_unknown_drill,
    DifficultyMap: draw_difficulty_map,
    Space: draw_space,
    PageBreak: draw_page_break,
}
"""Every kind of block and who draws it; a test holds that none is missing."""


@lru_cache(maxsize=2048)
def built(family: DrillFamily, setting: Setting) -> Exercise | str:
    """The exercise of a drill, or the sentence that says why there is none. Cached by value."""
    try:
        return realise(family, setting)
    except ValueError as error:
        return str(error)


def paragraph_parts(
    paragraphs: Sequence[Paragraph], style: TextStyle, width: float, labels: LabelStyle
) -> tuple[Part, ...]:
    """Paragraphs as lines in a style, spaced and kept together as prose is."""
    parts: list[Part] = []
    before: Paragraph | None = None
    for place, paragraph in enumerate(paragraphs):
        following = paragraphs[place + 1] if place + 1 < len(paragraphs) else None
        parts += _paragraph_parts(paragraph, before, following, style, width, labels)
        before = paragraph
    return tuple(parts)


@lru_cache(maxsize=2048)
def _heading(text: str, level: int, setting: Setting) -> BlockDrawing:
    spans = prose.read_line(text, setting)
    return BlockDrawing(_heading_parts(spans, level, SPACE_ABOVE_HEADING[min(level, 3)], setting.label_style))


def _heading_parts(spans: tuple[Span, ...], level: int, above: float, labels: LabelStyle) -> tuple[Part, ...]:
    style = HEADINGS[min(level, 3)]
    words = prose.plain_line(spans, labels).strip()
    parts = []
    for place, line in enumerate(set_lines(spans, style, TEXT_WIDTH, labels)):
        drawing = line.drawing(style, TEXT_WIDTH)
        parts.append(Part(drawing, 0.0 if place else above, True, "" if place else words, level))
    return tuple(parts)


@lru_cache(maxsize=2048)
def _note(text: str, setting: Setting) -> BlockDrawing:
    parts = paragraph_parts(prose.read(text, setting), BODY, PROSE_WIDTH, setting.label_style)
    if not parts:
        # An empty note keeps a line, so that there is something to select and write into.
        parts = (Part(Drawing(TEXT_WIDTH, BODY.leading, (), spoken="empty note")),)
    return BlockDrawing((replace(parts[0], above=max(parts[0].above, SPACE_BETWEEN_BLOCKS)), *parts[1:]))


def _paragraph_parts(
    paragraph: Paragraph, before: Paragraph | None, following: Paragraph | None,
    style: TextStyle, width: float, labels: LabelStyle,
) -> tuple[Part, ...]:  # fmt: skip
    if paragraph.kind is ParagraphKind.HEADING:
        # The headings of a note stand below those of the lesson.
        level = min(paragraph.level + 1, 3)
        return _heading_parts(paragraph.spans, level, SPACE_ABOVE_HEADING[level] if before else 0.0, labels)
    indent = INDENT * paragraph.level
    lines = set_lines(paragraph.spans, style, width - indent, labels)
    above = _space_between(before, paragraph)
    leads_on = _leads_on(paragraph, following)
    parts = []
    for place, line in enumerate(lines):
        mark = _item_mark(paragraph, style, indent) if place == 0 else ()
        drawing = line.drawing(style, TEXT_WIDTH, indent, mark)
        left = len(lines) - 1 - place
        # The first two lines stay together, and the last two.
        keeps = (place == 0 and left > 0) or left == 1 or (left == 0 and leads_on)
        parts.append(Part(drawing, 0.0 if place else above, keeps))
    return tuple(parts)


def _space_between(before: Paragraph | None, paragraph: Paragraph) -> float:
    if before is None:
        return 0.0
    if before.kind is ParagraphKind.HEADING:
        return SPACE_BELOW_HEADING
    if before.level and paragraph.level:
        return SPACE_BETWEEN_ITEMS
    return SPACE_BETWEEN_PARAGRAPHS


def _leads_on(paragraph: Paragraph, following: Paragraph | None) -> bool:
    """A sentence that announces a list stays with its first item."""
    is_item = following is not None and following.kind in (ParagraphKind.ITEM, ParagraphKind.NUMBERED_ITEM)
    last = paragraph.spans[-1] if paragraph.spans else None
    return is_item and isinstance(last, Words) and last.text.rstrip().endswith(":")


def _item_mark(paragraph: Paragraph, style: TextStyle, indent: float) -> tuple[Text, ...]:
    if paragraph.kind is ParagraphKind.ITEM:
        line = line_of("•" if paragraph.level == 1 else "–", style)
        x = indent - INDENT + 3
    elif paragraph.kind is ParagraphKind.NUMBERED_ITEM:
        line = line_of(f"{paragraph.number}.", style)
        x = max(0.0, indent - 5 - line.width)
    else:
        return ()
    return tuple(shape._replace(x=shape.x + x) for shape in line.shapes)


@lru_cache(maxsize=1024)
def _drill(family: DrillFamily, setting: Setting, look: Look) -> BlockDrawing:
    exercise = built(family, setting)
    if isinstance(exercise, str):
        return _framed(family.title, exercise, setting.label_style)
    style = family.setting_of(setting).label_style
    if style != look.label_style:
        setting, look = replace(setting, label_style=style), replace(look, label_style=style)
    try:
        systems = engrave(exercise, look)
    except ValueError as error:
        return _framed(family.title, str(error), setting.label_style)
    parts = list(_caption_parts(family, exercise, setting))
    marks = tempo_ladder(family, setting)
    if marks and not look.shows_answers:
        parts.append(Part(ladder_drawing(marks, "♩." if is_dotted(family) else "♩"), 0.0, True))
    for place, system in enumerate(systems):
        parts.append(Part(system, SPACE_BETWEEN_SYSTEMS if place else SPACE_BELOW_CAPTION))
    below = _below(family, exercise, setting, look.shows_answers)
    if below:
        parts[-1] = replace(parts[-1], keeps=True)
    return BlockDrawing((*parts, *below))


def _below(family: DrillFamily, exercise: Exercise, setting: Setting, shows_answers: bool) -> tuple[Part, ...]:
    """What stands below the last system: what a hand cannot span, what is worth knowing, the numbers of chance.

    Remarks name notes and chords: below a worksheet that asks for these they come with its answers.
    """
    labels = setting.label_style
    parts: list[Part] = []
    asked = frozenset() if shows_answers else exercise.blank - {Blank.FINGERS}
    if Blank.NOTES not in asked:
        marks = reach_marks(family, setting)
        if Blank.RIGHT_HAND in asked:
            marks = tuple(mark for mark in marks if mark.hand is not Hand.RIGHT)
        parts += _told_parts(reach_sentences(marks), CAPTION, labels)
    if family.prints_remarks and not asked:
        parts += _told_parts((" ".join(remarks_told(exercise)),), SMALL, labels)
    parts += _told_parts((chance_told(family, exercise),), SMALL, labels)
    return (*parts[:-1], replace(parts[-1], keeps=False)) if parts else ()


def _caption_parts(family: DrillFamily, exercise: Exercise, setting: Setting) -> Iterator[Part]:
    """The drill's keys and what it is, with how hard it is at the right where the lesson shows that."""
    summary = exercise.summary or family.summary(setting)
    spans = (Words(keys_in_words(exercise), bold=True), Words(f" · {summary}" if summary else ""))
    band = difficulty(family, setting).band.value if setting.shows_difficulty else ""
    badge = badge_of(band) if band else None
    room = badge.marks[-1].box.left - 2 * GRID if badge else TEXT_WIDTH
    yield from _with_badge(set_lines(spans, CAPTION, room, setting.label_style), badge)


def _with_badge(lines: Sequence[SetLine], badge: Drawing | None) -> Iterator[Part]:
    for place, line in enumerate(lines):
        drawing = line.drawing(CAPTION, TEXT_WIDTH)
        if badge is not None and place == 0:
            shapes, marks = drawing.shapes + badge.shapes, drawing.marks + badge.marks
            drawing = Drawing(TEXT_WIDTH, drawing.height, shapes, marks, f"{drawing.spoken}, {badge.spoken}")
        yield Part(drawing, 0.0 if place else SPACE_ABOVE_DRILL, True)


def _told_parts(sentences: Sequence[str], style: TextStyle, labels: LabelStyle) -> Iterator[Part]:
    """Sentences below a drill, in italics and kept with it."""
    for sentence in filter(None, sentences):
        for place, line in enumerate(set_lines((Words(sentence, italic=True),), style, PROSE_WIDTH, labels)):
            yield Part(line.drawing(style, TEXT_WIDTH), 0.0 if place else SPACE_BELOW_CAPTION, True)


@lru_cache(maxsize=256)
def _difficulty_map(map: ChordMap, setting: Setting) -> BlockDrawing:
    try:
        table = map_drawing(map, setting)
    except ValueError as error:
        return _framed(map.title, str(error), setting.label_style)
    spans = (Words(map.title, bold=True), Words(f" · {map.summary(setting)}"))
    caption = _with_badge(set_lines(spans, CAPTION, TEXT_WIDTH, setting.label_style), None)
    return BlockDrawing((*caption, Part(table, SPACE_BELOW_CAPTION)))


def keys_in_words(exercise: Exercise) -> str:
    """The keys of an exercise: one or two by name, more by their number, and so where they are to be found."""
    keys = list(dict.fromkeys(bar.key for bar in exercise.bars if bar.key is not None)) or [exercise.key]
    if Blank.KEY in exercise.blank:
        kind = exercise.key.mode.word
        return f"{len(keys)} {kind} keys to find" if len(keys) > 1 else f"A {kind} key to find"
    if len(keys) > 2:
        return f"{len(keys)} keys"
    return " and ".join(str(key) for key in keys)


@lru_cache(maxsize=256)
def _unknown_drill(code: str, labels: LabelStyle) -> BlockDrawing:
    sentence = "This drill was written by another version of the program. It is kept as it is and comes back there."
    return _framed(f"Unknown drill “{code[:60]}”", sentence, labels, fill=0.94)


def _framed(title: str, sentence: str, labels: LabelStyle, fill: float | None = None) -> BlockDrawing:
    """A quiet frame with a sentence, in the place of what cannot be drawn."""
    inset = 1.5 * GRID
    sentence = sentence[:1].upper() + sentence[1:].rstrip(".") + "."
    spans = (Words(title, bold=True), Words(f" · {sentence}"))
    lines = set_lines(spans, CAPTION, PROSE_WIDTH - 2 * inset, labels)
    height = len(lines) * CAPTION.leading + GRID
    stroke = 0.0 if fill is not None else 0.6
    shapes: list[Any] = [Rect(0.3, 0.3, PROSE_WIDTH - 0.6, height - 0.6, fill, stroke, FAINT, round=3)]
    marks: list[Mark] = []
    for place, line in enumerate(lines):
        drawn = line.drawing(CAPTION, TEXT_WIDTH, inset)
        down = GRID / 2 + place * CAPTION.leading
        shapes += [shape._replace(y=shape.y + down) for shape in drawn.shapes if isinstance(shape, Text)]
        marks += [mark._replace(box=mark.box.moved(0, down)) for mark in drawn.marks]
    drawing = Drawing(TEXT_WIDTH, height, tuple(shapes), tuple(marks), f"{title}. {sentence}")
    return BlockDrawing((Part(drawing, SPACE_BETWEEN_BLOCKS),))
