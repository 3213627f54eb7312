"""A thread that writes beside the window's own, one thing after another; it is there from the first wish on."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from concurrent.futures import Future, ThreadPoolExecutor

Answer = TypeVar("Answer")


class Writer:
    """Takes work to its thread. Nothing that was asked for is left undone by ``close``."""

    def __init__(self, name: str) -> None:
        self._name = name
        self._thread: ThreadPoolExecutor | None = None

    @property
    def is_there(self) -> bool:
        """Whether anything has been asked for since the beginning, or since it was closed."""
        return self._thread is not None

    def submit(self, work: Callable[..., Answer], *values: Any) -> Future[Answer]:
        """Do some work when all that was asked for before is done."""
        if self._thread is None:
            # The window need not wait for the library before there is something to write.
            from concurrent.futures import ThreadPoolExecutor

            self._thread = ThreadPoolExecutor(1, self._name)
        return self._thread.submit(work, *values)

    def finish(self) -> None:
        """Wait until everything is done."""
        if self._thread is not None:
            self._thread.submit(lambda: None).result()

    def close(self) -> None:
        """Wait until everything is done, and let the thread go."""
        if self._thread is not None:
            self._thread.shutdown(wait=True)
            self._thread = None
