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
    from lessonkit.sound.playing import Playing

Arguments = argparse.Namespace

FORMATS = {"musicxml": "musicxml", "mxl": "mxl", "midi": "mid", "svg": "svg", "png": "png"}
"""What can be exported, with the ending of its files; mxl is MusicXML packed small."""


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
    from lessonkit.export import title_read
    from lessonkit.sound.listening import INDEX, Kind, index_page, listening_files
    from lessonkit.sound.rendering import NoSound

    lesson = lesson_in(given.lesson)
    drills = [drill.family for drill in _drills(lesson.blocks)]
    if not drills:
        raise UnreadableLesson(f"{given.lesson} has no drill, so there is nothing to hear")
    files, left_out = listening_files(drills, lesson.setting, Kind(given.format), _how(given))
    for sentence in left_out:
        print(f"lessonkit: {sentence}", file=sys.stderr)
    page = index_page(title_read(lesson), files).encode()

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
    from lessonkit.export import Format, NotThere, export

    lesson = lesson_in(given.lesson)
    form = Format(FORMATS[given.to])
    folder = given.out or given.lesson.parent
    try:
        blocks = None if given.block is None else (_block(lesson, given.block),)
        made = export(lesson, form, page=given.page, blocks=blocks, shows_answers=given.answers, dots=given.dots)
        for one in made:
            _write(folder, f"{given.lesson.stem}{one.tail}.{form.value}", one.content)
    except ValueError as error:
        is_wrong_use = form.is_picture or isinstance(error, NotThere)
        raise (WrongUse if is_wrong_use else UnreadableLesson)(str(error)) from None
    return 0


def _block(lesson: Lesson, asked: str) -> Block:
    for number, block in enumerate(lesson.blocks, start=1):
        if asked in (block.id, str(number)):
            return block
    raise WrongUse(f"there is no block {asked}; the lesson has blocks 1 to {len(lesson.blocks)}")


def _drills(blocks: Sequence[Block]) -> list[Drill]:
    from lessonkit.lesson.lesson import Drill

    return [block for block in blocks if isinstance(block, Drill)]


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
