"""What can go wrong on the command line; the text of each is the one sentence to show."""

from __future__ import annotations


class WrongUse(Exception):
    """The command was not given what it needs."""


class UnreadableLesson(Exception):
    """A lesson cannot be read, or what is made of it not written."""
