"""The settings of what is selected, at the right of the pages; of the lesson where nothing is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from desktop.forms.drill_form import DrillForm
from desktop.forms.lesson_form import LessonForm
from desktop.forms.row import Row, quiet_label
from desktop.forms.word_forms import HeadingForm, NoteForm, PageBreakForm, SpaceForm, UnknownForm
from desktop.frame import panel_width
from desktop.open_lesson import OpenLesson
from desktop.selection import Selection
from desktop.spoken import name_of, spoken
from desktop.theme import enlarged
from desktop.words import say
from lessonkit.lesson.edits import declared_of
from lessonkit.lesson.lesson import (
    Aid,
    Block,
    DifficultyMap,
    Drill,
    Heading,
    Note,
    PageBreak,
    Space,
    UnknownAid,
    UnknownDrill,
)

FORMS: dict[type[Any], Callable[[OpenLesson, Any], QWidget]] = {
    Heading: lambda open_lesson, block: HeadingForm(open_lesson),
    Note: lambda open_lesson, block: NoteForm(open_lesson),
    Drill: lambda open_lesson, block: DrillForm(open_lesson, type(block.family)),
    DifficultyMap: lambda open_lesson, block: DrillForm(open_lesson, type(block.map)),
    Aid: lambda open_lesson, block: DrillForm(open_lesson, type(block.shows)),
    UnknownDrill: lambda open_lesson, block: UnknownForm(open_lesson),
    UnknownAid: lambda open_lesson, block: UnknownForm(open_lesson),
    Space: lambda open_lesson, block: SpaceForm(open_lesson),
    PageBreak: lambda open_lesson, block: PageBreakForm(open_lesson),
}
"""Every kind of block and the form for it; a test holds that none is missing."""


class SidePanel(QFrame):
    """A name, what can be done with the block, its form, and help for the row under the hand."""

    def __init__(self, open_lesson: OpenLesson, selection: Selection) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._selection = selection
        self._forms: dict[Any, QWidget] = {}
        self.setObjectName("sidePanel")
        self.setFixedWidth(panel_width())
        self._title = quiet_label("")
        self._title.setObjectName("panelTitle")
        self._title.setWordWrap(True)
        self._summary = quiet_label("")
        self._summary.setObjectName("quiet")
        self._summary.setWordWrap(True)
        self._buttons = QWidget()
        self._buttons.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self._button_row = QHBoxLayout(self._buttons)
        self._button_row.setContentsMargins(0, 0, 0, 0)
        self._button_row.setSpacing(0)
        self._holder = QWidget()
        self._holder.setObjectName("form")
        self._held = QVBoxLayout(self._holder)
        self._held.setContentsMargins(8, 0, 6, 0)
        self._form_shown = QWidget()
        self._scroll = QScrollArea()
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setWidget(self._holder)
        self._help = quiet_label("")
        self._help.setObjectName("help")
        self._help.setWordWrap(True)
        self._help.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._help.setFixedHeight(_help_height())
        head = QVBoxLayout()
        head.setContentsMargins(16, 16, 16, 0)
        head.setSpacing(4)
        head.addWidget(self._title)
        head.addWidget(self._summary)
        head.addSpacing(4)
        head.addWidget(self._buttons)
        head.addSpacing(12)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(1, 0, 0, 0)
        layout.setSpacing(0)
        self._layout = layout
        layout.addLayout(head)
        layout.addWidget(self._scroll, 1)
        layout.addWidget(self._help)
        open_lesson.changed.connect(self._show)
        open_lesson.replaced.connect(self._show)
        selection.changed.connect(self._show)
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._explain_focus)
        self._show()

    def set_actions(self, actions: Sequence[QAction]) -> None:
        """What can be done with the selection, as buttons under its name."""
        for action in actions:
            button = QToolButton()
            button.setDefaultAction(action)
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
            button.setProperty("segment", True)
            button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            self._button_row.addWidget(button)
        self._button_row.addStretch(1)

    def add_part(self, part: QWidget) -> None:
        """Put a part below the form; what it shows is its own business."""
        self._layout.insertWidget(self._layout.count() - 1, part)

    @property
    def form(self) -> QWidget:
        """The form that is shown."""
        return self._form_shown

    def finish(self) -> None:
        """Make the form whole now; for pictures of the window."""
        if isinstance(self._form_shown, DrillForm):
            self._form_shown.finish()

    def focus_form(self) -> None:
        """Put the focus on the first row that is shown."""
        for row in self.form.findChildren(Row):
            if row.isVisible():
                row.editor.focus.setFocus(Qt.FocusReason.ShortcutFocusReason)
                return

    def _show(self) -> None:
        blocks = self._selection.blocks
        self._buttons.setVisible(bool(blocks))
        if not blocks:
            self._title.setText(say("Lesson"))
            self._summary.setText(say("Click something on the page to set it here."))
            form = self._form(LessonForm, lambda: LessonForm(self._open_lesson))
            assert isinstance(form, LessonForm)
            self._put_forward(form)
            form.show_lesson()
        elif len(blocks) > 1:
            self._title.setText(say("{n} blocks", n=len(blocks)))
            self._summary.setText(say("Move, copy or delete them together."))
            self._put_forward(self._form(QWidget, QWidget))
        else:
            self._show_block(blocks[0])

    def _show_block(self, block: Block) -> None:
        words = spoken(block, self._open_lesson.lesson.setting)
        name = name_of(block)
        self._title.setText(name)
        rest = words.removeprefix(name).lstrip(":, ")
        self._summary.setText(rest if isinstance(block, Drill | DifficultyMap | Aid) else "")
        self._summary.setVisible(bool(self._summary.text()) and enlarged() < 1.5)
        declares = isinstance(block, Drill | DifficultyMap | Aid)
        kind = type(declared_of(block)) if declares else type(block)
        form: Any = self._form(kind, lambda: FORMS[type(block)](self._open_lesson, block))
        self._put_forward(form)
        form.show_block(block)

    def _form(self, kind: Any, make: Callable[[], QWidget]) -> QWidget:
        form = self._forms.get(kind)
        if form is None:
            form = self._forms[kind] = make()
            if hasattr(form, "explained"):
                form.explained.connect(self._explain)
            form.hide()
            self._held.addWidget(form)
        return form

    def _put_forward(self, form: QWidget) -> None:
        if self._form_shown is not form:
            self._form_shown.hide()
            self._form_shown = form
            form.show()
            self._scroll.verticalScrollBar().setValue(0)
        self._summary.setVisible(bool(self._summary.text()) and enlarged() < 1.5)

    def _explain(self, words: str) -> None:
        self._help.setText(words or self._help_of(QApplication.focusWidget()))

    def _explain_focus(self, old: QWidget | None, new: QWidget | None) -> None:
        self._help.setText(self._help_of(new))

    def _help_of(self, widget: QWidget | None) -> str:
        while widget is not None and widget is not self:
            if isinstance(widget, Row):
                return widget.help
            widget = widget.parentWidget()
        return ""

    # Qt overrides

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.StyleChange:
            self.setFixedWidth(panel_width())
            self._help.setFixedHeight(_help_height())
        super().changeEvent(event)


def _help_height() -> int:
    """The room for help below the form; with large words it is left to the form, and help is shown on resting."""
    return 72 if enlarged() < 1.5 else 0
