"""``sound`` and ``export``: what comes to lie in the folder, and what is said when nothing can."""

from __future__ import annotations

import io
import re
import zipfile
from html.parser import HTMLParser
from pathlib import Path

import mido
import pytest
from lxml import etree
from PIL import Image

from lessonkit.cli import main
from lessonkit.drills.family import family
from lessonkit.lesson.lesson import Drill, Heading, Lesson, Note, PageBreak
from lessonkit.storage.lesson_file import lesson_to_bytes
from lessonkit.theory.key import Key
from tests.lessonkit.exchange.scores import faults

SHORT = {"octaves": 1, "direction": "up"}


@pytest.fixture
def lesson(tmp_path: Path) -> Path:
    """Two short drills on two pages: one with a ladder in two steps, one by ear."""
    blocks = (
        Heading("Runs & jumps", id="head"),
        Drill(family("block-chords").from_settings({**SHORT, "ladder_steps": 2, "ladder_start": 200}), id="solid"),
        PageBreak(id="break"),
        Note("Listen.", id="words"),
        Drill(family("by-ear").from_settings({"count": 1}), id="ear"),
    )
    path = tmp_path / "first.lesson"
    path.write_bytes(lesson_to_bytes(Lesson("Runs & {IVmaj7}", key=Key.parse("Eb"), tempo=240, blocks=blocks)))
    return path


class _Links(HTMLParser):
    """The tags of a page and what they point at."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.targets: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.targets += [value or "" for name, value in attrs if name in ("href", "src")]


class TestSound:
    """Files to listen to."""

    def test_a_file_for_each_drill_and_tempo_and_a_page(self, lesson: Path, tmp_path: Path) -> None:
        """Names sort as the lesson goes and tell what they are; what is to be found by ear is not in a name."""
        out = tmp_path / "out"
        assert main(["sound", str(lesson), "--out", str(out)]) == 0
        names = sorted(path.name for path in out.iterdir())
        assert names == [
            "01-block-chords-on-a-scale-e-flat-major-200.mp3",
            "01-block-chords-on-a-scale-e-flat-major-208.mp3",
            "02-by-ear-240.mp3",
            "index.html",
        ]
        page = (out / "index.html").read_text(encoding="utf-8")
        links = _Links()
        links.feed(page)
        assert set(links.targets) == set(names) - {"index.html"}, "nothing is fetched from anywhere else"
        assert not {"script", "link", "iframe"} & set(links.tags)
        assert "Runs &amp; A♭maj7" in page
        assert "viewport" in page
        heard = page[page.index("By ear") :]
        assert "key to find" in heard
        assert not re.search(r"[A-G][♭♯]?(maj7|m7)", heard), "the answer is not told"

    def test_wav_in_a_zip_with_a_bass_to_play_along(self, lesson: Path, tmp_path: Path) -> None:
        """One file to send; the same lesson always makes the same one."""
        how = ["--format", "wav", "--zip", "--hands", "bass", "--count-in", "2", "--rounds", "2", "--swing", "60"]
        contents = []
        for name in ("one", "two"):
            assert main(["sound", str(lesson), "--out", str(tmp_path / name), *how]) == 0
            contents.append((tmp_path / name / "first-to-hear.zip").read_bytes())
        assert contents[0] == contents[1]
        with zipfile.ZipFile(io.BytesIO(contents[0])) as archive:
            assert archive.testzip() is None
            assert [name for name in archive.namelist() if name.endswith(".html")] == ["first/index.html"]

    @pytest.mark.parametrize(
        ("more", "told"),
        [
            (["--count-in", "9"], "a count-in of 9 bars is not between 0 and 4"),
            (["--swing", "10"], "a swing of 10 % is not between 50 (even) and 75"),
            (["--rounds", "0"], "0 rounds are not between 1 and 99"),
        ],
    )
    def test_wrong_wishes_are_said(
        self, lesson: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], more: list[str], told: str
    ) -> None:
        """One sentence, and nothing is written."""
        assert main(["sound", str(lesson), "--out", str(tmp_path / "out"), *more]) == 2
        assert capsys.readouterr().err == f"lessonkit: {told}\n"
        assert not (tmp_path / "out").exists()

    def test_a_lesson_of_words_has_nothing_to_hear(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        """Said, and no empty folder left."""
        path = tmp_path / "words.lesson"
        path.write_bytes(lesson_to_bytes(Lesson(blocks=(Note("Only words."),))))
        assert main(["sound", str(path), "--out", str(tmp_path / "out")]) == 1
        assert "has no drill" in capsys.readouterr().err
        assert not (tmp_path / "out").exists()

    def test_a_drill_that_cannot_be_built_is_left_out(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        """The others are still worth hearing."""
        high = family("block-chords").from_settings({"lowest": "C8"})
        good = family("block-chords").from_settings(SHORT)
        path = tmp_path / "high.lesson"
        path.write_bytes(lesson_to_bytes(Lesson(tempo=240, blocks=(Drill(high), Drill(good)))))
        assert main(["sound", str(path), "--out", str(tmp_path / "out")]) == 1
        told = capsys.readouterr()
        assert told.err.startswith("lessonkit: drill 1, ")
        assert "02-block-chords-on-a-scale-c-major-240.mp3" in told.out


class TestExport:
    """Notes and pictures."""

    def test_musicxml_of_lesson_page_and_block(self, lesson: Path, tmp_path: Path) -> None:
        """Each is a valid score, named after what it holds."""
        for more in ([], ["--page", "1"], ["--block", "2"], ["--block", "solid"], ["--answers"]):
            assert main(["export", str(lesson), "--to", "musicxml", "--out", str(tmp_path / "out"), *more]) == 0
        names = sorted(path.name for path in (tmp_path / "out").iterdir())
        assert names == ["first-block-2.musicxml", "first-page-1.musicxml", "first.musicxml"]
        for name in names:
            assert not list(faults((tmp_path / "out" / name).read_bytes()))
        whole = etree.fromstring((tmp_path / "out" / "first.musicxml").read_bytes())
        assert whole.findtext("work/work-title") == "Runs & A♭maj7"

    def test_packed_musicxml_is_as_the_standard_describes_it(self, lesson: Path, tmp_path: Path) -> None:
        """Source: MusicXML 4.0, "Compressed .MXL files" and container.xsd. Read back by ourselves and by music21."""
        from music21 import converter

        from lessonkit.exchange.excerpt import read_excerpt

        for kind in ("mxl", "musicxml"):
            assert main(["export", str(lesson), "--to", kind, "--out", str(tmp_path), "--block", "solid"]) == 0
        packed, plain = tmp_path / "first-block-2.mxl", tmp_path / "first-block-2.musicxml"
        with zipfile.ZipFile(packed) as archive:
            first, *_ = archive.infolist()
            assert (first.filename, first.compress_type) == ("mimetype", zipfile.ZIP_STORED)
            assert archive.read("mimetype") == b"application/vnd.recordare.musicxml"
            root = etree.fromstring(archive.read("META-INF/container.xml")).find("rootfiles/rootfile")
            assert root.get("media-type") == "application/vnd.recordare.musicxml+xml"
            assert archive.read(root.get("full-path")) == plain.read_bytes()
        assert packed.stat().st_size < plain.stat().st_size / 5
        notes = [str(one.pitches) for one in converter.parse(packed).flatten().notes]
        assert notes == [str(one.pitches) for one in converter.parse(plain).flatten().notes]
        assert read_excerpt(packed) == read_excerpt(plain)

    def test_midi_of_a_lesson(self, lesson: Path, tmp_path: Path) -> None:
        """Drills one after another, hands as tracks."""
        assert main(["export", str(lesson), "--to", "midi", "--out", str(tmp_path)]) == 0
        file = mido.MidiFile(tmp_path / "first.mid")
        assert [track.name for track in file.tracks][1:] == ["Right hand", "Left hand"]

    def test_pictures_of_pages_and_of_a_block(self, lesson: Path, tmp_path: Path) -> None:
        """One for each page; a block is cut out, its PNG as large as its SVG says."""
        for kind in ("svg", "png"):
            assert main(["export", str(lesson), "--to", kind, "--out", str(tmp_path)]) == 0
            assert main(["export", str(lesson), "--to", kind, "--out", str(tmp_path), "--block", "solid"]) == 0
        assert {path.stem for path in tmp_path.glob("*.png")} == {path.stem for path in tmp_path.glob("*.svg")}
        assert len(list(tmp_path.glob("first-page-*.png"))) == 2
        drawn = etree.fromstring((tmp_path / "first-block-2.svg").read_bytes())
        with Image.open(tmp_path / "first-block-2.png") as image:
            assert image.width == pytest.approx(float(drawn.get("width")[:-2]) * 200 / 72, abs=2)
            assert image.convert("L").getextrema() == (0, 255)

    @pytest.mark.parametrize(
        ("more", "told"),
        [
            (["--to", "svg", "--page", "9"], "there is no page 9; the lesson has pages 1 to 2"),
            (["--to", "midi", "--block", "99"], "there is no block 99; the lesson has blocks 1 to 5"),
            (["--to", "png", "--block", "break"], "a page break has no picture; choose another block"),
            (["--to", "png", "--dots", "5"], "5 dots to an inch are not between 36 and 1200"),
        ],
    )
    def test_wrong_wishes_are_said(
        self, lesson: Path, capsys: pytest.CaptureFixture[str], more: list[str], told: str
    ) -> None:
        """One sentence each."""
        assert main(["export", str(lesson), *more]) == 2
        assert capsys.readouterr().err == f"lessonkit: {told}\n"

    def test_words_have_no_notes(self, lesson: Path, capsys: pytest.CaptureFixture[str]) -> None:
        """A block of words can be a picture, not a score."""
        assert main(["export", str(lesson), "--to", "musicxml", "--block", "words"]) == 2
        assert "block 4 has no drill" in capsys.readouterr().err
