"""An editor for every kind of setting: a table by kind. An editor shows a value and reports the one that is wanted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QCheckBox,
    QComboBox,
    QCompleter,
    QHBoxLayout,
    QLineEdit,
    QSpinBox,
    QToolButton,
    QWidget,
)

from desktop.forms.editor import Editor
from desktop.forms.text_editors import LinesEditor, PitchEditor, TextEditor
from desktop.forms.wording import capital, length_words, list_text, quality_words, unit_words
from desktop.words import say
from lessonkit.drills import params
from lessonkit.drills.key_fingers import FingersInKeys
from lessonkit.drills.params import Param
from lessonkit.drills.setting import Setting
from lessonkit.drills.typed_music import ChartText, PhraseText
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.label_style import PLAIN_STYLE
from lessonkit.theory.naming import in_english
from lessonkit.theory.quality import QUALITIES

_NARROW = 22
"""The longest words that fit beside their label."""

_FEW, _SHORT = 3, 18
"""A choice among so few options of so few letters together shows them all side by side."""


class WholeEditor(Editor):
    """A whole number."""

    can_step = True

    def __init__(self, param: params.Whole) -> None:
        self._box = QSpinBox()
        super().__init__(self._box)
        self._box.setRange(param.least, param.most)
        # The style sheet's padding does not reach the words of a spin box.
        self._box.lineEdit().setTextMargins(6, 0, 0, 0)
        self._unit = param.unit
        self._box.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._box.valueChanged.connect(self._report)

    def show_value(self, value: int, setting: Setting) -> None:
        self._name_unit(value)
        if self._box.value() != value:
            self._box.blockSignals(True)
            self._box.setValue(value)
            self._box.blockSignals(False)

    def step(self, by: int) -> None:
        self._box.stepBy(by)

    def _name_unit(self, value: int) -> None:
        if self._unit:
            self._box.setSuffix(f" {say(unit_words(self._unit, value))}")

    def _report(self, value: int) -> None:
        self._name_unit(value)
        self.edited.emit(value)


class YesNoEditor(Editor):
    """Yes or no."""

    def __init__(self) -> None:
        self._box = QCheckBox()
        super().__init__(self._box)
        self._box.clicked.connect(self._report)

    def show_value(self, value: bool, setting: Setting) -> None:
        self._box.setChecked(value)

    def _report(self, is_checked: bool) -> None:
        self.edited.emit(is_checked)


class SideBySideEditor(Editor):
    """One of a few options, all of them in sight."""

    def __init__(self, options: list[tuple[str, Any]]) -> None:
        holder = QWidget()
        super().__init__(holder)
        self._group = QButtonGroup(self)
        self._values = [value for _, value in options]
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2)
        for place, (words, _) in enumerate(options):
            button = QToolButton()
            button.setText(words)
            button.setCheckable(True)
            button.setAutoRaise(True)
            button.setProperty("segment", True)
            button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            button.setAccessibleName(words)
            self._group.addButton(button, place)
            row.addWidget(button)
        row.addStretch(1)
        self._group.idClicked.connect(self._report)
        holder.setFocusProxy(self._group.button(0))

    def button_of(self, value: Any) -> QAbstractButton:
        """The button of an option."""
        return self._group.button(self._values.index(value))

    def show_value(self, value: Any, setting: Setting) -> None:
        button = self.button_of(value)
        button.setChecked(True)
        self.focus.setFocusProxy(button)

    def _report(self, place: int) -> None:
        self.edited.emit(self._values[place])


class ListEditor(Editor):
    """One of many options in a list that drops down."""

    def __init__(self, options: list[tuple[str, Any]]) -> None:
        self._box = QComboBox()
        super().__init__(self._box)
        self._values = [value for _, value in options]
        self.is_wide = max(len(words) for words, _ in options) > _NARROW
        self._box.addItems([words for words, _ in options])
        self._box.setMaxVisibleItems(16)
        self._box.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self._box.setMinimumContentsLength(8)
        self._box.activated.connect(self._report)

    def show_value(self, value: Any, setting: Setting) -> None:
        self._box.setCurrentIndex(self._values.index(value) if value in self._values else -1)
        self._box.setToolTip(self._box.currentText())

    def _report(self, place: int) -> None:
        self.edited.emit(self._values[place])


class TypedListEditor(Editor):
    """One of many options, chosen from the list or typed in the words of the trade."""

    def __init__(
        self,
        param: Param,
        options: Sequence[tuple[str, Any]],
        unset_words: Callable[[Setting], str] | None = None,
    ) -> None:
        self._box = QComboBox()
        super().__init__(self._box)
        self._param = param
        self._unset_words = unset_words
        self._values = [value for _, value in options]
        self._box.setEditable(True)
        self._box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self._box.addItems([words for words, _ in options])
        self._box.setMaxVisibleItems(16)
        self._box.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self._box.setMinimumContentsLength(8)
        completer = self._box.completer()
        assert completer is not None
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
        self._box.activated.connect(self._report)
        self._line().editingFinished.connect(self._read)

    def show_value(self, value: Any, setting: Setting) -> None:
        self._name_unset(setting)
        if value in self._values:
            place = self._values.index(value)
            self._box.setCurrentIndex(place)
            self._line().setText(self._box.itemText(place))
        else:
            self._box.setCurrentIndex(-1)
            self._line().setText(capital(self._words_of(value)))
        self._line().setCursorPosition(0)
        self.refused.emit("")

    def _name_unset(self, setting: Setting) -> None:
        if self._unset_words is not None:
            self._box.setItemText(self._values.index(None), self._unset_words(setting))

    def _report(self, place: int) -> None:
        self.refused.emit("")
        self.edited.emit(self._values[place])

    def _read(self) -> None:
        text = self._line().text().strip()
        place = self._box.findText(text, Qt.MatchFlag.MatchFixedString)
        if place >= 0:
            self._report(place)
            return
        try:
            value = self._from_text(text)
        except ValueError as error:
            self.refused.emit(str(error))
        else:
            self.refused.emit("")
            self.edited.emit(value)

    def _words_of(self, value: Any) -> str:
        return str(value)

    def _from_text(self, text: str) -> Any:
        return self._param.from_text(text)

    def _line(self) -> QLineEdit:
        line = self._box.lineEdit()
        assert line is not None
        return line


def choice_editor(param: params.Choice) -> Editor:
    """Few short options side by side, others in a list."""
    options: list[tuple[str, Any]] = [(capital(say(str(option.value))), option) for option in param.offered]
    if len(options) <= _FEW and sum(len(words) for words, _ in options) <= _SHORT:
        return SideBySideEditor(options)
    return ListEditor(options)


def _tempo_editor(param: params.TempoMark) -> Editor:
    unset: list[tuple[str, Any]] = [(capital(say(param.unset)), None)]
    return ListEditor(unset + [(str(mark), mark) for mark in params.METRONOME_MARKS])


class KeyEditor(TypedListEditor):
    """A key, called as the lesson names notes, and typed so."""

    def __init__(self, param: params.KeyChoice) -> None:
        self._style = PLAIN_STYLE
        self._listed = (*MAJOR_KEYS, *MINOR_KEYS)
        keys = [(capital(say(str(key))), key) for key in self._listed]
        super().__init__(
            param,
            [(say("As the lesson"), None), *keys],
            lambda setting: say("As the lesson: {key}", key=say(setting.label_style.key(setting.key))),
        )

    def show_value(self, value: Any, setting: Setting) -> None:
        if setting.label_style.notes is not self._style.notes:
            self._style = setting.label_style
            for place, key in enumerate(self._listed, 1):
                self._box.setItemText(place, capital(say(self._style.key(key))))
        super().show_value(value, setting)

    def _words_of(self, value: Any) -> str:
        return say(self._style.key(value)) if isinstance(value, Key) else super()._words_of(value)

    def _from_text(self, text: str) -> Any:
        return super()._from_text(in_english(text, self._style.notes))


def _qualities() -> list[tuple[str, Any]]:
    return [(quality_words(quality), quality) for quality in QUALITIES]


EDITORS: dict[type[Param], Callable[[Any], Editor]] = {
    params.Whole: WholeEditor,
    params.YesNo: lambda param: YesNoEditor(),
    params.Choice: choice_editor,
    params.QualityChoice: lambda param: TypedListEditor(param, _qualities()),
    params.QualityOrKey: lambda param: TypedListEditor(param, [(say("As the key has it"), None), *_qualities()]),
    params.KeyChoice: KeyEditor,
    params.KeyList: lambda param: TextEditor(param.from_text, list_text, "C, F, B♭ …"),
    params.NoteValue: lambda param: ListEditor([(length_words(one), one) for one in param.allowed]),
    params.TempoMark: _tempo_editor,
    params.PitchChoice: PitchEditor,
    params.ProgressionText: lambda param: TextEditor(param.from_text, str, "Imaj7 | vim7 | IVmaj7 | V7", is_wide=True),
    ChartText: lambda param: LinesEditor(param.from_text, str, "in F | Gm7 | C7 / / Gb7 | Fmaj7 | %"),
    PhraseText: lambda param: LinesEditor(
        param.from_text,
        lambda value: "" if value is None else str(value),
        "in C | Dm7: 1/8 D4 F A C | G7: 1/2 B G",
    ),
    params.Words: lambda param: TextEditor(param.from_text, str),
    FingersInKeys: lambda param: TextEditor(
        param.from_text, lambda value: "; ".join(map(str, value)), "Eb right 1 2 0 4", is_wide=True
    ),
    params.Lines: lambda param: LinesEditor(param.from_text, str, ""),
    params.Numbers: lambda param: TextEditor(
        param.from_text, lambda value: " ".join(str(one) for one in value), "1 2 3 …"
    ),
}
"""Every kind of setting and who edits it; a test holds that none is missing."""


def editor_for(param: Param) -> Editor:
    """The editor of a setting."""
    return EDITORS[type(param)](param)
