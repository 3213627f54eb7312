"""A notebook window that a robot edits and saves without rest, in a process of its own that a test may kill.

It says each edit that was made on its standard output: the number of the edit stands in the lesson's title.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path

EVERY = 50
"""Milliseconds between two edits."""

SAVES = 0.12
"""How often an edit is followed by a save."""


def main(path: str, seed: str, first: str) -> None:
    """Open the lesson and edit it for ever."""
    from PySide6.QtCore import QTimer

    from desktop.frame import NotebookFrame
    from desktop.memory import Memory
    from desktop.notebook import Notebook
    from desktop.start import leave_sources_unread, make_application
    from lessonkit.lesson.edits import set_note_text, set_title
    from lessonkit.lesson.lesson import Note

    chance, count = random.Random(int(seed)), int(first)
    leave_sources_unread()
    application = make_application()
    memory = Memory()
    frame = NotebookFrame(memory)
    notebook = Notebook(frame, memory)
    notebook.desk.files.open_path(Path(path))
    notebook.furnish()
    frame.show()

    def edit() -> None:
        nonlocal count
        count += 1
        lesson = set_title(notebook.open_lesson.lesson, f"Edit {count}")
        notes = [block.id for block in lesson.blocks if isinstance(block, Note)]
        lesson = set_note_text(lesson, chance.choice(notes), f"Edit {count} of {chance.random()}")
        notebook.open_lesson.edit("Robot's edit", lesson)
        print(count, flush=True)
        if chance.random() < SAVES:
            notebook.desk.files.save()

    timer = QTimer()
    timer.timeout.connect(edit)
    timer.start(EVERY)
    application.exec()


if __name__ == "__main__":
    main(*sys.argv[1:])
