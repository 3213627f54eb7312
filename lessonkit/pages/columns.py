"""Two columns of what takes half the width: each next one goes where the page is emptier, so that none gapes."""

from __future__ import annotations

from dataclasses import replace

from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class Columns:
    """Where a row of halves began and where its left and right columns end, from the top of the page downwards."""

    top: float = -1.0
    left: float = -1.0
    right: float = -1.0

    def begun(self, top: float) -> Columns:
        """The columns, begun at ``top`` if they were not begun already."""
        return self if self.top >= 0 else Columns(top, top, top)

    @property
    def next(self) -> int:
        """The column for what comes next: 0 left, 1 right."""
        return 0 if self.left <= self.right else 1

    @property
    def end(self) -> float:
        """Where both have ended."""
        return max(self.left, self.right)

    def next_top(self, above: float) -> float:
        """Where the next one begins, with space above it unless it is the first of its column."""
        end = (self.left, self.right)[self.next]
        return end if end == self.top else end + above

    def with_one(self, above: float, height: float) -> Columns:
        """The columns with one more."""
        end = self.next_top(above) + height
        return replace(self, left=end) if self.next == 0 else replace(self, right=end)
