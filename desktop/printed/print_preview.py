"""How the lesson will be printed: the edition, the paper and the sheets are chosen, and the very pages are seen.

What is printed from here are the pages that are seen. The lesson itself stays as it is.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QComboBox, QFrame, QHBoxLayout, QMenu, QPushButton, QToolButton, QVBoxLayout, QWidget

from desktop.files import LessonFiles
from desktop.forms.row import quiet_label
from desktop.open_lesson import OpenLesson
from desktop.printed.sheets_view import SheetsView
from desktop.status_line import StatusLine
from desktop.words import english, say
from lessonkit.handout.how_printed import HowPrinted, printed_pages
from lessonkit.handout.imposition import Imposition, imposed
from lessonkit.lesson.edits import set_paper
from lessonkit.lesson.lesson import Lesson, Paper
from lessonkit.pages.editions import Edition
from lessonkit.pages.page import Page
from lessonkit.pages.page_look import Reading

EDITIONS = {
    Edition.STUDENT: english("Student"), Edition.TEACHER: english("Teacher"),
    Edition.ANSWERS: english("Answer key"), Edition.LARGE: english("Large print"), Edition.PARENT: english("Parents"),
}  # fmt: skip
READINGS = {
    Reading.STAFF: english("On staves"), Reading.LETTERS: english("In letters"),
    Reading.PICTURES: english("As pictures of keys"), Reading.SYMBOLS: english("As chord symbols"),
}  # fmt: skip
PAPERS: dict[Paper | None, str] = {
    None: english("As the lesson"), Paper.A4: english("A4"), Paper.LETTER: english("Letter"),
    Paper.BOTH: english("A4 or Letter"), Paper.A5: english("A5"), Paper.A3: english("A3, all larger"),
}  # fmt: skip
SHEETS = {
    Imposition.SINGLE: english("One page a side"), Imposition.TWO_UP: english("Two pages a side"),
    Imposition.BOOKLET: english("Booklet to fold"),
}  # fmt: skip
"""What can be chosen, in the words of the lists; tests hold that nothing is missing."""

SOON = 150
"""Milliseconds after an edit of the lesson until the pages follow it."""


class PrintPreview(QWidget):
    """The choices above the sheets."""

    back_asked = Signal()
    """The lesson is wanted again."""

    def __init__(self, open_lesson: OpenLesson, files: LessonFiles, tell: Callable[[str], None]) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._files = files
        self._tell = tell
        self.pages: tuple[Page, ...] = ()
        self._made: tuple[Lesson, HowPrinted] | None = None
        self.view = SheetsView()
        self.view.back_asked.connect(self.back_asked)
        self.edition = self._list(say("Edition"), EDITIONS)
        self.reading = self._list(say("Drills"), READINGS)
        self.paper = self._list(say("Paper"), PAPERS)
        self.sheets = self._list(say("Sheets"), SHEETS)
        self._said = quiet_label("")
        self._said.setObjectName("quiet")
        self._said.setWordWrap(True)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(SOON)
        self._soon.timeout.connect(self.follow)
        open_lesson.changed.connect(self._follow_soon)
        open_lesson.replaced.connect(self._follow_soon)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self._banner())
        layout.addWidget(self.view, 1)
        status = StatusLine(self.view, self.view, lambda: self.how.imposition is not Imposition.SINGLE)
        status.set_actions(self.view.zoom_actions())
        layout.addWidget(status)

    @property
    def how(self) -> HowPrinted:
        """How it will be printed."""
        return HowPrinted(self.edition.currentData(), self.reading.currentData(), self.sheets.currentData())

    @property
    def lesson(self) -> Lesson:
        """The lesson on the paper that was chosen."""
        lesson, paper = self._open_lesson.lesson, self.paper.currentData()
        return lesson if paper is None else set_paper(lesson, paper)

    def follow(self) -> None:
        """Show what would be printed now; nothing is worked out twice."""
        self._soon.stop()
        wanted = (self.lesson, self.how)
        if wanted == self._made:
            return
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            self.pages = printed_pages(self.lesson, False, self.how)
            sides = imposed(self.pages, self.how.imposition)
        finally:
            QGuiApplication.restoreOverrideCursor()
        self._made = wanted
        self.view.show_sheets(sides)
        self._said.setText(self._told(len(self.pages), len(sides)))

    def print_seen(self) -> None:
        """Print what is seen."""
        self.follow()
        pages = self.pages
        self._files.print_pages(f"{self.how.in_name}.pdf", lambda: pages, self.how)

    def _told(self, pages: int, sides: int) -> str:
        counted = say("{n} pages", n=pages) if pages != 1 else say("One page")
        if self.how.imposition is Imposition.BOOKLET:
            return say("{pages}. Print on both sides, turned over the short edge, and fold.", pages=counted)
        if self.how.imposition is Imposition.TWO_UP:
            return say("{pages}, two beside each other.", pages=counted)
        return say("{pages}.", pages=counted)

    def _follow_soon(self) -> None:
        # What is not seen is worked out when it is seen again.
        if self.isVisible():
            self._soon.start()

    def _list(self, name: str, options: dict[Any, str]) -> QComboBox:
        box = QComboBox()
        for value, words in options.items():
            box.addItem(say(words), value)
        box.setAccessibleName(name)
        box.setToolTip(name)
        box.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        box.currentIndexChanged.connect(self.follow)
        return box

    def _banner(self) -> QFrame:
        banner = QFrame()
        banner.setObjectName("studentBanner")
        rows = QVBoxLayout(banner)
        rows.setContentsMargins(16, 6, 8, 6)
        rows.setSpacing(4)
        choices, below = QHBoxLayout(), QHBoxLayout()
        for box in (self.edition, self.reading, self.paper, self.sheets):
            words = quiet_label(box.accessibleName())
            words.setObjectName("quiet")
            words.setBuddy(box)
            choices.addWidget(words)
            choices.addWidget(box)
            choices.addSpacing(8)
        choices.addStretch(1)
        below.addWidget(self._said, 1)
        below.addWidget(self._fit_button())
        for text, call in ((say("Print to PDF …"), self.print_seen), (say("Back to the lesson"), self.back_asked.emit)):
            button = QPushButton(text)
            button.clicked.connect(call)
            below.addWidget(button)
        rows.addLayout(choices)
        rows.addLayout(below)
        return banner

    def _fit_button(self) -> QToolButton:
        button = QToolButton()
        button.setText(say("Save a page"))
        button.setProperty("segment", True)
        button.setProperty("opens", True)
        button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        button.setToolTip(say("What would save a page of the student's handout, the cheapest change first"))
        self.fit_menu = QMenu(button)
        self.fit_menu.aboutToShow.connect(self._fill_fit)
        button.setMenu(self.fit_menu)
        return button

    def _fill_fit(self) -> None:
        """What would save a page, and which page cannot be turned well; nothing is done before it is chosen."""
        from lessonkit.pages.awkward_turns import awkward_turns
        from lessonkit.pages.savings import Saving, savings

        self.fit_menu.clear()
        lesson = self.lesson
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            found, turns = savings(lesson), awkward_turns(lesson)
        finally:
            QGuiApplication.restoreOverrideCursor()

        def take(saving: Saving) -> None:
            paper = self._open_lesson.lesson.paper
            self._open_lesson.edit(say(saving.words), replace(saving.lesson, paper=paper))
            self.follow()

        for saving in found:
            words = say("{words} ({after} instead of {before})", words=say(saving.words), after=saving.pages_after,
                        before=saving.pages_before)  # fmt: skip
            self.fit_menu.addAction(words).triggered.connect(lambda checked=False, one=saving: take(one))
        if not found:
            self.fit_menu.addAction(say("Nothing here would save a page")).setEnabled(False)
        for turn in turns:
            self.fit_menu.addAction(
                say("Page {page} is turned in the middle of a drill", page=turn.page)
            ).triggered.connect(lambda checked=False, one=turn: self._tell(str(one)))
