"""A calm line at the top of the window for what the teacher should know. It never stops the work."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton

from desktop.forms.row import quiet_label
from desktop.words import say


class MessageBar(QFrame):
    """One sentence, with what can be done about it; hidden while there is nothing to say."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("messageBar")
        self._words = quiet_label("")
        self._words.setWordWrap(True)
        self._words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._offers: list[QPushButton] = []
        self._layout = QHBoxLayout(self)
        self._layout.setContentsMargins(16, 6, 8, 6)
        self._layout.setSpacing(8)
        self._layout.addWidget(self._words, 1)
        dismiss = QPushButton(say("Close"))
        dismiss.setAccessibleName(say("Close the message"))
        dismiss.clicked.connect(self.clear)
        self._layout.addWidget(dismiss)
        self.hide()

    @property
    def sentence(self) -> str:
        """What is said now; empty when nothing is."""
        return "" if self.isHidden() else self._words.text()

    def tell(self, sentence: str, *offers: tuple[str, Callable[[], None]]) -> None:
        """Say a sentence, with buttons for what can be done; each closes the message."""
        self._take_offers_away()
        sentence = say(sentence)
        self._words.setText(sentence)
        self._words.setAccessibleName(sentence)
        for place, (words, call) in enumerate(offers):
            button = QPushButton(words)
            button.clicked.connect(self.clear)
            button.clicked.connect(call)
            self._layout.insertWidget(1 + place, button)
            self._offers.append(button)
        self.show()
        QAccessible.updateAccessibility(QAccessibleEvent(self._words, QAccessible.Event.Alert))

    def go_on(self, before: str, sentence: str) -> bool:
        """Say something else in the place of a sentence whose offers stay; says whether that one was still there."""
        if self.sentence != say(before):
            return False
        sentence = say(sentence)
        self._words.setText(sentence)
        self._words.setAccessibleName(sentence)
        return True

    def clear(self) -> None:
        """Say nothing."""
        self.hide()

    def _take_offers_away(self) -> None:
        for button in self._offers:
            self._layout.removeWidget(button)
            button.hide()
            button.deleteLater()
        self._offers.clear()
