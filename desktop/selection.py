"""Which blocks are selected. A selection belongs to the window and never to the lesson or its undo."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from desktop.open_lesson import OpenLesson
from lessonkit.lesson.lesson import Block


class Selection(QObject):
    """The ids of the selected blocks, in the order of the lesson. Blocks that leave the lesson leave the selection."""

    changed = Signal()

    def __init__(self, open_lesson: OpenLesson) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._ids: tuple[str, ...] = ()
        self._anchor = self._edge = ""
        open_lesson.changed.connect(self._follow)
        open_lesson.replaced.connect(self.clear)

    @property
    def ids(self) -> tuple[str, ...]:
        """The selected blocks' ids."""
        return self._ids

    @property
    def blocks(self) -> tuple[Block, ...]:
        """The selected blocks."""
        chosen = set(self._ids)
        return tuple(block for block in self._open_lesson.lesson.blocks if block.id in chosen)

    @property
    def only(self) -> Block | None:
        """The selected block where it is just one."""
        blocks = self.blocks
        return blocks[0] if len(blocks) == 1 else None

    @property
    def place_after(self) -> int:
        """The place behind the selection; the lesson's end where nothing is selected."""
        blocks = self._open_lesson.lesson.blocks
        if not self._ids:
            return len(blocks)
        return self._open_lesson.lesson.place_of(self._ids[-1]) + 1

    def select(self, *block_ids: str) -> None:
        """Select these blocks and no others."""
        wanted = set(block_ids)
        self._take(tuple(block.id for block in self._open_lesson.lesson.blocks if block.id in wanted))
        if len(self._ids) == 1:
            self._anchor = self._edge = self._ids[0]

    def toggle(self, block_id: str) -> None:
        """Add a block to the selection, or take it out."""
        self.select(*(set(self._ids) ^ {block_id}))
        self._anchor = self._edge = block_id

    def extend_to(self, block_id: str) -> None:
        """Select everything from the block that was selected by itself to this one."""
        names = [block.id for block in self._open_lesson.lesson.blocks]
        first = self._anchor if self._anchor in self._ids else self._ids[0] if self._ids else block_id
        start, end = names.index(first), names.index(block_id)
        self.select(*names[min(start, end) : max(start, end) + 1])
        self._anchor, self._edge = first, block_id

    def extend(self, by: int) -> None:
        """Let the selection reach so many blocks further, or less far, from where it began."""
        if not self._ids:
            self.step(by)
            return
        blocks = self._open_lesson.lesson.blocks
        edge = self._edge if self._edge in self._ids else self._ids[-1 if by > 0 else 0]
        place = self._open_lesson.lesson.place_of(edge) + by
        self.extend_to(blocks[min(max(place, 0), len(blocks) - 1)].id)

    def clear(self) -> None:
        """Select nothing."""
        self._take(())

    def step(self, by: int) -> None:
        """Select the block so many places further; with nothing selected, the first or the last."""
        blocks = self._open_lesson.lesson.blocks
        if not blocks:
            return
        if not self._ids:
            self.select(blocks[0 if by > 0 else -1].id)
            return
        edge = self._open_lesson.lesson.place_of(self._ids[-1 if by > 0 else 0])
        self.select(blocks[min(max(edge + by, 0), len(blocks) - 1)].id)

    def _follow(self) -> None:
        self.select(*self._ids)

    def _take(self, block_ids: tuple[str, ...]) -> None:
        if block_ids != self._ids:
            self._ids = block_ids
            self.changed.emit()
