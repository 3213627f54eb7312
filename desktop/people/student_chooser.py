"""For whom the lesson is looked at: a small button above the settings, with the students in its menu."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QMenu, QSizePolicy, QToolButton

from desktop.frame import panel_width
from desktop.people.for_student import ForStudent
from desktop.words import english, say

NOBODY = english("For nobody in particular")


class StudentChooser(QFrame):
    """The button, and beside it the way back to nobody. Students are fetched when the menu is first opened."""

    def __init__(self, for_student: ForStudent) -> None:
        super().__init__()
        self._for_student = for_student
        self.setObjectName("studentChooser")
        self.setFixedWidth(panel_width())
        # The height that style sheets give a button would be its least, too little for large words.
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.menu = QMenu(self)
        self.menu.aboutToShow.connect(self._fill)
        self.button = QToolButton()
        self.button.setProperty("segment", True)
        self.button.setProperty("opens", True)
        self.button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.button.setMenu(self.menu)
        self.button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.button.setToolTip(say("Look at this lesson as one of your students gets it"))
        self.back = QToolButton()
        self.back.setText(say("Back to nobody"))
        self.back.setAccessibleName(say("Back to the lesson itself, for nobody in particular"))
        self.back.setProperty("segment", True)
        self.back.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.back.clicked.connect(self._go_back)
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 4, 8, 4)
        row.setSpacing(4)
        row.addWidget(self.button)
        row.addStretch(1)
        row.addWidget(self.back)
        for_student.chosen.connect(self._show)
        self._is_connected = False
        self._show()

    def _show(self) -> None:
        student = self._for_student.student
        self.button.setText(say("For {code}", code=student.code) if student is not None else say(NOBODY))
        self.button.setAccessibleName(
            say("Student: {code}", code=student.code if student is not None else say("nobody"))
        )
        self.back.setVisible(student is not None)

    def _go_back(self) -> None:
        self._for_student.choose(None)

    def _fill(self) -> None:
        people = self._for_student.people
        if not self._is_connected:
            self._is_connected = True
            people.opened.connect(self._connect)
            people.open()
        elif people.is_open:
            people.open_folder()
        self._list()

    def _connect(self) -> None:
        self._for_student.people.opened.disconnect(self._connect)
        self._for_student.people.studio.changed.connect(self._list)
        self._list()

    def _list(self) -> None:
        people = self._for_student.people
        self.menu.clear()
        if not people.is_open or not people.studio.is_read:
            self.menu.addAction(say("The students are being read …")).setEnabled(False)
            return
        nobody = self.menu.addAction(say(NOBODY))
        nobody.triggered.connect(self._go_back)
        self.menu.addSeparator()
        for path, student in people.studio.students.items():
            action = self.menu.addAction(student.code.replace("&", "&&"))
            action.setCheckable(True)
            action.setChecked(path == self._for_student.path)
            action.triggered.connect(lambda checked=False, path=path: self._for_student.choose(path))
        if not people.studio.students:
            self.menu.addAction(say("Nobody yet; begin one in the students room")).setEnabled(False)

    # Qt overrides

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.StyleChange:
            self.setFixedWidth(panel_width())
        super().changeEvent(event)
