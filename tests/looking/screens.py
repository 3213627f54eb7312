"""Pictures of every screen of the window, for an eye to judge: ``python -m tests.looking.screens OUT``.

Each in light and dark, at 1280 by 720 and at 2560 by 1440; ``--words 1.5`` with larger words, ``--ratio 2`` for a
screen of twice the pixels. The lessons, the term and the student are the samples, copied to a folder of their own.
"""

from __future__ import annotations

import argparse
import os
import shutil
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

SAMPLES = Path(__file__).resolve().parents[2] / "sample_lessons"
SIZES = ((1280, 720), (2560, 1440))
LESSON, WORKSHEETS = "broken_chords.lesson", "three_chords_make_a_home.lesson"


class Screens:
    """A window with the samples, and what leads to each of its screens."""

    def __init__(self, folder: Path, words: float) -> None:
        from desktop.frame import NotebookFrame
        from desktop.memory import Memory
        from desktop.notebook import Notebook
        from desktop.start import leave_sources_unread, make_application

        leave_sources_unread()
        self.words = words
        self.folder = folder
        self.application = make_application()
        self.dress(False)
        memory = Memory()
        memory.students_folder = folder
        memory.term = folder / "twelve_keys.term"
        self.frame = NotebookFrame(memory)
        self.notebook = Notebook(self.frame, memory)
        self.desk = self.notebook.desk
        self.desk.files.open_path(folder / LESSON)
        self.notebook.furnish()
        self.frame.resize(*SIZES[0])
        self.frame.show()
        self.desk.enlarge(words)
        self.desk.fill()
        self.wait(1.0)

    def dress(self, is_dark: bool) -> None:
        """Light or dark."""
        from desktop.theme import DARK, LIGHT, apply_theme

        apply_theme(self.application, DARK if is_dark else LIGHT, self.words)

    def wait(self, seconds: float) -> None:
        """Let the window work."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            self.application.processEvents()
            time.sleep(0.005)

    def until(self, is_so: Callable[[], bool]) -> None:
        """Let the window work until something is so, a minute at most."""
        end = time.monotonic() + 60
        while not is_so() and time.monotonic() < end:
            self.wait(0.05)

    def settle(self) -> None:
        """Let everything be drawn."""
        self.wait(0.15)
        self.desk.drawn.finish()
        self.desk.judging.finish()
        self.desk.strip.bands.finish()
        self.desk.panel.finish()
        self.wait(0.15)

    def lessons(self) -> None:
        """The lessons room as it is when nothing is selected or open in it."""
        self.notebook.enter("lessons")
        self.until(lambda: self.notebook.room == "lessons")
        self.desk.writing.end()
        self.desk.messages.clear()
        self.desk.selection.clear()
        self.desk.view.verticalScrollBar().setValue(0)

    def select(self, kind: str, place: int = 0) -> str:
        """Select a block of a kind."""
        found = [block.id for block in self.desk.open_lesson.lesson.blocks if type(block).__name__ == kind]
        self.desk.selection.select(found[place])
        self.wait(0.1)
        return found[place]

    def student(self, part: str) -> None:
        """A part of the sample student."""
        self.notebook.enter("students")
        self.until(lambda: self.notebook.room == "students")
        room = self.made("students")
        self.until(lambda: room.studio.is_read)
        room.show_part(part)
        self.until(lambda: room.studio.aside.waiting == 0)

    def term(self, part: str) -> None:
        """A part of the sample term."""
        self.notebook.enter("terms")
        self.until(lambda: self.notebook.room == "terms")
        room = self.made("terms")
        self.until(lambda: room.beside.is_read and room.counting.is_judged)
        room.show_part(part)
        self.wait(0.3)

    def made(self, name: str) -> Any:
        """The widget of a room."""
        assert self.notebook.rooms is not None
        return self.notebook.rooms.made(name)


def _write(screens: Screens, text: str) -> None:
    screens.lessons()
    name = screens.select("Note")
    screens.desk.writing.begin(name)
    box = screens.desk.writing.box
    assert box is not None
    cursor = box.textCursor()
    cursor.movePosition(cursor.MoveOperation.End)
    cursor.insertText(text)
    box.setTextCursor(cursor)


def _unwrite(screens: Screens) -> None:
    screens.desk.writing.end()
    screens.desk.open_lesson.undo()


def _palette(screens: Screens) -> None:
    screens.lessons()
    screens.select("Drill")
    screens.desk.put_in()
    screens.wait(1.0)
    palette = screens.desk.putting_in.palette
    assert palette is not None
    palette.pictures.finish()


def _find(screens: Screens) -> None:
    screens.lessons()
    screens.desk.looking.find()
    bar = screens.desk.looking.bar
    assert bar is not None
    bar.words.setText("the")


def _turns(screens: Screens) -> None:
    screens.lessons()
    screens.select("Drill")
    screens.desk.strip.turns_button.click()


def _help_on_drill(screens: Screens) -> None:
    screens.lessons()
    screens.select("Drill")
    screens.desk.helping.explain()


def _help_shut(screens: Screens) -> None:
    part = screens.desk.helping.part
    if part is not None:
        part.shut()


def _shelf(screens: Screens) -> None:
    screens.lessons()
    screens.desk.choice.show_folder()
    screens.wait(2.0)


def _compare(screens: Screens) -> None:
    from desktop.dialogs.comparing import Comparison
    from lessonkit.lesson.comparing import differences
    from lessonkit.lesson.edits import set_key, set_title
    from lessonkit.theory.key import Key

    screens.lessons()
    mine = screens.desk.open_lesson.lesson
    other = set_key(set_title(mine, "Broken chords, another way"), Key.parse("D"))
    other = replace(other, blocks=other.blocks[:-3])
    from desktop.spoken import spoken

    found = differences(mine, other, lambda block: spoken(block, mine.setting))
    Comparison(screens.frame, "broken_chords.lesson", "another.lesson", found).show()


def _dialogs_shut(screens: Screens) -> None:
    from PySide6.QtWidgets import QDialog

    for dialog in screens.frame.findChildren(QDialog):
        dialog.close()


def _answers(screens: Screens) -> None:
    screens.lessons()
    screens.desk.files.open_path(screens.folder / WORKSHEETS)
    screens.settle()
    if not screens.desk.drawn.shows_answers:
        screens.desk.show_answers()
    screens.settle()
    screens.desk.view.show_page(screens.desk.drawn.first_answer_page or len(screens.desk.drawn.pages))


def _answers_away(screens: Screens) -> None:
    screens.desk.show_answers()
    screens.desk.files.open_path(screens.folder / LESSON)


def _listening(screens: Screens) -> None:
    screens.lessons()
    screens.select("Drill")
    screens.desk.listening._unfold()


def _hands(screens: Screens) -> None:
    screens.lessons()
    screens.select("Drill")
    screens.desk.hands.unfold()


def _large_page(screens: Screens) -> None:
    screens.lessons()
    screens.desk.shelf.setVisible(False)
    screens.desk.keyboard.unfold(False)


def _large_page_over(screens: Screens) -> None:
    screens.desk.shelf.setVisible(screens.notebook._memory.shows_shelf)
    screens.desk.keyboard.unfold(True)


def _print_for(screens: Screens) -> None:
    screens.student("Profile")
    screens.notebook.print_for()
    screens.wait(0.5)


def _nothing(screens: Screens) -> None:
    pass


def _drill(screens: Screens) -> None:
    screens.lessons()
    screens.select("Drill")


def _told(screens: Screens) -> None:
    screens.lessons()
    screens.desk.messages.tell(
        "The notebook ended before “Evening lesson” was saved. It is still here.",
        ("Open it", lambda: None),
        ("Throw it away", lambda: None),
    )


Lead = Callable[[Screens], None]

SCREENS: dict[str, tuple[Lead, Lead]] = {
    "lesson": (Screens.lessons, _nothing),
    "drill": (_drill, _nothing),
    "note": (lambda screens: (screens.lessons(), screens.select("Note"))[0], _nothing),
    "heading": (lambda screens: (screens.lessons(), screens.select("Heading"))[0], _nothing),
    "writing": (lambda screens: _write(screens, " Play {V7} gently"), _unwrite),
    "offers": (lambda screens: _write(screens, " Play {"), _unwrite),
    "palette": (_palette, lambda screens: screens.desk.putting_in.palette.hide()),
    "find": (_find, lambda screens: screens.desk.looking.place.hide()),
    "go_to": (
        lambda screens: (screens.lessons(), screens.desk.looking.go_to())[0],
        lambda screens: screens.desk.looking.outline.hide(),  # type: ignore[union-attr]
    ),
    "steps": (
        lambda screens: (screens.lessons(), screens.desk.looking.steps())[0],
        lambda screens: screens.desk.looking.steps_list.hide(),  # type: ignore[union-attr]
    ),
    "keys_in_turn": (_turns, lambda screens: screens.desk.strip.set_for_drill(False)),
    "help_on_drill": (_help_on_drill, _help_shut),
    "help_list": (lambda screens: (screens.lessons(), screens.desk.helping.list_actions())[0], _help_shut),
    "help_news": (lambda screens: (screens.lessons(), screens.desk.helping.tell_news())[0], _help_shut),
    "shelf_of_lessons": (_shelf, _dialogs_shut),
    "comparing": (_compare, _dialogs_shut),
    "answers": (_answers, _answers_away),
    "listening": (_listening, lambda screens: screens.desk.listening.fold()),
    "hands": (_hands, _nothing),
    "pages_alone": (_large_page, _large_page_over),
    "message": (_told, lambda screens: screens.desk.messages.clear()),
    "student_profile": (lambda screens: screens.student("Profile"), _nothing),
    "student_record": (lambda screens: screens.student("Record"), _nothing),
    "student_chart": (lambda screens: screens.student("Weak and strong"), _nothing),
    "student_due": (lambda screens: screens.student("Due"), _nothing),
    "student_plan": (lambda screens: screens.student("Plan"), _nothing),
    "student_make_up": (lambda screens: screens.student("Make-up sheet"), _nothing),
    "student_handouts": (lambda screens: screens.student("Handouts"), _nothing),
    "term_weeks": (lambda screens: screens.term("Weeks"), _nothing),
    "term_coverage": (lambda screens: screens.term("Coverage"), _nothing),
    "term_difficulty": (lambda screens: screens.term("Difficulty"), _nothing),
    "term_levels": (lambda screens: screens.term("Levels"), _nothing),
    "term_house": (lambda screens: screens.term("House style"), _nothing),
    "term_binder": (lambda screens: screens.term("Binder"), _nothing),
    "print_for": (_print_for, _dialogs_shut),
}
"""What leads to each screen, and what leaves it."""


def take(screens: Screens, out: Path, name: str, size: tuple[int, int], is_dark: bool) -> None:
    """Save a picture of one screen; what lies in a window of its own is a picture of that."""
    from PySide6.QtWidgets import QDialog

    _dialogs_shut(screens)
    lead, leave = SCREENS[name]
    lead(screens)
    screens.settle()
    dialogs = [dialog for dialog in screens.frame.findChildren(QDialog) if dialog.isVisible()]
    shown = dialogs[-1] if dialogs else screens.frame
    tone = "dark" if is_dark else "light"
    shown.grab().save(str(out / f"{name}_{size[0]}_{tone}.png"))
    leave(screens)


def main() -> None:
    parser = argparse.ArgumentParser(prog="screens", description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--only", nargs="*", default=[], help="the screens whose names begin so")
    parser.add_argument("--words", type=float, default=1.0, help="how many times larger the window's words are")
    parser.add_argument("--ratio", type=float, default=1.0, help="how many pixels of the screen to one of the window")
    parser.add_argument("--sizes", nargs="*", type=int, default=[size[0] for size in SIZES], help="by their widths")
    parser.add_argument("--tones", nargs="*", default=["light", "dark"])
    given = parser.parse_args()
    given.out.mkdir(parents=True, exist_ok=True)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    os.environ["QT_SCALE_FACTOR"] = str(given.ratio)
    with tempfile.TemporaryDirectory() as place:
        for variable in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME"):
            os.environ[variable] = f"{place}/{variable}"
        folder = Path(place) / "studio"
        shutil.copytree(SAMPLES, folder)
        screens = Screens(folder, given.words)
        for tone in given.tones:
            screens.dress(tone == "dark")
            for size in (size for size in SIZES if size[0] in given.sizes):
                screens.frame.resize(*size)
                for name in SCREENS:
                    if not given.only or name.startswith(tuple(given.only)):
                        take(screens, given.out, name, size, tone == "dark")
        # Threads that still read must not hold the program up.
        os._exit(0)


if __name__ == "__main__":
    main()
