"""How the lesson's drills lie under the hands, judged after the pages are painted: first what is seen, in small steps.

Nothing is judged while a hand types or drags; what was judged before stands in until then.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import field, replace
from functools import partial

from PySide6.QtCore import QObject, QTimer, Signal

from desktop.open_lesson import OpenLesson
from desktop.preview.drawn_pages import DrawnPages
from desktop.preview.pages_view import PagesView
from desktop.selection import Selection
from lessonkit.drills.difficulty import DrillDifficulty, difficulty
from lessonkit.drills.easier_drills import Suggestion, easier_drills, why_nothing_easier
from lessonkit.drills.exercise import FingersShown
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.finger_remarks import finger_remarks
from lessonkit.drills.fingers import RunnerUp, runner_up
from lessonkit.drills.reach_marks import ReachMark, reach_marks
from lessonkit.drills.setting import Setting
from lessonkit.drills.within_reach import ReachWay, ways_within_reach
from lessonkit.lesson.lesson import Drill
from lessonkit.values import dataclass

PAUSE = 60
"""Milliseconds without a change after which judging begins."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is said of a drill wherever it is seen: how hard it is, what is too wide, what the typed fingers bring.

    ``difficulty`` is None where the drill cannot be written out.
    """

    drill: DrillFamily
    setting: Setting
    difficulty: DrillDifficulty | None = None
    reach: tuple[ReachMark, ...] = ()
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Offers:
    """What the selected drill could be changed to; each list fills step by step, and ``is_whole`` when all is found.

    ``nothing_easier`` says why there are no easier ways, where there are none.
    """

    drill: DrillFamily
    setting: Setting
    others: tuple[RunnerUp, ...] = ()
    within_reach: tuple[ReachWay, ...] = ()
    easier: tuple[Suggestion, ...] = ()
    nothing_easier: str = ""
    is_whole: bool = False


@dataclass(slots=True)
class _Search:
    """Offers on their way: the steps that are left."""

    offers: Offers
    steps: Iterator[Offers] = field(default_factory=lambda: iter(()))


class Judging(QObject):
    """Verdicts of the drills that are seen, and offers for the one that is selected."""

    judged = Signal()
    """There are other verdicts."""

    offered = Signal()
    """There are other offers for the selected drill."""

    def __init__(self, open_lesson: OpenLesson, selection: Selection, view: PagesView, drawn: DrawnPages) -> None:
        # It ends with the view, whose blocks it asks for.
        super().__init__(view)
        self._open_lesson = open_lesson
        self._selection = selection
        self._view = view
        self._drawn = drawn
        self._verdicts: dict[str, Verdict] = {}
        self._search: _Search | None = None
        self._begun: tuple[DrillFamily, Setting] | None = None
        self._wants_offers = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._step)
        open_lesson.changed.connect(self._wait)
        open_lesson.replaced.connect(self._start_over)
        selection.changed.connect(self._wait)
        drawn.finished.connect(self._wait)
        view.moved.connect(self._go_on)

    def verdict(self, block_id: str) -> Verdict | None:
        """What was last found of a drill; None before it was judged."""
        return self._verdicts.get(block_id)

    @property
    def offers(self) -> Offers | None:
        """What was found for the selected drill so far; None where none is selected or nothing is found yet."""
        drill = self._selected()
        search = self._search
        return search.offers if drill is not None and search is not None and self._is_for(search, drill) else None

    def want_offers(self, is_wanted: bool) -> None:
        """Offers are looked for only while somebody looks at them."""
        self._wants_offers = is_wanted
        self._go_on()

    @property
    def is_finished(self) -> bool:
        """Whether everything that is seen is judged."""
        return self._drawn.is_finished and self._next() is None

    def finish(self) -> None:
        """Judge everything that is seen now; for pictures of the window and for tests."""
        while (step := self._next()) is not None:
            step()

    def _wait(self) -> None:
        self._timer.start(PAUSE)

    def _go_on(self) -> None:
        if not self._timer.isActive():
            self._timer.start(PAUSE)

    def _start_over(self) -> None:
        self._verdicts.clear()
        self._search = None
        self._wait()

    def _step(self) -> None:
        # What is not drawn is not worked out yet, and drawing comes first; its end starts the timer again.
        if not self._drawn.is_finished:
            return
        step = self._next()
        if step is not None:
            step()
            self._timer.start(0)

    def _next(self) -> Callable[[], None] | None:
        lesson = self._open_lesson.lesson
        setting = lesson.setting
        blocks = {block.id: block for block in lesson.blocks}
        for name in dict.fromkeys((*self._view.seen_blocks(), *self._selection.ids[:1])):
            block = blocks.get(name)
            if isinstance(block, Drill) and not self._is_current(name, block.family, setting):
                return partial(self._judge, name, block.family, setting)
        drill = self._selected() if self._wants_offers else None
        if drill is None:
            return None
        if self._search is None or not self._is_for(self._search, drill):
            offers = Offers(drill, setting)
            self._search = _Search(offers, _offers(offers))
        return None if self._search.offers.is_whole else self._offer

    def _judge(self, name: str, drill: DrillFamily, setting: Setting) -> None:
        """Judge a drill in two steps; how hard it is is worked out in the first and remembered by its value."""
        if self._begun != (drill, setting):
            self._begun = drill, setting
            with suppress(ValueError):
                difficulty(drill, setting)
            return
        self._begun = None
        try:
            verdict = Verdict(
                drill, setting, difficulty(drill, setting), reach_marks(drill, setting), finger_remarks(drill, setting)
            )
        except ValueError:
            # The page says in the drill's place why it cannot be written out.
            verdict = Verdict(drill, setting)
        self._verdicts[name] = verdict
        self.judged.emit()

    def _offer(self) -> None:
        search = self._search
        assert search is not None
        try:
            search.offers = next(search.steps)
        except StopIteration:
            search.offers = replace(search.offers, is_whole=True)
        except ValueError:
            search.offers = replace(search.offers, is_whole=True)
        self.offered.emit()

    def _selected(self) -> DrillFamily | None:
        block = self._selection.only
        return block.family if isinstance(block, Drill) else None

    def _is_for(self, search: _Search, drill: DrillFamily) -> bool:
        return search.offers.setting == self._open_lesson.lesson.setting and search.offers.drill == drill

    def _is_current(self, name: str, drill: DrillFamily, setting: Setting) -> bool:
        verdict = self._verdicts.get(name)
        return verdict is not None and verdict.drill == drill and verdict.setting == setting


def _offers(offers: Offers) -> Iterator[Offers]:
    """The offers as they fill, a step for each thing that is worked out; raises ValueError as ``realise`` does."""
    drill, setting = offers.drill, offers.setting
    for hand in drill.playing_hands if drill.fingers_printed(setting) is not FingersShown.NONE else ():
        other = runner_up(drill, setting, hand)
        if other is not None and other.is_close:
            offers = replace(offers, others=(*offers.others, other))
        yield offers
    for way in ways_within_reach(drill, setting):
        if way is not None:
            offers = replace(offers, within_reach=(*offers.within_reach, way))
        yield offers
    easier = easier_drills(drill, setting)
    yield replace(offers, easier=easier, nothing_easier="" if easier else why_nothing_easier(drill, setting))
