"""The keyboard along the bottom edge: steps through the selected drill and tells what a key is. It folds away."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

from PySide6.QtCore import QEvent, QPointF, QSize, Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QFrame, QHBoxLayout, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.keyboard.keys_painter import key_at, key_rects, names_of, paint_keys
from desktop.open_lesson import OpenLesson
from desktop.selection import Selection
from desktop.theme import tones_of
from desktop.words import say
from lessonkit.drills.exercise import Exercise
from lessonkit.drills.moments import KeyDown, Moment, moments, told
from lessonkit.lesson.lesson import Drill
from lessonkit.pages.blocks import built

KEYS_HEIGHT, HEAD_HEIGHT = 72, 26


class KeyboardPart(QFrame):
    """Keys, steps and words for the selected drill."""

    stepped = Signal()
    """Another moment is shown."""

    def __init__(
        self, open_lesson: OpenLesson, selection: Selection, shows_answers: Callable[[], bool] = lambda: False
    ) -> None:  # fmt: skip
        super().__init__()
        self._open_lesson = open_lesson
        self._shows_answers = shows_answers
        self._selection = selection
        self._moments: tuple[Moment, ...] = ()
        self._place = 0
        self._block_id = ""
        self._exercise: Exercise | None = None
        self._tells = ""
        self._sounding: tuple[KeyDown, ...] | None = None
        self.is_stepping = False
        """Whether somebody has stepped through this drill."""
        self.setObjectName("keyboardPart")
        self.keys = _Keys(self)
        self._words = quiet_label("")
        self._words.setObjectName("quiet")
        head = QHBoxLayout()
        head.setContentsMargins(16, 2, 16, 2)
        head.setSpacing(4)
        self.back, self.on = self._button(say("Step back"), -1), self._button(say("Step on"), 1)
        head.addWidget(self.back)
        head.addWidget(self.on)
        head.addSpacing(8)
        head.addWidget(self._words, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 1, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(head)
        layout.addWidget(self.keys)
        open_lesson.changed.connect(self._follow)
        open_lesson.replaced.connect(self._follow)
        selection.changed.connect(self._follow)
        self._show()
        self._follow()

    @property
    def moment(self) -> Moment | None:
        """The moment that is shown."""
        return self._moments[self._place] if self._moments else None

    @property
    def block_id(self) -> str:
        """The drill whose moment is shown; empty for none."""
        return self._block_id if self._moments else ""

    @property
    def down(self) -> tuple[KeyDown, ...]:
        """The keys that are down: what sounds while something is played, else those of the moment."""
        if self._sounding is not None:
            return self._sounding
        return self._seen(self.moment.keys) if self.moment is not None else ()

    @property
    def words(self) -> str:
        """What is said above the keys."""
        return self._words.text()

    @property
    def used(self) -> frozenset[int]:
        """Every key that the drill uses, but for those that the student is to find."""
        return frozenset(down.pitch.midi for moment in self._moments for down in self._seen(moment.keys))

    @property
    def hides(self) -> bool:
        """Whether something of the drill is to be found by the student and its answers are not shown."""
        asks = self._exercise is not None and any(self._exercise.hides(hand) for hand in self._exercise.hands)
        return asks and not self._shows_answers()

    def follow_answers(self) -> None:
        """The answers were shown or taken away."""
        self._tells = ""
        self.keys.marked = None
        self._show()

    def step(self, by: int) -> None:
        """Go so many moments further; the first step on shows the first moment on the page."""
        self.go_to(self._place + by if self.is_stepping else self._place)

    def go_to(self, place: int) -> None:
        """Show a moment, the first or the last beyond the ends."""
        place = min(max(place, 0), max(len(self._moments) - 1, 0))
        if place != self._place or self._tells or not self.is_stepping:
            self._place = place
            self.is_stepping = bool(self._moments)
            self._tells = ""
            self.keys.marked = None
            self._show()
            self.stepped.emit()

    def sound(self, keys: tuple[KeyDown, ...] | None) -> None:
        """Show the keys that sound; None when nothing is played any more."""
        if keys != self._sounding:
            was_silent, self._sounding = self._sounding is None, keys
            if was_silent or keys is None:
                self._show()
            self.keys.update()

    def go_to_end(self) -> None:
        """Show the last moment."""
        self.go_to(len(self._moments) - 1)

    def tell(self, midi: int) -> None:
        """Say what a key is in the harmony of this moment."""
        moment = self.moment
        if moment is not None and not self.hides:
            self._tells = told(midi % 12, moment, self._open_lesson.lesson.house.label_style)
            self.keys.marked = midi
            self._show()

    def unfold(self, is_shown: bool) -> None:
        """Show the keyboard, or fold it away; folded, it follows nothing."""
        self.setVisible(is_shown)
        self._follow()

    def _button(self, words: str, by: int) -> QToolButton:
        button = QToolButton()
        button.setText(words)
        button.setProperty("segment", True)
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        button.setToolTip(say("Left and Right on the keys do the same"))
        button.clicked.connect(lambda: self.step(by))
        return button

    def _follow(self) -> None:
        """Take the selected drill as it is; the same drill stays at the same step."""
        block = self._selection.only
        exercise = None
        if isinstance(block, Drill) and not self.isHidden():
            found = built(block.family, self._open_lesson.lesson.setting)
            exercise = found if isinstance(found, Exercise) else None
        if exercise is self._exercise and (block is None or block.id == self._block_id):
            return
        self._exercise = exercise
        self._moments = moments(exercise) if exercise is not None else ()
        if block is None or block.id != self._block_id:
            self._place = 0
            self.is_stepping = False
        self._block_id = block.id if block is not None else ""
        self._place = min(self._place, max(len(self._moments) - 1, 0))
        self._tells = ""
        self.keys.marked = None
        self._show()
        self.stepped.emit()

    def _show(self) -> None:
        moment = self.moment
        self.back.setEnabled(moment is not None and self._place > 0)
        self.on.setEnabled(moment is not None and self._place < len(self._moments) - 1)
        self._words.setText(self._tells or self._sentence(moment))
        spoken = (
            "; ".join(
                (self._words.text(), *names_of(self._seen(moment.keys), self._open_lesson.lesson.house.label_style))
            )
            if moment is not None
            else ""
        )
        self.keys.setAccessibleDescription(spoken)
        QAccessible.updateAccessibility(QAccessibleEvent(self.keys, QAccessible.Event.DescriptionChanged))
        self.keys.update()

    def _seen(self, keys: tuple[KeyDown, ...]) -> tuple[KeyDown, ...]:
        """The keys but for those that the student is to find."""
        if self._exercise is None or not self.hides:
            return keys
        return tuple(down for down in keys if not self._exercise.hides(down.hand))

    def _sentence(self, moment: Moment | None) -> str:
        if self._sounding is not None:
            return say("What sounds now")
        if moment is None:
            return say("Select a drill on the page to see its keys here.")
        style = self._open_lesson.lesson.house.label_style
        parts = [
            say("Bar {bar}", bar=moment.bar)
            + (say(", beat {beat}", beat=_beat(moment)) if moment.beat is not None else "")
        ]
        if self.hides:
            parts.append(say("the keys are to be found; F8 shows the answers"))
        elif moment.chord is not None:
            parts.append(moment.chord.chord.symbol(style))
            if moment.chord.degree is not None:
                parts.append(moment.chord.degree.text(style))
        parts.append(say("step {place} of {n}", place=self._place + 1, n=len(self._moments)))
        return "  ·  ".join(parts)


class _Keys(QWidget):
    """The eighty-eight keys."""

    def __init__(self, part: KeyboardPart) -> None:
        super().__init__()
        self._part = part
        self.marked: int | None = None
        self.setAccessibleName(say("Keyboard"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(KEYS_HEIGHT)

    def rect_of(self, midi: int) -> tuple[float, float, float, float]:
        """Where a key lies: left, top, width, height."""
        rect = key_rects(float(self.width() - 1), float(self.height() - 1))[midi]
        return rect.left(), rect.top(), rect.width(), rect.height()

    # Qt overrides

    def sizeHint(self) -> QSize:
        return QSize(900, KEYS_HEIGHT)

    def paintEvent(self, event: QPaintEvent) -> None:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        painter = QPainter(self)
        rects = key_rects(float(self.width() - 1), float(self.height() - 1))
        paint_keys(painter, rects, self._part.down, self._part.used, self.marked, tones)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(self.palette().windowText().color())
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        midi = key_at(QPointF(event.position()), key_rects(float(self.width() - 1), float(self.height() - 1)))
        if midi is not None and event.button() == Qt.MouseButton.LeftButton:
            self._part.tell(midi)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        match event.key():
            case Qt.Key.Key_Right:
                self._part.step(1)
            case Qt.Key.Key_Left:
                self._part.step(-1)
            case Qt.Key.Key_Home:
                self._part.go_to(0)
            case Qt.Key.Key_End:
                self._part.go_to_end()
            case _:
                super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        self.update()
        super().changeEvent(event)


def _beat(moment: Moment) -> str:
    """The beat as it is said: ``2``, or ``2 and a half``."""
    assert moment.beat is not None
    whole, rest = divmod(moment.beat, 1)
    return f"{whole}" if not rest else say("{whole} and {rest}", whole=whole, rest=rest)
