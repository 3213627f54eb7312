"""Print the open lesson for one, several or all students: who, where, how far it is, and stop."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any, Protocol

from PySide6.QtCore import QCoreApplication, QEvent, Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from desktop.forms.row import quiet_label
from desktop.people.own_lesson import in_names
from desktop.people.print_run import PrintRun, Wanted
from desktop.people.studio import Studio
from desktop.people.wording import counted
from desktop.words import say
from lessonkit.lesson.lesson import Lesson
from lessonkit.students.adapted import Adapted
from lessonkit.students.student import with_handout
from lessonkit.values import dataclass

_PATH = Qt.ItemDataRole.UserRole


class AskedWhere(Protocol):
    """Who names the folder."""

    def where_to_print(self, folder: Path) -> Path | None: ...


@dataclass(frozen=True, slots=True)
class ToPrint:
    """The lesson, the name of its file, the folder that is proposed; for whom changes were taken back, and which."""

    lesson: Lesson
    name: str
    folder: Path
    choices: Mapping[Path, tuple[tuple[str, bool], ...]]
    has_around: bool = True
    has_name: bool = True
    own: Adapted | None = None
    """The student's own lesson that is printed as it is, for them alone."""


class PrintDialog(QDialog):
    """Every handout that is printed is written down in its student's file."""

    def __init__(
        self, parent: QWidget, studio: Studio, to_print: ToPrint, chosen: set[Path], asked: AskedWhere
    ) -> None:
        super().__init__(parent)
        self._studio = studio
        self._to_print = to_print
        self._asked = asked
        self._folder = to_print.folder
        self._run: PrintRun | None = None
        self._count = self._done = self._failures = 0
        self.setWindowTitle(say("Print for students"))
        self.setMinimumWidth(480)
        title = quiet_label(to_print.lesson.title or say("Lesson without a title"))
        title.setObjectName("panelTitle")
        title.setWordWrap(True)
        self.list = QListWidget()
        self.list.setObjectName("shelfList")
        self.list.setAccessibleName(say("Print for"))
        own = to_print.own
        for path, student in studio.students.items():
            if own is not None and student.code != own.code:
                continue
            item = QListWidgetItem(student.code)
            item.setData(_PATH, path)
            item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked if path in chosen else Qt.CheckState.Unchecked)
            self.list.addItem(item)
        self.list.itemChanged.connect(self._refresh)
        self.all, self.nobody = QPushButton(say("All")), QPushButton(say("Nobody"))
        self.all.clicked.connect(lambda: self._check_all(True))
        self.nobody.clicked.connect(lambda: self._check_all(False))
        self.around = QCheckBox(say("Plan, review and strip around it"))
        self.around.setChecked(to_print.has_around)
        self.name = QCheckBox(say("Say on it for whom it is"))
        self.name.setChecked(to_print.has_name)
        self._where = quiet_label("")
        self._where.setObjectName("quiet")
        self._where.setWordWrap(True)
        self.folder = QPushButton(say("Folder …"))
        self.folder.setAccessibleName(say("Print into another folder"))
        self.folder.clicked.connect(self._choose_folder)
        self.bar = QProgressBar()
        self.bar.setAccessibleName(say("How many are printed"))
        self.bar.setTextVisible(False)
        self._said = quiet_label("")
        self._said.setWordWrap(True)
        self.print, self.stop, self.show_folder = (
            QPushButton(say("Print")),
            QPushButton(say("Stop")),
            QPushButton(say("Open the folder")),
        )
        self.print.setDefault(True)
        self.print.clicked.connect(self._begin)
        self.stop.clicked.connect(self._stop)
        self.show_folder.clicked.connect(self._show_folder)
        close = QPushButton(say("Close"))
        close.clicked.connect(self.close)
        who = QHBoxLayout()
        who.addWidget(self.all)
        who.addWidget(self.nobody)
        who.addStretch(1)
        where = QHBoxLayout()
        where.addWidget(self._where, 1)
        where.addWidget(self.folder)
        foot = QHBoxLayout()
        foot.addWidget(self.show_folder)
        foot.addStretch(1)
        for button in (self.stop, self.print, close):
            foot.addWidget(button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(12)
        layout.addWidget(title)
        layout.addLayout(who)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.around)
        layout.addWidget(self.name)
        layout.addLayout(where)
        layout.addWidget(self.bar)
        layout.addWidget(self._said)
        layout.addLayout(foot)
        self.bar.hide()
        self.show_folder.hide()
        self._refresh()

    @property
    def is_running(self) -> bool:
        """Whether handouts are being printed."""
        return self._run is not None

    @property
    def sentence(self) -> str:
        """How far it is."""
        return self._said.text()

    def _checked(self) -> list[QListWidgetItem]:
        items = [self.list.item(place) for place in range(self.list.count())]
        return [item for item in items if item.checkState() is Qt.CheckState.Checked]

    def _check_all(self, is_wanted: bool) -> None:
        state = Qt.CheckState.Checked if is_wanted else Qt.CheckState.Unchecked
        for place in range(self.list.count()):
            self.list.item(place).setCheckState(state)

    def _choose_folder(self) -> None:
        folder = self._asked.where_to_print(self._folder)
        if folder is not None:
            self._folder = folder
            self._refresh()

    def _begin(self) -> None:
        wanted = self._wanted()
        if not wanted or self.is_running:
            return
        self._count, self._done, self._failures = len(wanted), 0, 0
        self._key = f"handed out {id(wanted)}"
        self.bar.setRange(0, len(wanted))
        self.bar.setValue(0)
        self.bar.show()
        self._said.setText(say("Beginning to print …"))
        to_print = self._to_print
        self._run = PrintRun(to_print.lesson, wanted, date.today(), self._around(), to_print.own)
        self._run.printed.connect(self._note)
        self._run.failed.connect(self._note_failure)
        self._run.finished.connect(self._end)
        self._refresh()
        self._run.begin()

    def _around(self) -> tuple[bool, bool]:
        return self.around.isChecked(), self.name.isChecked()

    def _wanted(self) -> list[Wanted]:
        """One file for each student; codes that make the same name get a number."""
        from lessonkit.students.handing_out import lesson_title

        name = self._to_print.name or lesson_title(self._to_print.lesson)
        found: list[Wanted] = []
        taken: set[str] = set()
        for item in self._checked():
            path: Path = item.data(_PATH)
            student = self._studio.students[path]
            stem = say("{name} for {in_names}", name=name, in_names=in_names(student.code))
            number = 1
            while stem.casefold() in taken:
                number += 1
                stem = say("{name} for {in_names} {number}", name=name, in_names=in_names(student.code), number=number)
            taken.add(stem.casefold())
            out = self._folder / f"{stem}.pdf"
            found.append(Wanted(path, student, out, self._to_print.choices.get(path, ())))
        return found

    def _note(self, wanted: Wanted, printed: Any) -> None:
        student = self._studio.students.get(wanted.student_path)
        if student is not None:
            label = say("Hand out “{title}”", title=printed.handout.title)
            self._studio.edit_one(wanted.student_path, label, with_handout(student, printed.handout), self._key)
        self._step(
            say(
                "{done} of {count}: {name}",
                done=counted(self._done + 1 - self._failures, "handout"),
                count=self._count,
                name=wanted.out.name,
            )
        )

    def _note_failure(self, wanted: Wanted, problem: str) -> None:
        self._failures += 1
        self._step(say("{name} was not printed: {problem}.", name=wanted.out.name, problem=problem))

    def _step(self, words: str) -> None:
        self._done += 1
        self.bar.setValue(self._done)
        self._said.setText(words)

    def _stop(self) -> None:
        if self._run is not None:
            self._run.stop()
            self._said.setText(say("Stopping; what has been begun is finished."))

    def _end(self) -> None:
        run, self._run = self._run, None
        good = self._done - self._failures
        if self._failures:
            words = say(
                "{good} printed, {failures} not. {sentence}",
                good=counted(good, "handout"),
                failures=self._failures,
                sentence=self.sentence,
            )
        elif run is not None and run.is_stopped and good < self._count:
            words = say(
                "Stopped. {good} of {count} printed, each of them whole.",
                good=counted(good, "handout"),
                count=self._count,
            )
        else:
            words = say("{good} printed and written down.", good=counted(good, "handout"))
        self._said.setText(words)
        self.show_folder.setVisible(good > 0)
        self._refresh()

    def _show_folder(self) -> None:
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(self._folder.absolute()))):
            self._said.setText(say("The handouts are in {absolute}", absolute=self._folder.absolute()))

    def _refresh(self) -> None:
        count = len(self._checked())
        for widget in (self.list, self.all, self.nobody, self.around, self.name, self.folder):
            widget.setEnabled(not self.is_running)
        self.print.setEnabled(bool(count) and not self.is_running)
        self.print.setText(
            say("Print for {count}", count=count)
            if count != 1
            else say("Print for {text}", text=self._checked()[0].text())
        )
        self.stop.setEnabled(self.is_running)
        self._where.setText(say("Into {folder}", folder=self._folder))

    # Qt overrides

    def reject(self) -> None:
        """Close, by whatever key or button; Qt asks for this when the window's own button is used, too."""
        if self._run is not None:
            self._run.stop()
            self._run.wait()
            # What was printed meanwhile is written down before the dialog goes.
            QCoreApplication.sendPostedEvents(self, QEvent.Type.MetaCall)
        super().reject()
