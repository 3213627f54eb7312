"""Files saved beside the window: begun, told of in the line at the top as they come, stopped on wish."""

from __future__ import annotations

import threading
from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from desktop.message_bar import MessageBar
from desktop.words import say

Tell = Callable[[str], None]
"""Says how far it is."""

Work = Callable[[Tell, Callable[[], bool]], str]
"""What is done: it tells how far it is, asks whether it is to stop, and answers the sentence at the end."""


class SavingBeside(QObject):
    """One run at a time, which other processes do; ``at_work`` is said to whoever asks again."""

    arrived = Signal(object, bool)
    """A sentence of how far it is, and whether that was the last one."""

    def __init__(self, messages: MessageBar, at_work: str) -> None:
        super().__init__()
        self._messages = messages
        self._at_work = at_work
        self._said = ""
        self._stop = threading.Event()
        self._work: threading.Thread | None = None
        self.arrived.connect(self._say)

    @property
    def is_at_work(self) -> bool:
        """Whether files are being saved."""
        return self._work is not None and self._work.is_alive()

    def stop(self) -> None:
        """Begin no more files; what has been begun is finished, so that no file is torn."""
        self._stop.set()

    def is_busy(self) -> bool:
        """Whether files are being saved, which is then said."""
        if self.is_at_work:
            self._messages.tell(self._at_work, (say("Stop"), self.stop))
        return self.is_at_work

    def begin(self, first: str, work: Work) -> None:
        """Begin, with a sentence that says so."""
        stop = self._stop = threading.Event()
        self._said = first
        self._messages.tell(first, (say("Stop"), self.stop))

        def run() -> None:
            try:
                self.arrived.emit(work(lambda sentence: self.arrived.emit(sentence, False), stop.is_set), True)
            except RuntimeError:
                # The window was closed meanwhile.
                return

        self._work = threading.Thread(target=run, daemon=True)
        self._work.start()

    def tell_end(self, sentence: str) -> None:
        """Say the sentence at the end; who has something to offer then says it otherwise."""
        self._messages.tell(sentence)

    def _say(self, sentence: str, is_last: bool) -> None:
        if is_last:
            self.tell_end(sentence)
        elif self._messages.go_on(self._said, sentence):
            self._said = sentence
