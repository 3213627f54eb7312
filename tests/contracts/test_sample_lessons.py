"""The sample lessons: every file opens, is written as the program writes it, and comes to something in every key."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from lessonkit.drills.difficulty import difficulty
from lessonkit.drills.exercise import Blank, Hand
from lessonkit.drills.family import DrillFamily, family
from lessonkit.drills.realise import realise
from lessonkit.exchange.musicxml import Movement, to_musicxml
from lessonkit.lesson import edits, prose
from lessonkit.lesson.aids.empty_staves import EmptyStaves
from lessonkit.lesson.aids.keys_of_the_day import KeysOfTheDay
from lessonkit.lesson.lesson import Aid, Block, DifficultyMap, Drill, Heading, Lesson, Note, Space
from lessonkit.lesson.problems import problems
from lessonkit.pages.flow import pages_of
from lessonkit.pictures.svg import svg_text
from lessonkit.sound.listening import listening_files
from lessonkit.storage.lesson_file import lesson_to_bytes, read_lesson
from lessonkit.theory.key import MAJOR_KEYS, Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.quality import Quality
from tests.lessonkit.exchange.scores import faults

SAMPLES = sorted((Path(__file__).resolve().parents[2] / "sample_lessons").glob("*.lesson"))
FOUR_FAMILIES = {"broken-chords", "diatonic-ladder", "chord-jumps", "progression-through-keys"}
SMOOTH = {"progression": "Imaj7 | vim7 | IVmaj7 | V7 | Imaj7", "count": 1}
ROOTLESS = {"count": 1, "plan": "rootless over left-hand roots"}


def drills_of(lesson: Lesson) -> list[Drill]:
    return [block for block in lesson.blocks if isinstance(block, Drill)]


def words_of(lesson: Lesson) -> str:
    """All words of a lesson as they print."""
    notes = (block.text for block in lesson.blocks if isinstance(block, Note))
    return "\n".join(prose.plain_text(prose.read(text, lesson.setting), LabelStyle()) for text in (lesson.aims, *notes))


def test_there_are_three_samples_at_least() -> None:
    """A loop over no files would pass every other test here."""
    assert len(SAMPLES) >= 3


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_is_in_canonical_form(path: Path) -> None:
    """Opening and saving a sample must not change a byte; otherwise every example would differ after a look at it."""
    assert lesson_to_bytes(read_lesson(path)) == path.read_bytes()


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_has_no_problem_in_any_major_key(path: Path) -> None:
    """The first thing that a teacher does with a sample is to change its key."""
    lesson = read_lesson(path)
    for key in MAJOR_KEYS:
        assert problems(edits.set_key(lesson, key)) == ()


def is_written_on(block: Block) -> bool:
    """Whether it gives room for the pencil, worksheets left out."""
    if isinstance(block, Aid):
        return isinstance(block.shows, EmptyStaves) or (isinstance(block.shows, KeysOfTheDay) and block.shows.boxes > 0)
    return isinstance(block, Space) or (isinstance(block, Note) and "____" in block.text and not block.for_teacher)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_is_a_lesson_and_not_a_list_of_drills(path: Path) -> None:
    """It shows what the notebook is for: aims, words between the drills, live music in them, space to write, care."""
    lesson = read_lesson(path)
    kinds = [type(block) for block in lesson.blocks]
    assert lesson.aims
    assert lesson.author
    assert kinds.count(Heading) >= 5
    assert kinds.count(Note) >= 6
    assert kinds.count(Drill) >= 4
    assert any(is_written_on(block) for block in lesson.blocks)
    assert any("{" in block.text for block in lesson.blocks if isinstance(block, Note))
    assert "Stop if anything hurts" in words_of(lesson)


def test_together_the_samples_use_all_four_families_and_a_worksheet() -> None:
    """Whoever looks for an example of a family finds one."""
    drills = [(drill.family, read_lesson(path).setting) for path in SAMPLES for drill in drills_of(read_lesson(path))]
    assert {family.code for family, _ in drills} >= FOUR_FAMILIES
    blanks = frozenset[Blank]().union(*(realise(family, setting).blank for family, setting in drills))
    assert {Blank.CHORD_NAMES, Blank.NOTES} <= blanks


def test_a_sample_has_a_map_and_runs_and_hands_that_lie_as_it_says() -> None:
    """Said of runs: fingers repeat in every octave, and in many keys the upper part lies far better than the root."""
    lesson = read_lesson(next(path for path in SAMPLES if path.stem == "broken_chords"))
    assert any(isinstance(block, DifficultyMap) for block in lesson.blocks)
    runs = [drill.family for drill in drills_of(lesson) if drill.family.code == "arpeggio-run"]
    from_third, upper = runs
    from_root = from_third.with_value("inversion", 0)
    long = from_third.with_value("octaves", 4).with_text("lowest", "C2").with_text("direction", "up")
    better = 0
    for key in MAJOR_KEYS:
        setting = edits.set_key(lesson, key).setting
        notes = [event.fingers for event in realise(long, setting).events if event.pitches]
        assert notes[4:8] == notes[8:12]
        better += difficulty(upper, setting).score < difficulty(from_root, setting).score / 2
    assert better >= 7
    words = words_of(lesson)
    assert "In the middle every octave has the same fingers; only the beginning and the end may have others" in words
    assert "in many keys it lies far better" in words


def voices(family: DrillFamily, key: Key) -> list[tuple[int, ...]]:
    """The right hand's chords of a drill, as MIDI numbers low to high."""
    exercise = realise(family, Lesson(key=key).setting)
    sounding = (event for event in exercise.of(Hand.RIGHT) if event.pitches)
    return [tuple(pitch.midi for pitch in event.pitches) for event in sounding]


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=str)
def test_every_note_that_moves_goes_down_a_step_as_the_sample_says(key: Key) -> None:
    """Said of I–vi–IV–V and back in smooth voicings; a range or a rule that changed would make the sentence false."""
    chords = voices(family("progression-through-keys").from_settings(SMOOTH), key)
    assert len(chords) == 5
    kept = []
    for before, after in pairwise(chords):
        falls = [low - high for low, high in zip(before, after, strict=True)]
        assert all(0 <= fall <= 2 for fall in falls)
        kept.append(falls.count(0))
    assert kept == [3, 3, 1, 2]


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=str)
@pytest.mark.parametrize(("climb", "shared"), [("every other degree", 3), ("every degree", 1), ("up a fourth", 2)])
def test_neighbours_on_the_ladder_share_as_many_notes_as_the_sample_says(climb: str, shared: int, key: Key) -> None:
    """Said in the ladder of sevenths of the way by thirds, by step and by fourths."""
    settings = {"climb": climb, "touch": "solid", "octaves": 2, "direction": "up"}
    chords = voices(family("diatonic-ladder").from_settings(settings), key)
    classes = [{midi % 12 for midi in chord} for chord in chords]
    assert {len(before & after) for before, after in pairwise(classes)} == {shared}


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=str)
def test_the_right_hand_has_the_ninths_that_the_sample_names(key: Key) -> None:
    """Rootless chords: third, fifth, seventh and ninth; over V7 the thirteenth instead of the fifth."""
    chords = voices(family("progression-through-keys").from_settings(ROOTLESS), key)
    degrees = [{key.degree(number).pitch_class for number in numbers} for numbers in (
        (3, 5, 7, 2), (1, 3, 5, 7), (6, 1, 3, 5), (7, 4, 6, 3),
    )]  # fmt: skip
    assert [{midi % 12 for midi in chord} for chord in chords] == degrees


@pytest.mark.parametrize("quality", ["maj7", "m7", "7", "m7b5"])
def test_inversions_of_sevenths_are_as_wide_as_the_samples_say(quality: str) -> None:
    """Three inversions span a sixth; the root position is the wide one."""
    tones = [tone.semitones for tone in Quality.named(quality).tones]
    widths = [(tones[place - 1] + (12 if place else 0)) - tones[place] for place in range(4)]
    assert all(8 <= width <= 9 for width in widths[1:])
    assert widths[0] == (11 if quality == "maj7" else 10)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_is_heard_and_taken_elsewhere(path: Path) -> None:
    """Every drill of it plays within its own length, and the whole is one valid score and a picture of each page."""
    lesson = read_lesson(path)
    families = [drill.family for drill in drills_of(lesson)]
    files, left_out = listening_files(families, lesson.setting)
    assert not left_out
    assert len({file.name for file in files}) == len(files) >= len(families)
    for file in files:
        played = file.performance
        assert played.notes
        assert played.begins <= played.notes[0].start
        assert all(note.start < note.end <= played.length + 0.1 for note in played.notes)
    movements = [Movement(realise(family, lesson.setting), lesson.tempo, family.title) for family in families]
    for shows_answers in (False, True):
        assert not list(faults(to_musicxml(movements, lesson.title, lesson.author, shows_answers)))
    for page in pages_of(lesson):
        assert svg_text(page).endswith("</svg>\n")


def sample(name: str) -> Lesson:
    return read_lesson(next(path for path in SAMPLES if path.stem == name))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_speaks_to_the_teacher(path: Path) -> None:
    """The teacher's edition says what to listen for and what goes wrong; the student's does not have it."""
    lesson = read_lesson(path)
    assert sum(isinstance(block, Note) and block.for_teacher for block in lesson.blocks) >= 2
    assert not any(
        isinstance(block, Note) and block.for_teacher for block in edits.without_teacher_notes(lesson).blocks
    )


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=str)
def test_home_is_printed_in_the_three_shapes_that_the_sample_names(key: Key) -> None:
    """Root position, both inversions and the root position again, in either hand."""
    lesson = edits.set_key(sample("three_chords_make_a_home"), key)
    for drill in drills_of(lesson)[:2]:
        notes = [event.pitches[0] for event in realise(drill.family, lesson.setting).events if event.pitches]
        up = [notes[place] for place in range(0, 12, 3)]
        names = [str(pitch.name) for pitch in up]
        assert len(set(names)) == 3
        assert names[0] == names[3] == str(key.tonic)
        assert [pitch.midi for pitch in up] == sorted(pitch.midi for pitch in up)


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=str)
def test_each_key_of_the_chain_begins_on_the_root_that_was_reached_as_the_sample_says(key: Key) -> None:
    """Its third and seventh fall a semitone: the major chord turns minor."""
    lesson = edits.set_key(sample("third_and_seventh"), key)
    chain = next(drill.family for drill in drills_of(lesson) if drill.family.code == "two-five-one-chains")
    chords = [mark.chord for mark in realise(chain, lesson.setting).chords]
    for reached, following in zip(chords[2::3], chords[3::3], strict=False):
        assert reached.root.pitch_class == following.root.pitch_class
        assert (reached.quality, following.quality) == (Quality.named("maj7"), Quality.named("m7"))
    assert len(chords) == 15
