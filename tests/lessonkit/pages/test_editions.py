"""Editions of one lesson: who gets what, how large it is, and how pages stand on sheets."""

from __future__ import annotations

import io
from dataclasses import replace

import pikepdf
import pytest

from lessonkit.drawing.shapes import Face, Line, Text
from lessonkit.drills.exercise import Blank
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.family import families
from lessonkit.drills.realise import realise
from lessonkit.drills.worksheet import Worksheet
from lessonkit.handout.imposition import Imposition, booklet_order, imposed
from lessonkit.handout.pdf import pdf_bytes
from lessonkit.lesson.aids.letter_names import ASKED, LetterNames
from lessonkit.lesson.aids.shape_pictures import MOST, ShapePictures
from lessonkit.lesson.edits import set_for_teacher
from lessonkit.lesson.handout_page import page_around
from lessonkit.lesson.lesson import Drill, House, Lesson, Note, PageBreak, Paper
from lessonkit.lesson.page_aid import Scene
from lessonkit.lesson.prose import ChordName
from lessonkit.lesson.shown import Keyboards, Spelled, SpelledBar
from lessonkit.lesson.shown import Text as Words
from lessonkit.pages.blocks import READINGS, look_of
from lessonkit.pages.editions import EDITIONS, Edition, edition_pages
from lessonkit.pages.flow import pages_of
from lessonkit.pages.page import Page
from lessonkit.pages.page_look import Reading
from lessonkit.pages.paper import SHEETS
from lessonkit.pages.prose_drawing import FOR_TEACHER
from lessonkit.pages.style import LARGE, LARGE_LEAST
from lessonkit.storage.lesson_file import lesson_from_bytes, lesson_to_bytes
from lessonkit.theory.key import Key

WORKSHEET = BrokenChords(worksheet=Worksheet.CHORD_NAMES)
LESSON = page_around(
    Lesson(
        "Sevenths", "To know them.", key=Key.parse("Ab"),
        blocks=(Note("For all.", "n"), Note("Watch the thumb.", "t", for_teacher=True), Drill(WORKSHEET, "d")),
    ),
    "d",
)  # fmt: skip


def words_of(pages: tuple[Page, ...]) -> str:
    marks = (mark for page in pages for part in page.parts for mark in part.placed.drawing.marks)
    return "\n".join(mark.detail for mark in marks if mark.kind == "text")


def test_the_tables_of_editions_and_readings_are_whole() -> None:
    """An edition that can be asked for can be printed."""
    assert set(EDITIONS) == set(Edition)
    assert set(READINGS) == set(Reading) - {Reading.STAFF}


def test_who_gets_what() -> None:
    """A student never holds the teacher's notes or the answers."""
    student = words_of(edition_pages(LESSON, Edition.STUDENT))
    teacher = words_of(edition_pages(LESSON, Edition.TEACHER))
    assert "For all." in student
    assert "Watch the thumb." not in student
    assert "Answers" not in student.splitlines()
    assert "Watch the thumb." in teacher
    assert FOR_TEACHER in teacher
    assert "Answers" in teacher.splitlines()
    for edition in (Edition.ANSWERS, Edition.LARGE, Edition.PARENT):
        assert "Watch the thumb." not in words_of(edition_pages(LESSON, edition)), edition
    assert words_of(pages_of(LESSON)) == student


def test_the_answers_stand_alone_on_one_page() -> None:
    """A key is laid beside the sheet, never printed on its back."""
    (page,) = edition_pages(LESSON, Edition.ANSWERS)
    assert "Answers" in words_of((page,))
    none = edition_pages(Lesson(blocks=(Drill(BrokenChords()),)), Edition.ANSWERS)
    assert "asks for anything" in words_of(none)


def test_the_teachers_copy_says_so_on_every_page() -> None:
    """Laid beside the student's it must not be handed out by mistake; no other edition needs a mark."""
    long = replace(LESSON, blocks=(*LESSON.blocks, PageBreak("break"), Note("More.", "more")))
    for edition in Edition:
        pages = edition_pages(long, edition)
        assert all(("Teacher’s copy" in words_of((page,))) == (edition is Edition.TEACHER) for page in pages)


def test_parents_get_words_that_they_know() -> None:
    """No staff, no chord symbol, no degree."""
    pages = edition_pages(LESSON, Edition.PARENT)
    kinds = {mark.kind for page in pages for part in page.parts for mark in part.placed.drawing.marks}
    assert "staff" not in kinds
    assert "How to help in five minutes" in words_of(pages)
    assert "♩" not in words_of(pages)
    assert LESSON.key.ascii not in words_of(pages).split("\n")
    assert words_of(pages).count("Monday") == 1
    assert "Your child should begin with easy, quiet playing" in words_of(pages)
    assert not {"chord", "your teacher"} & {word for word in ("chord", "your teacher") if word in words_of(pages)}
    heads = {
        (text.face, text.size) for page in pages for part in page.parts for text in part.placed.drawing.shapes
        if isinstance(text, Text) and text.text in ("For parents", "How to help in five minutes", "The week",
                                                    "To the teacher", "Take care")
    }  # fmt: skip
    assert len(heads) == 1
    two_days = page_around(
        page_around(replace(LESSON, blocks=(Drill(WORKSHEET, "d"), Drill(WORKSHEET, "e"))), "d"), "e"
    )
    assert words_of(edition_pages(two_days, Edition.PARENT)).count("Monday") == 1


def test_large_print_has_large_bold_letters_and_a_larger_staff() -> None:
    """16 points or more, bold, without serifs (common practice), on a staff of 10 mm or more."""
    pages = edition_pages(LESSON, Edition.LARGE)
    prose = (LARGE.body, LARGE.aims, LARGE.caption, LARGE.small, LARGE.running, LARGE.aid)
    assert all(style.size >= LARGE_LEAST and style.regular is Face.SANS_BOLD for style in prose)
    heads = (LARGE.title, *LARGE.headings, LARGE.aid_heading, LARGE.side_heading)
    assert {style.regular for style in heads} == {style.face(True, False) for style in prose} == {Face.SANS_BLACK}
    assert {style.face(False, True) for style in prose} == {Face.SANS_BLACK}
    texts = [
        shape
        for page in pages
        for part in page.parts
        if not any(mark.kind == "staff" for mark in part.placed.drawing.marks)
        for shape in part.placed.drawing.shapes
        if isinstance(shape, Text) and shape.face is Face.SANS_BOLD and len(shape.text) > 4
    ]
    assert len(texts) > 20
    assert min(text.size for text in texts) >= LARGE_LEAST
    every = [
        shape for page in pages for part in page.parts for shape in part.placed.drawing.shapes
        if isinstance(shape, Text) and shape.face in (Face.SANS_BOLD, Face.SANS_BLACK)
    ]  # fmt: skip
    assert len(every) > len(texts)
    assert {text.tone for text in every} == {0.0, 1.0}
    rules = [
        shape for page in pages for part in page.parts for shape in part.placed.drawing.shapes
        if isinstance(shape, Line)
        and not any(mark.kind in ("staff", "signature") for mark in part.placed.drawing.marks)
    ]  # fmt: skip
    assert rules
    assert all(rule.tone == 0.0 and rule.width >= 1.0 for rule in rules)
    staves = [mark.box for page in pages for part in page.parts for mark in part.placed.drawing.marks
              if mark.kind == "staff"]  # fmt: skip
    assert min(box.bottom - box.top for box in staves) >= 12 * 72 / 25.4 - 1


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("edition", Edition)
def test_every_edition_stays_on_every_paper(paper: Paper, edition: Edition) -> None:
    """What runs off the sheet is lost."""
    lesson = replace(LESSON, paper=paper)
    sheet = SHEETS[paper]
    for page in edition_pages(lesson, edition):
        for part in page.parts:
            for mark in part.placed.drawing.marks:
                box = mark.box.moved(part.placed.x, part.placed.y)
                assert box.left >= sheet.left - 1 or mark.kind != "text", (mark, page.number)
                assert box.right <= sheet.width - sheet.left + 1, (mark, page.number)
                assert box.bottom <= sheet.height - 12, (mark, page.number)


def test_a_sheet_for_both_papers_fits_on_either() -> None:
    """210 by 279.4 mm: the narrower width, the lower height (ISO 216 and ANSI Letter)."""
    both = SHEETS[Paper.BOTH]
    assert both.width == min(SHEETS[Paper.A4].width, SHEETS[Paper.LETTER].width)
    assert both.height == min(SHEETS[Paper.A4].height, SHEETS[Paper.LETTER].height)


def test_the_staff_has_the_height_that_the_lesson_asks_for() -> None:
    """From compact to low vision, 6 to 16 mm; a file of before has the usual one."""
    for tenths in (60, 70, 95, 160):
        lesson = replace(LESSON, house=House(staff_tenths=tenths))
        assert look_of(lesson).staff_height == tenths / 10
        assert lesson_from_bytes(lesson_to_bytes(lesson), "x") == lesson
        assert pages_of(lesson)
    with pytest.raises(ValueError, match=r"a staff of 5\.9 mm is not between 6 and 16 mm"):
        House(staff_tenths=59)


def test_a_note_is_kept_for_the_teacher_by_an_edit_and_in_the_file() -> None:
    """The mark must not be lost on the way."""
    lesson = set_for_teacher(LESSON, "n", True)
    assert "For all." not in words_of(pages_of(lesson))
    assert lesson_from_bytes(lesson_to_bytes(lesson), "x") == lesson


@pytest.mark.parametrize("code", sorted(families()))
def test_letters_and_pictures_say_the_same_notes_as_the_staff(code: str) -> None:
    """All readings of one drill denote the same pitches; of a worksheet that asks for them none tells them."""
    drill, setting = families()[code](), LESSON.setting
    exercise = realise(drill, setting)
    scene = Scene(setting, drill=drill)
    if exercise.blank & {Blank.NOTES, Blank.RIGHT_HAND}:
        (asked,) = ShapePictures(most=MOST).shown(scene)
        assert isinstance(asked, Words)
        hidden = {str(pitch) for event in exercise.events if exercise.hides(event.hand) for pitch in event.pitches}
        hands = [hand for bar in bars_in_letters(scene) for hand in bar.hands if hand.name != "left"]
        told = [note.letters for hand in hands for note in hand.notes]
        assert hidden
        assert not [part for part in told if any(pitch in part for pitch in hidden)]
        return
    pitches = {pitch.midi for event in exercise.events for pitch in event.pitches}
    rows = [one for one in ShapePictures(most=MOST).shown(scene) if isinstance(one, Keyboards)]
    shown = [picture for row in rows for picture in row.pictures]
    assert shown
    if len(shown) < MOST:
        # A single low note under each chord stands in the title of the chord's picture.
        titles = {
            word.rstrip(",") for picture in shown for span in picture.name for word in getattr(span, "text", "").split()
        }
        told = {pitch.midi for event in exercise.events for pitch in event.pitches if str(pitch) in titles}
        assert {key.pitch.midi for picture in shown for key in picture.pressed} | told == pitches
    bars = bars_in_letters(scene)
    if len(exercise.bars) <= len(bars):
        for hand in exercise.hands:
            rows = (one for bar in bars for one in bar.hands if one.name in ("", hand.value))
            said = [note for row in rows for note in row.notes if note.letters not in ("rest", "held", ASKED)]
            events = [event for event in exercise.of(hand) if event.pitches]
            assert [note.letters for note in said] == ["+".join(map(str, event.pitches)) for event in events]
            fingers = ["+".join(str(finger) for finger in event.fingers if finger) for event in events]
            assert [note.fingers for note in said] == fingers or Blank.FINGERS in exercise.blank


def bars_in_letters(scene: Scene) -> list[SpelledBar]:
    """The bars of a drill in letters."""
    return [bar for one in LetterNames().shown(scene) if isinstance(one, Spelled) for bar in one.bars]


def test_a_booklet_is_folded_in_order() -> None:
    """Eight pages: 8 1, 2 7, 6 3, 4 5; six pages leave two blank (common practice of saddle stitching)."""
    assert booklet_order(8) == [(7, 0), (1, 6), (5, 2), (3, 4)]
    assert booklet_order(1) == [(3, 0), (1, 2)]


@pytest.mark.parametrize("imposition", Imposition)
@pytest.mark.parametrize("paper", Paper)
def test_sheets_hold_every_page_once_and_whole(paper: Paper, imposition: Imposition) -> None:
    """Nothing is lost in the folding, nothing hangs over an edge, and a reader of PDF finds it sound."""
    pages = pages_of(replace(LESSON, paper=paper, blocks=LESSON.blocks))
    sheets = imposed(pages, imposition)
    laid = [one for sheet in sheets for one in sheet.pages]
    assert sorted(one.page.number for one in laid) == [page.number for page in pages]
    for sheet in sheets:
        for one in sheet.pages:
            assert one.x >= -0.01
            assert one.y >= -0.01
            assert one.x + one.page.width * one.scale <= sheet.width + 0.01
            assert one.y + one.page.height * one.scale <= sheet.height + 0.01
    data = pdf_bytes(pages, "x", imposition=imposition)
    assert data == pdf_bytes(pages, "x", imposition=imposition)
    with pikepdf.open(io.BytesIO(data)) as document:
        assert not (getattr(document, "check_pdf_syntax", None) or document.check)()
        assert len(document.pages) == len(sheets)


def test_pictures_say_which_chord_and_when() -> None:
    """Twelve bars come from six pictures: their order is told, and the low note stands in the title."""
    drill = families()["twelve-bar-blues"]()
    setting = replace(LESSON.setting, key=Key.parse("A"))
    shown = ShapePictures(most=MOST).shown(Scene(setting, drill=drill))
    pictures = [picture for row in shown if isinstance(row, Keyboards) for picture in row.pictures]
    assert {str(span.chord) for picture in pictures for span in picture.name if isinstance(span, ChordName)} >= {"A7"}
    order = shown[-1]
    assert isinstance(order, Words)
    assert order.text.count("|") >= 11
