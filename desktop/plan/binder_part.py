"""The term bound into PDFs: for whom, what goes in, into which folder; progress, stop, go on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Qt, QUrl, Signal
from PySide6.QtGui import QDesktopServices, QShowEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QProgressBar,
    QVBoxLayout,
    QWidget,
)

from desktop.memory import Memory
from desktop.plan.binder_run import BinderRun, Came, For, Wanted
from desktop.plan.lessons_beside import LessonsBeside
from desktop.plan.open_term import OpenTerm
from desktop.plan.panel_parts import PlanForm, button, number_box
from desktop.words import say

FORM_WIDTH = 400
_PATH = Qt.ItemDataRole.UserRole


class BinderPart(QWidget):
    """The part. A run goes on while other parts and rooms are looked at."""

    told = Signal(str)
    """Something the teacher should know."""

    def __init__(
        self,
        open_term: OpenTerm,
        beside: LessonsBeside,
        memory: Memory,
        students: Callable[[], Sequence[Path]],
        ask: Callable[[Path], Path | None],
    ) -> None:
        super().__init__()
        self._open_term = open_term
        self._beside = beside
        self._memory = memory
        self._students = students
        self._ask = ask
        self.run: BinderRun | None = None
        self._total = self._done = 0
        self._was_stopped = False
        self._last: tuple[Wanted, Path] | None = None
        form = PlanForm(say("Binder"))
        form.setFixedWidth(FORM_WIDTH)
        self.whom = QComboBox()
        self.whom.setAccessibleName(say("For whom"))
        self.whom.currentIndexChanged.connect(self._follow)
        form.field(say("For whom"), self.whom)
        self.files = QComboBox()
        self.files.setAccessibleName(say("How many files"))
        self.files.addItems([say("One file with contents and index"), say("A file for each lesson")])
        form.field(say("How many files"), self.files)
        form.caption(say("What goes in"))
        self.answers = QCheckBox(say("Answers of the worksheets"))
        self.parents = QCheckBox(say("A note to parents for each lesson"))
        self.right = QCheckBox(say("Each lesson on a new right-hand page"))
        self.assesses = QCheckBox(say("An assessment sheet, its keys drawn by this number:"))
        self.draw = number_box(say("Number that draws the keys of the assessment"), 1, 99_999)
        self.draw.setEnabled(False)
        self.assesses.toggled.connect(self.draw.setEnabled)
        for box in (self.answers, self.parents, self.right, self.assesses):
            form.add(box)
        form.line(self.draw)
        self.anew = QCheckBox(say("Make again what is there and unchanged"))
        form.caption(say("Run"))
        form.add(self.anew)
        self.bind = button(say("Bind into a folder …"), say("Bind into a folder"), self.begin)
        self.go_on = button(say("Go on"), say("Go on where it was stopped"), self.resume)
        self.stop = button(say("Stop"), say("Stop; what is made stays"), self.end)
        form.line(self.bind, self.go_on, self.stop)
        form.end()
        self.progress = QProgressBar()
        self.progress.setAccessibleName(say("Binders made"))
        self.progress.setTextVisible(False)
        made = PlanForm("")
        made.title.hide()
        self.said = made.quiet()
        made.add(self.progress)
        self.list = QListWidget()
        self.list.setObjectName("lines")
        self.list.setAccessibleName(say("Binders"))
        self.list.setAccessibleDescription(say("Enter opens the PDF."))
        self.list.setWordWrap(True)
        self.list.itemActivated.connect(self._open)
        column = QVBoxLayout()
        column.setSpacing(0)
        column.addWidget(made)
        below = QHBoxLayout()
        below.setContentsMargins(24, 0, 24, 16)
        below.addWidget(self.list)
        column.addLayout(below, 1)
        across = QHBoxLayout(self)
        across.setContentsMargins(0, 0, 0, 0)
        across.addWidget(form)
        across.addLayout(column, 1)
        open_term.changed.connect(self._show_whom)
        open_term.opened.connect(self._forget)
        self._show_whom()
        self._follow()

    @property
    def panes(self) -> tuple[QWidget, ...]:
        """What F6 goes through."""
        return self.whom, self.list

    @property
    def wanted(self) -> Wanted:
        """What the form asks for."""
        whom, code = self.whom.currentData()
        return Wanted(
            whom, code, self.files.currentIndex() == 1, self.answers.isChecked(), self.parents.isChecked(),
            self.draw.value() if self.assesses.isChecked() else None, self.anew.isChecked(),
            self.right.isChecked(),
        )  # fmt: skip

    @property
    def is_running(self) -> bool:
        """Whether binders are being made."""
        return self.run is not None

    def begin(self) -> None:
        """Ask for the folder and begin."""
        folder = self._ask(self._open_term.folder or self._memory.folder)
        if folder is not None:
            self._begin(self.wanted, folder)

    def resume(self) -> None:
        """Go on where it was stopped."""
        if self._last is not None:
            wanted, folder = self._last
            self._begin(replace(wanted, makes_anew=False), folder)

    def end(self) -> None:
        """Begin nothing more; what is begun is finished."""
        if self.run is not None:
            self.run.stop()
            self.said.setText(say("Stopping; the binders that are begun are finished …"))
            self.stop.setEnabled(False)

    def close_run(self) -> None:
        """The window goes."""
        if self.run is not None:
            self.run.close()

    def _begin(self, wanted: Wanted, folder: Path) -> None:
        beside = self._open_term.folder
        if self.run is not None or beside is None:
            return
        self._last = (wanted, folder)
        self._done = self._total = 0
        self._was_stopped = False
        self.list.clear()
        self.progress.setRange(0, 0)
        self.said.setText(say("Beginning …"))
        people = [*self._students()]
        self.run = BinderRun(self._open_term.term, self._beside.lessons, wanted, folder, people)
        self.run.began.connect(self._show_total)
        self.run.came.connect(self._show_came)
        self.run.ended.connect(self._show_end)
        self._follow()
        self.run.begin()

    def _show_total(self, total: int) -> None:
        self._total = total
        self.progress.setRange(0, max(1, total))
        self.progress.setValue(0)
        self.said.setText(say("Making {binders} …", binders=_binders(total)) if total else "")

    def _show_came(self, came: Came) -> None:
        if came.who:
            self._done += 1
            self.progress.setValue(self._done)
            if self.stop.isEnabled():
                self.said.setText(say("{done} of {binders} made", done=self._done, binders=_binders(self._total)))
        if came.problem:
            words = (
                say("The binder for {who} was not made: {problem}", who=came.who, problem=came.problem)
                if came.who
                else came.problem
            )
            self.list.addItem(QListWidgetItem(f"{words}."))
        for path in came.paths:
            pages = say(", {pages} pages", pages=came.pages) if len(came.paths) == 1 else ""
            old = say(", there already and unchanged") if came.is_old else ""
            item = QListWidgetItem(f"{path.name}{pages}{old}")
            item.setToolTip(str(path))
            item.setData(_PATH, path)
            self.list.addItem(item)

    def _show_end(self, was_stopped: bool) -> None:
        self.run = None
        self._was_stopped = was_stopped
        self.progress.setRange(0, max(1, self._total))
        self.progress.setValue(self._done)
        folder = self._last[1] if self._last is not None else ""
        if was_stopped:
            self.said.setText(
                say(
                    "Stopped: {done} of {binders} are made, in {folder}",
                    done=self._done,
                    binders=_binders(self._total),
                    folder=folder,
                )
            )
        elif self._total:
            self.said.setText(f"{_binders(self._total)[:1].upper()}{_binders(self._total)[1:]} in {folder}")
        else:
            self.said.setText(say("Nothing to bind: no lesson of the term is for these students."))
        self._follow()
        if not self.isVisible():
            self.told.emit(self.said.text())

    def _open(self, item: QListWidgetItem) -> None:
        path = item.data(_PATH)
        if path is not None and not QDesktopServices.openUrl(QUrl.fromLocalFile(str(path.absolute()))):
            self.told.emit(
                say("No program here opens PDF documents. The binder is {absolute}", absolute=path.absolute())
            )

    def _forget(self) -> None:
        if self.run is None:
            self.list.clear()
            self._last, self._was_stopped = None, False
            self.said.setText("")
            self._total = self._done = 0
        self._show_whom()
        self._follow()

    def _show_whom(self) -> None:
        wanted = [(say(whom.value), (whom, "")) for whom in (For.EACH, For.TOGETHER, For.TEACHER)]
        wanted += [(code, (For.STUDENT, code)) for code in self._open_term.term.everybody]
        if [self.whom.itemText(place) for place in range(self.whom.count())] == [words for words, _ in wanted]:
            return
        before = self.whom.currentText()
        self.whom.clear()
        for words, data in wanted:
            self.whom.addItem(words, data)
        self.whom.setCurrentIndex(max(0, self.whom.findText(before)))

    def _follow(self) -> None:
        is_for_teacher = self.whom.currentData() is not None and self.whom.currentData()[0] is For.TEACHER
        is_free = self.run is None
        self.answers.setEnabled(not is_for_teacher)
        self.parents.setEnabled(not is_for_teacher)
        self.bind.setEnabled(is_free)
        self.stop.setVisible(not is_free)
        self.stop.setEnabled(not is_free)
        self.go_on.setVisible(is_free and self._was_stopped)
        self.progress.setVisible(self._total > 0 or not is_free)

    # Qt overrides

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._show_whom()


def _binders(count: int) -> str:
    return say("one binder") if count == 1 else say("{count} binders", count=count)
