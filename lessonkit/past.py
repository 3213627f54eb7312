"""Undo: a list of old values with the labels of the edits between them. Frozen values share what did not change."""

from __future__ import annotations

from typing import Generic, NamedTuple, TypeVar

Value = TypeVar("Value")


class _Moment(NamedTuple, Generic[Value]):
    """A value and the edit that made it; the first has no label."""

    value: Value
    label: str = ""
    merge_key: str = ""


class Past(Generic[Value]):
    """Where a value has been, and where it is. There is no limit: a thousand edits of a long lesson take two MB."""

    def __init__(self, value: Value) -> None:
        self._moments = [_Moment(value)]
        self._place = 0
        self._is_settled = True

    @property
    def value(self) -> Value:
        """The value as it is now."""
        return self._moments[self._place].value

    @property
    def undo_label(self) -> str:
        """The label of the edit that ``undo`` takes back; empty where there is none."""
        return self._moments[self._place].label

    @property
    def redo_label(self) -> str:
        """The label of the edit that ``redo`` makes again; empty where there is none."""
        return self._moments[self._place + 1].label if self._place + 1 < len(self._moments) else ""

    @property
    def labels(self) -> tuple[str, ...]:
        """The labels of all edits that can be taken back, the latest last."""
        return tuple(moment.label for moment in self._moments[1 : self._place + 1])

    @property
    def steps(self) -> tuple[str, ...]:
        """The labels of all edits there are, those that were taken back behind the others."""
        return tuple(moment.label for moment in self._moments[1:])

    @property
    def step(self) -> int:
        """After how many of the edits the value is now."""
        return self._place

    def go_to(self, step: int) -> Value:
        """Go to where so many edits are made, as far as there are any; answers the value."""
        self._place = min(max(step, 0), len(self._moments) - 1)
        self._is_settled = True
        return self.value

    def edit(self, label: str, value: Value, merge_key: str = "") -> bool:
        """Record an edit; says whether it changed anything. What had been undone is gone.

        An edit whose merge key is that of the edit right before it becomes one with it, so that a word typed or a
        number scrubbed is one step of undo, called by its last label. ``settle`` ends that.
        """
        if not label:
            raise ValueError("an edit needs a label; it is what Undo shows")
        if value == self.value:
            return False
        now = self._moments[self._place]
        if merge_key and merge_key == now.merge_key and not self._is_settled:
            self._moments[self._place] = _Moment(value, label, merge_key)
        else:
            del self._moments[self._place + 1 :]
            self._moments.append(_Moment(value, label, merge_key))
            self._place += 1
        self._is_settled = False
        return True

    def settle(self) -> None:
        """The next edit is a step of its own, whatever its merge key."""
        self._is_settled = True

    def undo(self) -> Value:
        """Go back one edit, if there is one; answers the value."""
        return self.go_to(self._place - 1)

    def redo(self) -> Value:
        """Go forward one edit, if there is one; answers the value."""
        return self.go_to(self._place + 1)
