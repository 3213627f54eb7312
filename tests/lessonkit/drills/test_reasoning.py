"""The way to the answers: every sentence is true of its drill, and nothing of it is on the student's page."""

from __future__ import annotations

import re

import pytest

from lessonkit.drills.exercise import Blank
from lessonkit.drills.family import DrillFamily, families, family
from lessonkit.drills.realise import realise
from lessonkit.drills.reasoning import reasons
from lessonkit.drills.setting import Setting
from lessonkit.drills.worksheet import Worksheet
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.pages.blocks import WHY
from lessonkit.pages.editions import Edition, edition_pages
from lessonkit.pages.flow import worksheets
from lessonkit.pages.page import Page
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.pitch import NoteName

KEYS = (*MAJOR_KEYS, *MINOR_KEYS)
CLUE = re.compile(r"(\d+)\. (\S+) is the only dominant seventh; a fifth below its root lies the tonic (\S+?)"
                  r"(?:, and its third (\S+) leads up to it)?: (.+)\.")  # fmt: skip


def told(code: str, key: str = "Bb", **settings: object) -> tuple[str, ...]:
    drill = family(code).from_settings(settings)  # type: ignore[arg-type]
    setting = Setting(Key.parse(key))
    return tuple(" ".join(words.split()) for words in reasons(drill, realise(drill, setting), setting))


def words_of(pages: tuple[Page, ...]) -> str:
    marks = (mark for page in pages for part in page.parts for mark in part.placed.drawing.marks)
    return " ".join(mark.detail for mark in marks if mark.kind == "text")


@pytest.mark.parametrize("key", KEYS, ids=str)
@pytest.mark.parametrize("code", ["degree-detective", "by-ear"])
def test_a_puzzle_tells_the_chord_that_gives_its_key_away(code: str, key: Key) -> None:
    """There is one dominant seventh in a key, and its root lies a fifth above the tonic (any harmony book)."""
    drill, setting = family(code)(), Setting(key)
    exercise = realise(drill, setting)
    answers = [bar.answer for bar in exercise.bars if bar.answer]
    found = [CLUE.fullmatch(sentence) for sentence in reasons(drill, exercise, setting)[: len(answers)]]
    for number, (match, answer) in enumerate(zip(found, answers, strict=True), start=1):
        assert match is not None
        dominant, tonic = Chord.parse(match[2]), NoteName.parse(match[3])
        assert int(match[1]) == number
        assert match[5] == answer
        assert answer.split()[0] == str(tonic)
        assert (dominant.root.pitch_class - tonic.pitch_class) % 12 == 7
        assert (match[4] is not None) == answer.endswith("minor")
        if match[4]:
            assert (tonic.pitch_class - NoteName.parse(match[4]).pitch_class) % 12 == 1


def test_puzzles_without_a_dominant_are_explained_too() -> None:
    """By the chord with the diminished fifth, or because no other key has all these notes."""
    by_seventh = told("degree-detective", progression="viim7b5 | Imaj7 | vim7", count=1)
    assert by_seventh[0] == "1. Am7♭5 has a diminished fifth and stands a semitone below the tonic B♭: B♭ major."
    triads = told("degree-detective", progression="IV | V | vi", count=1)
    assert triads[0] == (
        "1. E♭ and F are major triads a tone apart, as they stand on the fourth and fifth degrees only: B♭ major."
    )
    plain = told("degree-detective", progression="IVmaj7 | V | vi | iii", count=1)
    assert plain[0].startswith("1. Of all major keys only B♭ major has the notes of ")


def test_degrees_and_chords_are_worked_out() -> None:
    """Where each number comes from."""
    said = told("progression-through-keys", "Eb", worksheet=Worksheet.NAMES_AND_DEGREES.value)
    assert "In E♭ major: 1 E♭, 2 F, 3 G, 4 A♭, 5 B♭, 6 C, 7 D. The other keys are counted in the same way." in said[0]
    assert "Major seventh: 1, 3, 5, 7 of the major scale on the root, so E♭maj7 is E♭ G B♭ D." in said
    assert "Dominant seventh: 1, 3, 5, ♭7 of the major scale on the root, so B♭7 is B♭ D F A♭." in said


def test_a_reharmonised_bar_tells_what_the_chords_share_and_where_the_root_goes() -> None:
    """In C: the tritone substitute of G7 is D♭7, both have F and B (common practice)."""
    said = told("reharmonisation-steps", "C")
    assert said[0] == "Line 2: bar 2, Am7 for Cmaj7, with C, E and G in common: its root falls a tone to G7."
    assert said[1] == "Line 3: bar 3, Dm7: its root falls a fifth to G7."
    assert "bar 3, D♭7 for G7, with F and C♭ (before: B) in common: its root falls a semitone to Cmaj7" in said[-1]


def test_the_hardest_shapes_have_reasons_and_samples_their_rule() -> None:
    """The reasons are those of the hand's own judgement."""
    figures, *survey = told("shape-survey")
    assert figures.startswith("(1) is the inversion that lies easiest")
    assert 0 < len(survey) <= 8
    assert all(re.fullmatch(r"\S+ in .+ \((easy|moderate|hard|very hard)\): .+\.", words) for words in survey)
    assert told("shape-survey", judged="printed") == ()
    minor = told("shape-survey", "G", quality="m")[1:]
    assert [words.split(" (")[0] for words in minor[:2]] == ["F♯m in root position", "C♯m in root position"]
    assert minor[0] == (
        "F♯m in root position (hard): the little finger lands on a black key (C♯); the thumb lands on a black key (F♯)."
    )
    assert not re.search(r"\([A-G][♭♯]?\d\)", " ".join(minor))
    assert told("call-and-response")[-1].endswith("on other notes, and comes home to B♭.")


@pytest.mark.parametrize(
    ("code", "key", "settings", "sentence"),
    [
        ("shell-voicings", "Db", {"progression": "iim7 | V7 | Imaj7"},
         "in D♭ major the upper voice is D♭–C–C, seventh, third, seventh."),
        ("upper-extension", "C", {"progression": "iim9 | V9 | Imaj9 | vim9"},
         "in C major Fmaj7 for Dm9, Bm7♭5 for G9, Em7 for Cmaj9, Cmaj7 for Am9."),
        ("drop-voicings", "Gb", {"path": "the key's chords up the scale"},
         "G♭maj7 in close position is G♭ B♭ D♭ F; with D♭ moved it is D♭ G♭ B♭ F."),
    ],
)  # fmt: skip
def test_a_voicing_that_is_asked_for_tells_its_rule(
    code: str, key: str, settings: dict[str, str], sentence: str
) -> None:
    """Not only what the chords are made of; each worked out by hand from the definition of the voicing."""
    assert told(code, key, worksheet="notes", **settings)[-1].endswith(sentence)
    assert not any(words.endswith(sentence) for words in told(code, key, **settings))


@pytest.mark.parametrize("code", sorted(families()))
@pytest.mark.parametrize("key", ["C", "F#", "Eb", "Am", "G#m"])
def test_every_family_explains_every_worksheet_without_an_error(code: str, key: str) -> None:
    """Whatever is left blank; and a drill that asks nothing is explained only where it has reasons of its own."""
    kind, setting = families()[code], Setting(Key.parse(key))
    for blank in kind.blanks:
        drill: DrillFamily = kind().with_value("worksheet", blank) if blank is not Worksheet.NOTHING else kind()
        try:
            exercise = realise(drill, setting)
        except ValueError:
            continue
        said = reasons(drill, exercise, setting)
        assert all(words.endswith(".") for words in said)
        if not exercise.blank and not exercise.samples:
            assert said == drill.reasons(setting)
        if exercise.blank & {Blank.CHORD_NAMES, Blank.DEGREES}:
            assert said


@pytest.mark.parametrize("code", ["degree-detective", "by-ear", "reharmonisation-steps", "shape-survey"])
def test_reasons_stand_in_the_answer_key_and_not_on_the_students_page(code: str) -> None:
    """A student who reads the way to the answer has no puzzle any more."""
    lesson = Lesson(key=Key.parse("Bb"), blocks=(Drill(family(code)(), "d"),))
    assert [block.id for block in worksheets(lesson)] == ["d"]
    assert WHY not in words_of(edition_pages(lesson, Edition.STUDENT))
    assert WHY in words_of(edition_pages(lesson, Edition.ANSWERS))
    assert WHY in words_of(edition_pages(lesson, Edition.TEACHER))
