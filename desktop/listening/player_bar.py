"""The bar below the pages while something plays: stop, tempo, hands, and what else applies to the drill."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QActionGroup, QPainter, QPaintEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QFrame, QHBoxLayout, QMenu, QSpinBox, QToolButton, QWidget

from desktop.forms.row import quiet_label
from desktop.forms.wording import capital
from desktop.listening.choices import Choices
from desktop.listening.ways import SWINGS, Ways
from desktop.words import say
from lessonkit.drills.listening_names import FASTEST, SLOWEST
from lessonkit.sound.playing import Dynamics

if TYPE_CHECKING:
    from desktop.listening.listening import Listening


class PlayerBar(QFrame):
    """Shows what is heard and hands on wishes. ``listening`` knows what is chosen."""

    def __init__(self, listening: Listening) -> None:
        super().__init__()
        self._listening = listening
        self._ways: Ways | None = None
        self._is_showing = False
        self.setObjectName("playerBar")
        self.setAccessibleName(say("Playing"))
        self._play = _button(say("Play"), say("Play or stop"))
        self._play.clicked.connect(listening.play_or_stop)
        self._title = ShortLine()
        self._beat = quiet_label("")
        self._tempo = QSpinBox()
        self._tempo.setRange(SLOWEST, FASTEST)
        self._tempo.setKeyboardTracking(False)
        self._tempo.setAccessibleName(say("Tempo in beats a minute"))
        self._tempo.valueChanged.connect(self._choose_tempo)
        self._slower = _button(say("Slower"), say("One step down the tempo ladder"))
        self._slower.clicked.connect(listening.slower)
        self._faster = _button(say("Faster"), say("One step up the tempo ladder"))
        self._faster.clicked.connect(listening.faster)
        self._heard = QComboBox()
        self._heard.setAccessibleName(say("Who is heard"))
        self._heard.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self._heard.activated.connect(self._choose_heard)
        self._checks = {
            "counts_in": _check(say("Count in"), say("A bar of clicks before the music"), self._choose),
            "clicks": _check(say("Click"), say("A click on each beat"), self._choose),
            "loops": _check(say("Again and again"), say("Begin again at the end, without a gap"), self._choose),
        }
        for name, check in self._checks.items():
            check.setObjectName(name)
        self._more = _button(say("More …"), say("Swing, pedal, loudness and what else there is to choose"))
        self._more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._menu = QMenu(self._more)
        self._menu.aboutToShow.connect(self._fill_menu)
        self._more.setMenu(self._menu)
        self._fold = _button(say("Fold away"), say("Fold these controls away when nothing plays"))
        self._fold.clicked.connect(listening.fold)
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 4, 8, 4)
        row.setSpacing(8)
        for widget in (self._play, self._title):
            row.addWidget(widget)
        row.setStretch(1, 1)
        for widget in (self._beat, self._tempo, self._slower, self._faster, self._heard, *self._checks.values()):
            row.addWidget(widget)
        row.addWidget(self._more)
        row.addWidget(self._fold)

    @property
    def is_used(self) -> bool:
        """Whether the hand is over the bar, the keys are in it or its menu is open."""
        focus = self.window().focusWidget()
        has_keys = focus is not None and self.isAncestorOf(focus)
        return self.underMouse() or has_keys or self._menu.isVisible()

    def show_state(self, title: str, is_playing: bool, ways: Ways | None, tempo: float, choices: Choices) -> None:
        """Show what is heard, or would be, and what can be chosen for it."""
        self._is_showing = True
        self._ways = ways
        self._play.setText(say("Stop") if is_playing else say("Play"))
        self._title.say(title)
        for widget in (self._beat, self._tempo, self._slower, self._faster):
            widget.setVisible(ways is not None)
        self._heard.setVisible(ways is not None and len(ways.heard) > 1)
        if ways is not None:
            self._beat.setText(f"{ways.beat} =")
            self._tempo.setValue(round(tempo))
            self._slower.setEnabled(ways.slower(tempo) != tempo)
            self._faster.setEnabled(ways.faster(tempo) != tempo)
            names = [capital(one.value) for one in ways.heard]
            if [self._heard.itemText(at) for at in range(self._heard.count())] != names:
                self._heard.clear()
                self._heard.addItems(names)
            self._heard.setCurrentIndex(max(self._heard.findText(capital(choices.heard)), 0))
        for name, check in self._checks.items():
            check.setChecked(getattr(choices, name))
        self._is_showing = False

    def _choose_tempo(self, tempo: int) -> None:
        if not self._is_showing:
            self._listening.choose_tempo(tempo)

    def _choose_heard(self, place: int) -> None:
        if self._ways is not None:
            self._listening.choose(heard=self._ways.heard[place].value)

    def _choose(self, is_on: bool) -> None:
        sender = self.sender()
        if sender is not None and not self._is_showing:
            self._listening.choose(**{sender.objectName(): is_on})

    def _fill_menu(self) -> None:
        """What else applies to the drill, anew each time it opens."""
        self._menu.clear()
        ways, choices = self._ways, self._listening.choices
        if ways is None:
            return
        if ways.can_swing:
            self._add_choice(
                say("Swing"), {say(words): swing for swing, words in SWINGS.items()}, choices.swing, "swing"
            )
        if ways.pedallings:
            names = {capital(say(one.value)): one.value for one in ways.pedallings}
            self._add_choice(say("Pedal"), names, choices.pedalling, "pedalling")
        self._add_choice(
            say("Loudness"), {capital(say(one.value)): one.value for one in Dynamics}, choices.dynamics, "dynamics"
        )
        if ways.has_samples:
            self._add_switch(say("A sample answer in the open bars"), choices.plays_samples, "plays_samples")
        if ways.is_free:
            self._add_switch(say("Free time breathes"), choices.breathes, "breathes")

    def _add_choice(self, title: str, values: dict[str, Any], now: Any, name: str) -> None:
        menu = self._menu.addMenu(title)
        group = QActionGroup(menu)
        for words, value in values.items():
            action = menu.addAction(words)
            action.setCheckable(True)
            action.setChecked(value == now)
            group.addAction(action)
            action.triggered.connect(partial(self._take, name, value))

    def _add_switch(self, words: str, is_on: bool, name: str) -> None:
        action = self._menu.addAction(words)
        action.setCheckable(True)
        action.setChecked(is_on)
        action.triggered.connect(partial(self._take, name, not is_on))

    def _take(self, name: str, value: Any, checked: bool = False) -> None:
        self._listening.choose(**{name: value})


class ShortLine(QWidget):
    """A line of words that ends in dots where there is no room for all of it."""

    def __init__(self) -> None:
        super().__init__()
        self._words = ""

    @property
    def words(self) -> str:
        """All of the words."""
        return self._words

    def say(self, words: str) -> None:
        """Show other words."""
        self._words = words
        self.setAccessibleName(words)
        self.setToolTip(words)
        self.update()

    # Qt overrides

    def sizeHint(self) -> QSize:
        return QSize(200, self.fontMetrics().height())

    def minimumSizeHint(self) -> QSize:
        return QSize(48, self.fontMetrics().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(self.palette().windowText().color())
        words = self.fontMetrics().elidedText(self._words, Qt.TextElideMode.ElideRight, self.width())
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, words)
        painter.end()


def _button(words: str, help: str) -> QToolButton:
    button = QToolButton()
    button.setText(words)
    button.setToolTip(help)
    button.setAccessibleDescription(help)
    button.setProperty("segment", True)
    button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    return button


def _check(words: str, help: str, call: Callable[[bool], None]) -> QCheckBox:
    check = QCheckBox(words)
    check.setToolTip(help)
    check.setAccessibleDescription(help)
    check.clicked.connect(call)
    return check
