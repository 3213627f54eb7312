"""The commands that take a lesson elsewhere: ``sound`` makes files to listen to, ``export`` notes and pictures."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lessonkit.cli_errors import UnreadableLesson, WrongUse
from lessonkit.cli_files import lesson_in

if TYPE_CHECKING:
    from lessonkit.lesson.lesson import Block, Drill, Lesson
    from lessonkit.pages.page import Page
    from lessonkit.sound.playing import Playing

Arguments = argparse.Namespace

FORMATS = {"musicxml": "musicxml", "midi": "mid", "svg": "svg", "png": "png"}
"""What can be exported, with the ending of its files."""


def add_commands(commands: Any) -> None:
    """Add both commands to a parser's."""
    sound = commands.add_parser("sound", help="make the files to listen to: one for each drill and tempo, and a page")
    sound.add_argument("lesson", type=Path, metavar="LESSON")
    sound.add_argument("--out", type=Path, metavar="DIR", required=True, help="the folder for the files")
    sound.add_argument("--format", choices=["mp3", "wav"], default="mp3", help="how they are kept (mp3)")
    sound.add_argument("--zip", action="store_true", help="one zip file in the folder instead of many files")
    sound.add_argument("--hands", choices=["both", "right", "left", "bass"], default="both",
                       help="who is heard; bass is the bass with a click, to play along with (both)")  # fmt: skip
    sound.add_argument("--count-in", type=int, metavar="BARS", help="bars counted in (1, none in free time)")
    sound.add_argument("--metronome", action="store_true", help="a click on each beat")
    sound.add_argument("--rounds", type=int, default=1, metavar="N", help="how often each drill is played (1)")
    sound.add_argument("--swing", type=int, default=50, metavar="PERCENT",
                       help="what the first of two eighths takes of a beat; 67 as in triplets (50)")  # fmt: skip
    sound.add_argument("--terraces", action="store_true", help="soft and loud in turn")
    sound.add_argument("--pedal", choices=["printed", "chords", "none"], default="printed", help="(printed)")
    sound.add_argument("--strict-time", action="store_true", help="no breathing in free time")
    sound.add_argument("--answers", action="store_true", help="a sample answer in the bars left open")
    sound.set_defaults(command=_sound)

    export = commands.add_parser("export", help="make MusicXML, MIDI, SVG or PNG of a lesson, a page or a block")
    export.add_argument("lesson", type=Path, metavar="LESSON")
    export.add_argument("--to", choices=list(FORMATS), required=True)
    what = export.add_mutually_exclusive_group()
    what.add_argument("--page", type=int, metavar="N", help="one page instead of the whole lesson")
    what.add_argument("--block", metavar="N", help="one block: its number from the top, or its id in the file")
    export.add_argument("--out", type=Path, metavar="DIR", help="the folder for the files (beside the lesson)")
    export.add_argument("--answers", action="store_true", help="with what worksheets leave blank")
    export.add_argument("--dots", type=int, metavar="N", help="dots to an inch of a PNG (200)")
    export.set_defaults(command=_export)


def _sound(given: Arguments) -> int:
    from lessonkit.sound.listening import INDEX, Kind, index_page, listening_files
    from lessonkit.sound.rendering import NoSound

    lesson = lesson_in(given.lesson)
    drills = [drill.family for drill in _drills(lesson.blocks)]
    if not drills:
        raise UnreadableLesson(f"{given.lesson} has no drill, so there is nothing to hear")
    files, left_out = listening_files(drills, lesson.setting, Kind(given.format), _how(given))
    for sentence in left_out:
        print(f"lessonkit: {sentence}", file=sys.stderr)
    page = index_page(_title(lesson), files).encode()

    def contents() -> Iterator[tuple[str, bytes]]:
        for file in files:
            yield file.name, file.content()
        yield INDEX, page

    try:
        if given.zip:
            _write_zip(given.out, given.lesson.stem, contents())
        else:
            for name, content in contents():
                _write(given.out, name, content)
    except NoSound as error:
        raise UnreadableLesson(str(error)) from None
    return 1 if left_out else 0


def _how(given: Arguments) -> Any:
    """What is asked of each playing, beside what is usual for the drill."""
    from dataclasses import replace

    from lessonkit.sound.playing import Dynamics, Gaps, Heard, Pedalling, Playing

    heard = {"both": Heard.BOTH, "right": Heard.RIGHT, "left": Heard.LEFT, "bass": Heard.BASS_AND_CLICK}[given.hands]
    pedalling = {"printed": Pedalling.PRINTED, "chords": Pedalling.CHORDS, "none": Pedalling.NONE}[given.pedal]
    try:
        asked = Playing(
            count_in=given.count_in or 0, has_metronome=given.metronome, rounds=given.rounds, heard=heard,
            gaps=Gaps.SAMPLE if given.answers else Gaps.EMPTY, swing=given.swing, pedalling=pedalling,
            dynamics=Dynamics.TERRACES if given.terraces else Dynamics.PRINTED,
        )  # fmt: skip
    except ValueError as error:
        raise WrongUse(str(error)) from None

    def how(usual: Playing) -> Playing:
        count_in = usual.count_in if given.count_in is None else asked.count_in
        breathing = None if given.strict_time else usual.breathing
        return replace(asked, tempo=usual.tempo, count_in=count_in, breathing=breathing)

    return how


def _export(given: Arguments) -> int:
    lesson = lesson_in(given.lesson)
    if given.to in ("svg", "png"):
        made = _pictures(given, lesson)
    else:
        made = _notes(given, lesson)
    folder = given.out or given.lesson.parent
    for name, content in made:
        _write(folder, name, content)
    return 0


def _pictures(given: Arguments, lesson: Lesson) -> Iterator[tuple[str, bytes]]:
    from lessonkit.pages.flow import pages_of
    from lessonkit.pictures.cut_out import cut_out
    from lessonkit.pictures.png import DOTS_IN_INCH, png_bytes
    from lessonkit.pictures.svg import svg_text

    wanted: list[tuple[str, Page]]
    try:
        if given.block is not None:
            number, block = _block(lesson, given.block)
            wanted = [(f"-block-{number}", cut_out(block, lesson, given.answers))]
        else:
            pages = pages_of(lesson, shows_answers=given.answers)
            chosen = pages if given.page is None else (_page(pages, given.page),)
            wanted = [(f"-page-{page.number}", page) for page in chosen]
        for tail, page in wanted:
            if given.to == "svg":
                content = svg_text(page).encode()
            else:
                content = png_bytes(page, DOTS_IN_INCH if given.dots is None else given.dots)
            yield f"{given.lesson.stem}{tail}.{FORMATS[given.to]}", content
    except ValueError as error:
        raise WrongUse(str(error)) from None


def _notes(given: Arguments, lesson: Lesson) -> Iterator[tuple[str, bytes]]:
    tail, blocks = _chosen(given, lesson)
    drills = _drills(blocks)
    if not drills:
        raise WrongUse(f"{given.lesson}{tail.replace('-', ' ')} has no drill; choose a page or a block that has one")
    write = {"musicxml": _musicxml, "midi": _midi}[given.to]
    try:
        content = write(lesson, drills, given.answers)
    except ValueError as error:
        raise UnreadableLesson(str(error)) from None
    yield f"{given.lesson.stem}{tail}.{FORMATS[given.to]}", content


def _musicxml(lesson: Lesson, drills: Sequence[Drill], shows_answers: bool) -> bytes:
    from lessonkit.drills.listening_names import lesson_tempo
    from lessonkit.drills.realise import realise
    from lessonkit.exchange.musicxml import Movement, to_musicxml

    movements = [
        Movement(
            realise(drill.family, lesson.setting), lesson_tempo(drill.family, lesson.setting),
            drill.family.title, drill.family.setting_of(lesson.setting).label_style,
        )
        for drill in drills
    ]  # fmt: skip
    return to_musicxml(movements, _title(lesson), lesson.author, shows_answers)


def _midi(lesson: Lesson, drills: Sequence[Drill], shows_answers: bool) -> bytes:
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
        for drill in drills
    ]
    return to_midi(joined(played), _title(lesson))


def _chosen(given: Arguments, lesson: Lesson) -> tuple[str, Sequence[Block]]:
    """The blocks asked for, and what is added to the file's name."""
    if given.block is not None:
        number, block = _block(lesson, given.block)
        return f"-block-{number}", (block,)
    if given.page is not None:
        from lessonkit.pages.flow import pages_of

        page = _page(pages_of(lesson), given.page)
        there = {part.block_id for part in page.parts}
        return f"-page-{given.page}", [block for block in lesson.blocks if block.id in there]
    return "", lesson.blocks


def _block(lesson: Lesson, asked: str) -> tuple[int, Block]:
    for number, block in enumerate(lesson.blocks, start=1):
        if asked in (block.id, str(number)):
            return number, block
    raise WrongUse(f"there is no block {asked}; the lesson has blocks 1 to {len(lesson.blocks)}")


def _page(pages: Sequence[Page], number: int) -> Page:
    if not 1 <= number <= len(pages):
        raise WrongUse(f"there is no page {number}; the lesson has pages 1 to {len(pages)}")
    return pages[number - 1]


def _drills(blocks: Sequence[Block]) -> list[Drill]:
    from lessonkit.lesson.lesson import Drill

    return [block for block in blocks if isinstance(block, Drill)]


def _title(lesson: Lesson) -> str:
    """The lesson's title as it is read, its music words written out."""
    from lessonkit.lesson import prose

    return prose.plain_line(prose.read_line(lesson.title, lesson.setting), lesson.house.label_style)


def _write(folder: Path, name: str, content: bytes) -> None:
    from lessonkit.storage.safe_write import safe_write

    try:
        folder.mkdir(parents=True, exist_ok=True)
        safe_write(folder / name, content)
    except OSError as error:
        raise UnreadableLesson(f"{folder / name} cannot be written: {error.strerror}") from None
    print(folder / name)


def _write_zip(folder: Path, stem: str, contents: Iterator[tuple[str, bytes]]) -> None:
    import io
    import zipfile

    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        for name, content in contents:
            # A fixed date, so that the same lesson always makes the same file.
            archive.writestr(zipfile.ZipInfo(f"{stem}/{name}", (1980, 1, 1, 0, 0, 0)), content)
    _write(folder, f"{stem}-to-hear.zip", out.getvalue())
