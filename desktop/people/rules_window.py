"""How the numbers about students are worked out, for who wants to do it again by hand: the rules, one below another."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFrame, QScrollArea, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.words import say
from lessonkit.students.explained import RULES, TITLES


class RulesWindow(QDialog):
    """Stays open beside the work."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("How the numbers are worked out"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.resize(640, 560)
        body = QWidget()
        body.setObjectName("form")
        lines = QVBoxLayout(body)
        lines.setContentsMargins(24, 16, 24, 16)
        lines.setSpacing(4)
        intro = quiet_label(say("Everything is worked out from the marks in the student's file; nothing else is kept."))
        intro.setWordWrap(True)
        lines.addWidget(intro)
        for name, title in TITLES.items():
            head, rule = quiet_label(say(title)), quiet_label(say(RULES[name]))
            head.setObjectName("whose")
            rule.setWordWrap(True)
            rule.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
            lines.addSpacing(8)
            lines.addWidget(head)
            lines.addWidget(rule)
        lines.addStretch(1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setAccessibleName(say("Rules"))
        scroll.setWidget(body)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.close)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 16, 16)
        layout.addWidget(scroll, 1)
        layout.addWidget(buttons)
        scroll.setFocus()
