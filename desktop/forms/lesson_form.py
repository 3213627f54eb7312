"""The form of the lesson itself: its head, its spelling, its chord symbols and the hands it is for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from desktop.forms.editors import ListEditor, SideBySideEditor, WholeEditor, YesNoEditor
from desktop.forms.lesson_options import (
    FINGERS_PRINTED,
    NOTE_NAMES,
    PAPERS,
    SIXES,
    SPELLINGS,
    STRENGTHS,
    STYLE_WORDS,
    face_shown,
    said,
    staves_said,
)
from desktop.forms.long_text import LongTextEditor
from desktop.forms.picture_editor import PictureEditor
from desktop.forms.row import Group
from desktop.forms.text_editors import TextEditor
from desktop.forms.word_forms import WordForm
from desktop.forms.wording import capital
from desktop.open_lesson import OpenLesson
from desktop.words import english, say
from lessonkit.drills.params import Whole
from lessonkit.hands.profile import PRESETS, span_from_words
from lessonkit.lesson.edits import set_aims, set_author, set_hands, set_house, set_paper, set_tempo, set_title
from lessonkit.lesson.lesson import FASTEST, SLOWEST, Lesson, clean_line
from lessonkit.theory.label_style import CHOICES

_SPAN_HELP = english(
    "From the tip of the thumb to the tip of the little finger, spread flat: 205, 20.5 cm, small, medium, large "
    "or comfortable ninth."
)


class LessonForm(WordForm):
    """The lesson's own settings, shown while no block is selected."""

    def __init__(self, open_lesson: OpenLesson) -> None:
        super().__init__(open_lesson)
        self._add_head(self.add_group(say("This lesson")))
        hands = self.add_group(say("Hands"))
        self._add_hands(hands)
        self._add_fingers(hands)
        self._add_spelling(self.add_group(say("Spelling")))
        symbols = self.add_group(say("Chord symbols"))
        self.add_row(
            symbols, "notes", say("Note names"), ListEditor(said(NOTE_NAMES)), self._style("notes"),
            say("In the window and on the page. Files and live words in braces keep English names."),
        )  # fmt: skip
        for name, faces in CHOICES.items():
            editor = SideBySideEditor([(face_shown(name, face), face) for face in faces])
            self.add_row(symbols, name, STYLE_WORDS[name], editor, self._style(name))
        care = self.add_group(say("Care"))
        self.add_row(
            care, "caution", say("At the foot of the handout"), LongTextEditor(), self._caution,
            say("What a handout with drills says of looking after the hands; left empty, the usual words."),
        )  # fmt: skip
        self.body.addStretch(1)

    def show_lesson(self) -> None:
        """Show the lesson as it is now."""
        lesson = self.open_lesson.lesson
        for place in (lesson, lesson.house, lesson.house.label_style, lesson.house.hands):
            for name, row in self.rows.items():
                if hasattr(place, name):
                    row.editor.show_value(getattr(place, name), lesson.setting)
        hands = lesson.house.hands
        is_usual = hands.right_span == hands.left_span and hands.right_span in PRESETS.values()
        self.rows["size"].editor.show_value(hands.right_span if is_usual else None, lesson.setting)

    def _add_head(self, group: Group) -> None:
        self.add_row(group, "title", say("Title"), TextEditor(str, str), self._edit(say("Title"), set_title))
        self.add_row(
            group, "aims", say("Aims"), LongTextEditor(), self._edit(say("Aims"), set_aims),
            say("What the student should take home. Live words such as {key} follow the lesson here too."),
        )  # fmt: skip
        author = TextEditor(str, str, say("Name on the handout"))
        self.add_row(group, "author", say("Teacher"), author, self._edit(say("Teacher"), set_author))
        tempo = WholeEditor(Whole(label="", least=SLOWEST, most=FASTEST))
        self.add_row(
            group, "tempo", say("Tempo"), tempo, self._edit(say("Tempo"), set_tempo), say("In quarter notes a minute.")
        )
        papers = ListEditor(said(PAPERS))
        self.add_row(group, "paper", say("Paper"), papers, self._edit(say("Paper"), set_paper))
        self.add_row(
            group, "staff_tenths", say("Staff"), ListEditor(staves_said()),
            self._house("staff_tenths", say("Size of the staff")),
            say("From the lowest line to the highest."),
        )  # fmt: skip
        self.add_row(
            group, "letterhead", say("Picture at the head"), PictureEditor(),
            self._house("letterhead", say("Picture at the head")),
            say("A PNG or JPEG picture, printed above the title of the first page."),
        )  # fmt: skip
        self.add_row(
            group, "is_close", say("Close spacing"), YesNoEditor(), self._house("is_close", say("Spacing")),
            say("A tenth less space between everything."),
        )  # fmt: skip
        self.add_row(
            group, "is_two_sided", say("Print on both sides"), YesNoEditor(),
            self._house("is_two_sided", say("Both sides")),
            say("A right-hand page then ends, where it can, between drills or where a hand is free to turn it."),
        )  # fmt: skip

    def _add_hands(self, group: Group) -> None:
        sizes: list[tuple[str, Any]] = [
            (say("{name}, {span} mm", name=capital(say(name)), span=round(span)), span)
            for name, span in PRESETS.items()
        ]
        self.add_row(
            group, "size", say("Size"), ListEditor([*sizes, (say("As measured"), None)]), self._size,
            say("Sets both hands; a hand that was measured is typed below."),
        )  # fmt: skip
        for name, words in (("right_span", say("Right hand opens")), ("left_span", say("Left hand opens"))):
            span = TextEditor(span_from_words, lambda millimetres: f"{millimetres:.0f} mm", "205 mm")
            self.add_row(group, name, words, span, self._hands(name), _SPAN_HELP)
        for name, words in (
            ("keep_thumb_off_black", say("Thumb off black keys")),
            ("keep_little_finger_off_black", say("Little finger off black keys")),
        ):
            self.add_row(group, name, words, ListEditor(said(STRENGTHS)), self._hands(name))
        self.add_row(
            group, "avoid_stretches", say("Spare wide stretches"), YesNoEditor(), self._hands("avoid_stretches")
        )  # fmt: skip
        self.add_row(
            group, "starts_black_with_second", say("2 on a low black key"), YesNoEditor(),
            self._house("starts_black_with_second", say("Fingers")),
            say("Broken chords whose lowest note is black and the next one white begin with 2-1."),
        )  # fmt: skip
        self.add_row(
            group, "shows_difficulty", say("Print difficulty"), YesNoEditor(),
            self._house("shows_difficulty", say("Difficulty")),
            say("Prints beside each drill how hard it is for these hands. In the window the margin always shows it."),
        )  # fmt: skip

    def _add_fingers(self, group: Group) -> None:
        self.add_row(
            group, "fingers", say("Fingers printed"), ListEditor(said(FINGERS_PRINTED)),
            self._house("fingers", say("Fingers printed")),
            say("In all drills that have no choice of their own."),
        )  # fmt: skip

    def _add_spelling(self, group: Group) -> None:
        self.add_row(
            group, "prefers_flats_at_six", say("Six signs"), ListEditor(said(SIXES)),
            self._house("prefers_flats_at_six", say("Spelling")),
            say("Where two keys sound alike and both have six signs, this one is printed."),
        )  # fmt: skip
        self.add_row(
            group, "is_friendly", say("Notes"), ListEditor(said(SPELLINGS)),
            self._house("is_friendly", say("Spelling")),
            say(
                "Strict gives every tone of a chord its own letter; "
                "easy to read avoids double signs and C♭, F♭, E♯, B♯."
            ),
        )  # fmt: skip

    def _edit(self, label: str, edit: Callable[[Lesson, Any], Lesson]) -> Callable[[Any], None]:
        def wish(value: Any) -> None:
            self.open_lesson.edit(label, edit(self.open_lesson.lesson, value), f"lesson.{label}")

        return wish

    def _house(self, name: str, label: str) -> Callable[[Any], None]:
        def wish(value: Any) -> None:
            lesson = self.open_lesson.lesson
            house = replace(lesson.house, **{name: value})
            self.open_lesson.edit(label, set_house(lesson, house), f"lesson.{name}")

        return wish

    def _hands(self, name: str) -> Callable[[Any], None]:
        def wish(value: Any) -> None:
            lesson = self.open_lesson.lesson
            whole = value if isinstance(value, bool) else round(value)
            hands = replace(lesson.house.hands, **{name: whole})
            self.open_lesson.edit(say("Hands"), set_hands(lesson, hands), f"lesson.{name}")

        return wish

    def _size(self, span: float | None) -> None:
        lesson = self.open_lesson.lesson
        if span is not None:
            hands = replace(lesson.house.hands, right_span=round(span), left_span=round(span))
            self.open_lesson.edit(say("Hands"), set_hands(lesson, hands), "lesson.size")

    def _style(self, name: str) -> Callable[[Any], None]:
        def wish(face: Any) -> None:
            lesson = self.open_lesson.lesson
            style = replace(lesson.house.label_style, **{name: face})
            self.open_lesson.edit(say("Chord symbols"), set_house(lesson, replace(lesson.house, label_style=style)))

        return wish

    def _caution(self, text: str) -> None:
        lesson = self.open_lesson.lesson
        house = replace(lesson.house, caution=clean_line(text))
        self.open_lesson.edit(say("Care"), set_house(lesson, house), "lesson.caution")
