"""How each kind of block is drawn: a table by kind. Drawing is pure, and cached by what a block says, not by its id."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import chain
from typing import Any

from lessonkit.drawing.shapes import INK, Drawing
from lessonkit.drills.choices import ShownAs
from lessonkit.drills.chord_map import ChordMap
from lessonkit.drills.difficulty import difficulty
from lessonkit.drills.exercise import Blank, Exercise, Hand
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.in_letters import by_ear, in_letters
from lessonkit.drills.reach_marks import reach_marks, reach_sentences
from lessonkit.drills.realise import realise
from lessonkit.drills.reasoning import reasons
from lessonkit.drills.setting import Setting
from lessonkit.drills.tempo_ladder import is_dotted, tempo_ladder
from lessonkit.drills.told import caption_told, chance_told, labels_told_once, remarks_told
from lessonkit.drills.told_by import is_struck, told_by_its_chords
from lessonkit.engraving.engrave import engrave
from lessonkit.lesson import prose
from lessonkit.lesson.aids.chords_in_bars import ChordsInBars
from lessonkit.lesson.aids.letter_names import LetterNames
from lessonkit.lesson.aids.shape_pictures import MOST, ShapePictures
from lessonkit.lesson.lesson import (
    LARGEST_STAFF,
    Aid,
    Block,
    DifficultyMap,
    Drill,
    Heading,
    Lesson,
    Note,
    PageBreak,
    Paper,
    Space,
    UnknownAid,
    UnknownDrill,
)
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.prose import Paragraph, ParagraphKind, Span, Words
from lessonkit.lesson.scene import scene_of
from lessonkit.lesson.told_names import with_names_told
from lessonkit.pages.aid_drawing import aid_drawing
from lessonkit.pages.framed import framed
from lessonkit.pages.ladder_drawing import ladder_drawing
from lessonkit.pages.map_drawing import badge_of, map_drawing
from lessonkit.pages.page_look import PageLook, Reading
from lessonkit.pages.paper import MILLIMETRE, SHEETS
from lessonkit.pages.parting import REASONS_FROM_ANSWERS, between_systems
from lessonkit.pages.parts import BlockDrawing, Part, Turn
from lessonkit.pages.prose_drawing import for_teacher, heading_drawing, note_drawing, paragraph_parts
from lessonkit.pages.style import (
    CLOSE,
    CLOSE_POSTER,
    NORMAL,
    POSTER,
    SPACE_ABOVE_DRILL,
    SPACE_BELOW_CAPTION,
    SPACE_BETWEEN_SYSTEMS,
    TextStyle,
)
from lessonkit.pages.text_flow import SetLine, set_lines
from lessonkit.pages.turning import turns_after
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.naming import renamed


def look_of(lesson: Lesson, shows_answers: bool = False) -> PageLook:
    """How the lesson's drills are engraved on its pages."""
    width = SHEETS[lesson.paper].text_width
    # On a sheet twice as large everything is larger, up to what a staff may be.
    is_large = lesson.paper is Paper.A3
    usual, close = (POSTER, CLOSE_POSTER) if is_large else (NORMAL, CLOSE)
    letters = close if lesson.house.is_close else usual
    staff = min(lesson.house.staff_height * usual.scale, LARGEST_STAFF / 10)
    return PageLook(width, staff, lesson.house.label_style, shows_answers, letters=letters)


def draw_block(block: Block, lesson: Lesson, look: PageLook) -> BlockDrawing:
    """Draw a block. Never raises for what a lesson can hold: a drill that cannot be built says why in its place."""
    return DRAWERS[type(block)](block, lesson, look)


def draw_heading(heading: Heading, lesson: Lesson, look: PageLook) -> BlockDrawing:
    """A heading keeps with what follows it."""
    return heading_drawing(heading.text, heading.level, lesson.setting, look)


def draw_note(note: Note, lesson: Lesson, look: PageLook) -> BlockDrawing:
    """A note may part between its lines, but leaves no single line of a paragraph behind or ahead."""
    drawing = note_drawing(note.text, lesson.setting, look)
    return for_teacher(drawing, look) if note.for_teacher else drawing


def draw_drill(drill: Drill, lesson: Lesson, look: PageLook) -> BlockDrawing:
    """A caption with the drill's key and what it is, then its systems."""
    return _drill(drill.family, lesson.setting, look)


def draw_difficulty_map(block: DifficultyMap, lesson: Lesson, look: PageLook) -> BlockDrawing:
    """A caption that says what the map compares, then its table."""
    return _difficulty_map(block.map, lesson.setting, look)


def draw_aid(aid: Aid, lesson: Lesson, look: PageLook) -> BlockDrawing:
    """What the aid shows, in its surroundings."""
    return aid_drawing(aid.shows, scene_of(lesson, aid), look)


def draw_unknown_drill(drill: UnknownDrill, lesson: Lesson, look: PageLook) -> BlockDrawing:
    """A drill of another version keeps its place."""
    return _unknown("drill", drill.code, lesson.setting.label_style, look)


def draw_unknown_aid(aid: UnknownAid, lesson: Lesson, look: PageLook) -> BlockDrawing:
    """An aid of another version keeps its place."""
    return _unknown("aid", aid.code, lesson.setting.label_style, look)


def draw_space(space: Space, lesson: Lesson, look: PageLook) -> BlockDrawing:
    """Nothing, as high as asked."""
    drawing = Drawing(look.width, space.height * MILLIMETRE, (), spoken="space to write in")
    return BlockDrawing((Part(drawing, look.letters.grid),))


def draw_page_break(page_break: PageBreak, lesson: Lesson, look: PageLook) -> BlockDrawing:
    """No drawing; a new page."""
    return BlockDrawing(is_break=True)


DRAWERS: dict[type[Any], Callable[[Any, Lesson, PageLook], BlockDrawing]] = {
    Heading: draw_heading,
    Note: draw_note,
    Drill: draw_drill,
    UnknownDrill: draw_unknown_drill,
    DifficultyMap: draw_difficulty_map,
    Aid: draw_aid,
    UnknownAid: draw_unknown_aid,
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


@lru_cache(maxsize=1024)
def _drill(family: DrillFamily, setting: Setting, look: PageLook) -> BlockDrawing:
    exercise = built(family, setting)
    if isinstance(exercise, str):
        return framed(family.title, exercise, setting.label_style, look)
    style = family.setting_of(setting).label_style
    if style != look.label_style:
        setting, look = replace(setting, label_style=style), replace(look, label_style=style)
    marks = tempo_ladder(family, setting)
    if is_dotted(family) and not marks and look.tells_key:
        # The head counts the tempo in quarter notes; a drill in dotted ones says its own.
        look = replace(look, tempo_mark=f"♩. = {round(setting.tempo * 2 / 3)}")
    try:
        systems = engrave(labels_told_once(exercise), look)
    except ValueError as error:
        return framed(family.title, str(error), setting.label_style, look)
    shown_as = ShownAs.STAVES if exercise.has_answers or look.reading is not Reading.STAFF else family.shown_as
    if shown_as is ShownAs.EAR:
        return note_drawing(by_ear(exercise, setting.label_style), setting, look)
    parts = list(_caption_parts(family, exercise, setting, look))
    if look.shows_answers and not exercise.has_answers:
        # Nothing is asked; the drill has its place in the lesson and only its reasons here.
        return BlockDrawing((*parts, *_why(family, exercise, setting, look)))
    if look.reading is not Reading.STAFF and not look.shows_answers:
        drawn = (aid_drawing(aid, Scene(setting, drill=family), look).parts for aid in _read_by(look.reading, exercise))
        return BlockDrawing(_turned((*parts, *chain.from_iterable(drawn))))
    if shown_as in OTHERWISE:
        return BlockDrawing(_turned((*parts, *OTHERWISE[shown_as](family, exercise, setting, look))))
    if marks and not look.shows_answers:
        ladder = ladder_drawing(marks, "♩." if is_dotted(family) else "♩", look.width, look.letters.caption)
        parts.append(Part(ladder, 0.0, True))
    ends = zip(systems, turns_after(systems, exercise), between_systems(systems, exercise), strict=True)
    for place, (system, turn, parting) in enumerate(ends):
        above = (SPACE_BETWEEN_SYSTEMS if place else SPACE_BELOW_CAPTION) * look.letters.scale
        parts.append(Part(system, above, after=turn, parting=parting))
    besides = _letters(family, exercise, setting, look) if shown_as is ShownAs.LEFT_IN_LETTERS else ()
    below, why = (*_below(family, exercise, setting, look), *besides), _why(family, exercise, setting, look)
    if below and why:
        below = (*below[:-1], replace(below[-1], parting=REASONS_FROM_ANSWERS))
    below = (*below, *why)
    if below:
        parts[-1] = replace(parts[-1], keeps=True)
    return BlockDrawing(_turned((*parts, *below)))


def _turned(parts: Sequence[Part]) -> tuple[Part, ...]:
    """Parts of a drill: behind the last one nothing is being played any more."""
    return (*parts[:-1], replace(parts[-1], after=Turn.FREE))


def _below(family: DrillFamily, exercise: Exercise, setting: Setting, look: PageLook) -> tuple[Part, ...]:
    """What stands below the last system: what a hand cannot span, what is worth knowing, the numbers of chance.

    Remarks name notes and chords: below a worksheet that asks for these they come with its answers.
    """
    labels = setting.label_style
    parts: list[Part] = []
    asked = frozenset() if look.shows_answers else exercise.blank - {Blank.FINGERS}
    if Blank.NOTES not in asked:
        marks = reach_marks(family, setting)
        if Blank.RIGHT_HAND in asked:
            marks = tuple(mark for mark in marks if mark.hand is not Hand.RIGHT)
        parts += _told_parts(reach_sentences(marks), look.letters.caption, labels, look)
    if family.prints_remarks and not asked:
        parts += _told_parts((" ".join(remarks_told(exercise)),), look.letters.small, labels, look)
    sheet = chance_told(family, exercise)
    if sheet and look.shows_answers:
        sheet = f"Answers to {sheet[:1].lower()}{sheet[1:]}"
    parts += _told_parts((sheet,), look.letters.small, labels, look)
    return (*parts[:-1], replace(parts[-1], keeps=False)) if parts else ()


def _why(family: DrillFamily, exercise: Exercise, setting: Setting, look: PageLook) -> tuple[Part, ...]:
    """The way to the answers, on the answer page: one sentence, or a list of several under its name."""
    sentences = reasons(family, exercise, setting.in_english) if look.shows_answers else ()
    if not sentences:
        return ()
    labels, body = setting.label_style, replace(look.letters.caption, tone=INK)
    if len(sentences) == 1:
        paragraphs = [Paragraph(ParagraphKind.BODY, _reason(f"{WHY} ", sentences[0], labels))]
    else:
        paragraphs = [Paragraph(ParagraphKind.BODY, (Words(WHY, bold=True),))]
        for sentence in sentences:
            number, told = _NUMBER.findall(sentence)[0]
            kind = ParagraphKind.NUMBERED_ITEM if number else ParagraphKind.ITEM
            paragraphs.append(Paragraph(kind, _reason("", told, labels), 1, int(number or 0)))
    first, *others = paragraph_parts(paragraphs, body, look.prose_width, labels, look)
    if len(sentences) > 1:
        # The name stands close to its list, and is never left behind.
        first, others[0] = replace(first, keeps=True), replace(others[0], above=0.0)
    return (replace(first, above=SPACE_BELOW_CAPTION * look.letters.scale), *others)


def _reason(begun: str, sentence: str, labels: LabelStyle) -> tuple[Span, ...]:
    spans = (Words(begun, bold=True), Words(sentence)) if begun else (Words(sentence),)
    return with_names_told(spans, labels.notes)


WHY = "Why:"
"""Begins the reasons on an answer page."""

_NUMBER = re.compile(r"^(?:(\d+)\. )?(.*)", re.DOTALL)
"""A reason that belongs to one puzzle of several begins with its number."""


def _caption_parts(family: DrillFamily, exercise: Exercise, setting: Setting, look: PageLook) -> Iterator[Part]:
    """The drill's keys and what it is, with how hard it is at the right where the lesson shows that."""
    summary = exercise.summary or family.summary(setting.in_english)
    keys, summary = caption_told(exercise, summary, look.shows_answers)
    spans = (Words(keys, bold=True), Words(f" · {summary}" if summary else ""))
    band = difficulty(family, setting).band.value if setting.shows_difficulty else ""
    badge = badge_of(band, look.width, look.letters.caption) if band else None
    room = badge.marks[-1].box.left - 2 * look.letters.grid if badge else look.width
    yield from _with_badge(
        set_lines(with_names_told(spans, setting.label_style.notes), look.letters.caption, room, setting.label_style),
        badge,
        look,
    )


def _with_badge(lines: Sequence[SetLine], badge: Drawing | None, look: PageLook) -> Iterator[Part]:
    for place, line in enumerate(lines):
        drawing = line.drawing(look.letters.caption, look.width)
        if badge is not None and place == 0:
            shapes, marks = drawing.shapes + badge.shapes, drawing.marks + badge.marks
            drawing = Drawing(look.width, drawing.height, shapes, marks, f"{drawing.spoken}, {badge.spoken}")
        yield Part(drawing, 0.0 if place else SPACE_ABOVE_DRILL * look.letters.scale, True)


def _told_parts(sentences: Sequence[str], style: TextStyle, labels: LabelStyle, look: PageLook) -> Iterator[Part]:
    """Sentences below a drill, kept with it; in italics, where these do not stand out as they do in large print."""
    above = SPACE_BELOW_CAPTION * look.letters.scale
    for sentence in filter(None, sentences):
        spans = with_names_told((Words(sentence, italic=not look.letters.is_black),), labels.notes)
        for place, line in enumerate(set_lines(spans, style, look.prose_width, labels)):
            yield Part(line.drawing(style, look.width), 0.0 if place else above, True)


READINGS: dict[Reading, PageAid] = {
    Reading.LETTERS: LetterNames(heading_words="-"),
    Reading.PICTURES: ShapePictures(heading_words="-", most=MOST),
    Reading.SYMBOLS: ChordsInBars(heading_words="-"),
}
"""What stands in the place of staves; a test holds that no reading is missing."""


def _read_by(reading: Reading, exercise: Exercise) -> tuple[PageAid, ...]:
    """What stands in the place of the staves of a drill.

    A worksheet is filled in in letters. Pictures do not tell the order of single notes, nor chord symbols a note that
    is not the chord's: letters do.
    """
    letters = READINGS[Reading.LETTERS]
    if exercise.has_answers or (reading is Reading.SYMBOLS and not told_by_its_chords(exercise)):
        return (letters,)
    if reading is Reading.PICTURES and not is_struck(exercise):
        return (READINGS[reading], letters)
    return (READINGS[reading],)


MOST_SHAPES = 12
"""As many shapes of a drill are shown as pictures above its letters."""


def _words(text: str, setting: Setting, look: PageLook) -> tuple[Part, ...]:
    """Words as wide as the staves."""
    labels, above = setting.label_style, 2 * SPACE_BELOW_CAPTION * look.letters.scale
    first, *others = paragraph_parts(prose.read(text, setting), look.letters.body, look.width, labels, look)
    return (replace(first, above=above), *others)


def _letters(family: DrillFamily, exercise: Exercise, setting: Setting, look: PageLook) -> tuple[Part, ...]:
    """The notes in letters; of the left hand alone where the rest is read from staves."""
    hands = (Hand.LEFT,) if family.shown_as is ShownAs.LEFT_IN_LETTERS else exercise.hands
    return _words(in_letters(exercise, hands, setting.label_style), setting, look)


def _shapes(family: DrillFamily, exercise: Exercise, setting: Setting, look: PageLook) -> tuple[Part, ...]:
    """The shapes on the keyboard, and all notes in letters below them."""
    pictures = ShapePictures(heading_words="-", most=MOST_SHAPES, joins_octaves=True)
    drawn = aid_drawing(pictures, Scene(setting, drill=family), look)
    return (*drawn.parts, *_letters(family, exercise, setting, look))


OTHERWISE: dict[ShownAs, Callable[[DrillFamily, Exercise, Setting, PageLook], tuple[Part, ...]]] = {
    ShownAs.LETTERS: _letters,
    ShownAs.PICTURES: _shapes,
}
"""What stands in the place of the staves of one drill."""


@lru_cache(maxsize=256)
def _difficulty_map(map: ChordMap, setting: Setting, look: PageLook) -> BlockDrawing:
    try:
        table = map_drawing(map, setting, look.width, look.letters)
    except ValueError as error:
        return framed(map.title, str(error), setting.label_style, look)
    spans = (
        Words(map.title, bold=True),
        Words(f" · {renamed(map.summary(setting.in_english), setting.label_style.notes)}"),
    )
    caption = _with_badge(set_lines(spans, look.letters.caption, look.width, setting.label_style), None, look)
    return BlockDrawing((*caption, Part(table, SPACE_BELOW_CAPTION * look.letters.scale)))


@lru_cache(maxsize=256)
def _unknown(what: str, code: str, labels: LabelStyle, look: PageLook) -> BlockDrawing:
    sentence = f"This {what} was written by another version of the program. It is kept as it is and comes back there."
    return framed(f"Unknown {what} “{code[:60]}”", sentence, labels, look, fill=0.94)
