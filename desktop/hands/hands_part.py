"""The part of the side panel about the hands: how hard the drill is, other fingers, what is too wide, easier ways.

It is folded away until it is wanted; folded, its head still shows the band.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import cast

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from desktop.forms.row import quiet_label
from desktop.forms.wording import capital
from desktop.frame import panel_width
from desktop.hands.judging import Judging, Offers, Verdict
from desktop.hands.words import gain_words, other_fingers_words, sentence, why_words
from desktop.open_lesson import OpenLesson
from desktop.painting.dots import DOT, STEP, dots_of, paint_dots
from desktop.selection import Selection
from desktop.theme import tones_of
from desktop.words import say
from lessonkit.drills.easier_drills import Suggestion
from lessonkit.drills.exercise import Exercise
from lessonkit.drills.reach_marks import reach_sentences
from lessonkit.drills.within_reach import ReachWay, left_in_words
from lessonkit.hands.difficulty import Band
from lessonkit.hands.hand import Hand
from lessonkit.lesson.edits import make_easier, set_drill_setting, take_runner_up
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.pages.blocks import built

SHOWN_AT_FIRST = 3
"""So many easier ways are shown before the others are asked for."""

TALLEST, SHARE = 340, 0.3
"""The most that the unfolded part takes: in pixels, and of the window's height."""


class HandsPart(QFrame):
    """What is said of the selected drill, and what one tap changes."""

    folded = Signal(bool)
    """The part was folded away, or unfolded."""

    def __init__(self, open_lesson: OpenLesson, selection: Selection, judging: Judging, is_folded: bool) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._selection = selection
        self._judging = judging
        self._shown: tuple[object, ...] = ()
        self._block_id = ""
        self._shows_all = ""
        self.setObjectName("handsPart")
        self._head = QToolButton()
        self._head.setObjectName("foldingHead")
        self._head.setText(say("Hands"))
        self._head.setCheckable(True)
        self._head.setChecked(not is_folded)
        self._head.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self._head.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._head.setToolTip(say("How hard the drill is for these hands, other fingers, and what to play instead"))
        self._head.clicked.connect(self._fold)
        self._band = BandLabel()
        head = QHBoxLayout()
        head.setContentsMargins(12, 4, 16, 4)
        head.addWidget(self._head)
        head.addStretch(1)
        head.addWidget(self._band)
        self._body = QWidget()
        self._body.setObjectName("form")
        self._lines = QVBoxLayout(self._body)
        self._lines.setContentsMargins(16, 0, 16, 12)
        self._lines.setSpacing(4)
        self._scroll = QScrollArea()
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setWidget(self._body)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 1, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(head)
        layout.addWidget(self._scroll)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        selection.changed.connect(self._show)
        open_lesson.changed.connect(self._show)
        open_lesson.replaced.connect(self._show)
        judging.judged.connect(self._show)
        judging.offered.connect(self._show)
        judging.want_offers(not is_folded)
        self._show()

    @property
    def is_folded(self) -> bool:
        """Whether only the head is shown."""
        return not self._head.isChecked()

    def unfold(self) -> None:
        """Show everything."""
        if self.is_folded:
            self._head.setChecked(True)
            self._fold()

    @property
    def sentences(self) -> list[str]:
        """Every line of words that is shown; the tests read them."""
        return [label.text() for label in self._body.findChildren(type(quiet_label(""))) if label.text()]

    @property
    def body(self) -> QWidget:
        """What unfolds."""
        return self._body

    @property
    def buttons(self) -> list[QPushButton]:
        """Everything that one tap does, from the top."""
        return self._body.findChildren(QPushButton)

    def button(self, words: str) -> QPushButton:
        """The first button of these words."""
        return next(button for button in self.buttons if button.text() == words)

    def _fold(self) -> None:
        self._shown, self._block_id = (), ""
        self._judging.want_offers(not self.is_folded)
        self._show()
        self.folded.emit(self.is_folded)

    def _show(self) -> None:
        block = self._selection.only
        self.setVisible(isinstance(block, Drill))
        if not isinstance(block, Drill):
            return
        verdict = self._judging.verdict(block.id)
        found = verdict.difficulty if verdict is not None else None
        self._band.show_band(found.band if found is not None else None)
        self._head.setArrowType(Qt.ArrowType.RightArrow if self.is_folded else Qt.ArrowType.DownArrow)
        self._scroll.setVisible(not self.is_folded)
        if self.is_folded:
            return
        offers = self._judging.offers
        lesson = self._open_lesson.lesson
        is_known = verdict is not None and verdict.drill == block.family and verdict.setting == lesson.setting
        if not is_known or offers is None or not offers.is_whole:
            # What is half found would make the lines jump; what was found before stays until all is there.
            if block.id == self._block_id:
                return
            verdict = offers = None
        wanted = (block.id, verdict, offers, self._shows_all)
        if wanted != self._shown:
            self._shown = wanted
            self._block_id = block.id
            self._fill(block, verdict, offers)

    def _fill(self, block: Drill, verdict: Verdict | None, offers: Offers | None) -> None:
        self.setUpdatesEnabled(False)
        while (item := self._lines.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.setParent(None)
                widget.deleteLater()
        if verdict is None or offers is None:
            self._say("One moment …")
        else:
            self._fill_verdict(verdict)
            exercise = built(block.family, verdict.setting)
            if isinstance(exercise, Exercise):
                self._fill_offers(block, verdict, offers, exercise)
        self._lines.addStretch(1)
        self._fit_height()
        self.setUpdatesEnabled(True)

    def _fit_height(self) -> None:
        """As high as the words need at this width, and no higher than leaves the form its room."""
        window = self.window().height()
        tallest = min(TALLEST, round(window * SHARE)) if window > 0 else TALLEST
        self._lines.activate()
        self._scroll.setFixedHeight(min(tallest, max(0, self._lines.totalHeightForWidth(panel_width() - 16))))

    def _fill_verdict(self, verdict: Verdict) -> None:
        found = verdict.difficulty
        if found is None:
            self._say("This drill cannot be written out; the page says why.")
            return
        for remark in verdict.remarks:
            self._say(sentence(remark), "reason")
        if found.reasons:
            self._caption(
                f"{capital(say(found.band.value))}, {say(found.where)}"
                if found.where
                else capital(say(found.band.value))
            )
            for reason in found.reasons:
                self._say(sentence(reason))
        else:
            self._say("Nothing here troubles these hands.")

    def _fill_offers(self, block: Drill, verdict: Verdict, offers: Offers, exercise: Exercise) -> None:
        if verdict.reach:
            self._caption(say("Too wide for these hands"))
            for line in reach_sentences(verdict.reach):
                self._say(line)
            for reach_way in offers.within_reach:
                self._offer(
                    capital(reach_way.what), left_in_words(reach_way), say("Take it"),
                    partial(self._bring_within_reach, block.id, reach_way),
                )  # fmt: skip
        said = [(other.hand, other_fingers_words(exercise, other)) for other in offers.others]
        if any(words for _, words in said):
            self._caption(say("Other fingers"))
        for hand, words in said:
            if words:
                self._offer(words, "", say("Take them"), partial(self._take_other, block.id, hand))
        if offers.nothing_easier and verdict.difficulty is not None and verdict.difficulty.reasons:
            self._caption(say("Easier instead"))
            self._say(offers.nothing_easier)
        if offers.easier:
            self._caption(say("Easier instead"))
            count = None if self._shows_all == block.id else SHOWN_AT_FIRST
            now = verdict.difficulty.band if verdict.difficulty is not None else None
            for way in offers.easier[:count]:
                self._offer(
                    capital(way.what), f"{capital(gain_words(way, now))}; {why_words(way)}", say("Take it"),
                    partial(self._ease, block.id, way),
                )  # fmt: skip
            more = len(offers.easier) - SHOWN_AT_FIRST
            if count is not None and more > 0:
                button = QPushButton(say("{more} more ways", more=more) if more > 1 else say("One more way"))
                button.clicked.connect(lambda: self._show_all(block.id))
                self._lines.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
                button.show()

    def _show_all(self, block_id: str) -> None:
        self._shows_all = block_id
        self._show()

    def _ease(self, block_id: str, way: Suggestion) -> None:
        self._edit(say("Easier: {what}", what=say(way.what)), lambda lesson: make_easier(lesson, block_id, way))

    def _take_other(self, block_id: str, hand: Hand) -> None:
        self._edit(
            say("Other fingers, {value} hand", value=say(hand.value)),
            lambda lesson: take_runner_up(lesson, block_id, hand),
        )

    def _bring_within_reach(self, block_id: str, way: ReachWay) -> None:
        self._edit(
            say("Within reach: {what}", what=say(way.what)),
            lambda lesson: set_drill_setting(lesson, block_id, way.setting, way.value),
        )

    def _edit(self, label: str, edit: Callable[[Lesson], Lesson]) -> None:
        offers, block = self._judging.offers, self._selection.only
        if offers is None or not isinstance(block, Drill) or offers.drill != block.family:
            # The drill was changed since; what is offered for it now is on its way.
            return
        self._open_lesson.settle()
        self._open_lesson.edit(label, edit(self._open_lesson.lesson))

    def _caption(self, words: str) -> None:
        label = quiet_label(words)
        label.setObjectName("groupCaption")
        label.setContentsMargins(0, 8 if self._lines.count() else 0, 0, 0)
        self._add(label)

    def _add(self, widget: QWidget) -> None:
        self._lines.addWidget(widget)
        # A layout leaves out of its height what was not shown yet.
        widget.show()

    def _say(self, words: str, name: str = "") -> None:
        self._add(_words(words, name))

    def _offer(self, what: str, why: str, tap: str, take: Callable[[], None]) -> None:
        """Words with the reason below them, and at their right the button that does it."""
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 2, 0, 4)
        row.setSpacing(8)
        texts = QVBoxLayout()
        texts.setSpacing(0)
        texts.addWidget(_words(what))
        if why:
            texts.addWidget(_words(why, "quiet"))
        row.addLayout(texts, 1)
        button = QPushButton(tap)
        button.setAccessibleName(f"{tap}: {what}")
        button.setAccessibleDescription(why)
        button.clicked.connect(lambda: take())
        row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        self._add(holder)

    # Qt overrides

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._fit_height()


class BandLabel(QWidget):
    """The band in one to four dots and a word."""

    def __init__(self) -> None:
        super().__init__()
        self._band: Band | None = None
        self._words = quiet_label("")
        row = QHBoxLayout(self)
        row.setContentsMargins(round(4 * STEP + 2), 0, 0, 0)
        row.addWidget(self._words)

    def show_band(self, band: Band | None) -> None:
        """Show a band, or nothing."""
        self._band = band
        self._words.setText(say(band.value) if band is not None else "")
        self.update()

    # Qt overrides

    def minimumSizeHint(self) -> QSize:
        return QSize(round(4 * STEP + 2) + self._words.sizeHint().width(), self._words.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._band is not None:
            painter = QPainter(self)
            tones = tones_of(cast(QApplication, QApplication.instance()))
            middle = self.height() / 2 + DOT / 10
            paint_dots(painter, dots_of(self._band), 1, middle, QColor(tones.ink))
            painter.end()


def _words(text: str, name: str = "") -> QWidget:
    label = quiet_label(text)
    label.setWordWrap(True)
    if name:
        label.setObjectName(name)
    return label
