"""Fingers edited on the page: a click on a number opens a small field at it, every finger an edit of the lesson."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

from PySide6.QtCore import QObject, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QApplication, QWidget

from desktop.hands.finger_field import FingerField
from desktop.hands.finger_places import FingerPlace, finger_at, finger_places, note_places
from desktop.hands.words import sentence
from desktop.open_lesson import OpenLesson
from desktop.preview.overlay import Overlay
from desktop.preview.page_layout import PageLayout
from desktop.preview.pages_view import PagesView
from desktop.selection import Selection
from desktop.theme import tones_of
from desktop.words import say
from lessonkit.drills.exercise import Exercise, FingersShown
from lessonkit.drills.family import DrillFamily, FingersHold
from lessonkit.drills.finger_remarks import finger_remarks
from lessonkit.drills.fingers import holds_in_every_key, typed_place
from lessonkit.hands.hand import Hand
from lessonkit.lesson.edits import hold_finger, pin_finger
from lessonkit.lesson.lesson import Drill
from lessonkit.pages.blocks import built
from lessonkit.theory.key import Key

Note = tuple[int, int]
"""An event of an exercise and the place of a pitch in it."""


class Fingering(QObject):
    """The field over the page, where there is one."""

    def __init__(
        self, open_lesson: OpenLesson, selection: Selection, view: PagesView, tell: Callable[[str], None]
    ) -> None:
        super().__init__(view)
        self._open_lesson = open_lesson
        self._selection = selection
        self._view = view
        self._tell = tell
        self._block_id = ""
        self._note: Note = (0, 0)
        self._in_every_key = False
        self.field: FingerField | None = None
        self.numbers = _Numbers(self.begin, self.current)
        view.lay_over(self.numbers)
        view.moved.connect(self._follow_page)
        open_lesson.changed.connect(self._follow_lesson)
        open_lesson.replaced.connect(self.end)
        selection.changed.connect(self._follow_selection)
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._follow_focus)

    def begin(self, block_id: str, event: int, pitch: int) -> None:
        """Open the field at a finger of a drill."""
        self.end()
        self._selection.select(block_id)
        exercise = self._exercise(block_id)
        if exercise is None:
            return
        self._block_id, self._note = block_id, (event, pitch)
        family = self._family(block_id)
        has_shared = any(family.right_fingers + family.left_fingers)
        self._in_every_key = has_shared and family.fingers_hold is FingersHold.EVERY_KEY
        field = self.field = FingerField(self._view.viewport())
        field.typed.connect(self._type)
        field.hold_chosen.connect(self._hold)
        field.stepped.connect(self._step)
        field.left.connect(self._leave)
        self._show()
        field.show()
        field.setFocus(Qt.FocusReason.OtherFocusReason)

    def begin_selected(self) -> None:
        """Open the field at the first finger that the selected drill prints, or else at its first note."""
        block = self._selection.only
        if not isinstance(block, Drill):
            return
        exercise = self._exercise(block.id)
        notes = self._notes(block.id)
        if exercise is None or not notes:
            self._tell(say("This drill has no notes to finger."))
            return
        self._view.show_block(block.id)
        printed = finger_places(self._view.page_layout, block.id)
        self.begin(block.id, *next((note for note in notes if note in printed), notes[0]))

    def end(self) -> None:
        """Close the field; what was typed stays."""
        field, self.field = self.field, None
        if field is not None:
            if field.hasFocus() or field.isAncestorOf(QApplication.focusWidget()):
                # Otherwise the focus would go on to some button of the panel.
                self._view.setFocus()
            field.hide()
            field.deleteLater()
            self._block_id = ""
            self._view.viewport().update()

    def current(self, layout: PageLayout) -> FingerPlace | None:
        """Where the finger stands that is being edited."""
        if self.field is None:
            return None
        printed = finger_places(layout, self._block_id).get(self._note)
        return printed or note_places(layout, self._block_id).get(self._note)

    def _type(self, finger: int) -> None:
        exercise = self._exercise(self._block_id)
        if exercise is None or self.field is None:
            return
        event, pitch = self._note
        name, is_typed = exercise.events[event].pitches[pitch], pitch in exercise.events[event].pinned
        if not finger and not is_typed:
            return
        try:
            edited = pin_finger(self._open_lesson.lesson, self._block_id, event, pitch, finger)
            edited = hold_finger(edited, self._block_id, event, pitch, self._in_every_key)
        except ValueError as error:
            self.field.show_reason(sentence(str(error)))
            self._follow_page()
            return
        label = (
            say("Finger {finger} on {name}", finger=finger, name=name)
            if finger
            else say("Finger on {name} back to the program", name=name)
        )
        self._open_lesson.edit(label, edited)
        self._show()

    def _hold(self, in_every_key: bool) -> None:
        exercise = self._exercise(self._block_id)
        if exercise is None:
            return
        self._in_every_key = in_every_key
        event, pitch = self._note
        if pitch in exercise.events[event].pinned:
            name = exercise.events[event].pitches[pitch]
            where = say("in every key") if in_every_key else say("in {place} only", place=self._place(exercise)[2])
            lesson = hold_finger(self._open_lesson.lesson, self._block_id, event, pitch, in_every_key)
            self._open_lesson.edit(say("Finger on {name} {where}", name=name, where=where), lesson)
        self._show()

    def _step(self, by: int) -> None:
        notes = self._notes(self._block_id)
        if self._note not in notes:
            return
        exercise = self._exercise(self._block_id)
        assert exercise is not None
        hand = exercise.events[self._note[0]].hand
        own = [note for note in notes if exercise.events[note[0]].hand is hand]
        place = own.index(self._note) + by
        if 0 <= place < len(own):
            self._note = own[place]
            self._show()
            place = self.current(self._view.page_layout)
            if place is not None:
                self._view.show_box(place.box)

    def _leave(self) -> None:
        self.end()
        self._view.setFocus()

    def _show(self) -> None:
        field, exercise = self.field, self._exercise(self._block_id)
        if field is None or exercise is None:
            self.end()
            return
        number, place = self._note
        event = exercise.events[number]
        finger = event.fingers[place] if event.fingers else None
        field.show_finger(
            say("{pitches}, {value} hand", pitches=event.pitches[place], value=say(event.hand.value)),
            finger,
            place in event.pinned,
        )
        family, (hand, note, key) = self._family(self._block_id), self._place(exercise)
        if place in event.pinned:
            self._in_every_key = holds_in_every_key(family, hand, note, key)
        field.show_hold(self._in_every_key, str(key))
        if family.fingers_printed(self._open_lesson.lesson.setting) is FingersShown.NONE:
            field.show_reason(say("This drill prints no fingers; which it prints is set under “On the page”."))
        else:
            field.show_reason(" ".join(map(sentence, finger_remarks(family, self._open_lesson.lesson.setting))))
        self._follow_page()
        self._view.viewport().update()

    def _follow_page(self) -> None:
        """Stay below the line of music as the page scrolls, zooms or is drawn anew; above it where there is no room."""
        field, place = self.field, self.current(self._view.page_layout)
        if field is None:
            return
        field.setVisible(place is not None)
        if place is None:
            return
        box, line = self._view.on_viewport(place.box), self._view.on_viewport(place.line)
        room = self._view.viewport().size()
        top = line.bottom() + 6
        if top + field.height() > room.height() - 4:
            top = line.top() - field.height() - 6
        left = box.center().x() - field.width() / 2
        field.move(round(max(4, min(left, room.width() - field.width() - 4))), round(max(4, top)))

    def _follow_lesson(self) -> None:
        if self.field is None:
            return
        exercise = self._exercise(self._block_id)
        event, pitch = self._note
        if exercise is None or event >= len(exercise.events) or pitch >= len(exercise.events[event].pitches):
            self.end()
            return
        self._show()

    def _follow_selection(self) -> None:
        if self.field is not None and self._selection.ids != (self._block_id,):
            self.end()

    def _follow_focus(self, old: QWidget | None, new: QWidget | None) -> None:
        # A window that is left keeps its field; another part of the window closes it.
        if self.field is not None and new is not None and new is not self.field and not self.field.isAncestorOf(new):
            self.end()

    def _place(self, exercise: Exercise) -> tuple[Hand, int, Key]:
        return typed_place(exercise, *self._note)

    def _notes(self, block_id: str) -> list[Note]:
        """Every note that stands on the page, in the order of playing."""
        return sorted(note_places(self._view.page_layout, block_id))

    def _exercise(self, block_id: str) -> Exercise | None:
        lesson = self._open_lesson.lesson
        block = next((block for block in lesson.blocks if block.id == block_id), None)
        exercise = built(block.family, lesson.setting) if isinstance(block, Drill) else None
        return exercise if isinstance(exercise, Exercise) else None

    def _family(self, block_id: str) -> DrillFamily:
        block = self._open_lesson.lesson.block(block_id)
        assert isinstance(block, Drill)
        return block.family


class _Numbers(Overlay):
    """The finger numbers of the pages: where the hand can click, and a ring around the one that is edited."""

    is_typed_into = True

    def __init__(
        self, begin: Callable[[str, int, int], None], current: Callable[[PageLayout], FingerPlace | None]
    ) -> None:
        self._begin = begin
        self._current = current
        self._under_hand: FingerPlace | None = None
        self._seen_in: PageLayout | None = None

    def paint(self, painter: QPainter, layout: PageLayout, shown: QRectF) -> None:
        mark = QColor(tones_of(cast(QApplication, QApplication.instance())).mark)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        tint = QColor(mark)
        tint.setAlpha(36)
        current = self._current(layout)
        # A number that the hand pointed at may stand elsewhere by now.
        under_hand = self._under_hand if self._seen_in is layout else None
        for place in (under_hand, current):
            if place is not None:
                painter.setPen(QPen(mark, 1.6) if place is current else Qt.PenStyle.NoPen)
                painter.setBrush(tint)
                painter.drawRoundedRect(_ring(place), 4, 4)

    def block_at(self, layout: PageLayout, point: QPointF) -> str:
        place = finger_at(layout, point.x(), point.y())
        return place.block_id if place is not None else ""

    def click(self, layout: PageLayout, point: QPointF) -> None:
        place = finger_at(layout, point.x(), point.y())
        if place is not None:
            self._begin(place.block_id, place.event, place.pitch)

    def hover(self, layout: PageLayout, point: QPointF) -> bool:
        self._seen_in = layout
        before, self._under_hand = self._under_hand, finger_at(layout, point.x(), point.y())
        return before != self._under_hand


def _ring(place: FingerPlace) -> QRectF:
    box = place.box
    return QRectF(box.left - 4, box.top - 3, box.right - box.left + 8, box.bottom - box.top + 6)
