"""What stands above and below a drill besides its notes: the tempo ladder, remarks and the numbers of chance."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lessonkit.drawing.shapes import INK, Face, Rect, Text
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.told import labels_told_once
from lessonkit.lesson.lesson import Drill, House, Lesson
from lessonkit.lesson.problems import problems, remarks
from lessonkit.pages.blocks import WHY, draw_block, look_of
from lessonkit.pages.flow import pages_of
from lessonkit.pages.paper import TEXT_WIDTH
from lessonkit.pages.parts import BlockDrawing
from lessonkit.pages.style import LARGE, NORMAL
from lessonkit.theory.key import Key


def lesson_with(code: str, key: str = "Db", tempo: int = 72, **settings: Plain) -> Lesson:
    """A lesson of one drill, written for easy reading."""
    block = Drill(family(code).from_settings(settings), "drill")
    return Lesson("Told", key=Key.parse(key), tempo=tempo, house=House(is_friendly=True), blocks=(block,))


def drawn(lesson: Lesson, shows_answers: bool = False) -> BlockDrawing:
    return draw_block(lesson.blocks[0], lesson, look_of(lesson, shows_answers))


def words_of(drawing: BlockDrawing) -> list[str]:
    """The words of each part, as they are printed."""
    return ["".join(shape.text for shape in part.drawing.shapes if isinstance(shape, Text)) for part in drawing.parts]


@pytest.mark.parametrize(("metre", "ladder", "told"), [("6/8", 0, True), ("4/4", 0, False), ("6/8", 4, False)])
def test_a_drill_in_dotted_beats_says_its_own_tempo(metre: str, ladder: int, told: bool) -> None:
    """The head counts in quarter notes, 72 of which are 48 dotted ones; a ladder says it already."""
    words = words_of(drawn(lesson_with("broken-chords", metre=metre, ladder_steps=ladder, octaves=1)))
    assert sum("♩. = 48" in text for text in words) == told


def test_the_ladder_stands_between_the_line_above_and_the_notes() -> None:
    """A box to each mark, in the note that is counted; it stays with the first system and inside the page."""
    lesson = lesson_with("broken-chords", ladder_steps=8, ladder_start=120, ladder_goal=208, metre="6/8", octaves=1)
    ladder = drawn(lesson).parts[1]
    assert ladder.keeps
    boxes = [shape for shape in ladder.drawing.shapes if isinstance(shape, Rect)]
    assert len(boxes) == 8
    assert words_of(drawn(lesson))[1] == "♩. =120132138152168176192208"
    assert ladder.drawing.spoken.startswith("Tempo ladder: ♩. = 120, 132, 138")
    assert max(box.x + box.width for box in boxes) < TEXT_WIDTH
    assert not any("♩" in words for words in words_of(drawn(lesson, shows_answers=True)))


def test_the_ladder_follows_the_lessons_tempo() -> None:
    """Unless it has a start of its own."""
    assert words_of(drawn(lesson_with("stride", tempo=60, ladder_steps=3)))[1] == "♩ =606672"
    assert words_of(drawn(lesson_with("stride", tempo=80, ladder_steps=3)))[1] == "♩ =808896"


def test_the_numbers_of_chance_stand_on_the_sheet_and_on_its_answers() -> None:
    """The same sheet can be made again, and its answers belong to it."""
    chance: dict[str, Plain] = {"order": "shuffled", "seed": 28, "count": 2, "worksheet": "chord names"}
    lesson = lesson_with("progression-through-keys", **chance)
    for answers, told in ((False, "Sheet 28"), (True, "Answers to sheet 28")):
        assert [words for words in words_of(drawn(lesson, answers)) if "heet" in words] == [told]
    told = [
        placed.placed.drawing.spoken for page in pages_of(lesson, shows_answers=True) for placed in page.parts
    ]  # fmt: skip
    assert (told.count("Sheet 28"), told.count("Answers to sheet 28")) == (1, 1)


def test_what_is_told_below_a_drill_never_stands_out() -> None:
    """In italics on ordinary pages; in large print, which has no italics but what is heaviest, in plain letters."""
    lesson = lesson_with("progression-through-keys", order="shuffled", seed=28, count=2)
    look = look_of(lesson)
    for letters, face in ((NORMAL, Face.SERIF_ITALIC), (LARGE, Face.SANS_BOLD)):
        drawing = draw_block(lesson.blocks[0], lesson, replace(look, letters=letters)).parts[-1].drawing
        assert {shape.face for shape in drawing.shapes if isinstance(shape, Text)} == {face}


@pytest.mark.parametrize(
    ("code", "settings", "caption"),
    [
        ("progression-through-keys", {"count": 4, "order": "round the fifths"},
         "4 keys · Imaj7–vi7–IVmaj7–V7, round the fifths, smooth chords over roots, both hands"),
        ("progression-through-keys", {"count": 1},
         "D♭ major · Imaj7–vi7–IVmaj7–V7, smooth chords over roots, both hands"),
        ("diatonic-ladder", {"octaves": 1},
         "D♭ major · Seventh chords on every other degree, broken, right hand, one octave"),
        ("broken-chords", {"key_count": 2, "octaves": 1},
         "D♭ major and A♭ major · D♭maj7 broken through its inversions in fours, right hand, "
         "one octave up and down, round the fifths"),
    ],
)  # fmt: skip
def test_the_line_above_a_drill_says_its_keys_once(code: str, settings: dict[str, Plain], caption: str) -> None:
    """Four keys in 4 keys, D♭ major in D♭ major, and D♭ major once more over the staff are two times too many."""
    drawing = drawn(lesson_with(code, **settings))
    assert " ".join(part.drawing.spoken for part in drawing.parts[:2]).startswith(caption)
    labels = [words for words in words_of(drawing)[1:] if "major" in words]
    assert len(labels) == (0 if caption.startswith("D♭ major ·") else settings.get("count", settings.get("key_count")))


def test_what_a_label_says_besides_the_only_key_stays() -> None:
    """Swing is said nowhere else."""
    exercise = replace(realise(family("stride")(), Setting(Key.parse("Db"))))
    swung = replace(exercise, bars=(replace(exercise.bars[0], label="D♭ major, swing"), *exercise.bars[1:]))
    assert labels_told_once(swung).bars[0].label == "Swing"
    other = replace(exercise, bars=(replace(exercise.bars[0], label="As written"), *exercise.bars[1:]))
    assert labels_told_once(other) is other


def test_nothing_is_asked_above_answers() -> None:
    """The notes are there."""
    lesson = lesson_with("progression-through-keys", count=1, worksheet="notes")
    assert "notes to fill in" in drawn(lesson).parts[0].drawing.spoken
    assert "to fill in" not in " ".join(words_of(drawn(lesson, shows_answers=True)))


def test_the_way_to_several_answers_is_a_list_in_black() -> None:
    """Under its name, each reason with a dot of its own."""
    lesson = lesson_with("progression-through-keys", count=1, worksheet="chord names and degrees")
    parts = drawn(lesson, shows_answers=True).parts
    (first,) = (place for place, part in enumerate(parts) if part.drawing.spoken == WHY)
    way = parts[first:]
    assert len([part for part in way if part.drawing.spoken.startswith("• ")]) >= 2
    assert {shape.tone for part in way for shape in part.drawing.shapes if isinstance(shape, Text)} == {INK}


def test_what_was_respelled_is_told_below_unless_it_gives_answers_away() -> None:
    """On a worksheet that asks for chords it comes with the answers; a teacher can keep it off the page."""
    told = "Written for easy reading: A♭7♭9: A for B𝄫."
    settings: dict[str, Plain] = {"progression": "V7b9 | Imaj7", "count": 1}
    assert words_of(drawn(lesson_with("progression-through-keys", **settings)))[-1] == told
    sheet = lesson_with("progression-through-keys", **settings, worksheet="chord names")
    assert told not in words_of(drawn(sheet))
    assert told in words_of(drawn(sheet, shows_answers=True))
    off = lesson_with("progression-through-keys", **settings, prints_remarks=False)
    assert told not in words_of(drawn(off))
    assert remarks(off) == (f"blocks[0]: Progression through keys: {told}",)
    assert problems(off) == ()


@pytest.mark.parametrize(("worksheet", "count"), [("nothing", 1), ("right hand", 1), ("notes", 0)])
def test_what_a_hand_cannot_span_is_not_told_of_hidden_notes(worksheet: str, count: int) -> None:
    """Its sentence names them."""
    lesson = lesson_with("left-hand-tenths", touch="solid", hands="both", worksheet=worksheet)
    told = [words for words in words_of(drawn(lesson)) if words.startswith("The left hand needs")]
    assert len(told) == count


def test_a_drill_that_tells_nothing_has_nothing_below_it() -> None:
    """No empty line is left."""
    assert all(drawn(lesson_with("broken-chords", key="C", octaves=1)).parts[-1].drawing.marks)
    assert not drawn(lesson_with("broken-chords", key="C", octaves=1)).parts[-1].keeps
