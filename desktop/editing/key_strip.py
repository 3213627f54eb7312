"""The strip of keys in the order of fifths: the key of the lesson, or of the selected drill, at one touch."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QFrame,
    QHBoxLayout,
    QSpinBox,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from desktop.editing.key_bands import KeyBands
from desktop.editing.key_button import KeyButton
from desktop.editing.keys import in_mode, keys_in_fifths, typed_key, typed_keys
from desktop.forms.row import quiet_label
from desktop.frame import MOST_LARGER
from desktop.open_lesson import OpenLesson
from desktop.selection import Selection
from desktop.theme import enlarged
from desktop.words import say
from lessonkit.drills.listed_keys import listed_keys, names_of_list
from lessonkit.lesson.change import Change
from lessonkit.lesson.edits import set_drill_setting, set_key, set_keys_in_turn, set_tempo
from lessonkit.lesson.lesson import FASTEST, SLOWEST, Drill
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.label_style import LabelStyle

_MODE_WORDS = {mode: mode.word.capitalize() for mode in Mode}

_LEFT, _TEMPO = 188, 100
"""The width of what stands before the keys, and of the tempo behind them, in pixels."""

UNTIL_FORGOTTEN = 1500
"""Milliseconds after which what is typed on the strip begins a new key."""

_PRESSES = (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonDblClick)
_TYPED = frozenset("abcdefgABCDEFGm#♭♯")
_BETWEEN = frozenset(", ")
"""What parts keys of a list that is typed."""


class KeyStrip(QFrame):
    """The keys of one mode beside each other, with the mode at the left and the tempo at the right.

    A drag along the keys shows the pages in each as it passes and is one edit; a key can be typed.
    """

    def __init__(self, open_lesson: OpenLesson, selection: Selection) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._selection = selection
        self.bands = KeyBands(open_lesson, selection, self)
        self._drags = 0
        self._typed = ""
        self._listed: tuple[Key, ...] = ()
        """The keys in turn before those that are being typed."""
        self._mode_of_turns: Mode | None = None
        self._forget = QTimer(self)
        self._forget.setSingleShot(True)
        self._forget.setInterval(UNTIL_FORGOTTEN)
        self._forget.timeout.connect(self._forget_typed)
        self.setObjectName("keyStrip")
        self._mode = QComboBox()
        self._mode.setAccessibleName(say("Mode of the key"))
        self._mode.setToolTip(say("Major, minor or another mode on the same tonic"))
        for mode in Mode:
            self._mode.addItem(say(_MODE_WORDS[mode]), mode)
        self._mode.activated.connect(self._choose_mode)
        self._tempo = QSpinBox()
        self._tempo.setRange(SLOWEST, FASTEST)
        self._tempo.lineEdit().setTextMargins(6, 0, 0, 0)
        self._tempo.setPrefix("♩ = ")
        self._tempo.setAccessibleName(say("Tempo in quarter notes a minute"))
        self._tempo.setToolTip(say("The lesson's tempo in quarter notes a minute"))
        self._tempo.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._tempo.valueChanged.connect(self._choose_tempo)
        self._group = QButtonGroup(self)
        self._keys: list[KeyButton] = []
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 8, 16, 8)
        row.setSpacing(0)
        row.addWidget(self._whose_and_mode())
        row.addSpacing(12)
        for place in range(15):
            button = KeyButton()
            button.installEventFilter(self)
            self._group.addButton(button, place)
            self._keys.append(button)
            row.addWidget(button, 1)
        row.addSpacing(16)
        row.addWidget(self._tempo)
        self._group.idClicked.connect(self._choose_key)
        self.setTabOrder(self._mode, self._keys[0])
        open_lesson.changed.connect(self._follow_change)
        open_lesson.replaced.connect(self._show)
        selection.changed.connect(self._follow_selection)
        self.bands.found.connect(self._show_bands)
        self._show()

    def focus_key(self) -> None:
        """Put the focus on the key that is chosen."""
        checked = self._group.checkedButton()
        (checked or self._keys[7]).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def button_of(self, key: Key) -> KeyButton:
        """The button of a key of the mode that is shown; raises KeyError for another."""
        for button in self._keys:
            if button.key == key:
                return button
        raise KeyError(key)

    def set_for_drill(self, is_wanted: bool) -> None:
        """Choose from now on the key of the selected drill, or again the lesson's."""
        self.drill_button.setChecked(is_wanted)
        self.lesson_button.setChecked(not is_wanted)
        self._show()

    def _whose_and_mode(self) -> QWidget:
        """Whose key it is, above its mode."""
        self._caption = quiet_label(say("Key"))
        self._caption.setObjectName("quiet")
        self._caption.setToolTip(say("On the keys, type one to choose it: Eb, F#, C#m"))
        self._caption.setMinimumWidth(32)
        self.lesson_button, self.drill_button, self.turns_button = QToolButton(), QToolButton(), QToolButton()
        for button, words, name, about in (
            (
                self.lesson_button,
                say("Lesson"),
                say("Key of the lesson"),
                say("The keys choose the key of the whole lesson"),
            ),
            (
                self.drill_button,
                say("This drill"),
                say("Key of the selected drill"),
                say("The keys choose a key of its own for the selected drill"),
            ),
            (
                self.turns_button,
                say("In turn"),
                say("Keys in turn of the selected drill"),
                say("The drill goes through the keys that you click, in your order; or type them: Eb, Bb, F"),
            ),
        ):
            button.setText(words)
            button.setAccessibleName(name)
            button.setToolTip(about)
            button.setCheckable(True)
            button.setAutoExclusive(True)
            button.setProperty("segment", True)
            button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.lesson_button.setChecked(True)
        self.lesson_button.clicked.connect(self._show)
        self.drill_button.clicked.connect(self._show)
        self.turns_button.clicked.connect(self._begin_turns)
        above = QHBoxLayout()
        above.setSpacing(2)
        above.addWidget(self._caption)
        above.addWidget(self.lesson_button)
        above.addWidget(self.drill_button)
        above.addStretch(1)
        left = QWidget()
        left.setFixedWidth(round(_LEFT * min(enlarged(), MOST_LARGER)))
        self._left = left
        self._tempo.setMinimumWidth(round(_TEMPO * min(enlarged(), MOST_LARGER)))
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addLayout(above)
        below = QHBoxLayout()
        below.setSpacing(2)
        below.addWidget(self._mode, 1)
        below.addWidget(self.turns_button)
        column.addLayout(below)
        return left

    @property
    def _drill(self) -> Drill | None:
        """The selected drill, where it can have a key of its own."""
        block = self._selection.only
        return block if isinstance(block, Drill) and "key" in block.family.declared() else None

    @property
    def _target(self) -> Drill | None:
        """The drill whose key is chosen; None for the lesson's."""
        return self._drill if self.drill_button.isChecked() else None

    @property
    def _in_turn(self) -> Drill | None:
        """The selected drill, while the keys that it goes through are chosen."""
        return self._drill if self.turns_button.isChecked() else None

    @property
    def turns(self) -> tuple[Key, ...]:
        """The keys that the selected drill goes through as listed; empty where it does otherwise."""
        return listed_keys(self._drill.family) if self._drill is not None else ()

    @property
    def _key(self) -> Key:
        if self._in_turn is not None and self._mode_of_turns is not None:
            return in_mode(self._open_lesson.lesson.key, self._mode_of_turns)
        target = self._target
        own: Key | None = target.family.key if target is not None else None
        return own or self._open_lesson.lesson.key

    def _follow_selection(self) -> None:
        if not self.lesson_button.isChecked():
            self.set_for_drill(False)
        self._show()

    def _follow_change(self, change: Change) -> None:
        """A letter typed on the page is nothing that the strip shows."""
        if change.is_setting_changed or self._drill is not None:
            self._show()

    def _show(self) -> None:
        lesson, key = self._open_lesson.lesson, self._key
        has_drill = self._drill is not None
        self.lesson_button.setVisible(has_drill)
        self.drill_button.setVisible(has_drill)
        self._caption.setVisible(not has_drill or enlarged() < 1.5)
        can_turn = self._drill is not None and names_of_list(self._drill.family) is not None
        self.turns_button.setVisible(can_turn)
        turns = self.turns if self._in_turn is not None else ()
        self._group.setExclusive(self._in_turn is None)
        self._mode.setCurrentIndex(self._mode.findData(key.mode))
        for button, shown in zip(self._keys, keys_in_fifths(key.mode), strict=True):
            button.show_key(shown, self._style)
            button.setChecked(shown in turns if self._in_turn is not None else shown == key)
            button.show_turn(turns.index(shown) + 1 if shown in turns else 0)
        self.bands.set_mode(key.mode)
        self._show_bands()
        if self._tempo.value() != lesson.tempo:
            self._tempo.blockSignals(True)
            self._tempo.setValue(lesson.tempo)
            self._tempo.blockSignals(False)

    def _show_bands(self) -> None:
        for button in self._keys:
            button.show_band(self.bands.band(button.key))

    def _choose_key(self, place: int) -> None:
        if self._in_turn is not None:
            self._turn(self._keys[place].key)
        else:
            self._set(self._keys[place].key)

    def _choose_mode(self, place: int) -> None:
        if self._in_turn is not None:
            # Keys of several modes may stand in one list; only those that are offered change.
            self._mode_of_turns = self._mode.itemData(place)
            self._show()
        else:
            self._set(in_mode(self._key, self._mode.itemData(place)))

    def _set(self, key: Key, merge_key: str = "") -> None:
        lesson, target = self._open_lesson.lesson, self._target
        if target is None:
            self._open_lesson.edit(say("Key of {key}", key=say(self._style.key(key))), set_key(lesson, key), merge_key)
        else:
            edited = set_drill_setting(lesson, target.id, "key", key)
            self._open_lesson.edit(
                say("{drill} in {key}", drill=say(target.family.title), key=say(self._style.key(key))),
                edited,
                merge_key,
            )
        self._show()

    def _begin_turns(self) -> None:
        """Choose from now on the keys that the selected drill goes through."""
        self._mode_of_turns = self.turns[0].mode if self.turns else self._open_lesson.lesson.key.mode
        self._show()

    def _turn(self, key: Key) -> None:
        """Put a key at the end of those that the drill goes through, or take it away."""
        turns = self.turns
        self._set_turns(tuple(one for one in turns if one != key) if key in turns else (*turns, key))

    def _set_turns(self, keys: tuple[Key, ...], merge_key: str = "") -> None:
        drill = self._in_turn
        if drill is not None:
            try:
                lesson = set_keys_in_turn(self._open_lesson.lesson, drill.id, keys)
            except ValueError:
                # There are as many as a drill can go through.
                return
            self._open_lesson.edit(say("Keys of the drill"), lesson, merge_key)
            self._show()

    def _choose_tempo(self, tempo: int) -> None:
        self._open_lesson.edit(say("Tempo"), set_tempo(self._open_lesson.lesson, tempo), "tempo")

    @property
    def _style(self) -> LabelStyle:
        """How the lesson names notes."""
        return self._open_lesson.lesson.house.label_style

    # Dragging and typing

    def _drag(self, button: KeyButton, event: QMouseEvent) -> None:
        """Choose the key under the hand; all keys of one drag are one edit. Keys in turn are not drawn over."""
        if self._in_turn is not None:
            if event.type() in _PRESSES:
                self._turn(button.key)
            return
        point = button.mapTo(self, event.position().toPoint())
        under = self._button_at(point)
        if under is not None and under.key != self._key:
            self._set(under.key, f"key.{self._drags}")

    def _button_at(self, point: QPoint) -> KeyButton | None:
        """The key under or nearest to a point of the strip, wherever above or below it the hand is."""
        return next((one for one in self._keys if one.x() <= point.x() < one.x() + one.width()), None)

    def _type(self, text: str) -> None:
        """Take one more letter of a key that is typed; what makes no key with those before begins a new one."""
        if self._in_turn is not None:
            self._type_turn(text)
            return
        mode = Mode.MAJOR if self._key.mode is Mode.MINOR else self._key.mode
        key = typed_key(self._typed + text, mode, self._style.notes)
        self._typed = self._typed + text if key is not None else text
        key = key or typed_key(text, mode, self._style.notes)
        if key is not None:
            self._forget.start()
            self._caption.setText(f"{self._typed[:1].upper()}{self._typed[1:]} …")
            self._set(key, f"typed.{self._drags}")
            self.focus_key()

    def _type_turn(self, text: str) -> None:
        """Take one more letter of a list of keys: what was typed so far comes behind those that were there."""
        if not self._typed:
            self._listed = self.turns
        self._typed += text
        self._forget.start()
        self._caption.setText(f"{self._typed[-7:]} …")
        mode = self._mode_of_turns or Mode.MAJOR
        keys = typed_keys(self._typed, Mode.MAJOR if mode is Mode.MINOR else mode, self._style.notes)
        self._set_turns((*self._listed, *keys), f"turns.{self._drags}")

    def _forget_typed(self) -> None:
        self._typed = ""
        self._drags += 1
        self._caption.setText(say("Key"))
        self._open_lesson.settle()

    # Qt overrides

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.StyleChange and hasattr(self, "_left"):
            self._left.setFixedWidth(round(_LEFT * min(enlarged(), MOST_LARGER)))
            self._tempo.setMinimumWidth(round(_TEMPO * min(enlarged(), MOST_LARGER)))
        super().changeEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        button = cast(KeyButton, watched)
        if isinstance(event, QMouseEvent) and event.type() in _PRESSES:
            if event.button() == Qt.MouseButton.LeftButton:
                self._drags += 1
                button.setFocus(Qt.FocusReason.MouseFocusReason)
                self._drag(button, event)
            return True
        if isinstance(event, QMouseEvent) and event.type() == QEvent.Type.MouseMove:
            if event.buttons() & Qt.MouseButton.LeftButton:
                self._drag(button, event)
                return True
            return False
        if isinstance(event, QMouseEvent) and event.type() == QEvent.Type.MouseButtonRelease:
            self._open_lesson.settle()
            self.focus_key()
            return True
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            is_in_turn = self._in_turn is not None
            if event.text() in _TYPED or (is_in_turn and self._typed and event.text() in _BETWEEN):
                self._type(event.text())
                return True
            if is_in_turn and event.key() == Qt.Key.Key_Backspace:
                self._forget_typed()
                self._set_turns(self.turns[:-1])
                return True
        return super().eventFilter(watched, event)
