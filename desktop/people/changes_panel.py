"""What was changed for a student, each change with its reason and the way to take it back or to make it after all."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QCheckBox, QFrame, QHBoxLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.forms.wording import capital
from desktop.frame import panel_width
from desktop.people.wording import counted
from desktop.words import say
from lessonkit.students.adapted import Adapted, Change

CARDS_AT_ONCE = 4
"""So many changes are shown before the window may answer."""


class Answers(Protocol):
    """Who is told what the teacher decides about changes."""

    @property
    def has_around(self) -> bool: ...
    def set_around(self, is_wanted: bool) -> None: ...
    @property
    def has_name(self) -> bool: ...
    def set_name(self, is_wanted: bool) -> None: ...
    def set_choice(self, key: str, is_wanted: bool) -> None: ...


class ChangeCard(QFrame):
    """One change."""

    answered = Signal(str, bool)
    """The change of this key is wanted, or not."""

    pointed = Signal(str)
    """The hand points at the block of the change."""

    def __init__(self) -> None:
        super().__init__()
        self._change: Change | None = None
        self.setObjectName("changeCard")
        self._what, self._why = quiet_label(""), quiet_label("")
        self._what.setWordWrap(True)
        self._why.setWordWrap(True)
        self._why.setObjectName("quiet")
        self.button = QPushButton()
        self.button.clicked.connect(self._answer)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 8, 8, 8)
        layout.setSpacing(4)
        layout.addWidget(self._what)
        layout.addWidget(self._why)
        layout.addLayout(foot)

    @property
    def change(self) -> Change | None:
        """The change that is shown."""
        return self._change

    def show_change(self, change: Change) -> None:
        """Show a change."""
        self._change = change
        what = capital(say(change.what))
        if not change.is_applied:
            what = say("Shall it be? {what}", what=what) if change.is_question else say("Not done: {what}", what=what)
        self._what.setText(what)
        self._why.setText(say(change.reason))
        wanted = say("Yes, do it") if change.is_question else say("Do it after all")
        self.button.setText(say("Take it back") if change.is_applied else wanted)
        self.button.setAccessibleName(f"{self.button.text()}: {say(change.what)}")
        self.button.setAccessibleDescription(say(change.reason))

    def mark(self, is_marked: bool) -> None:
        """Show that the block of the change is selected."""
        if self.property("marked") != is_marked:
            self.setProperty("marked", is_marked)
            self.style().unpolish(self)
            self.style().polish(self)

    def _answer(self) -> None:
        if self._change is not None:
            self.answered.emit(self._change.key, not self._change.is_applied)

    # Qt overrides

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self._change is not None and self._change.block_id:
            self.pointed.emit(self._change.block_id)
        super().mousePressEvent(event)


class ChangesPanel(QFrame):
    """All changes for the student, in the place of the settings."""

    print_asked = Signal()
    """The lesson is to be printed for the student."""

    keep_asked = Signal()
    """The student's lesson is to be kept as a lesson of its own."""

    pointed = Signal(str)
    """The hand points at the block of a change."""

    def __init__(self, answers: Answers, can_keep: bool = False) -> None:
        super().__init__()
        self._answers = answers
        self.cards: list[ChangeCard] = []
        self._changes: tuple[Change, ...] = ()
        self._marked: Sequence[str] = ()
        self._left = 0
        self.setObjectName("sidePanel")
        self.setFixedWidth(panel_width())
        self._title = quiet_label("")
        self._title.setObjectName("panelTitle")
        self._said = quiet_label("")
        self._said.setObjectName("quiet")
        self._said.setWordWrap(True)
        self.around = QCheckBox(say("Plan, review and strip around it"))
        self.around.setChecked(answers.has_around)
        self.around.setToolTip(say("The day's plan in front, what is due behind, and the strip of first tries"))
        self.around.clicked.connect(answers.set_around)
        self.name = QCheckBox(say("Say on it for whom it is"))
        self.name.setChecked(answers.has_name)
        self.name.clicked.connect(answers.set_name)
        self.print = QPushButton()
        self.print.clicked.connect(self.print_asked)
        self.keep = QPushButton(say("Keep as a lesson of its own …"))
        self.keep.setToolTip(say("Save it as a file that remembers its original; its pages can then be edited"))
        self.keep.clicked.connect(self.keep_asked)
        if not can_keep:
            self.keep.hide()
        body = QWidget()
        body.setObjectName("form")
        self._list = QVBoxLayout(body)
        self._list.setContentsMargins(16, 0, 16, 16)
        self._list.setSpacing(8)
        self._list.addStretch(1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(body)
        self._scroll = scroll
        head = QVBoxLayout()
        head.setContentsMargins(16, 16, 16, 8)
        head.setSpacing(4)
        head.addWidget(self._title)
        head.addWidget(self._said)
        head.addWidget(self.around)
        head.addWidget(self.name)
        head.addSpacing(4)
        head.addWidget(self.print)
        head.addWidget(self.keep)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(1, 0, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(head)
        layout.addWidget(scroll, 1)
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._go_on)

    @property
    def is_finished(self) -> bool:
        """Whether every change is shown."""
        return self._left >= len(self._changes)

    def show_changes(self, adapted: Adapted, code: str) -> None:
        """Show the changes; the first ones at once, the others while the window answers."""
        self._changes = adapted.changes
        self.around.setChecked(self._answers.has_around)
        self.name.setChecked(self._answers.has_name)
        done = sum(change.is_applied for change in adapted.changes)
        asked = sum(change.is_question and not change.is_applied for change in adapted.changes)
        self._title.setText(say("For {code}", code=code))
        said = (
            say("{done}, each can be taken back.", done=counted(done, "change"))
            if done
            else say("Nothing was changed.")
        )
        self._said.setText(said + (say(" {asked} to answer.", asked=counted(asked, "question")) if asked else ""))
        self.print.setText(say("Print for {code} …", code=code))
        for card in self.cards[len(self._changes) :]:
            card.hide()
        self._left = 0
        self._go_on()

    def mark(self, ids: Sequence[str]) -> None:
        """Show which changes are of the selected blocks, and bring the first into sight."""
        self._marked = ids
        first: ChangeCard | None = None
        for card in self.cards:
            is_of_it = not card.isHidden() and card.change is not None and card.change.block_id in ids
            card.mark(bool(is_of_it))
            first = first or (card if is_of_it else None)
        if first is not None:
            self._scroll.ensureWidgetVisible(first)

    def _go_on(self) -> None:
        until = min(self._left + CARDS_AT_ONCE, len(self._changes))
        for place in range(self._left, until):
            if place == len(self.cards):
                card = ChangeCard()
                card.answered.connect(self._answers.set_choice)
                card.pointed.connect(self.pointed)
                self.cards.append(card)
                self._list.insertWidget(place, card)
            card = self.cards[place]
            card.show_change(self._changes[place])
            card.mark(bool(self._changes[place].block_id) and self._changes[place].block_id in self._marked)
            card.show()
        self._left = until
        if until < len(self._changes):
            self._timer.start()
        else:
            self._timer.stop()
