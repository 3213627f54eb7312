"""Each kind of block drawn: none is missing, none disappears, and nothing is drawn twice."""

import dataclasses
from dataclasses import replace

import pytest

from lessonkit.drawing.shapes import Drawing, Rect, Text
from lessonkit.drills.choices import ShownAs
from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.realise import realise
from lessonkit.drills.worksheet import Worksheet
from lessonkit.lesson.lesson import (
    KINDS,
    Block,
    DifficultyMap,
    Drill,
    Heading,
    House,
    Lesson,
    Note,
    PageBreak,
    Space,
    UnknownAid,
    UnknownDrill,
)
from lessonkit.pages.blocks import DRAWERS, draw_block, look_of
from lessonkit.pages.paper import MILLIMETRE, TEXT_WIDTH
from lessonkit.pages.parts import BlockDrawing
from lessonkit.pages.style import BODY, PROSE_WIDTH
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import Pitch

LESSON = Lesson("Sevenths", key=Key.parse("Eb"))
IMPOSSIBLE = BrokenChords(lowest=Pitch.parse("C8"))


def drawn(block: Block, lesson: Lesson = LESSON) -> BlockDrawing:
    return draw_block(block, lesson, look_of(lesson))


def words_of(drawing: BlockDrawing) -> list[str]:
    """The words of each part, as they are printed."""
    return ["".join(shape.text for shape in part.drawing.shapes if isinstance(shape, Text)) for part in drawing.parts]


def texts_of(drawing: Drawing) -> list[str]:
    """The texts of a drawing, also of those that lie within it."""
    return [shape.text for shape in drawing.shapes if isinstance(shape, Text)] + [
        mark.detail for mark in drawing.marks if mark.kind == "text"
    ]


def test_every_kind_of_block_has_a_drawer() -> None:
    """A kind without one would stop the whole lesson from being shown."""
    assert set(DRAWERS) == set(KINDS)


@pytest.mark.parametrize(
    "block",
    [
        Heading("A"),
        Note("*a*"),
        Note(""),
        Drill(BrokenChords()),
        UnknownDrill("later", "{}"),
        UnknownAid("later-aid", "{}"),
        DifficultyMap(),
        Space(),
        PageBreak(),
    ],
)
def test_a_drawing_is_made_once_for_what_a_block_says(block: Block) -> None:
    """Typing redraws one block; all others must come from memory, copies with another id too."""
    again = dataclasses.replace(block, id="another")
    assert [part.drawing for part in drawn(block).parts] == [part.drawing for part in drawn(again).parts]
    for first, second in zip(drawn(block).parts, drawn(again).parts, strict=True):
        assert first.drawing is second.drawing or isinstance(block, Space)


@pytest.mark.parametrize("text", ["", " ", "# ", "-", "a" * 3000, "{IVmaj7}" * 100, "漢字 😀", "<b>&amp;</b>"])
def test_any_note_is_drawn_within_the_text(text: str) -> None:
    """Whatever a teacher types stays on the paper."""
    parts = drawn(Note(text)).parts
    assert parts
    for part in parts:
        assert drawn(Note(text)).x + part.drawing.width <= TEXT_WIDTH + 0.01
        for mark in part.drawing.marks:
            assert mark.box.right <= PROSE_WIDTH + 0.01


def test_live_words_follow_the_key_and_the_label_style() -> None:
    """A lesson is carried to another key by changing its key and nothing else."""
    note = Note("Play {IVmaj7} in {key}.")
    house = House(label_style=LabelStyle(major_seventh="Δ7"))
    in_another = dataclasses.replace(LESSON, key=Key.parse("D"), house=house)
    assert words_of(drawn(note)) == ["Play A♭maj7 in E♭ major."]
    assert words_of(drawn(note, in_another)) == ["Play GΔ7 in D major."]


def test_what_is_not_understood_is_marked_on_the_page() -> None:
    """The editor shows the reason where the words stand."""
    (part,) = drawn(Note("Play {IVmaj99}.")).parts
    assert [mark.kind for mark in part.drawing.marks] == ["text", "problem"]


def test_paragraphs_leave_no_single_line_behind_or_ahead() -> None:
    """A widow or an orphan line reads as a slip (common practice, no source)."""
    parts = drawn(Note("word " * 100)).parts
    assert len(parts) > 4
    assert [part.keeps for part in parts] == [True, *[False] * (len(parts) - 3), True, False]


def test_a_sentence_that_ends_in_a_colon_stays_with_the_list() -> None:
    """An announcement at the foot of a page announces nothing."""
    parts = drawn(Note("Like this:\n\n- one\n- two")).parts
    assert [part.keeps for part in parts] == [True, False, False]


def test_items_carry_their_marks_and_hang() -> None:
    """The marks are text, so that a copied list is a list."""
    note = drawn(Note("- one\n- two\n\n3. three\n4. four"))
    assert words_of(note) == ["•one", "•two", "3.three", "4.four"]
    assert len({part.drawing.shapes[-1].x for part in note.parts if isinstance(part.drawing.shapes[-1], Text)}) == 1


def test_a_heading_holds_on_to_what_follows_and_enters_the_outline() -> None:
    """A heading alone at the foot of a page heads nothing."""
    (part,) = drawn(Heading("In {key}", 2)).parts
    assert part.keeps
    assert (part.outline, part.level) == ("In E♭ major", 2)


def test_a_heading_inside_a_note_stands_below_those_of_the_lesson() -> None:
    """The outline shows the lesson's own parts first."""
    parts = drawn(Note("# Listen\n\nto it")).parts
    assert (parts[0].outline, parts[0].level, parts[0].keeps) == ("Listen", 2, True)


def test_a_drill_has_a_caption_with_its_key_that_keeps_with_the_first_system() -> None:
    """Every drill says its key, and says it beside its notes."""
    drawing = drawn(Drill(BrokenChords(octaves=3)))
    assert len(drawing.parts) >= 3
    assert words_of(drawing)[0].startswith("E♭ major · ")
    assert [part.keeps for part in drawing.parts] == [True, *[False] * (len(drawing.parts) - 1)]


@pytest.mark.parametrize("key", ["Eb", "D"])
def test_a_drill_in_letters_follows_the_key(key: str) -> None:
    """The letters are those of the drill as it is, in whatever key the lesson is brought to."""
    lesson = replace(LESSON, key=Key.parse(key))
    drill = BrokenChords(octaves=1, shown_as=ShownAs.LETTERS)
    printed = " ".join(words_of(drawn(Drill(drill), lesson)))
    assert str(Key.parse(key)) in printed
    for pitch in {pitch for event in realise(drill, lesson.setting).events for pitch in event.pitches}:
        assert str(pitch.name) in printed


@pytest.mark.parametrize("key", ["Eb", "D"])
def test_keyboard_pictures_press_the_keys_of_the_drill(key: str) -> None:
    """Each picture has the letters of one of its shapes, and below them stand all its notes."""
    lesson = replace(LESSON, key=Key.parse(key))
    drill = BrokenChords(octaves=1, shown_as=ShownAs.PICTURES)
    drawing = drawn(Drill(drill), lesson)
    names = {str(pitch.name) for event in realise(drill, lesson.setting).events for pitch in event.pitches}
    letters = {text for part in drawing.parts for text in texts_of(part.drawing)}
    assert names <= letters
    below = drawn(Drill(replace(drill, shown_as=ShownAs.LETTERS)), lesson)
    assert words_of(drawing)[-1] == words_of(below)[-1]


@pytest.mark.parametrize("octaves", [2, 3])
def test_a_shape_an_octave_higher_has_no_picture_of_its_own(octaves: int) -> None:
    """A seventh chord has four shapes, however often each comes."""
    drawing = drawn(Drill(BrokenChords(octaves=octaves, shown_as=ShownAs.PICTURES)))
    marks = [mark for part in drawing.parts for mark in part.drawing.marks if mark.kind == "text"]
    numbers = {mark.detail.split()[0] for mark in marks}
    assert {"1.", "2.", "3.", "4."} <= numbers
    assert "5." not in numbers


def test_a_worksheet_is_on_staves_whoever_reads_it() -> None:
    """In letters it would give its answers away."""
    sheet = BrokenChords(worksheet=Worksheet.NOTES)
    assert drawn(Drill(replace(sheet, shown_as=ShownAs.LETTERS))) == drawn(Drill(sheet))


def test_a_drill_that_cannot_be_built_says_why_in_its_place() -> None:
    """A drill that vanished would be looked for in vain."""
    (part,) = drawn(Drill(IMPOSSIBLE)).parts
    assert part.drawing.spoken.startswith("Broken chords. The right hand would reach ")
    assert part.drawing.spoken.endswith(".")


def test_an_unknown_drill_is_shown_with_its_name() -> None:
    """It belongs to a newer version, and is not lost."""
    (part,) = drawn(UnknownDrill("glissandi", "{}")).parts
    assert "glissandi" in part.drawing.spoken


def test_an_unknown_aid_is_shown_grey_with_its_name() -> None:
    """As an unknown drill is; it is not lost, and prints where it will stand again."""
    (part,) = drawn(UnknownAid("sticker-chart", "{}")).parts
    assert part.drawing.spoken.startswith("Unknown aid “sticker-chart”. This aid was written by another version")
    frame = part.drawing.shapes[0]
    assert isinstance(frame, Rect)
    assert frame.fill is not None
    assert 0.9 < frame.fill < 1


def test_space_is_as_high_as_asked() -> None:
    """The writer measured it in millimetres."""
    (part,) = drawn(Space(30)).parts
    assert isinstance(part.drawing, Drawing)
    assert part.drawing.height == pytest.approx(30 * MILLIMETRE)


def test_text_stands_on_the_grid() -> None:
    """A line is two steps of the grid high."""
    assert all(part.drawing.height == BODY.leading for part in drawn(Note("word " * 60)).parts)
