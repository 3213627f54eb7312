"""What the actions act on: the open lesson and the parts of the window around it, put together once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QAbstractButton, QMenu, QStackedWidget, QWidget

from desktop.commands import Commands
from desktop.editing.insertable import Insertable, insertables
from desktop.editing.kept_presets import KeptPresets
from desktop.editing.key_strip import KeyStrip
from desktop.editing.putting_in import PuttingIn
from desktop.editing.shelf import Shelf
from desktop.editing.writing import Writing
from desktop.excerpts import Excerpts
from desktop.exporting import Exporting
from desktop.files import Asked, LessonFiles
from desktop.first_pages import FirstPages
from desktop.forms.side_panel import SidePanel
from desktop.hands.fingering import Fingering
from desktop.hands.hands_part import HandsPart
from desktop.hands.judging import Judging
from desktop.hands.margin_tags import MarginTags, PrintedDifficulty
from desktop.hands.reach_outlines import ReachOutlines
from desktop.helping.helping import Helping
from desktop.keyboard.keyboard_part import KeyboardPart
from desktop.keyboard.moment_marks import MomentMarks
from desktop.language import fill_languages
from desktop.lesson_choice import LessonChoice
from desktop.listening.listening import Listening
from desktop.listening.playing_in import PlayingIn
from desktop.listening.sound_files import SoundFiles
from desktop.looking.looking import Looking
from desktop.memory import Memory, presets_file
from desktop.message_bar import MessageBar
from desktop.words import say
from lessonkit.drawing.shapes import Box
from lessonkit.lesson.lesson import Block, Heading, Note
from lessonkit.pages.flow import worksheets

if TYPE_CHECKING:
    from desktop.people.own_lesson import OwnLesson
    from desktop.people.proposed_mark import ProposedMark


LEAST_WIDTH, LEAST_HEIGHT = 900, 400
"""So wide a window with a shelf is at least, and so high one with a keyboard, for words as large as usual."""


class Room(Protocol):
    """What only the whole window can do."""

    @property
    def appearance(self) -> str: ...
    def dress(self, appearance: str) -> None: ...
    def leave(self) -> None: ...
    @property
    def room(self) -> str: ...
    @property
    def rooms_there_are(self) -> tuple[str, ...]: ...
    def enter(self, name: str) -> None: ...
    def print_for(self) -> None: ...
    def act(self, name: str) -> None: ...
    def see_printed(self) -> None: ...
    def keep_for_student(self) -> None: ...
    @property
    def own_lesson(self) -> OwnLesson: ...
    @property
    def proposed_mark(self) -> ProposedMark: ...


class Desk(QObject):
    """The parts of the lessons room. Parts know the open lesson and each other's signals, never the window."""

    def __init__(self, pages: FirstPages, memory: Memory, asked: Asked, room: Room) -> None:
        super().__init__()
        self._room = room
        self._memory = memory
        self.open_lesson = open_lesson = pages.open_lesson
        self.selection = pages.selection
        self.drawn = pages.drawn
        self.messages = MessageBar()
        self.commands = Commands(open_lesson, self.selection, self.messages.tell)
        self.files = LessonFiles(open_lesson, memory, asked, self.messages.tell)
        # It ends with what it tells.
        self.files.standing.setParent(self.messages)
        self.excerpts = Excerpts(self.commands, memory, asked, self.messages.tell)
        self.strip = KeyStrip(open_lesson, self.selection)
        self.shelf = Shelf()
        self.view = pages.view
        self.view_in_sight = self.view
        """The pages that are seen: those of a student's lesson may stand before the lesson's own."""
        self.panel = SidePanel(open_lesson, self.selection)
        self.panels: QStackedWidget | None = None
        """What stands in the place of the settings, where anything does: the changes for a student."""
        self.writing = Writing(open_lesson, self.selection, self.view, self.drawn)
        self.putting_in = PuttingIn(open_lesson, self.view, self.writing, self.commands, lambda: self.entries)
        self.choice = LessonChoice(
            open_lesson, self.selection, self.files, memory, asked, self.messages.tell, self.view
        )
        self.looking = Looking(open_lesson, self.selection, self.view, self.writing)
        self.helping = Helping(open_lesson, self.selection, room.act)
        self.helping.folded = self._make_room_for_help
        self.judging = Judging(open_lesson, self.selection, self.view, self.drawn)
        self.hands = HandsPart(open_lesson, self.selection, self.judging, memory.folds_hands)
        self.panel.add_part(self.hands)
        self.fingering = Fingering(open_lesson, self.selection, self.view, self.messages.tell)
        self.tags = MarginTags(self.judging, lambda: open_lesson.lesson.house.shows_difficulty)
        self.outlines = ReachOutlines(self.judging)
        self.keyboard = KeyboardPart(open_lesson, self.selection, lambda: self.drawn.shows_answers)
        self.moment_marks = MomentMarks(self.keyboard)
        for overlay in (self.moment_marks, self.outlines, PrintedDifficulty(self.judging), self.tags):
            self.view.lay_over(overlay)
        self.listening = Listening(open_lesson, self.selection, self.view, memory, self.messages.tell)
        self.sound_files = SoundFiles(open_lesson, memory, asked, self.messages)
        self.exporting = Exporting(open_lesson, self.selection, self.view, self.drawn, memory, asked, self.messages)
        self.playing_in = PlayingIn(
            open_lesson, self.selection, self.view, self.listening, self.commands, self.messages
        )
        self.listening.sounding.connect(self.keyboard.sound)
        self._goes_to_answers = self._is_filled = False
        self.drawn.finished.connect(self._go_to_answers)
        self.presets = KeptPresets(presets_file(), self.messages.tell)
        self.presets.changed.connect(self._fill_shelf)
        self.shelf.renamed.connect(self.presets.rename)
        self.shelf.deleted.connect(self.presets.delete)
        self.keyboard.unfold(memory.shows_keyboard)
        self.keyboard.stepped.connect(self._show_moment)
        self.shelf.setVisible(memory.shows_shelf)
        self.shelf.chosen.connect(self.insert)
        self.writing.form_asked.connect(self.panel.focus_form)
        self.writing.put_in_asked.connect(self.put_in)
        self.putting_in.put_in.connect(self._write_if_words)
        self.hands.folded.connect(self._remember_hands)
        self.tags.asked.connect(self._show_hands)
        self.judging.judged.connect(self.view.viewport().update)
        open_lesson.replaced.connect(self.messages.clear)
        pages.when_seen(self.fill)

    @property
    def appearance(self) -> str:
        """``light``, ``dark`` or ``system``."""
        return self._room.appearance

    @property
    def room(self) -> str:
        """The room that is entered."""
        return self._room.room

    def enter(self, name: str) -> None:
        """Go to another room."""
        self._room.enter(name)

    def print_for(self) -> None:
        """Print the lesson for students."""
        self._room.print_for()

    @property
    def sees_printed(self) -> bool:
        """Whether it is seen how the lesson will be printed."""
        return self.files.prints_seen is not None

    def see_printed(self) -> None:
        """See how the lesson will be printed, or go back to it."""
        self.writing.end()
        self._room.see_printed()

    @property
    def looks_at_student(self) -> bool:
        """Whether the lesson is looked at as a student gets it."""
        return self.view_in_sight is not self.view and not self.sees_printed

    def keep_for_student(self) -> None:
        """Keep what is looked at for a student as a lesson of its own."""
        self._room.keep_for_student()

    @property
    def has_own_lesson(self) -> bool:
        """Whether a student's own lesson is open."""
        return self.open_lesson.beside is not None

    @property
    def proposed_mark(self) -> ProposedMark:
        """The mark that playing in proposed last."""
        return self._room.proposed_mark

    def carry_over(self) -> None:
        """See what the improved original would bring to the student's lesson."""
        self._room.own_lesson.carry_over()

    def has_room(self, action: str) -> bool:
        """Whether an action leads to a room that there is; true of every other action."""
        name = action.removesuffix("_room")
        return name == action or name in self._room.rooms_there_are

    @property
    def shows_shelf(self) -> bool:
        """Whether the shelf is unfolded."""
        return not self.shelf.isHidden()

    @property
    def entries(self) -> Sequence[Insertable]:
        """What can be put in."""
        return insertables(self.presets.presets)

    def fill(self) -> None:
        """Put onto the shelf what can be put in, if that has not been done: it loads every drill family."""
        if not self._is_filled:
            self._is_filled = True
            self.presets.read()

    def insert(self, block: Block) -> None:
        """Put a block in; words are written at once."""
        self.commands.insert(block)
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)
        self._write_if_words()

    def put_in(self) -> None:
        """Ask what is to come where the caret is."""
        self.fill()
        if self._can_write():
            self.putting_in.begin()

    def _write_if_words(self) -> None:
        if isinstance(self.selection.only, Note | Heading) and self.view_in_sight is self.view:
            self.writing.begin(self.selection.ids[0], selects_all=True)

    def save(self) -> None:
        """Save the lesson."""
        self.files.save()

    def save_as(self) -> None:
        """Save the lesson in another file."""
        self.files.save_as()

    def write(self) -> None:
        """Write in the selected block, or go to its form."""
        if self.selection.only is not None and self._can_write():
            self.writing.begin(self.selection.ids[0])

    def _can_write(self) -> bool:
        """Whether the lesson's own pages are in sight; words and fingers are written nowhere else."""
        if self.sees_printed:
            self.messages.tell(say("This is how it will be printed; go back to the lesson to write in it."))
        elif self.view_in_sight is not self.view:
            self.messages.tell(say("Words and fingers are written in the lesson itself; go back to nobody first."))
        return self.view_in_sight is self.view

    def close(self) -> None:
        """End the program, asking about unsaved changes."""
        self._room.leave()

    def enlarge(self, larger: float) -> None:
        """Words of the window so many times larger than usual."""
        self._memory.larger = larger
        if self.shows_shelf and self.shelf.window().width() < LEAST_WIDTH * larger:
            # The pages would have no room beside it; its key brings it back.
            self.fold_shelf()
        if self.shows_keyboard and self.shelf.window().height() < LEAST_HEIGHT * larger:
            self.fold_keyboard()
        self._room.dress(self.appearance)
        self._fill_shelf()

    @property
    def larger(self) -> float:
        """How many times larger than usual the window's words are."""
        return self._memory.larger

    def pair_pages(self) -> None:
        """Two pages side by side, or as the room allows."""
        self.view.show_pairs(not self.view.shows_pairs)

    def dress(self, appearance: str) -> None:
        """Light, dark, or as the computer is."""
        self._room.dress(appearance)

    @property
    def keeps_player(self) -> bool:
        """Whether the controls for playing stay when nothing plays."""
        return self._memory.keeps_player

    def keep_player(self) -> None:
        """Let the controls for playing stay, or fold away when nothing plays."""
        self._memory.keeps_player = not self._memory.keeps_player
        if self.listening.shows_bar != self._memory.keeps_player and not self.listening.is_playing:
            self.listening.fold()

    def fold_shelf(self) -> None:
        """Fold the shelf away, or unfold it."""
        self.shelf.setVisible(not self.shows_shelf)
        self._memory.shows_shelf = self.shows_shelf

    @property
    def shows_keyboard(self) -> bool:
        """Whether the keyboard is unfolded."""
        return not self.keyboard.isHidden()

    def fold_keyboard(self) -> None:
        """Fold the keyboard away, or unfold it."""
        self.keyboard.unfold(not self.shows_keyboard)
        self._memory.shows_keyboard = self.shows_keyboard

    def _show_moment(self) -> None:
        """Mark the notes of the moment and bring them into sight."""
        self.moment_marks.is_stepping = self.keyboard.is_stepping
        boxes = self.moment_marks.boxes(self.view.page_layout)
        if boxes:
            rect = boxes[0]
            self.view.show_box(Box(rect.left(), rect.top() - 60, rect.right(), rect.bottom() + 60))
        self.view.viewport().update()

    def _make_room_for_help(self, is_help_folded: bool) -> None:
        """The help stands where the shelf stands."""
        self.shelf.setVisible(is_help_folded and self._memory.shows_shelf)
        if is_help_folded and self.view_in_sight.isVisible():
            self.view_in_sight.setFocus()

    def find_on_shelf(self) -> None:
        """Go to the shelf's search, unfolding the shelf if need be."""
        if not self.shows_shelf:
            self.fold_shelf()
        self.shelf.focus_search()

    def choose_key(self) -> None:
        """Go to the strip of keys."""
        self.strip.focus_key()

    def next_pane(self) -> None:
        """Go to the next part of the window."""
        self._go(1)

    def last_pane(self) -> None:
        """Go to the part of the window before."""
        self._go(-1)

    def show_answers(self) -> None:
        """Show the answers to the worksheets behind the pages, or take them away."""
        is_wanted = not self.drawn.shows_answers
        if is_wanted and next(worksheets(self.open_lesson.lesson), None) is None:
            self.messages.tell(
                say("No drill of this lesson leaves anything to fill in, so there are no answers to show.")
            )
            return
        self._goes_to_answers = is_wanted
        self.drawn.show_answers(is_wanted)
        self.keyboard.follow_answers()

    def _go_to_answers(self) -> None:
        """Once they are there, bring the first page of answers into sight."""
        if self._goes_to_answers and self.drawn.first_answer_page:
            self._goes_to_answers = False
            self.view.show_page(self.drawn.first_answer_page)

    def edit_fingers(self) -> None:
        """Go to the first finger of the selected drill."""
        if self._can_write():
            self.fingering.begin_selected()

    def keep_preset(self) -> None:
        """Keep the selected block on the shelf."""
        block = self.selection.only
        if block is not None:
            self.presets.keep(block)

    def fill_recent(self, menu: QMenu) -> None:
        """The recent lessons."""
        for path in self._memory.recent:
            action = menu.addAction(path.stem.replace("&", "&&"))
            action.setToolTip(str(path))
            action.triggered.connect(lambda checked=False, path=path: self.files.open_recent(path))

    def fill_languages(self, menu: QMenu) -> None:
        """The languages of the window."""
        fill_languages(menu, self._memory, self.messages)

    def fill_insert(self, menu: QMenu, groups: Sequence[str]) -> None:
        """What can be put in, of these groups of the shelf."""
        for entry in self.entries:
            if entry.group in groups:
                action = menu.addAction(entry.shown_title.replace("&", "&&"))
                action.setToolTip(entry.shown_about)
                action.triggered.connect(lambda checked=False, entry=entry: self.insert(entry.make()))

    def _go(self, by: int) -> None:
        beside = self.panels.currentWidget() if self.panels is not None else self.panel
        panes: list[QWidget] = [self.strip, self.view_in_sight, beside]
        if self.shows_shelf:
            panes.insert(1, self.shelf)
        if self.shows_keyboard:
            panes.append(self.keyboard)
        focus = self.strip.window().focusWidget()
        inside = [place for place, pane in enumerate(panes) if focus is not None and _holds(pane, focus)]
        place = (inside[0] + by) % len(panes) if inside else 0
        go: dict[QWidget, Callable[[], None]] = {
            self.strip: self.strip.focus_key,
            self.shelf: self.shelf.focus_search,
            self.view_in_sight: self.view_in_sight.setFocus,
            beside: self.panel.focus_form if beside is self.panel else lambda: _focus_first(beside),
            self.keyboard: self.keyboard.keys.setFocus,
        }
        go[panes[place]]()

    def _show_hands(self, block_id: str) -> None:
        self.selection.select(block_id)
        self.hands.unfold()

    def _remember_hands(self, is_folded: bool) -> None:
        self._memory.folds_hands = is_folded

    def _fill_shelf(self) -> None:
        self.shelf.show_entries(self.entries)


def _focus_first(pane: QWidget) -> None:
    """Go to the first button of a pane."""
    for button in pane.findChildren(QAbstractButton):
        if button.isVisible():
            button.setFocus(Qt.FocusReason.ShortcutFocusReason)
            return


def _holds(pane: QWidget, widget: QWidget) -> bool:
    return pane is widget or pane.isAncestorOf(widget)
