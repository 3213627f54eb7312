"""Paragraphs broken into lines: nothing is lost, no line is too wide, and music stays in one piece."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.drawing.shapes import Face
from lessonkit.drawing.text_width import text_width
from lessonkit.drills.setting import Setting
from lessonkit.lesson.prose import ChordName, Words, read
from lessonkit.pages.style import BODY, LARGE
from lessonkit.pages.text_flow import LEAST_WRITING_LINE, SetLine, line_of, set_lines, shortened
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import PLAIN_STYLE


def lines_of(text: str, width: float = 200) -> list[str]:
    return [line.text for line in set_lines((Words(text),), BODY, width, PLAIN_STYLE)]


def test_lines_break_at_spaces_and_drop_them() -> None:
    """A space at either end of a line would show as a ragged left edge."""
    text = "Play each group as one gesture of the arm and let the hand fall into the next shape"
    lines = lines_of(text)
    assert len(lines) > 1
    assert " ".join(lines) == text


def test_a_line_feed_starts_a_line() -> None:
    """The writer of a note asked for it."""
    assert lines_of("one\ntwo\n\nthree") == ["one", "two", "", "three"]


def test_no_words_make_one_empty_line() -> None:
    """An item without words leaves a line to write on."""
    assert lines_of("") == [""]


@given(st.text(max_size=120), st.floats(min_value=20, max_value=300))
def test_no_line_is_wider_than_asked_and_no_sign_is_lost(text: str, width: float) -> None:
    """Whatever is typed stays on the page."""
    lines = set_lines((Words(text),), BODY, width, PLAIN_STYLE)
    widest_sign = max((text_width(sign, Face.SERIF, 11) for sign in text), default=0)
    assert all(line.width <= max(width, widest_sign) + 1e-6 for line in lines)
    for line in lines:
        assert sum(text_width(shape.text, shape.face, shape.size) for shape in line.shapes) == pytest.approx(line.width)
        assert "".join(shape.text for shape in line.shapes) == line.text


def test_a_long_word_is_torn_and_joined_it_is_whole() -> None:
    """An address longer than the line would otherwise run off the paper."""
    word = "antidisestablishmentarianism" * 5
    lines = lines_of(f"see {word} there", 120)
    assert "".join(lines).replace("see", "").replace("there", "").strip() == word


def test_a_word_breaks_after_a_hyphen_but_figures_do_not() -> None:
    """``1-3-2-4`` is one thing to read, ``left-hand`` is two words (common practice, no source)."""
    width = text_width("a left-", Face.SERIF, 11) + 0.1
    assert lines_of("a left-hand", width) == ["a left-", "hand"]
    width = text_width("aaaa 1-3-", Face.SERIF, 11) + 0.1
    assert lines_of("aaaa 1-3-2-4", width) == ["aaaa", "1-3-2-4"]


def test_a_chord_stays_with_the_signs_around_it() -> None:
    """A bracket at the end of a line and its chord on the next cannot be read."""
    spans = (Words("the fourth degree ("), ChordName(Chord.parse("Abmaj7")), Words("), then on"))
    for width in range(60, 200, 7):
        lines = [line.text for line in set_lines(spans, BODY, width, PLAIN_STYLE)]
        assert any("(A♭maj7)," in line for line in lines), lines


def test_the_notes_of_a_chord_stay_together() -> None:
    """Half of a chord at the end of a line and the rest on the next is read as two (common practice, no source)."""
    text = "on 3 stands another chord (E♭ G B♭ D), and the scale is E♭ F G A♭ B♭ C D. A line"
    for width in range(90, 260, 7):
        lines = lines_of(text, width)
        assert any("(E♭ G B♭ D)," in line for line in lines), lines
        assert any("E♭ F G A♭ B♭ C D." in line for line in lines), lines
    assert len(lines_of("D, A, B, E, D, A, B, E, D, A", 60)) > 1


def test_words_of_one_face_are_one_run_with_their_spaces() -> None:
    """Text copied from a handout must not run together."""
    (line,) = set_lines((Words("two plain words"),), BODY, 300, PLAIN_STYLE)
    assert [shape.text for shape in line.shapes] == ["two plain words"]


def test_a_space_between_styles_is_kept() -> None:
    """Emphasis at the edge of a word must not eat the space beside it."""
    spans = (Words("keep "), Words("very", italic=True), Words(" still"))
    (line,) = set_lines(spans, BODY, 300, PLAIN_STYLE)
    assert line.text == "keep very still"
    assert [shape.face for shape in line.shapes] == [Face.SERIF, Face.SERIF_ITALIC, Face.SERIF]


def test_what_was_not_understood_is_marked_where_it_stands() -> None:
    """The editor underlines it and says why."""
    (line,) = set_lines((Words("see "), Words("{nonsense}", problem="no such word")), BODY, 300, PLAIN_STYLE)
    (mark,) = line.problems
    assert (mark.kind, mark.detail) == ("problem", "no such word")
    assert mark.box.left == pytest.approx(text_width("see ", Face.SERIF, 11))


def test_a_last_word_is_not_left_alone() -> None:
    """A line with one word below a full one looks like a slip (common practice, no source)."""
    text = "Play in overlapping fours over two octaves, evenly, with one"
    width = text_width("Play in overlapping fours over two octaves, evenly, with", Face.SERIF, 11) + 0.1
    first, last = lines_of(text, width)
    assert " ".join((first, last)) == text
    assert last.count(" ") >= 1


def test_control_signs_vanish() -> None:
    """They have no shape, and some of them would end a string in a PDF."""
    assert lines_of("a\x00b\u200bc") == ["abc"]


def test_a_shortened_line_ends_in_an_ellipsis_and_fits() -> None:
    """A running head has one line, whatever the title."""
    assert shortened("short", BODY, 200).text == "short"
    line = shortened("a very long title indeed " * 9, BODY, 200)
    assert line.text.endswith("…")
    assert line.width <= 200
    assert line_of("", BODY).width == 0


def test_an_apostrophe_within_a_word_is_set_as_one() -> None:
    """Keyboards have a straight stroke only, books do not; elsewhere it stays what was typed."""
    (line,) = set_lines((Words("don't, the hands' 'one' 6'"),), BODY, 400, PLAIN_STYLE)
    assert line.text == "don\N{RIGHT SINGLE QUOTATION MARK}t, the hands' 'one' 6'"


def ruled(text: str, width: float = 300) -> tuple[SetLine, ...]:
    """The lines of the first paragraph of a note."""
    (paragraph,) = read(text, Setting(Key.parse("C")))
    return set_lines(paragraph.spans, BODY, width, PLAIN_STYLE)


def test_a_line_to_write_on_ends_at_the_margin() -> None:
    """An answer needs all the room that the paper has; a full stop behind it keeps its place."""
    for text in ("Easiest for my right hand: ____", "I chose this one: ________."):
        (line,) = ruled(text)
        assert line.width == pytest.approx(300)
        assert line.rules[0].x2 + text_width("." if text[-1] == "." else "", Face.SERIF, 11) == pytest.approx(300)


def test_within_a_line_it_is_as_long_as_typed_and_never_too_short() -> None:
    """Four underscores are half as wide as a chord's name by hand."""
    (line,) = ruled("I chose ____ for now and ____")
    assert line.rules[0].x2 - line.rules[0].x1 == pytest.approx(LEAST_WRITING_LINE)
    after = next(shape for shape in line.shapes if shape.text.startswith(" for"))
    assert after.x == pytest.approx(line.rules[0].x2)
    (line,) = ruled("See " + "_" * 20 + " here")
    assert line.rules[0].x2 - line.rules[0].x1 == pytest.approx(text_width("_" * 20, Face.SERIF, 11))


def test_a_line_that_is_written_on_leaves_room_for_a_hand() -> None:
    """Eight millimetres, as in an exercise book (common practice, no source)."""
    (line,) = ruled("____")
    assert line.drawing(BODY, 300).height == pytest.approx(8 * 72 / 25.4)
    assert line.rules[0].x1 == 0


def test_no_line_to_write_on_falls_off_a_narrow_column() -> None:
    """In half the width of a small paper too it ends where words end."""
    for width in range(20, 300, 13):
        lines = ruled("Here ____ and, there: (" + "_" * 40 + ").", width)
        assert all(rule.x2 <= width + 1e-6 for line in lines for rule in line.rules)
        assert sum(len(line.rules) for line in lines) == 2


def test_a_question_stands_on_the_line_on_which_it_is_answered() -> None:
    """Never a number at the end of a line and its rule below; what does not fit one line may part."""
    for width in range(110, 500, 13):
        lines = ruled("1 " + "_" * 16 + " 2 " + "_" * 16 + " 3 " + "_" * 16 + " 4 ____", width)
        told = " ".join(line.text for line in lines)
        assert all(not line.text.rstrip()[-1].isdigit() for line in lines), (width, told)
        assert [sign for sign in told if sign.isdigit()] == list("1234")
        assert all(rule.x2 <= width + 1e-6 for line in lines for rule in line.rules)
    lines = ruled("Mine: " + "_" * 200, 100)
    assert sum(len(line.rules) for line in lines) == 1


def test_large_print_is_written_on_thicker_lines() -> None:
    """Against its letters too: who sees little finds a fine line last of all."""
    (paragraph,) = read("____", Setting(Key.parse("C")))
    (usual,), (large,) = (set_lines(paragraph.spans, style, 300, PLAIN_STYLE) for style in (BODY, LARGE.body))
    assert usual.rules[0].width >= 0.5
    assert large.rules[0].width >= 2 * usual.rules[0].width
    assert large.height(LARGE.body) > usual.height(BODY)
