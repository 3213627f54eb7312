"""Blocks on the computer's clipboard: as a lesson file for ourselves, as plain words for every other program."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QMimeData
from PySide6.QtGui import QGuiApplication

from desktop.words import say
from lessonkit.drills.setting import Setting
from lessonkit.lesson import prose
from lessonkit.lesson.lesson import LONGEST_NOTE, Block, Drill, Heading, Lesson, Note, clean_text
from lessonkit.storage.lesson_file import LessonFileError, lesson_from_bytes, lesson_to_bytes
from lessonkit.theory.naming import renamed

BLOCKS_TYPE = "application/x-lesson-blocks"
"""The clipboard's name for blocks."""

SVG_TYPE, MUSICXML_TYPE = "image/svg+xml", "application/vnd.recordare.musicxml+xml"


def put_on_clipboard(blocks: tuple[Block, ...], lesson: Lesson) -> None:
    """Copy blocks."""
    content = QMimeData()
    content.setData(BLOCKS_TYPE, QByteArray(lesson_to_bytes(Lesson(key=lesson.key, blocks=blocks), "the clipboard")))
    content.setText("\n\n".join(_words(block, lesson.setting) for block in blocks))
    QGuiApplication.clipboard().setMimeData(content)


def put_picture_on_clipboard(blocks: tuple[Block, ...], lesson: Lesson) -> bool:
    """Copy blocks as a picture, in pixels and in outlines, with their words; says whether there is anything to see."""
    # Nobody who does not copy a picture waits for this.
    from desktop.painting.block_pictures import BlockPicture

    picture = BlockPicture(blocks, lesson)
    if not picture:
        return False
    content = QMimeData()
    content.setImageData(picture.image())
    content.setData(SVG_TYPE, QByteArray(picture.svg()))
    content.setText("\n\n".join(_words(block, lesson.setting) for block in blocks))
    QGuiApplication.clipboard().setMimeData(content)
    return True


def put_notes_on_clipboard(blocks: tuple[Block, ...], lesson: Lesson) -> bool:
    """Copy the notes of drills as MusicXML, as text too; says whether there is a drill among the blocks.

    Raises ValueError where a drill cannot be written out.
    """
    from lessonkit.export import has_drill, musicxml

    if not has_drill(blocks):
        return False
    notes = musicxml(lesson, blocks)
    content = QMimeData()
    content.setData(MUSICXML_TYPE, QByteArray(notes))
    content.setText(notes.decode())
    QGuiApplication.clipboard().setMimeData(content)
    return True


def on_clipboard() -> tuple[Block, ...]:
    """The blocks on the clipboard; words from another program come as a note. Raises LessonFileError."""
    content = QGuiApplication.clipboard().mimeData()
    if content is None:
        return ()
    if content.hasFormat(BLOCKS_TYPE):
        return lesson_from_bytes(bytes(content.data(BLOCKS_TYPE).data()), "the clipboard").blocks
    if content.hasText() and content.text().strip():
        text = clean_text(content.text())
        if len(text) > LONGEST_NOTE:
            raise LessonFileError(
                say("The {n} characters on the clipboard are more than a note can hold.", n=len(text))
            )
        return (Note(text),)
    return ()


def has_something() -> bool:
    """Whether there is something to paste."""
    content = QGuiApplication.clipboard().mimeData()
    return content is not None and (content.hasFormat(BLOCKS_TYPE) or content.hasText())


def leave_words() -> None:
    """Leave only plain words on the clipboard as the program ends.

    Qt gives the clipboard's content up after Python has gone; content that Python made would crash it then.
    """
    clipboard = QGuiApplication.clipboard()
    content = clipboard.mimeData()
    if content is not None and any(content.hasFormat(kind) for kind in (BLOCKS_TYPE, SVG_TYPE, MUSICXML_TYPE)):
        clipboard.setText(content.text())


def _words(block: Block, setting: Setting) -> str:
    if isinstance(block, Heading):
        return prose.plain_line(prose.read_line(block.text, setting), setting.label_style)
    if isinstance(block, Note):
        return prose.plain_text(prose.read(block.text, setting), setting.label_style)
    return renamed(block.family.in_one_line(setting), setting.label_style.notes) if isinstance(block, Drill) else ""
