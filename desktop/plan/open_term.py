"""The term that is open. This is the one door through which the window changes a term; each change is saved at once."""

from __future__ import annotations

from desktop.plan.file_saving import FileSaving
from desktop.plan.open_file import OpenFile
from desktop.words import say
from lessonkit.curriculum.term import Term


class OpenTerm(OpenFile):
    """The open term."""

    def __init__(self, saving: FileSaving) -> None:
        super().__init__(saving, Term(), say("The term was not opened."))

    @property
    def term(self) -> Term:
        """The term as it is now."""
        found = self.value
        assert isinstance(found, Term)
        return found
