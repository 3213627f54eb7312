"""Notes: what Markdown is understood, that nothing else is, and that no text can do harm."""

from __future__ import annotations

import sys
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as some

from lessonkit.drills.setting import Setting
from lessonkit.lesson import prose
from lessonkit.lesson.prose import ChordName, DegreeName, Paragraph, ParagraphKind, Words, WritingLine
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.roman import RomanChord

SETTING = Setting(Key.parse("Eb"))
BODY, HEADING, ITEM, NUMBERED = ParagraphKind


def read(text: str) -> tuple[Paragraph, ...]:
    return prose.read(text, SETTING)


def plain(text: str) -> str:
    return prose.plain_text(read(text), LabelStyle())


def test_emphasis_and_live_words_become_spans() -> None:
    """Each span has one style, and a chord stays a chord so that the page can set it well."""
    assert read("Play **slowly**, *then* {IVmaj7} and **{V7}** ({roman V7}).") == (
        Paragraph(
            BODY,
            (
                Words("Play "),
                Words("slowly", bold=True),
                Words(", "),
                Words("then", italic=True),
                Words(" "),
                ChordName(Chord.parse("Abmaj7")),
                Words(" and "),
                ChordName(Chord.parse("Bb7"), bold=True),
                Words(" ("),
                DegreeName(RomanChord.parse("V7")),
                Words(")."),
            ),
        ),
    )


def test_headings_lists_and_paragraphs_keep_their_kind_and_depth() -> None:
    """The page draws by kind, level and number alone."""
    text = "# One\n### Three\nbody\nstill body\n\n3. third\n4. fourth\n   - inner\n\n     more of it\n- item\n"
    assert [(one.kind, one.level, one.number) for one in read(text)] == [
        (HEADING, 1, 0), (HEADING, 3, 0), (BODY, 0, 0), (NUMBERED, 1, 3), (NUMBERED, 1, 4), (ITEM, 2, 0), (BODY, 2, 0),
        (ITEM, 1, 0),
    ]  # fmt: skip
    assert plain(text) == "One\nThree\nbody still body\n3. third\n4. fourth\n  • inner\nmore of it\n• item"


def test_numbers_count_on_whatever_was_typed() -> None:
    """Markdown counts from the first number; teachers type 1. everywhere."""
    assert plain("1. a\n1. b\n1. c") == "1. a\n2. b\n3. c"


def test_an_empty_item_stays_a_line_to_write_on() -> None:
    """Three bare numbers are a small worksheet."""
    assert [(one.number, one.spans) for one in read("1.\n2.\n3.")] == [(1, ()), (2, ()), (3, ())]


def test_a_heading_in_an_item_is_the_item() -> None:
    """An item whose mark vanished would lose its place in the count."""
    assert [one.kind for one in read("1. # Big\n2. small")] == [NUMBERED, NUMBERED]


def test_two_blanks_at_the_end_break_the_line() -> None:
    """The usual Markdown way to start a new line."""
    assert read("a  \nb") == (Paragraph(BODY, (Words("a\nb"),)),)


def test_a_link_leaves_its_words() -> None:
    """Paper cannot be clicked, and an address that nobody sees must not hide behind words."""
    assert plain("[the *scale*](https://example.org) here") == "the scale here"


def test_a_link_that_would_run_something_prints_as_typed() -> None:
    """Then everybody sees what it is."""
    assert plain("[here](javascript:alert(1))") == "[here](javascript:alert(1))"


@pytest.mark.parametrize(
    "text",
    [
        "<b>x</b>",
        '<img src="/etc/passwd">',
        "<script>alert(1)</script>",
        "&lt; &amp; &#123;",
        "<https://example.org>",
        "https://example.org",
        "`code`",
        "> quoted",
        "[a]: b",
        "a ~~b~~",
        "| a | b |",
        "5 < 6 and 7 > 6",
    ],
)
def test_what_is_not_understood_prints_as_typed(text: str) -> None:
    """No word of a teacher's may vanish, and none may become markup."""
    assert read(text) == (Paragraph(BODY, (Words(text),)),)


def test_indented_and_fenced_lines_are_plain_words() -> None:
    """Teachers indent for looks; that must not turn words into something else."""
    assert plain("a\n\n        far in") == "a\nfar in"
    assert plain("```\nx\n```") == "``` x ```"


def test_lines_of_dashes_stay_lines_of_dashes() -> None:
    """A rule typed under a sentence must not make a heading of it."""
    assert plain("Write here\n----------") == "Write here ----------"


def test_music_cannot_become_markup() -> None:
    """A live word is read after the Markdown: stars inside braces are stars that were typed, not emphasis."""
    (paragraph,) = read("{chord C*} and {chord D*}")
    assert all(isinstance(span, Words) for span in paragraph.spans)
    assert plain("# {chord C#m7}") == "C♯m7"
    assert plain("{chord C7(#9)} {chord C^7}") == "C7♯9 Cmaj7"


def test_markup_cannot_become_music() -> None:
    """A token that emphasis cuts in two is none, and says so."""
    (paragraph,) = read("{I**Vmaj7**}")
    assert [span.problem for span in paragraph.spans if isinstance(span, Words) and span.problem] == [
        "this brace is never closed; write {{ for a brace that is only a brace"
    ]


def test_a_backslash_or_a_doubled_brace_keeps_a_brace() -> None:
    """Both are what people try."""
    assert plain(r"\{IV\} and {{IV}}") == "{IV} and {IV}"
    assert prose.problems(read(r"\{IV\} and {{IV}}")) == ()


def test_problems_are_the_words_that_were_not_understood() -> None:
    """The editor marks them with the reason."""
    found = prose.problems(read("# {nope}\n\n- {V7} {degree x}"))
    assert [words.text for words in found] == ["{nope}", "{degree x}"]


def test_a_line_has_live_words_and_no_markdown() -> None:
    """Titles and headings are one line; a star in them is a star."""
    assert prose.read_line("*{V7}* in {key}", SETTING) == (
        Words("*"),
        ChordName(Chord.parse("Bb7")),
        Words("* in E♭ major"),
    )


def test_the_label_style_is_heard_in_plain_text() -> None:
    """What is spoken is what is printed."""
    assert prose.plain_text(read("{viim7b5} {roman viim7b5}"), LabelStyle(half_diminished="ø7")) == "Dø7 viiø7"


def test_the_same_note_is_read_once() -> None:
    """Every change of anything asks for all notes again."""
    assert prose.read("Once {V7}", SETTING) is prose.read("Once {V7}", Setting(Key.parse("Eb")))


LETTERS = "*_[]()<>&\\`#-+.1 2\n\t{}IVivm7~!|:\"'é♭\x00\u2028😀\ud800"
MARKS = some.text(alphabet=some.sampled_from(LETTERS), max_size=120)


@given(some.one_of(some.text(), MARKS))
def test_any_text_becomes_paragraphs(text: str) -> None:
    """Whatever is pasted, the page goes on."""
    for paragraph in read(text):
        assert isinstance(paragraph.kind, ParagraphKind)
        for before, after in zip(paragraph.spans, paragraph.spans[1:], strict=False):
            are_words = isinstance(before, Words) and isinstance(after, Words)
            is_same = are_words and (before.bold, before.italic) == (after.bold, after.italic)
            assert not is_same or before.problem or after.problem, "neighbours of one style are one span"
    prose.plain_text(read(text), LabelStyle())


@given(some.text(alphabet="abc {}\n", max_size=60))
def test_words_without_marks_all_reach_the_page(text: str) -> None:
    """Nothing but blanks and doubled braces may be lost on the way."""
    wanted = text.replace("{{", "{").replace("}}", "}")
    found = plain(text)
    assert (
        sorted(found.replace("{", "").replace("}", "").split())
        == sorted(wanted.replace("{", "").replace("}", "").split())
        or "\n" in text
    )
    assert [letter for letter in found if letter in "abc"] == [letter for letter in text if letter in "abc"]


def steps_taken(work: Callable[[], object]) -> int:
    """How many lines of Python a piece of work runs; the same on every machine, unlike a clock."""
    count = 0

    def trace(frame: object, event: str, argument: object) -> object:
        nonlocal count
        count += event == "line"
        return trace

    before = sys.gettrace()
    sys.settrace(trace)  # type: ignore[arg-type]
    try:
        work()
    finally:
        sys.settrace(before)
    return count


@pytest.mark.parametrize(
    "piece",
    ["*", "_a", "[", "[a](", "]", "(", "{", "{a", "{I}", "\\{", "**a ", "*a _b ", "![", "<", "a\n", "- a\n", "1. a\n"],
)
def test_reading_takes_time_in_proportion_to_the_text(piece: str) -> None:
    """A pasted page of brackets must not freeze the window."""
    short, long = piece * 300, piece * 1200
    few = steps_taken(lambda: read(short + "x"))
    many = steps_taken(lambda: read(long + "x"))
    assert many < 6 * few


def test_four_underscores_are_a_line_to_write_on() -> None:
    """Markdown would make emphasis of what stands between two of them; fewer are only underscores."""
    assert read("I (____) and **two (______)**, a_b, ___") == (
        Paragraph(
            BODY,
            (
                Words("I ("),
                WritingLine(4),
                Words(") and "),
                Words("two (", bold=True),
                WritingLine(6),
                Words(")", bold=True),
                Words(", a_b, ___"),
            ),
        ),
    )


def test_lines_of_underscores_are_lines_of_their_own() -> None:
    """Two below each other are two lines, with or without an empty line between."""
    assert [paragraph.spans for paragraph in read("Why?\n____\n____\n\n____\nSo.")] == [
        (Words("Why?"),), (WritingLine(4),), (WritingLine(4),), (WritingLine(4),), (Words("So."),),
    ]  # fmt: skip
    assert plain("My choice: ____") == "My choice: line to write on"
