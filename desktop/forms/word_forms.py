"""The forms of blocks that are no drills, and of the lesson itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from desktop.forms.editor import Editor
from desktop.forms.editors import SideBySideEditor, WholeEditor, YesNoEditor
from desktop.forms.row import INDENT, Group, Row, quiet_label
from desktop.forms.text_editors import TextEditor
from desktop.open_lesson import OpenLesson
from desktop.words import say
from lessonkit.drills.params import Whole
from lessonkit.lesson import prose
from lessonkit.lesson.edits import (
    replace_block,
    set_for_teacher,
)
from lessonkit.lesson.lesson import (
    HIGHEST_SPACE,
    LOWEST_SPACE,
    Heading,
    Note,
    PageBreak,
    Space,
    UnknownAid,
    UnknownDrill,
)


class WordForm(QWidget):
    """What all these forms have: rows in groups, each of which edits one thing."""

    explained = Signal(str)

    def __init__(self, open_lesson: OpenLesson) -> None:
        super().__init__()
        self.open_lesson = open_lesson
        self.rows: dict[str, Row] = {}
        self.body = QVBoxLayout(self)
        self.body.setContentsMargins(0, 0, 0, 0)
        self.body.setSpacing(0)

    def add_row(
        self, group: Group, name: str, label: str, editor: Editor, wish: Callable[[Any], None], help: str = ""
    ) -> None:
        """A row whose editor hands its value to ``wish``; a value that cannot be is answered below it."""
        row = Row(label, editor, help)
        row.setObjectName(name)
        row.explained.connect(self.explained)

        def try_wish(value: Any) -> None:
            try:
                wish(value)
            except ValueError as error:
                row.show_reason(str(error))

        editor.edited.connect(try_wish)
        self.rows[name] = row
        group.add(row)

    def add_group(self, caption: str) -> Group:
        """A new group at the end."""
        group = Group(caption)
        self.body.addWidget(group)
        return group

    def add_sentence(self, words: str) -> QLabel:
        """A sentence at the end."""
        label = quiet_label(words)
        label.setObjectName("quiet")
        label.setWordWrap(True)
        label.setContentsMargins(INDENT, 0, 0, 0)
        self.body.addWidget(label)
        self.body.addSpacing(8)
        return label


class HeadingForm(WordForm):
    """A heading's words and size."""

    def __init__(self, open_lesson: OpenLesson) -> None:
        super().__init__(open_lesson)
        self._block = Heading("")
        group = self.add_group(say("This heading"))
        self.add_row(group, "text", say("Words"), TextEditor(str, str), self._set("text"))
        sizes: list[tuple[str, Any]] = [(say("Large"), 1), (say("Small"), 2)]
        self.add_row(group, "level", say("Size"), SideBySideEditor(sizes), self._set("level"))
        self.body.addStretch(1)

    def show_block(self, block: Heading) -> None:
        """Show this heading."""
        self._block = block
        for name, row in self.rows.items():
            row.editor.show_value(getattr(block, name), self.open_lesson.lesson.setting)

    def _set(self, name: str) -> Callable[[Any], None]:
        def wish(value: Any) -> None:
            block = replace(self._block, **{name: value})
            self.open_lesson.edit(say("Heading"), replace_block(self.open_lesson.lesson, block), f"{block.id}.{name}")

        return wish


class NoteForm(WordForm):
    """What helps with writing a note, and what in it is not understood."""

    def __init__(self, open_lesson: OpenLesson) -> None:
        super().__init__(open_lesson)
        self._block_id = ""
        self._problems = self.add_sentence("")
        self._problems.setObjectName("reason")
        self.add_sentence(say("Click the note again, or press Enter, to write in it. Escape ends writing."))
        self.add_row(
            self.add_group(say("Who gets it")), "for_teacher", say("Teacher only"), YesNoEditor(),
            self._set_for_teacher,
            say("It is printed in the teacher's edition and left out of the student's."),
        )  # fmt: skip
        self._examples = self.add_group(say("Words that follow the key"))
        self._lines: list[tuple[str, QLabel]] = []
        for source in (
            "{key}",
            "{IVmaj7}",
            "{notes V7}",
            "{roman ii}",
            "{scale}",
            "{degree 3}",
            "{signature}",
        ):
            label = quiet_label("")
            label.setObjectName("quiet")
            layout = self._examples.layout()
            assert layout is not None
            layout.addWidget(label)
            self._lines.append((source, label))
        shapes = self.add_group(say("Shape"))
        layout = shapes.layout()
        assert layout is not None
        for words in (
            say("*italic*   **bold**"),
            say("- item of a list"),
            say("1. numbered item"),
            "# heading",
            say("____   a line to write on, up to the margin; by itself an empty line"),
        ):
            label = quiet_label(words)
            label.setObjectName("quiet")
            label.setWordWrap(True)
            layout.addWidget(label)
        self.body.addStretch(1)

    def _set_for_teacher(self, is_wanted: bool) -> None:
        edited = set_for_teacher(self.open_lesson.lesson, self._block_id, is_wanted)
        self.open_lesson.edit(say("For the teacher"), edited)

    def show_block(self, block: Note) -> None:
        """Show this note."""
        self._block_id = block.id
        self.rows["for_teacher"].editor.show_value(block.for_teacher, self.open_lesson.lesson.setting)
        setting = self.open_lesson.lesson.setting
        found = prose.problems(prose.read(block.text, setting))
        self._problems.setText(
            "\n\n".join(
                say("{text} prints as typed: {problem}.", text=words.text, problem=words.problem) for words in found[:4]
            )
        )
        self._problems.setVisible(bool(found))
        for source, label in self._lines:
            result = prose.plain_line(prose.read_line(source, setting), setting.label_style)
            label.setText(f"{source}  →  {result}")


class SpaceForm(WordForm):
    """How high a space is."""

    def __init__(self, open_lesson: OpenLesson) -> None:
        super().__init__(open_lesson)
        self._block = Space()
        group = self.add_group(say("This space"))
        height = WholeEditor(Whole(label="", least=LOWEST_SPACE, most=HIGHEST_SPACE, unit="mm"))
        self.add_row(group, "height", say("Height"), height, self._set_height)
        self.body.addStretch(1)

    def show_block(self, block: Space) -> None:
        """Show this space."""
        self._block = block
        self.rows["height"].editor.show_value(block.height, self.open_lesson.lesson.setting)

    def _set_height(self, height: int) -> None:
        block = replace(self._block, height=height)
        self.open_lesson.edit(
            say("Height of space"), replace_block(self.open_lesson.lesson, block), f"{block.id}.height"
        )


class PageBreakForm(WordForm):
    """A new page has nothing to set."""

    def __init__(self, open_lesson: OpenLesson) -> None:
        super().__init__(open_lesson)
        self.add_sentence(say("What follows starts on a new page."))
        self.body.addStretch(1)

    def show_block(self, block: PageBreak) -> None:
        """Nothing to show."""


class UnknownForm(WordForm):
    """A drill or an aid of another version has settings that cannot be read."""

    def __init__(self, open_lesson: OpenLesson) -> None:
        super().__init__(open_lesson)
        self._words = self.add_sentence("")
        self.body.addStretch(1)

    def show_block(self, block: UnknownDrill | UnknownAid) -> None:
        """Say what it is."""
        self._words.setText(
            say(
                "“{code}” comes from another version of the program. It stays in the lesson as it is, "
                "can be moved and deleted, and is saved unharmed.",
                code=block.code,
            )
        )
