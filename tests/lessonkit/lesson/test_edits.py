"""Edits, undo, what changed, presets: functions from lesson to lesson, and the list they leave behind."""

from __future__ import annotations

import dataclasses
from typing import ClassVar

import pytest
from hypothesis import given
from hypothesis import strategies as some

from lessonkit.drills import fields
from lessonkit.drills.family import DrillFamily, families
from lessonkit.drills.listed_keys import listed_keys, names_of_list
from lessonkit.drills.realise import realise
from lessonkit.lesson import edits
from lessonkit.lesson.change import Change, change_between
from lessonkit.lesson.history import History
from lessonkit.lesson.lesson import (
    Block,
    Drill,
    Heading,
    House,
    Lesson,
    Note,
    PageBreak,
    Paper,
    Space,
    UnknownDrill,
    clean_line,
    clean_text,
)
from lessonkit.lesson.presets import Preset, renamed_preset, with_preset, without_preset
from lessonkit.theory.key import MAJOR_KEYS, Key, Mode


@dataclasses.dataclass(frozen=True)
class TwoKeys(DrillFamily):
    """A family of this test's own, with keys in a list beside its own key."""

    code: ClassVar[str] = "two-keys"
    title: ClassVar[str] = "Two keys"
    keys: tuple[Key, ...] = fields.keys(label="Keys")
    times: int = fields.whole(2, least=1, most=4, label="Times")


def lesson_of(*names: str) -> Lesson:
    """A lesson of small notes whose ids are their texts."""
    return Lesson(blocks=tuple(Note(name, name) for name in names))


def ids(lesson: Lesson) -> str:
    return "".join(block.id for block in lesson.blocks)


ABCDE = lesson_of(*"abcde")


def test_the_head_of_a_lesson_is_set_and_cleaned() -> None:
    """Pasted titles come with line breaks and worse."""
    lesson = edits.set_title(ABCDE, "  A\r\nnew\ttitle\x07 ")
    lesson = edits.set_aims(lesson, "one\r\ntwo\x00\ud800")
    lesson = edits.set_author(lesson, " R. Lind \n")
    lesson = edits.set_tempo(edits.set_key(lesson, Key.parse("Ab")), 96)
    lesson = edits.set_house(edits.set_paper(lesson, Paper.LETTER), House(is_friendly=True))
    assert (lesson.title, lesson.aims, lesson.author) == ("A new title", "one\ntwo", "R. Lind")
    assert (lesson.key, lesson.tempo, lesson.paper) == (Key.parse("Ab"), 96, Paper.LETTER)
    assert lesson.setting.is_friendly
    assert lesson.blocks is ABCDE.blocks


@pytest.mark.parametrize("at", range(6))
def test_a_block_goes_where_it_is_put(at: int) -> None:
    """The place is the block's own afterwards, from the first to past the last."""
    assert edits.insert_block(ABCDE, at, Note("x", "x")).place_of("x") == at


def test_pasted_blocks_get_new_ids_where_theirs_are_taken() -> None:
    """Blocks copied in a lesson are pasted into the same one; two blocks must not share an id."""
    pasted = edits.insert_blocks(ABCDE, 1, (Note("b", "b"), Note("x", "x"), Note("x", "x")))
    assert [getattr(block, "text", "") for block in pasted.blocks] == list("abxxbcde")
    assert len({block.id for block in pasted.blocks}) == 8
    assert pasted.blocks[2].id == "x"


def test_blocks_are_replaced_deleted_and_duplicated() -> None:
    """The small change of writing a lesson."""
    assert edits.replace_block(ABCDE, Heading("h", 2, "c")).block("c") == Heading("h", 2, "c")
    assert ids(edits.delete_blocks(ABCDE, {"b", "e"})) == "acd"
    double = edits.duplicate_blocks(ABCDE, {"b", "d"})
    assert [getattr(block, "text", "") for block in double.blocks] == list("abcdbde")
    assert len(edits.duplicate_block(ABCDE, "a").blocks) == 6


@pytest.mark.parametrize(
    ("moved", "before", "expected"),
    [("a", 5, "bcdea"), ("e", 0, "eabcd"), ("bd", 0, "bdace"), ("bd", 5, "acebd"),
     ("bd", 3, "acbde"), ("c", 2, "abcde")],
)  # fmt: skip
def test_blocks_move_before_the_block_at_a_place(moved: str, before: int, expected: str) -> None:
    """What is dragged keeps its own order wherever it is dropped."""
    assert ids(edits.move_blocks(ABCDE, set(moved), before)) == expected


@given(some.sampled_from("abcde"), some.integers(0, 4))
def test_one_block_moved_stands_where_it_was_sent(name: str, to: int) -> None:
    """The place is counted afterwards, and the others keep their order."""
    moved = edits.move_block(ABCDE, name, to)
    assert moved.place_of(name) == to
    assert ids(moved).replace(name, "") == "abcde".replace(name, "")


@pytest.mark.parametrize(
    ("shifted", "by", "expected"),
    [("b", -1, "bacde"), ("b", 1, "acbde"), ("a", -1, "abcde"), ("e", 1, "abcde"), ("bc", 1, "adbce"),
     ("bd", 1, "acebd"), ("c", -9, "cabde"), ("", 1, "abcde")],
)  # fmt: skip
def test_blocks_shift_up_and_down_as_far_as_it_goes(shifted: str, by: int, expected: str) -> None:
    """Alt+Up held down stops at the top."""
    assert ids(edits.shift_blocks(ABCDE, set(shifted), by)) == expected


def test_a_block_or_place_that_is_not_there_is_refused() -> None:
    """A view that lags behind must be found out, not obeyed."""
    with pytest.raises(KeyError):
        edits.delete_blocks(ABCDE, {"z"})
    with pytest.raises(KeyError):
        edits.replace_block(ABCDE, Note("z", "z"))
    with pytest.raises(IndexError):
        edits.insert_block(ABCDE, 6, Note("x", "x"))
    with pytest.raises(TypeError):
        edits.set_note_text(Lesson(blocks=(Space(20, "s"),)), "s", "words")
    with pytest.raises(TypeError):
        edits.set_drill_setting(ABCDE, "a", "octaves", 3)


def test_a_setting_of_a_drill_is_changed_or_refused_by_name() -> None:
    """The form passes values, the command line text; both end in the same sentence."""
    lesson = Lesson(blocks=(Drill(TwoKeys(), "d"),))
    changed = edits.set_drill_setting(lesson, "d", "times", 3)
    assert changed == edits.set_drill_text(lesson, "d", "times", "3")
    assert isinstance(changed.blocks[0], Drill)
    assert changed.blocks[0].family == TwoKeys(times=3)
    with pytest.raises(ValueError, match=r"^times: 9 is more than 4$"):
        edits.set_drill_setting(lesson, "d", "times", 9)
    with pytest.raises(ValueError, match=r"^times: 9 is more than 4$"):
        edits.set_drill_text(lesson, "d", "times", "9")
    with pytest.raises(ValueError, match=r"^colour: Two keys has no such setting"):
        edits.set_drill_setting(lesson, "d", "colour", "red")


def test_transposing_takes_drills_with_their_own_keys_along() -> None:
    """A drill in the dominant of C stands in the dominant of E flat afterwards; one that follows the lesson follows."""
    keys = tuple(Key.parse(text) for text in ("C", "F", "Am", "D dorian"))
    lesson = Lesson(blocks=(Drill(TwoKeys(key=Key.parse("G"), keys=keys), "d"), Drill(TwoKeys(), "e"), Note("n", "n")))
    moved = edits.transposed(lesson, Key.parse("Eb"))
    expected = tuple(Key.parse(text) for text in ("Eb", "Ab", "Cm", "F dorian"))
    assert moved.key == Key.parse("Eb")
    assert [getattr(block, "family", None) for block in moved.blocks] == [
        TwoKeys(key=Key.parse("Bb"), keys=expected), TwoKeys(), None,
    ]  # fmt: skip


@given(some.sampled_from(MAJOR_KEYS), some.sampled_from(MAJOR_KEYS), some.sampled_from(list(Mode)))
def test_a_moved_key_sounds_an_interval_higher_and_can_be_written(start: Key, end: Key, mode: Mode) -> None:
    """D♭ and not C♯: a moved key has six accidentals at most, the choice at six being the house's."""
    semitones = end.tonic.pitch_class - start.tonic.pitch_class
    key = Key(Key.parse("D").tonic, mode)
    for prefers_flats in (True, False):
        moved = edits.key_moved(key, semitones, prefers_flats)
        assert (moved.tonic.pitch_class - key.tonic.pitch_class - semitones) % 12 == 0
        assert moved.mode is mode
        assert abs(moved.signature) <= 6
        if abs(moved.signature) == 6:
            assert (moved.signature == -6) is prefers_flats


def test_undo_and_redo_walk_the_lessons_with_their_labels() -> None:
    """The label is what the menu shows."""
    history = History(ABCDE)
    assert (history.undo_label, history.redo_label, history.has_unsaved) == ("", "", False)
    shorter, longer = lesson_of("a"), lesson_of(*"abcdef")
    assert history.edit("Delete blocks", shorter)
    assert history.edit("Insert notes", longer)
    assert not history.edit("Nothing", lesson_of(*"abcdef"))
    assert history.labels == ("Delete blocks", "Insert notes")
    assert history.undo() is shorter
    assert (history.undo_label, history.redo_label) == ("Delete blocks", "Insert notes")
    assert history.undo() is ABCDE
    assert history.undo() is ABCDE
    assert history.redo() is shorter
    assert history.redo() is longer
    assert history.redo() is longer
    history.undo()
    history.edit("Other way", lesson_of("x"))
    assert history.redo_label == ""
    assert history.labels == ("Delete blocks", "Other way")


def test_typing_in_one_note_is_one_step() -> None:
    """Undo takes back a thought, not a letter."""
    history = History(ABCDE)
    for text in ("x", "xy", "xyz"):
        history.edit("Edit note", edits.set_note_text(history.lesson, "a", text), merge_key="note a")
    history.edit("Edit note", edits.set_note_text(history.lesson, "b", "other"), merge_key="note b")
    assert history.labels == ("Edit note", "Edit note")
    history.undo()
    history.undo()
    assert history.lesson is ABCDE


def test_a_pause_an_undo_or_a_save_ends_the_merging() -> None:
    """Otherwise typing on after a save would undo to before the save."""
    history = History(ABCDE)

    def typed(text: str) -> int:
        history.edit("Edit note", edits.set_note_text(history.lesson, "a", text), merge_key="note a")
        return len(history.labels)

    assert typed("1") == 1
    history.settle()
    assert typed("2") == 2
    history.mark_saved()
    assert not history.has_unsaved
    assert typed("3") == 3
    assert history.has_unsaved
    history.undo()
    assert not history.has_unsaved
    assert typed("4") == 3
    history.undo()
    history.redo()
    assert typed("5") == 4


def test_a_recovered_lesson_is_unsaved_from_the_start() -> None:
    """Closing the window right after recovery must ask."""
    history = History(ABCDE)
    history.mark_unsaved()
    assert history.has_unsaved


def test_change_names_added_removed_changed_and_moved_blocks() -> None:
    """Only these are drawn again."""
    after = Lesson(blocks=(*(Note(name, name) for name in "eab"), Note("new c", "c"), Note("x", "x")), title="T")
    change = change_between(ABCDE, after)
    assert change == Change(added=("x",), removed=("d",), changed=("c",), moved=("e",), is_head_changed=True)
    assert change_between(ABCDE, edits.set_key(ABCDE, Key.parse("F"))) == Change(is_setting_changed=True)
    assert not change_between(ABCDE, lesson_of(*"abcde"))


@given(some.permutations("abcdefg"))
def test_the_moved_blocks_are_as_few_as_can_be(order: list[str]) -> None:
    """Against trying every subset: without the moved ones the rest is in order, and no fewer would do."""
    moved = change_between(lesson_of(*"abcdefg"), lesson_of(*order)).moved
    rest = [name for name in order if name not in moved]
    assert rest == sorted(rest)
    longest = 0
    for bits in range(1 << len(order)):
        chosen = [name for place, name in enumerate(order) if bits >> place & 1]
        if chosen == sorted(chosen):
            longest = max(longest, len(chosen))
    assert len(rest) == longest


def test_presets_keep_one_block_a_name_in_order() -> None:
    """Saving under a name again is how a preset is changed."""
    presets = with_preset(with_preset((), Preset("warm-up", Note("w"))), Preset("Ending", Heading("e")))
    presets = with_preset(presets, Preset("Warm-Up", Note("w2", "n")))
    assert [preset.name for preset in presets] == ["Ending", "Warm-Up"]
    block = presets[1].new_block()
    assert isinstance(block, Note)
    assert (block.text, block.id == "n") == ("w2", False)
    assert [preset.name for preset in without_preset(presets, "ENDING")] == ["Warm-Up"]


def test_a_preset_takes_no_other_ones_name() -> None:
    """Renaming keeps the block; a name that is taken would lose the other one."""
    presets = with_preset(with_preset((), Preset("Warm-up", Note("w"))), Preset("Ending", Heading("e")))
    renamed = renamed_preset(presets, "warm-up", "  Begin\there ")
    assert [preset.name for preset in renamed] == ["Begin here", "Ending"]
    assert renamed[0].block == presets[1].block
    assert renamed_preset(presets, "Ending", "ENDING")[0].name == "ENDING"
    with pytest.raises(ValueError, match="already"):
        renamed_preset(presets, "Ending", "warm-UP")
    with pytest.raises(ValueError, match="needs a name"):
        renamed_preset(presets, "Ending", " ")
    with pytest.raises(KeyError):
        renamed_preset(presets, "Middle", "End")
    with pytest.raises(ValueError, match="needs a name"):
        Preset("  ", Note("x"))


@pytest.mark.parametrize(
    "make",
    [
        lambda: Heading("two\nlines"),
        lambda: Heading("x" * 301),
        lambda: Heading("x", 3),
        lambda: Heading("x", 0),
        lambda: Note("bell \x07"),
        lambda: Note("half \ud800"),
        lambda: Note("x" * 50_001),
        lambda: Space(0),
        lambda: Space(251),
        lambda: PageBreak("no blanks"),
        lambda: PageBreak(""),
        lambda: UnknownDrill("two\nlines", "{}"),
        lambda: Lesson(tempo=10),
        lambda: Lesson(title="\n"),
        lambda: Lesson(aims="\x00"),
        lambda: Lesson(blocks=(PageBreak("a"), PageBreak("a"))),
        lambda: Lesson(blocks=tuple(PageBreak(f"b{number}") for number in range(2001))),
    ],
)
def test_a_lesson_that_no_page_can_show_cannot_be_made(make: type[Block]) -> None:
    """Every way in is checked by the values themselves, so that whatever exists can be saved and printed."""
    with pytest.raises(ValueError, match=r"[a-z]"):
        make()


@given(some.text(alphabet=some.characters()))
def test_cleaned_text_can_always_stand_in_a_lesson(text: str) -> None:
    """The editor cleans what is typed; what comes out must never be refused."""
    Note(clean_text(text))
    Heading(clean_line(text[:300]))
    assert clean_text(clean_text(text)) == clean_text(text)


@pytest.mark.parametrize("code", sorted(families()))
def test_every_family_that_lists_keys_goes_through_them_and_back(code: str) -> None:
    """By one edit, whatever its settings for keys are called; without keys all is as usual."""
    drill = Drill(families()[code]())
    lesson = Lesson(blocks=(drill,))
    if names_of_list(drill.family) is None:
        with pytest.raises(TypeError):
            edits.set_keys_in_turn(lesson, drill.id, ())
        return
    keys = tuple(map(Key.parse, ("A", "Eb", "C")))
    turned = edits.set_keys_in_turn(lesson, drill.id, keys)
    block = turned.block(drill.id)
    assert isinstance(block, Drill)
    assert listed_keys(block.family) == keys
    exercise = realise(block.family, turned.setting)
    own = [bar.key for bar in exercise.bars if bar.key is not None]
    assert list(dict.fromkeys(own)) == list(keys)
    assert edits.set_keys_in_turn(turned, drill.id, ()) == lesson
