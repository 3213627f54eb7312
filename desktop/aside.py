"""Work done beside the window's thread, one thing after another. Of wishes of one kind only the newest is answered."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from PySide6.QtCore import QObject, Qt, Signal


class Aside(QObject):
    """Asks and answers. Work touches values only; what it answers is handed over in the window's thread."""

    _answered = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._worker = ThreadPoolExecutor(1, "beside the window")
        self._newest: dict[str, int] = {}
        self._is_closed = False
        self.waiting = 0
        """How many wishes are not answered yet."""
        self._answered.connect(self._hand_over, Qt.ConnectionType.QueuedConnection)

    def ask(self, kind: str, work: Callable[[], Any], then: Callable[[Any], None]) -> None:
        """Do some work and hand its answer to ``then``, unless something newer of the kind was asked meanwhile."""
        if self._is_closed:
            return
        number = self._newest[kind] = self._newest.get(kind, 0) + 1
        self.waiting += 1
        self._worker.submit(self._work, kind, number, work, then)

    def forget(self, kind: str) -> None:
        """What was asked of this kind is not wanted any more."""
        self._newest[kind] = self._newest.get(kind, 0) + 1

    def close(self) -> None:
        """Nothing more is done."""
        self._is_closed = True
        self._worker.shutdown(wait=True, cancel_futures=True)

    def _work(self, kind: str, number: int, work: Callable[[], Any], then: Callable[[Any], None]) -> None:
        answer: Any = None
        mishap: Exception | None = None
        is_wanted = self._newest[kind] == number and not self._is_closed
        if is_wanted:
            try:
                answer = work()
            except Exception as error:  # It is raised again where it can be told.
                mishap = error
        if not self._is_closed:
            self._answered.emit((kind, number, then, answer, mishap, is_wanted))

    def _hand_over(self, found: tuple[str, int, Callable[[Any], None], Any, Exception | None, bool]) -> None:
        kind, number, then, answer, mishap, was_done = found
        self.waiting -= 1
        if mishap is not None:
            raise mishap
        if was_done and self._newest[kind] == number and not self._is_closed:
            then(answer)
