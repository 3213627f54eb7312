"""Writing on the page: a box in the place of the words, every letter an edit of the lesson. One box is open at most."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from desktop.editing.live_marks import explain, sentence_at
from desktop.editing.writing_box import PAD, WritingBox
from desktop.forms.row import quiet_label
from desktop.open_lesson import OpenLesson
from desktop.preview.drawn_pages import DrawnPages
from desktop.preview.pages_view import PagesView
from desktop.selection import Selection
from desktop.words import say
from lessonkit.lesson import prose
from lessonkit.lesson.edits import replace_block, set_aims, set_note_text, set_title
from lessonkit.lesson.lesson import Heading, Lesson, Note, clean_line, clean_text
from lessonkit.pages.page import AIMS_PLACE, TITLE_PLACE
from lessonkit.pages.paper import TEXT_WIDTH
from lessonkit.pages.style import AIMS, BODY, HEADINGS, PROSE_WIDTH, TITLE, TextStyle
from lessonkit.values import dataclass

if TYPE_CHECKING:
    from desktop.editing.offering import Offering

PAUSE = 1200
"""Milliseconds without a key after which what is written next is a step of undo of its own."""


@dataclass(frozen=True, slots=True)
class Writable:
    """Words that can be written in place: the text, how it is set, how a new text gets into the lesson."""

    text: str
    label: str
    style: TextStyle
    width: float
    is_single_line: bool
    write: Callable[[Lesson, str], Lesson]

    def cleaned(self, text: str) -> str:
        """The text as the lesson keeps it."""
        return clean_line(text) if self.is_single_line else clean_text(text)


def writable(lesson: Lesson, place: str) -> Writable | None:
    """What can be written at a place of the page; None where there are no words."""
    if place == TITLE_PLACE:
        return Writable(lesson.title, say("Title"), TITLE, TEXT_WIDTH, True, set_title)
    if place == AIMS_PLACE:
        return Writable(lesson.aims, say("Aims"), AIMS, PROSE_WIDTH, False, set_aims)
    block = next((block for block in lesson.blocks if block.id == place), None)
    if isinstance(block, Note):
        return Writable(
            block.text, say("Writing in note"), BODY, PROSE_WIDTH, False,
            lambda lesson, text: set_note_text(lesson, place, text),
        )  # fmt: skip
    if isinstance(block, Heading):
        heading = block
        return Writable(
            heading.text, say("Heading"), HEADINGS[heading.level], TEXT_WIDTH, True,
            lambda lesson, text: replace_block(lesson, replace(heading, text=clean_line(text))),
        )  # fmt: skip
    return None


class Writing(QObject):
    """The box over the page, where there is one."""

    form_asked = Signal()
    """There are no words in that place; its form is what the hand wants."""

    put_in_asked = Signal()
    """Something is to come where the caret is."""

    def __init__(self, open_lesson: OpenLesson, selection: Selection, view: PagesView, drawn: DrawnPages) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._selection = selection
        self._view = view
        self._drawn = drawn
        self._place = ""
        self.box: WritingBox | None = None
        self.offering: Offering | None = None
        self._answer = quiet_label("")
        self._answer.setObjectName("answer")
        self._answer.setParent(view.viewport())
        self._answer.hide()
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE)
        self._pause.timeout.connect(open_lesson.settle)
        view.writing_asked.connect(self.begin)
        view.moved.connect(self._follow_page)
        open_lesson.changed.connect(self._follow_lesson)
        open_lesson.replaced.connect(self.end)
        selection.changed.connect(self._follow_selection)

    @property
    def place(self) -> str:
        """Where is being written; empty when nowhere."""
        return self._place

    @property
    def caret(self) -> tuple[str, int] | None:
        """The block that is written in and before which of its characters; None where no block is."""
        if self.box is None or self._place in (TITLE_PLACE, AIMS_PLACE):
            return None
        units = self.box.textCursor().position()
        before = self.box.toPlainText().encode("utf-16-le")[: 2 * units].decode("utf-16-le", "ignore")
        return self._place, len(before)

    def set_caret(self, at: int, to: int | None = None) -> None:
        """Put the caret before a character of the words that are written in, or select as far as another one."""
        if self.box is not None:
            text, cursor = self.box.toPlainText(), self.box.textCursor()
            cursor.setPosition(len(text[:at].encode("utf-16-le")) // 2)
            if to is not None:
                cursor.setPosition(len(text[:to].encode("utf-16-le")) // 2, cursor.MoveMode.KeepAnchor)
            self.box.setTextCursor(cursor)

    @property
    def answer(self) -> str:
        """What stands below the box: what a live word comes to, or why it is not understood."""
        return "" if self._answer.isHidden() else self._answer.text()

    def begin(self, place: str, selects_all: bool = False) -> None:
        """Open the box at a place; where there are no words, ask for the form."""
        self.end()
        words = writable(self._open_lesson.lesson, place)
        if words is None:
            self.form_asked.emit()
            return
        if place not in (TITLE_PLACE, AIMS_PLACE):
            self._selection.select(place)
        self._place = place
        setting = self._open_lesson.lesson.setting
        box = WritingBox(self._view.viewport(), words.text, words.style, setting, words.is_single_line)
        box.setAccessibleName(words.label)
        self.box = box
        # A window in which nobody writes opens sooner without it.
        from desktop.editing.offering import Offering

        self.offering = Offering(box, lambda: self._open_lesson.lesson.setting)
        self._follow_page()
        box.textChanged.connect(self._write)
        box.grown.connect(self._grow)
        box.cursorPositionChanged.connect(self._explain)
        box.left.connect(self.end)
        box.put_in_asked.connect(self.put_in_asked)
        self._view.set_written_in(True)
        box.show()
        box.setFocus()
        box.moveCursor(box.textCursor().MoveOperation.End)
        if selects_all:
            box.selectAll()
        self._grow()
        self._explain()

    def end(self) -> None:
        """Close the box; what was written stays."""
        box, self.box = self.box, None
        if box is None:
            return
        self._place = ""
        self._pause.stop()
        self._open_lesson.settle()
        self._view.set_written_in(False)
        had_focus = box.hasFocus()
        if self.offering is not None:
            self.offering.close()
            self.offering = None
        self._answer.hide()
        box.hide()
        box.deleteLater()
        self._drawn.end_stand_in()
        if had_focus:
            self._view.setFocus()

    def _write(self) -> None:
        words = self._words()
        if words is None or self.box is None:
            return
        text = self.box.toPlainText()
        if words.cleaned(text) == words.text:
            return
        try:
            lesson = words.write(self._open_lesson.lesson, text)
        except ValueError as error:
            self._show_answer(say("This is not kept: {error}", error=error))
            return
        self._open_lesson.edit(words.label, lesson, f"write.{self._place}")
        self._pause.start()
        self._explain()

    def _words(self) -> Writable | None:
        return writable(self._open_lesson.lesson, self._place) if self._place else None

    def _grow(self) -> None:
        if self.box is None:
            return
        if self._place not in (TITLE_PLACE, AIMS_PLACE):
            height = (self.box.wanted_height - 2 * PAD) / self._view.page_layout.scale
            self._drawn.set_stand_in(self._place, min(height, self._drawn.pages[0].height * 0.7))
        self._follow_page()

    def _follow_page(self) -> None:
        """Stay over the words as the page scrolls, zooms or grows."""
        words, box = self._words(), self.box
        place = self._view.box_on_viewport(self._place) if self._place else None
        if words is None or box is None or place is None:
            return
        scale = self._view.page_layout.scale
        box.set_scale(scale)
        tallest = round(self._drawn.pages[0].height * 0.7 * scale) + 2 * PAD
        height = min(box.wanted_height, tallest)
        box.scroll_inside(box.wanted_height > tallest)
        box.setGeometry(
            round(place.left) - PAD, round(place.top) - PAD, round(words.width * scale) + 2 * PAD + 2, height
        )
        self._place_answer()
        if self.offering is not None and self.offering.is_shown:
            self.offering.follow()

    def _follow_lesson(self) -> None:
        words, box = self._words(), self.box
        if box is None:
            return
        if words is None:
            self.end()
            return
        box.marks.set_setting(self._open_lesson.lesson.setting)
        if words.cleaned(box.toPlainText()) != words.text:
            # Undo, or another view of the same words, changed them.
            caret = box.textCursor().position()
            box.blockSignals(True)
            box.setPlainText(words.text)
            box.blockSignals(False)
            cursor = box.textCursor()
            cursor.setPosition(min(caret, box.document().characterCount() - 1))
            box.setTextCursor(cursor)
            self._grow()

    def _follow_selection(self) -> None:
        if self._place and self._place not in (TITLE_PLACE, AIMS_PLACE, *self._selection.ids):
            self.end()

    def _explain(self) -> None:
        """Offer what can stand in an open brace; otherwise say what the words at the caret come to."""
        if self.box is None or self.offering is None:
            return
        self.offering.follow()
        cursor, setting = self.box.textCursor(), self._open_lesson.lesson.setting
        line = cursor.block().text()
        words = "" if self.offering.is_shown else explain(line, cursor.positionInBlock(), setting)
        if not words and not self.offering.is_shown:
            found = prose.problems(prose.read(self.box.toPlainText(), setting))
            if found:
                words = say("{text} prints as typed: {problem}", text=found[0].text, problem=found[0].problem)
            elif "{" in (sentence := sentence_at(line, cursor.positionInBlock())):
                words = say(
                    "Prints: {plain_text}",
                    plain_text=prose.plain_text(prose.read(sentence, setting), setting.label_style),
                )
        self._show_answer(words)

    def _show_answer(self, words: str) -> None:
        self._answer.setText(words)
        self._answer.setVisible(bool(words))
        self._place_answer()

    def _place_answer(self) -> None:
        if self.box is None or self._answer.isHidden():
            return
        area = self.box.geometry()
        self._answer.setWordWrap(True)
        width = min(area.width(), self._answer.fontMetrics().horizontalAdvance(self._answer.text()) + 24)
        self._answer.setFixedWidth(width)
        self._answer.resize(width, self._answer.heightForWidth(width))
        below = area.bottom() + 4
        room = self._view.viewport().height() - self._answer.height() - 4
        self._answer.move(area.left(), below if below <= room else max(4, area.top() - self._answer.height() - 4))
        self._answer.raise_()
