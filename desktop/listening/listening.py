"""Listening in the lessons room: what is to be played, how, and what is shown meanwhile.

Light until something is to be heard: only then are the player, its bar and the sound room fetched.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QPointF, QTimer, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.files import Tell
from desktop.listening.choices import Choices, KeptChoices
from desktop.listening.overlays import NotePlaces, SoundingNotes, StartMark
from desktop.memory import Memory
from desktop.open_lesson import OpenLesson
from desktop.preview.pages_view import PagesView
from desktop.selection import Selection
from desktop.words import english, say
from lessonkit.drawing.shapes import Box
from lessonkit.lesson.lesson import Drill
from lessonkit.pages.blocks import built

if TYPE_CHECKING:
    from desktop.listening.cues import Cue, Sounding
    from desktop.listening.player import Player, Rendering
    from desktop.listening.player_bar import PlayerBar
    from desktop.listening.sink import Sink
    from desktop.listening.ways import Ways
    from lessonkit.sound.playing import Playing

LINGERS = 4000
"""Milliseconds for which the bar stays after the last note."""

SETTLED = 400
"""Milliseconds for which a selection must last before its sound is made ahead."""

NO_DRILL = english("There is no drill here to play; choose one, or go to a page that has some.")


class Listening(QObject):
    """Plays drills of the open lesson and lights their notes."""

    changed = Signal()
    """What plays, or a choice of how, is another."""

    sounding = Signal(object)
    """The keys of the piano that are down and may be seen, for a keyboard picture; None when nothing plays."""

    def __init__(
        self, open_lesson: OpenLesson, selection: Selection, view: PagesView, memory: Memory, tell: Tell
    ) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._selection = selection
        self._view = view
        self._memory = memory
        self._tell = tell
        self._kept = KeptChoices(memory)
        self._player: Player | None = None
        self._bar: PlayerBar | None = None
        self._line: tuple[str, float] | None = None
        self.make_sink: Callable[[], Sink] = _qt_sink
        self.make_rendering: Callable[[], Rendering] = _rendering_apart
        self.place = QWidget()
        """Where the bar appears; whoever furnishes the window puts it somewhere."""
        room = QVBoxLayout(self.place)
        room.setContentsMargins(0, 0, 0, 0)
        self.place.hide()
        self._places = NotePlaces()
        self.lights = SoundingNotes(self._places)
        self.start_mark = StartMark(self._places)
        for overlay in (self.lights, self.start_mark):
            view.lay_over(overlay)
        self._lingering = _once(self.place, LINGERS, self._fold_if_unused)
        self._ahead = _once(self.place, SETTLED, self._prepare)
        view.play_asked.connect(self._play_by_key)
        view.pressed.connect(self._mark_start)
        selection.changed.connect(self._follow_selection)
        open_lesson.changed.connect(self._follow_lesson)
        open_lesson.replaced.connect(self._start_over)

    @property
    def choices(self) -> Choices:
        """How drills are played."""
        return self._kept.choices

    @property
    def is_playing(self) -> bool:
        """Whether something is heard or on its way."""
        return self._player is not None and self._player.is_playing

    @property
    def shows_bar(self) -> bool:
        """Whether the bar is unfolded."""
        return not self.place.isHidden()

    @property
    def bar(self) -> PlayerBar | None:
        """The bar; None until it was first wanted."""
        return self._bar

    @property
    def can_start_at_note(self) -> bool:
        """Whether a note was clicked from which playing can begin."""
        return self.start_mark.note is not None and self._drill(self.start_mark.note[0]) is not None

    def playing_of(self, drill: Drill) -> Playing:
        """A drill played as is chosen."""
        from desktop.listening.ways import playing

        return playing(self.choices, self._ways(drill), self._kept.tempo(drill.id))

    # What is played

    def play_or_stop(self) -> None:
        """Play the selected drills, or those of the page in sight where none is selected; or stop."""
        if self.is_playing:
            self.stop()
        elif self._selected():
            self._play(self._selected())
        else:
            self.play_page()

    def play_page(self) -> None:
        """Play the drills of the page in sight."""
        layout = self._view.page_layout
        number = self._view.page_number - 1
        seen = [name for name, parts in layout.block_boxes.items() if parts[0][0] == number]
        self._play([drill for name in seen if (drill := self._drill(name)) is not None])

    def play_from_note(self) -> None:
        """Play from the note that was clicked last."""
        if self.start_mark.note is None:
            return
        block_id, event = self.start_mark.note
        drill = self._drill(block_id)
        if drill is not None:
            self._play([drill], event)

    def stop(self) -> None:
        """Be silent."""
        if self._player is not None:
            self._player.stop()

    def close(self) -> None:
        """End for good."""
        if self._player is not None:
            self._player.close()

    # How it is played

    def choose(self, **chosen: Any) -> None:
        """Choose another way of playing; what plays goes over to it at the next beat."""
        self._kept.change(**chosen)
        self._go_over()

    def toggle(self, name: str) -> None:
        """Switch a choice on or off."""
        self.choose(**{name: not getattr(self.choices, name)})

    def choose_tempo(self, tempo: float) -> None:
        """Choose the tempo of the drill that is heard, or would be."""
        drill = self._current()
        if drill is not None:
            self._kept.choose_tempo(drill.id, tempo)
            self._go_over()

    def slower(self) -> None:
        """One step down the drill's ladder."""
        self._step("slower")

    def faster(self) -> None:
        """One step up the drill's ladder."""
        self._step("faster")

    def fold(self) -> None:
        """Fold the bar away, or unfold it."""
        if self.shows_bar:
            focus = self._view.window().focusWidget()
            if focus is not None and self.place.isAncestorOf(focus):
                self._view.setFocus()
            self.place.hide()
        else:
            self._unfold()
        self.changed.emit()

    # The rest is how it is done

    def _drill(self, block_id: str) -> Drill | None:
        """The drill of an id, if it is one that can be heard."""
        try:
            block = self._open_lesson.lesson.block(block_id)
        except KeyError:
            return None
        if not isinstance(block, Drill) or isinstance(built(block.family, self._open_lesson.lesson.setting), str):
            return None
        return block

    def _selected(self) -> list[Drill]:
        return [drill for name in self._selection.ids if (drill := self._drill(name)) is not None]

    def _current(self) -> Drill | None:
        """The drill that is heard, or that would be heard first."""
        cue = self._player.cue if self._player is not None else None
        if cue is not None:
            return self._drill(cue.block_id)
        return next(iter(self._selected()), None)

    def _play(self, drills: Sequence[Drill], event: int | None = None) -> None:
        if not drills:
            self._tell(NO_DRILL)
            return
        cues = [self._cue(drill, len(drills) == 1, event if not at else None) for at, drill in enumerate(drills)]
        self._unfold()
        self._lingering.stop()
        self._line = None
        self._the_player().play(cues, self.choices.loops and len(drills) > 1)

    def _cue(self, drill: Drill, is_alone: bool, event: int | None) -> Cue:
        from desktop.listening.cues import Cue

        setting = self._open_lesson.lesson.setting
        exercise = built(drill.family, setting)
        assert not isinstance(exercise, str)
        how = self.playing_of(drill)
        onset = exercise.events[event].onset if event is not None and event < len(exercise.events) else None
        return Cue(drill.id, exercise, how, onset, self.choices.loops and is_alone)

    def _ways(self, drill: Drill) -> Ways:
        from desktop.listening.ways import ways_of

        setting = self._open_lesson.lesson.setting
        exercise = built(drill.family, setting)
        assert not isinstance(exercise, str)
        return ways_of(drill.family, exercise, setting)

    def _go_over(self) -> None:
        """Let what plays be played as is now chosen, and as the lesson now is."""
        if self._player is not None and self._player.is_playing:
            drills = [self._drill(cue.block_id) for cue in self._player.cues]
            found = [drill for drill in drills if drill is not None]
            if len(found) < len(drills):
                self._player.stop()
            else:
                onset = self._player.cues[0].onset
                cues = [self._cue(drill, len(found) == 1, None) for drill in found]
                self._player.change([_from(cues[0], onset), *cues[1:]], self.choices.loops and len(found) > 1)
        self._refresh()

    def _step(self, which: str) -> None:
        drill = self._current()
        if drill is not None:
            ways, tempo = self._ways(drill), self.playing_of(drill).tempo
            self.choose_tempo(ways.slower(tempo) if which == "slower" else ways.faster(tempo))

    def _the_player(self) -> Player:
        if self._player is None:
            from desktop.listening.player import Player

            self._player = Player(self.make_rendering, self.make_sink, self.place)
            self._player.changed.connect(self._follow_player)
            self._player.heard.connect(self._light)
            self._player.failed.connect(self._say)
        return self._player

    def _say(self, sentence: str) -> None:
        self._tell(sentence)
        self.place.hide()

    # The bar

    def _unfold(self) -> None:
        if self._bar is None:
            from desktop.listening.player_bar import PlayerBar

            self._bar = PlayerBar(self)
            room = self.place.layout()
            assert room is not None
            room.addWidget(self._bar)
        self.place.show()
        self._refresh()

    def _refresh(self) -> None:
        if self._bar is not None and self.shows_bar:
            from lessonkit.drills.told import keys_in_words

            drill = self._current()
            if drill is None:
                self._bar.show_state(say("Choose a drill to hear it"), self.is_playing, None, 0, self.choices)
            else:
                exercise = built(drill.family, self._open_lesson.lesson.setting)
                assert not isinstance(exercise, str)
                ways, tempo = self._ways(drill), self.playing_of(drill).tempo
                title = f"{say(drill.family.title)}, {say(keys_in_words(exercise))}"
                self._bar.show_state(title, self.is_playing, ways, tempo, self.choices)
        self.changed.emit()

    def _fold_if_unused(self) -> None:
        if self.is_playing or not self.shows_bar:
            return
        if self._bar is not None and self._bar.is_used:
            self._lingering.start()
        elif not self._memory.keeps_player:
            self.fold()

    def _follow_player(self) -> None:
        if not self.is_playing:
            self.sounding.emit(None)
            self._lingering.start()
        self._refresh()

    def _follow_selection(self) -> None:
        self._refresh()
        if self._player is not None:
            self._ahead.start()

    def _prepare(self) -> None:
        """Make the selected drill's sound before it is asked for, once anything was played in this window."""
        if self._player is not None and not self._player.is_playing:
            drills = self._selected()
            if len(drills) == 1:
                self._player.prepare(self._cue(drills[0], True, None))

    def _follow_lesson(self) -> None:
        self._go_over()
        if self.start_mark.note is not None and self._drill(self.start_mark.note[0]) is None:
            self.start_mark.note = None
        if self._player is not None:
            self._ahead.start()

    def _start_over(self) -> None:
        self.stop()
        self.start_mark.note = None
        self._refresh()

    # The pages

    def _play_by_key(self, is_from_note: bool) -> None:
        if is_from_note and not self.is_playing and self.can_start_at_note:
            self.play_from_note()
        else:
            self.play_or_stop()

    def _mark_start(self, point: QPointF) -> None:
        note = self.start_mark.note_at(self._view.page_layout, point)
        if note != self.start_mark.note:
            self.start_mark.note = note
            self._view.viewport().update()
            self.changed.emit()

    def _light(self, notes: tuple[Sounding, ...]) -> None:
        layout = self._view.page_layout
        before = self.lights.lights(layout)
        shown = [note for note in notes if not note.is_secret]
        self.lights.light(frozenset((note.block_id, note.event, note.pitch) for note in shown))
        for area in (*before, *self.lights.lights(layout)):
            seen = self._view.on_viewport(Box(area.left(), area.top(), area.right(), area.bottom()))
            self._view.viewport().update(seen.toAlignedRect().adjusted(-1, -1, 1, 1))
        self._keep_in_sight(notes)
        if self.is_playing:
            self.sounding.emit(tuple(note.down for note in shown))

    def _keep_in_sight(self, notes: tuple[Sounding, ...]) -> None:
        """Scroll when the music goes on to another line; a teacher who scrolls elsewhere is left there so long."""
        layout = self._view.page_layout
        for note in notes:
            place = self._places.of(layout, note.block_id).get((note.event, note.pitch))
            if place is not None:
                line = (note.block_id, place.line.top / layout.scale)
                if line != self._line:
                    self._line = line
                    self._view.show_box(place.line)
                return


def _from(cue: Cue, onset: Any) -> Cue:
    from dataclasses import replace

    return replace(cue, onset=onset)


def _once(owner: QObject, after: int, call: Callable[[], None]) -> QTimer:
    timer = QTimer(owner)
    timer.setSingleShot(True)
    timer.setInterval(after)
    timer.timeout.connect(call)
    return timer


def _qt_sink() -> Sink:
    from desktop.listening.sink import QtSink

    return QtSink()


def _rendering_apart() -> Rendering:
    from lessonkit.sound.rendering import RenderingApart

    return RenderingApart()
