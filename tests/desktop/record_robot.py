"""A students room in which a robot types without rest, in a process of its own that a test may kill.

It presses real keys and says after each how many it has pressed: into the record of a handout, or into the notes.
"""

from __future__ import annotations

import sys
from pathlib import Path

EVERY = 40
"""Milliseconds between two keys."""

TYPED = "2H"
"""The keys of one block of the record, again and again."""


def main(folder: str, where: str) -> None:
    """Open the students of a folder and type for ever."""
    from PySide6.QtCore import QTimer
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QPlainTextEdit

    from desktop.frame import NotebookFrame
    from desktop.memory import Memory
    from desktop.notebook import Notebook
    from desktop.people.people_room import PeopleRoom
    from desktop.people.record_sheet import RecordPart
    from desktop.rooms import STUDENTS
    from desktop.start import leave_sources_unread, make_application

    leave_sources_unread()
    application = make_application()
    memory = Memory()
    memory.students_folder = Path(folder)
    frame = NotebookFrame(memory)
    notebook = Notebook(frame, memory)
    notebook.furnish(STUDENTS)
    frame.show()
    count = 0

    def type_key() -> None:
        nonlocal count
        assert notebook.rooms is not None
        room = notebook.rooms.made(STUDENTS)
        if not isinstance(room, PeopleRoom) or not room.studio.is_read:
            return
        if where == "record":
            room.show_part("Record")
            part = room.parts["Record"]
            assert isinstance(part, RecordPart)
            QTest.keyClicks(part.sheet, TYPED[count % len(TYPED)])
        else:
            notes = room.parts["Profile"].findChild(QPlainTextEdit)
            assert isinstance(notes, QPlainTextEdit)
            QTest.keyClicks(notes, "x")
        count += 1
        print(count, flush=True)

    timer = QTimer()
    timer.timeout.connect(type_key)
    timer.start(EVERY)
    application.exec()


if __name__ == "__main__":
    main(*sys.argv[1:])
