"""What was handed out, the newest first, with what was in it and how its first tries went."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.people.due_part import line, lines_tree
from desktop.people.studio import Studio
from desktop.people.wording import counted, day_words, detail_words
from desktop.words import say
from lessonkit.students.marks import RATINGS, Mark
from lessonkit.students.student import GivenBlock, Handout, Student

_ID = Qt.ItemDataRole.UserRole


class HandoutsPart(QWidget):
    """The handouts of the chosen student."""

    def __init__(self, studio: Studio) -> None:
        super().__init__()
        self._studio = studio
        self._shown: Student | None = None
        self._empty = quiet_label(say("Nothing was handed out yet. What is printed for a student is kept here."))
        self._empty.setObjectName("quiet")
        self._empty.setWordWrap(True)
        self.tree = lines_tree(say("Handouts given"), say("Handout"), say("What was in it"))
        self.take_out = QPushButton(say("Take this handout out"))
        self.take_out.clicked.connect(self._take_out)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.take_out)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 16, 24, 16)
        layout.setSpacing(8)
        layout.addWidget(self._empty)
        layout.addWidget(self.tree, 1)
        layout.addLayout(foot)
        studio.changed.connect(self.show_student)
        studio.chosen.connect(self.show_student)

    def show_student(self) -> None:
        """Show the handouts, if they can be seen and may be others."""
        student = self._studio.student
        if not self.isVisible() or student is self._shown:
            return
        self._shown = student
        self.tree.clear()
        handouts = [] if student is None else sorted(student.handouts, key=lambda one: one.day, reverse=True)
        self._empty.setVisible(not handouts)
        self.take_out.setEnabled(bool(handouts))
        for handout in handouts:
            assert student is not None
            item = line(f"{day_words(handout.day)}: {handout.title}", counted(len(handout.blocks), "drill"))
            item.setData(0, _ID, handout.id)
            for block in handout.blocks:
                item.addChild(
                    line(
                        f"{say(block.title)} · {detail_words(block)}".rstrip(" ·"),
                        _how_it_went(block, handout, student),
                    )
                )
            self.tree.addTopLevelItem(item)
        first = self.tree.topLevelItem(0)
        if first is not None:
            first.setExpanded(True)
            self.tree.setCurrentItem(first)

    def _take_out(self) -> None:
        student, item = self._studio.student, self.tree.currentItem()
        if student is None or item is None:
            return
        top = item.parent() or item
        found = top.data(0, _ID)
        left = tuple(one for one in student.handouts if one.id != found)
        typed = {} if student.handout_typed != found else {"handout_typed": "", "keys_typed": ""}
        self._studio.edit(say("Take a handout out"), replace(student, handouts=left, **typed))

    # Qt overrides

    def showEvent(self, event: Any) -> None:
        super().showEvent(event)
        self.show_student()


def _how_it_went(block: GivenBlock, handout: Handout, student: Student) -> str:
    """The first mark of just these items since the handout."""
    later = [mark for mark in student.marks if mark.items == block.items and mark.day >= handout.day]
    return _mark_words(min(later, key=lambda mark: mark.day)) if later else say("not marked yet")


def _mark_words(mark: Mark) -> str:
    cause = f", {say(mark.cause.words)}" if mark.cause is not None else ""
    return f"{mark.rating} {say(RATINGS[mark.rating])}{cause}, {day_words(mark.day)}"
