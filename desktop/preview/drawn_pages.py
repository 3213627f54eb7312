"""Which drawings of the lesson are current. What is seen is drawn first; old drawings stand in for the rest so long."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from time import perf_counter

from PySide6.QtCore import QObject, QTimer, Signal

from desktop.open_lesson import OpenLesson
from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.setting import Setting
from lessonkit.lesson.change import Change
from lessonkit.lesson.lesson import Aid, Block, DifficultyMap, Drill
from lessonkit.lesson.page_aid import Scene
from lessonkit.lesson.scene import scene_of
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import answer_blocks, worksheets
from lessonkit.pages.flowing import ANSWERS, Flowing
from lessonkit.pages.page import Page
from lessonkit.pages.page_look import PageLook
from lessonkit.pages.paper import SHEETS, TEXT_WIDTH
from lessonkit.pages.parts import BlockDrawing, Part
from lessonkit.values import dataclass

SLICE = 0.008
"""Seconds after which a slice of drawing lets the window answer; one engraving may overrun it."""

_UNSEEN_HEIGHT = 150.0
"""The height in points that a drill is taken to have before it has been drawn once."""


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A block's drawing and all that it was drawn from."""

    block: Block
    setting: Setting
    look: PageLook
    scene: Scene | None
    drawing: BlockDrawing


class DrawnPages(QObject):
    """The pages of the open lesson, always whole and soon current."""

    changed = Signal()
    """There are other pages."""

    finished = Signal()
    """Every drawing is current."""

    def __init__(self, open_lesson: OpenLesson) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._drawn: dict[str, _Drawn] = {}
        self._flowing = Flowing()
        self._waiting: list[str] = []
        self._stand_in: tuple[str, float] | None = None
        self._is_flow_due = False
        self._shows_answers = False
        self._answers: tuple[tuple[Block, BlockDrawing], ...] = ()
        self._unanswered: list[Drill] | None = []
        self._seen: Callable[[], Iterable[str]] = lambda: ()
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._draw_slice)
        self._pages: tuple[Page, ...] = ()
        open_lesson.changed.connect(self._follow_change)
        open_lesson.replaced.connect(self._start_over)
        self.follow()

    @property
    def pages(self) -> tuple[Page, ...]:
        """The pages as they are now; there is at least one."""
        return self._pages

    @property
    def is_finished(self) -> bool:
        """Whether every drawing is current."""
        return not self._waiting and not self._is_flow_due and not self._lacks_answers

    @property
    def shows_answers(self) -> bool:
        """Whether the answers to the worksheets follow the pages."""
        return self._shows_answers

    @property
    def first_answer_page(self) -> int:
        """The number of the page on which the answers begin; 0 where there are none."""
        for page in reversed(self._pages if self._answers else ()):
            if any(entry.level == 1 and entry.text == ANSWERS for entry in page.outline):
                return page.number
        return 0

    def waits_for(self, block_ids: Iterable[str]) -> bool:
        """Whether any of these blocks is still to be drawn."""
        return not set(block_ids).isdisjoint(self._waiting)

    def show_answers(self, is_wanted: bool) -> None:
        """Let the answers follow the pages as they are printed, or take them away."""
        self._shows_answers = is_wanted
        self._answers = ()
        self.follow()

    def set_seen(self, seen: Callable[[], Iterable[str]]) -> None:
        """Ask this from now on which blocks are seen."""
        self._seen = seen

    def set_stand_in(self, block_id: str, height: float) -> None:
        """Leave a block's place empty and so high in points, while it is being written in there."""
        if self._stand_in != (block_id, height):
            self._stand_in = (block_id, height)
            self._flow()

    def end_stand_in(self) -> None:
        """The block is drawn again."""
        if self._stand_in is not None:
            self._stand_in = None
            self.follow()

    def _follow_change(self, change: Change) -> None:
        """While words are written in a block its place stays empty, so that a letter more changes no page."""
        if self._stand_in is None or change != Change(changed=(self._stand_in[0],)):
            self.follow()

    def follow(self) -> None:
        """Draw what the lesson is now: a single changed block at once, many in slices, those that are seen first."""
        lesson = self._open_lesson.lesson
        names = {block.id for block in lesson.blocks}
        self._drawn = {name: drawn for name, drawn in self._drawn.items() if name in names}
        setting, look = lesson.setting, look_of(lesson)
        stale = [block.id for block in lesson.blocks if not self._is_current(block, setting, look)]
        if not self._drawn:
            self._waiting = self._draw_first_words(stale)
        elif len(stale) == 1:
            self._bring_up_to_date(stale)
            self._waiting = []
        else:
            self._waiting = self._in_order_of_sight(stale)
        self._unanswered = None if self._shows_answers else []
        self._flow()
        if self._waiting or self._lacks_answers:
            self._timer.start()
        else:
            self._timer.stop()
            self.finished.emit()

    def draw_seen(self) -> None:
        """Draw what is seen now without waiting for a slice; for the first sight of a lesson."""
        seen = set(self._seen())
        wanted = [name for name in self._waiting if name in seen]
        if wanted:
            self._bring_up_to_date(wanted)
            self._waiting = [name for name in self._waiting if name not in seen]
            self._flow()

    def finish(self) -> None:
        """Draw everything now; for pictures of the window and for tests."""
        self._bring_up_to_date(self._waiting)
        self._waiting = []
        while self._lacks_answers:
            self._draw_an_answer()
        self._timer.stop()
        self._flow()
        self.finished.emit()

    def _start_over(self) -> None:
        # What is drawn stays as long as it is what another lesson asks for: one that is opened anew does not flicker.
        self._answers = ()
        self._stand_in = None
        self.follow()

    def _draw_first_words(self, names: list[str]) -> list[str]:
        """Draw the words of the first page, so that what is seen first does not jump; answers what is left."""
        lesson, height, left = self._open_lesson.lesson, 0.0, list(names)
        for name in names:
            if isinstance(lesson.block(name), Drill | DifficultyMap):
                height += _UNSEEN_HEIGHT
            else:
                self._bring_up_to_date([name])
                left.remove(name)
                height += sum(part.above + part.drawing.height for part in self._drawn[name].drawing.parts)
            if height > SHEETS[lesson.paper].height:
                break
        return left

    def _draw_slice(self) -> None:
        start = perf_counter()
        seen = set(self._seen())
        if seen and self._waiting and self._waiting[0] not in seen:
            self._waiting = self._in_order_of_sight(self._waiting)
        was_seen = False
        while self._waiting:
            name = self._waiting.pop(0)
            was_seen = was_seen or name in seen
            self._bring_up_to_date([name])
            self._is_flow_due = True
            if perf_counter() - start > SLICE:
                break
        while not self._waiting and self._lacks_answers and perf_counter() - start < SLICE:
            self._draw_an_answer()
            self._is_flow_due = True
        is_done = not self._waiting and not self._lacks_answers
        if is_done:
            self._timer.stop()
        # What is not seen need not be laid out before everything is drawn.
        if was_seen or is_done:
            self._flow()
        if is_done:
            self.finished.emit()

    @property
    def _lacks_answers(self) -> bool:
        return self._unanswered is None or bool(self._unanswered)

    def _draw_an_answer(self) -> None:
        """Draw the answer to one worksheet; with the last one all come behind the pages. Old ones stand in until then.

        What is drawn is remembered by its value, so that putting all together costs nothing.
        """
        lesson = self._open_lesson.lesson
        if self._unanswered is None:
            self._unanswered = list(worksheets(lesson))
        if self._unanswered:
            draw_block(self._unanswered.pop(0), lesson, look_of(lesson, shows_answers=True))
        if not self._unanswered:
            self._answers = answer_blocks(lesson)

    def _in_order_of_sight(self, names: list[str]) -> list[str]:
        seen = list(self._seen())
        rank = {name: place for place, name in enumerate(seen)}
        return sorted(names, key=lambda name: rank.get(name, len(rank)))

    def _is_current(self, block: Block, setting: Setting, look: PageLook) -> bool:
        drawn = self._drawn.get(block.id)
        if drawn is None or drawn.setting != setting or drawn.look != look or drawn.block != block:
            return False
        return drawn.scene is None or drawn.scene == self._scene(block)

    def _scene(self, block: Block) -> Scene | None:
        """What an aid's drawing depends on besides the aid; other blocks depend on nothing else."""
        return scene_of(self._open_lesson.lesson, block) if isinstance(block, Aid) else None

    def _bring_up_to_date(self, names: Iterable[str]) -> None:
        lesson = self._open_lesson.lesson
        setting, look = lesson.setting, look_of(lesson)
        blocks = {block.id: block for block in lesson.blocks}
        for name in names:
            block = blocks.get(name)
            if block is not None and not self._is_current(block, setting, look):
                self._drawn[name] = _Drawn(block, setting, look, self._scene(block), draw_block(block, lesson, look))

    def _flow(self) -> None:
        self._is_flow_due = False
        lesson, is_whole = self._open_lesson.lesson, not self._waiting
        pages = self._flowing.pages(lesson, self._drawing, self._answers, is_whole=is_whole)
        self._pages = pages
        self.changed.emit()

    def _drawing(self, block: Block) -> BlockDrawing:
        if self._stand_in is not None and block.id == self._stand_in[0]:
            return _empty(self._stand_in[1], self._drawn.get(block.id))
        drawn = self._drawn.get(block.id)
        return drawn.drawing if drawn is not None else _UNSEEN


def _empty(height: float, drawn: _Drawn | None) -> BlockDrawing:
    """Room for a block, with the space above it and the heading's bond that its own drawing has."""
    first = drawn.drawing.parts[0] if drawn is not None and drawn.drawing.parts else Part(Drawing(0, 0, ()), 22.5)
    room = Drawing(first.drawing.width or TEXT_WIDTH, height, ())
    return BlockDrawing((Part(room, first.above, first.keeps),), x=drawn.drawing.x if drawn is not None else 0.0)


_UNSEEN = _empty(_UNSEEN_HEIGHT, None)
"""Room for what has not been drawn yet."""
