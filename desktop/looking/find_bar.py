"""Finds words in notes, headings, title and aims, goes from one place to the next, and puts others in their stead."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QCheckBox, QFrame, QGridLayout, QLineEdit, QPushButton, QSizePolicy, QWidget

from desktop.open_lesson import OpenLesson
from desktop.painting.elided_label import ElidedLabel
from desktop.words import say
from lessonkit.lesson.finding import FoundWords, around, find_words, replace_words


class FindBar(QFrame):
    """Two fields and four buttons above the pages."""

    went = Signal(object)
    """These words are to be shown."""

    left = Signal(object)
    """The hand goes to these words, or back to the pages for None."""

    def __init__(self, open_lesson: OpenLesson) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._found: tuple[FoundWords, ...] = ()
        self._place = -1
        self.setObjectName("findBar")
        self.words, self.others = QLineEdit(), QLineEdit()
        self.words.setPlaceholderText(say("Find words"))
        self.words.setAccessibleName(say("Find words"))
        self.others.setPlaceholderText(say("Put these in their place"))
        self.others.setAccessibleName(say("Replace by"))
        self.minds_case = QCheckBox(say("Same capitals"))
        self.told = ElidedLabel()
        self.told.setObjectName("quiet")
        self.next, self.last = QPushButton(say("Next")), QPushButton(say("Back"))
        self.one, self.all = QPushButton(say("Replace")), QPushButton(say("Replace all"))
        close = QPushButton(say("Close"))
        grid = QGridLayout(self)
        grid.setContentsMargins(16, 8, 8, 8)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(4)
        upper: list[QWidget] = [self.words, self.last, self.next, self.minds_case]
        lower: list[QWidget] = [self.others, self.one, self.all, self.told]
        for row, widgets in enumerate((upper, lower)):
            for column, widget in enumerate(widgets):
                grid.addWidget(widget, row, column)
        grid.addWidget(close, 0, 4)
        grid.setColumnStretch(0, 2)
        grid.setColumnStretch(3, 3)
        # However long what is told is, the fields keep their room.
        self.told.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.words.setMinimumWidth(180)
        self.words.textChanged.connect(self._look)
        self.minds_case.toggled.connect(self._look)
        self.next.clicked.connect(lambda: self._go(1))
        self.last.clicked.connect(lambda: self._go(-1))
        self.one.clicked.connect(self._replace_one)
        self.all.clicked.connect(self._replace_all)
        close.clicked.connect(self.leave)
        for field in (self.words, self.others):
            field.installEventFilter(self)
        open_lesson.changed.connect(self._follow)
        open_lesson.replaced.connect(self._follow)
        self._tell()

    def open(self) -> None:
        """Come up with the hand where one types."""
        self.show()
        self.words.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.words.selectAll()
        self._follow()

    def leave(self) -> None:
        """Go away; the hand goes to what is found."""
        found = self._now
        self.hide()
        self.left.emit(found)

    @property
    def _now(self) -> FoundWords | None:
        return self._found[self._place] if 0 <= self._place < len(self._found) else None

    def _look(self) -> None:
        self._found = find_words(self._open_lesson.lesson, self.words.text(), self.minds_case.isChecked())
        self._place = -1
        if self._found:
            self._go(1)
        self._tell()

    def _follow(self) -> None:
        """The lesson changed: what was found may stand elsewhere."""
        if not self.isHidden():
            self._found = find_words(self._open_lesson.lesson, self.words.text(), self.minds_case.isChecked())
            self._place = min(self._place, len(self._found) - 1)
            self._tell()

    def _go(self, by: int) -> None:
        if self._found:
            self._place = (self._place + by) % len(self._found)
            self.went.emit(self._found[self._place])
        self._tell()

    def _replace_one(self) -> None:
        found = self._now
        if found is not None:
            self._replace((found,), say("Replace words"))
            # What stands in its place may hold the words again; the next place is the one behind it.
            behind = (found.place, found.start + len(self.others.text()))
            order = [(one.place, one.start) for one in self._found]
            later = [at for at, (place, start) in enumerate(order) if place == behind[0] and start >= behind[1]]
            self._place = (later[0] if later else self._place) - (1 if later else 0)
            if later or self._found:
                self._go(1 if later else 0)

    def _replace_all(self) -> None:
        count = len(self._found)
        if count:
            self._replace(self._found, say("Replace words"))
            self.told.setText(
                say("Replaced in {count} places", count=count) if count != 1 else say("Replaced in one place")
            )

    def _replace(self, found: tuple[FoundWords, ...], label: str) -> None:
        try:
            lesson = replace_words(self._open_lesson.lesson, found, self.others.text())
        except ValueError as error:
            self.told.setText(say("Not replaced: {error}", error=error))
            return
        self._open_lesson.edit(label, lesson)

    def _tell(self) -> None:
        now = self._now
        for button in (self.next, self.last, self.one, self.all):
            button.setEnabled(bool(self._found))
        if not self.words.text():
            self.told.setText("")
        elif now is None:
            self.told.setText(
                say("Nothing found") if not self._found else say("Found in {n} places", n=len(self._found))
            )
        else:
            self.told.setText(
                say(
                    "{place} of {n}: {around}",
                    place=self._place + 1,
                    n=len(self._found),
                    around=around(self._open_lesson.lesson, now),
                )
            )

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            is_enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            if event.key() == Qt.Key.Key_Escape:
                self.leave()
                return True
            if is_enter and watched is self.others:
                self._replace_one()
                return True
            if is_enter:
                self._go(-1 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1)
                return True
        return super().eventFilter(watched, event)
