"""Playing in from a keyboard with MIDI: a drill is listened to and judged, a lick is written down.

Nothing of MIDI is fetched before somebody wants to play in; without a library or a keyboard a sentence says so.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from time import perf_counter
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QObject, QTimer, Signal

from desktop.commands import Commands
from desktop.listening.listening import Listening
from desktop.listening.played_marks import PlayedMarks
from desktop.message_bar import MessageBar
from desktop.open_lesson import OpenLesson
from desktop.preview.pages_view import PagesView
from desktop.selection import Selection
from desktop.words import english, say
from lessonkit.lesson.edits import replace_block
from lessonkit.lesson.lesson import Drill, Lesson
from lessonkit.pages.blocks import built

if TYPE_CHECKING:
    from lessonkit.sound.judging import Judgement
    from lessonkit.sound.played_in import Struck

LOOKED_EVERY = 40
"""Milliseconds between two looks at what was played."""

SILENCE = 3.0
"""Seconds without a key after which somebody has ended."""

NO_DRILL = english("Choose one drill on the page to have it listened to.")


class OpenKeyboard(Protocol):
    """A keyboard that is listened to."""

    name: str

    def close(self) -> None: ...


class PlayingIn(QObject):
    """Listens until somebody has ended, then judges or writes down."""

    proposed = Signal(str, int)
    """The drill's id and the mark that is proposed for a first try, 0 to 3."""

    def __init__(
        self, open_lesson: OpenLesson, selection: Selection, view: PagesView, listening: Listening,
        commands: Commands, messages: MessageBar,
    ) -> None:  # fmt: skip
        super().__init__()
        self._open_lesson = open_lesson
        self._selection = selection
        self._view = view
        self._listening = listening
        self._commands = commands
        self._messages = messages
        self.open_keyboard: Callable[[Callable[[Sequence[int]], None]], OpenKeyboard] = _keyboard
        self.now: Callable[[], float] = perf_counter
        self.lesson_in_sight: Callable[[], Lesson] = lambda: open_lesson.lesson
        """The lesson that is seen and played; a student's may stand before the lesson itself."""
        self.more_offers: Callable[[Drill, int], Sequence[tuple[str, Callable[[], None]]]] = lambda drill, rating: ()
        """What else can be done about a mark that is proposed."""
        self._keyboard: OpenKeyboard | None = None
        self._received: list[tuple[float, Sequence[int]]] = []
        self._ended: Callable[[tuple[Struck, ...]], None] = self._judge
        self._drill_id = ""
        self._shown = 0
        self.marks = PlayedMarks()
        view.lay_over(self.marks)
        self._timer = QTimer(view)
        self._timer.setInterval(LOOKED_EVERY)
        self._timer.timeout.connect(self._look)
        open_lesson.changed.connect(self._follow)
        open_lesson.replaced.connect(self.take_marks_away)

    @property
    def is_listening(self) -> bool:
        """Whether somebody is listened to."""
        return self._keyboard is not None

    def hear_drill(self) -> None:
        """Listen to the selected drill being played, and say which notes were right, wrong, late or missed."""
        only = self._selection.only
        block = None if only is None else self._selected(only.id)
        if block is None or isinstance(built(block.family, self.lesson_in_sight().setting), str):
            self._messages.tell(NO_DRILL)
            return
        self.take_marks_away()
        self._drill_id = block.id
        self._begin(
            partial(
                say,
                "Listening on {keyboard}. Play “{title}” from its first note when you are ready; "
                "{silence:g} seconds without a key end it.",
                title=say(block.family.title),
                silence=SILENCE,
            ),
            self._judge,
        )

    def write_lick(self) -> None:
        """Listen to a lick and write it into the selected own lick, or as a new one behind the selection."""
        tempo = self._open_lesson.lesson.tempo
        self._begin(
            partial(
                say,
                "Listening on {keyboard}. Play your lick at ♩ = {tempo}, its first note on the first beat; "
                "{silence:g} seconds without a key end it.",
                tempo=tempo,
                silence=SILENCE,
            ),
            self._write_down,
        )

    def take_marks_away(self) -> None:
        """Show the page without marks."""
        if self.marks.judgement is not None:
            self.marks.show("", None)
            self._view.viewport().update()

    def finish(self) -> None:
        """Somebody has ended."""
        from lessonkit.sound.played_in import struck

        if self._keyboard is not None:
            self.close()
            self._ended(struck(list(self._received)))

    def give_up(self) -> None:
        """Listen no more and judge nothing."""
        self.close()
        self._messages.clear()

    def close(self) -> None:
        """Let the keyboard go."""
        self._timer.stop()
        if self._keyboard is not None:
            self._keyboard.close()
            self._keyboard = None
            self._listening.sounding.emit(None)

    def _begin(self, sentence: Callable[..., str], ended: Callable[[tuple[Struck, ...]], None]) -> None:
        from lessonkit.sound.played_in import NoKeyboard

        self.close()
        self._listening.stop()
        self._received, self._ended, self._shown = [], ended, 0
        try:
            # The library calls from a thread of its own; a list takes what it brings in order.
            self._keyboard = self.open_keyboard(lambda message: self._received.append((self.now(), tuple(message))))
        except NoKeyboard as error:
            words = str(error)
            self._messages.tell(f"{words[:1].upper()}{words[1:]}.")
            return
        self._messages.tell(
            sentence(keyboard=self._keyboard.name), (say("That was all"), self.finish), (say("Give up"), self.give_up)
        )
        self._timer.start()

    def _look(self) -> None:
        from lessonkit.sound.played_in import struck

        received = list(self._received)
        if not received:
            return
        now = self.now()
        if len(received) != self._shown:
            self._shown = len(received)
            self._show_keys([one for one in struck(received, until=now) if one.end == now])
        is_down = any(one.end == now for one in struck(received, until=now))
        if not is_down and now - received[-1][0] > SILENCE:
            self.finish()

    def _show_keys(self, down: Sequence[Struck]) -> None:
        from lessonkit.drills.exercise import Hand
        from lessonkit.drills.moments import KeyDown
        from lessonkit.sound.spelling import spelled

        key = self._open_lesson.lesson.key
        keys = tuple(KeyDown(spelled(one.midi, key), Hand.RIGHT, None, True, -1, 0) for one in down)
        self._listening.sounding.emit(keys)

    # A drill

    def _judge(self, played: tuple[Struck, ...]) -> None:
        from lessonkit.sound.judging import judged
        from lessonkit.sound.performance import performance
        from lessonkit.sound.playing import Heard
        from lessonkit.students.marks import RATINGS

        block = self._selected(self._drill_id)
        exercise = built(block.family, self.lesson_in_sight().setting) if block is not None else ""
        if block is None or isinstance(exercise, str):
            self._messages.tell(say("The drill was taken out or changed meanwhile, so nothing is said of it."))
            return
        if not played:
            self._messages.tell(
                say("No key was struck, so there is nothing to judge."), (say("Once more"), self.hear_drill)
            )
            return
        how = self._listening.playing_of(block)
        heard = how.heard if how.heard is not Heard.BASS_AND_CLICK else Heard.BOTH
        how = replace(how, count_in=0, has_metronome=False, heard=heard, breathing=None)
        notes = performance(exercise, how).notes
        # In free time nobody counts, so only long waits are told.
        beat = 60 / how.tempo * (1 if exercise.meter is not None else 3)
        found: Judgement = judged(notes, played, beat)
        self.marks.show(block.id, found)
        self._view.viewport().update()
        why = say(", since {reason}", reason=say(found.reason)) if found.reason else ""
        self._messages.tell(
            say(
                "{title}: {sentence}. Proposed for a first try: {rating}, {words}{why}.",
                title=say(block.family.title),
                sentence=say(found.sentence),
                rating=found.rating,
                words=say(RATINGS[found.rating]),
                why=why,
            ),
            *self.more_offers(block, found.rating),
            (say("Once more"), self.hear_drill),
            (say("Take the marks away"), self.take_marks_away),
        )
        self.proposed.emit(block.id, found.rating)

    # A lick

    def _write_down(self, played: tuple[Struck, ...]) -> None:
        from lessonkit.drills.family import family
        from lessonkit.drills.listening_names import lesson_tempo
        from lessonkit.sound.noting_down import noted_down

        lesson = self._open_lesson.lesson
        only = self._selection.only
        code = "own-lick"
        into = only if isinstance(only, Drill) and only.family.code == code else None
        drill = into.family if into is not None else family(code)()
        meter = drill.metre.meter
        try:
            if meter is None:
                raise ValueError(
                    say("a lick in free time cannot be written down by its lengths; choose a metre for it")
                )
            lick = noted_down(played, drill.key_in(lesson.setting), meter, lesson_tempo(drill, lesson.setting))
            written = replace(drill, lick=lick)  # type: ignore[call-arg]
        except ValueError as error:
            self._messages.tell(
                say("The lick was not written down: {error}.", error=error), (say("Once more"), self.write_lick)
            )
            return
        if into is not None:
            self._open_lesson.edit(say("Play a lick in"), replace_block(lesson, replace(into, family=written)))
        else:
            self._commands.insert(Drill(written), verb=say("Play in"))
        self._messages.tell(say("The lick is written down; put right what is not as you meant it."))

    def _selected(self, block_id: str) -> Drill | None:
        found = next((block for block in self.lesson_in_sight().blocks if block.id == block_id), None)
        return found if isinstance(found, Drill) else None

    def _follow(self) -> None:
        """Marks stand for the drill as it was played; of another one they would say what is not so."""
        self.take_marks_away()


def _keyboard(received: Callable[[Sequence[int]], None]) -> OpenKeyboard:
    from lessonkit.sound.played_in import Keyboard

    return Keyboard(received)
