"""A lesson, some of its blocks or a page as files for other programs: notes, MIDI and pictures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING

from lessonkit.lesson import prose
from lessonkit.lesson.lesson import Block, Drill, Lesson
from lessonkit.storage.safe_write import safe_write
from lessonkit.values import dataclass

if TYPE_CHECKING:
    from lessonkit.pages.page import Page


class Format(Enum):
    """What is made, by the ending of its files."""

    MUSICXML = "musicxml"
    COMPRESSED_MUSICXML = "mxl"
    MIDI = "mid"
    SVG = "svg"
    PNG = "png"

    @property
    def is_picture(self) -> bool:
        """Whether it shows pages, words and all; the others hold the music of drills alone."""
        return self in (Format.SVG, Format.PNG)


@dataclass(frozen=True, slots=True)
class Exported:
    """A file: what stands behind the lesson's name in its own, such as ``-page-2``, and what is in it."""

    tail: str
    content: bytes


class NotThere(ValueError):
    """What was asked for is not in the lesson; the text is the sentence to show."""


def has_drill(blocks: Sequence[Block]) -> bool:
    """Whether there is music among blocks."""
    return any(isinstance(block, Drill) for block in blocks)


def export(
    lesson: Lesson, form: Format, *, page: int | None = None, blocks: Sequence[Block] | None = None,
    shows_answers: bool = False, dots: int | None = None,
) -> Iterator[Exported]:  # fmt: skip
    """The files of a lesson; of one page (1 first) or of some blocks, where these are given.

    Pictures are a file a page, or a file a block; notes are one file. ``dots`` to an inch are for a PNG. Raises
    ``NotThere`` or another ValueError, with a sentence, where there is nothing to make it of.
    """
    if form.is_picture:
        yield from _pictures(lesson, form, page, blocks, shows_answers, dots)
        return
    tail, chosen = _chosen(lesson, page, blocks)
    if not has_drill(chosen):
        raise NotThere(f"the lesson{tail.replace('-', ' ')} has no drill; choose a page or a block that has one")
    content = midi(lesson, chosen, shows_answers) if form is Format.MIDI else musicxml(lesson, chosen, shows_answers)
    if form is Format.COMPRESSED_MUSICXML:
        from lessonkit.exchange.compressed import to_mxl

        content = to_mxl(content)
    yield Exported(tail, content)


@dataclass(frozen=True, slots=True)
class ExportJob:
    """One file to be made: of the whole lesson, of a page (1 first), or of the blocks of some ids."""

    lesson: Lesson
    form: Format
    path: Path
    page: int | None = None
    ids: tuple[str, ...] = ()
    shows_answers: bool = False


def export_jobs(
    lesson: Lesson, target: Path, page: int | None = None, ids: Sequence[str] = (), pages: int = 1,
    shows_answers: bool = False,
) -> list[ExportJob]:  # fmt: skip
    """What is to be made for ``target``, whose ending says which kind.

    Pictures of a lesson of several pages or of several blocks are a file each, numbered. Raises ValueError for an
    ending that is none of ours.
    """
    form = Format(target.suffix[1:].lower())
    wanted: list[tuple[int | None, tuple[str, ...]]] = [(page, tuple(ids))]
    if form.is_picture and page is None:
        wanted = [(None, (one,)) for one in ids] if ids else [(number, ()) for number in range(1, pages + 1)]
    paths = [target]
    if len(wanted) > 1:
        paths = [target.with_name(f"{target.stem}-{number}{target.suffix}") for number in range(1, len(wanted) + 1)]
    return [
        ExportJob(lesson, form, path, number, own, shows_answers)
        for path, (number, own) in zip(paths, wanted, strict=True)
    ]


def write_export(job: ExportJob) -> Path:
    """Make the file of a job, whole or not at all; raises ValueError or OSError."""
    blocks = [block for block in job.lesson.blocks if block.id in job.ids] if job.ids else None
    (made,) = export(job.lesson, job.form, page=job.page, blocks=blocks, shows_answers=job.shows_answers)
    safe_write(job.path, made.content)
    return job.path


def musicxml(lesson: Lesson, blocks: Sequence[Block], shows_answers: bool = False) -> bytes:
    """The drills among blocks as a score, one after another; raises ValueError where one cannot be written."""
    from lessonkit.drills.listening_names import lesson_tempo
    from lessonkit.drills.realise import realise
    from lessonkit.exchange.musicxml import Movement, to_musicxml

    movements = [
        Movement(
            realise(drill.family, lesson.setting), lesson_tempo(drill.family, lesson.setting),
            drill.family.title, drill.family.setting_of(lesson.setting).label_style,
        )
        for drill in blocks
        if isinstance(drill, Drill)
    ]  # fmt: skip
    return to_musicxml(movements, title_read(lesson), lesson.author, shows_answers)


def midi(lesson: Lesson, blocks: Sequence[Block], shows_answers: bool = False) -> bytes:
    """The drills among blocks as a MIDI file of type 1, hands as tracks; raises ValueError as ``musicxml`` does."""
    from lessonkit.drills.listening_names import lesson_tempo
    from lessonkit.drills.realise import realise
    from lessonkit.sound.midi_file import to_midi
    from lessonkit.sound.performance import joined, performance
    from lessonkit.sound.playing import Gaps, Playing

    gaps = Gaps.SAMPLE if shows_answers else Gaps.EMPTY
    played = [
        performance(
            realise(drill.family, lesson.setting), Playing(lesson_tempo(drill.family, lesson.setting), gaps=gaps)
        )
        for drill in blocks
        if isinstance(drill, Drill)
    ]
    return to_midi(joined(played), title_read(lesson))


def title_read(lesson: Lesson) -> str:
    """The lesson's title as it is read, its music words written out."""
    return prose.plain_line(prose.read_line(lesson.title, lesson.setting), lesson.house.label_style)


def _pictures(
    lesson: Lesson, form: Format, page: int | None, blocks: Sequence[Block] | None, shows_answers: bool,
    dots: int | None,
) -> Iterator[Exported]:  # fmt: skip
    from lessonkit.pages.flow import pages_of
    from lessonkit.pictures.cut_out import cut_out
    from lessonkit.pictures.png import DOTS_IN_INCH, png_bytes
    from lessonkit.pictures.svg import svg_text

    if blocks is not None:
        wanted = [(_tail_of(lesson, block), cut_out(block, lesson, shows_answers)) for block in blocks]
    else:
        pages = pages_of(lesson, shows_answers=shows_answers)
        chosen = pages if page is None else (_page(pages, page),)
        wanted = [(f"-page-{one.number}", one) for one in chosen]
    for tail, one in wanted:
        if form is Format.SVG:
            yield Exported(tail, svg_text(one).encode())
        else:
            yield Exported(tail, png_bytes(one, DOTS_IN_INCH if dots is None else dots))


def _chosen(lesson: Lesson, page: int | None, blocks: Sequence[Block] | None) -> tuple[str, Sequence[Block]]:
    """The blocks asked for, and what is added to the file's name."""
    if blocks is not None:
        return (_tail_of(lesson, blocks[0]) if len(blocks) == 1 else "-blocks"), blocks
    if page is not None:
        from lessonkit.pages.flow import pages_of

        there = {part.block_id for part in _page(pages_of(lesson), page).parts}
        return f"-page-{page}", [block for block in lesson.blocks if block.id in there]
    return "", lesson.blocks


def _tail_of(lesson: Lesson, block: Block) -> str:
    return f"-block-{lesson.blocks.index(block) + 1}"


def _page(pages: Sequence[Page], number: int) -> Page:
    if not 1 <= number <= len(pages):
        raise NotThere(f"there is no page {number}; the lesson has pages 1 to {len(pages)}")
    return pages[number - 1]
