"""Lesson files: what is written is what is read, and whatever else is in a file there is one sentence about it."""

from __future__ import annotations

import dataclasses
import os
import random
import re
from collections.abc import Iterator
from enum import Enum
from pathlib import Path
from typing import Any, ClassVar

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from lessonkit.drills import fields, params
from lessonkit.drills.family import DrillFamily
from lessonkit.lesson.edits import set_note_text
from lessonkit.lesson.lesson import (
    KINDS,
    Block,
    Drill,
    Heading,
    House,
    Lesson,
    Note,
    PageBreak,
    Paper,
    Space,
    UnknownAid,
    UnknownDrill,
    clean_line,
    clean_text,
)
from lessonkit.lesson.page_aid import aid_if_known
from lessonkit.storage import blocks, strict, whole_files
from lessonkit.storage.lesson_file import (
    LessonFileError,
    lesson_from_bytes,
    lesson_to_bytes,
    read_lesson,
    save_lesson,
)
from lessonkit.storage.shapes import BlockShape, LessonShape
from lessonkit.storage.upgrades import Step
from lessonkit.storage.written import Verbatim, json_bytes
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.label_style import CHOICES, LabelStyle

OLD_FILES = Path(__file__).resolve().parents[2] / "old_files"


class Colour(Enum):
    """A choice for the family below."""

    PLAIN = "plain"
    RICH = "rich"


@dataclasses.dataclass(frozen=True)
class EveryKind(DrillFamily):
    """A family of this test's own that has a setting of every kind."""

    code: ClassVar[str] = "every-kind"
    title: ClassVar[str] = "Every kind"
    quality: Any = fields.quality("maj7", label="Chord quality")  # noqa: RUF009
    keys: tuple[Key, ...] = fields.keys(label="Keys")
    bars: Any = fields.progression("Imaj7 | vim7 | IVmaj7 | V7", label="Bars")  # noqa: RUF009
    remark: str = fields.words("", label="Remark")
    colour: Colour = fields.choice(Colour.PLAIN, label="Colour")  # noqa: RUF009


def known(code: str) -> type[DrillFamily] | None:
    """Only this test's family, so that its files stay what they are when families come and go."""
    return EveryKind if code == "every-kind" else None


@pytest.fixture(autouse=True)
def known_families(monkeypatch: pytest.MonkeyPatch) -> None:
    """Storage finds the family of this test."""
    monkeypatch.setattr(blocks, "family_if_known", known)


LINES = some.text(max_size=40).map(clean_line)
TEXTS = some.text(max_size=120).map(clean_text)
IDS = some.from_regex(r"\A[A-Za-z0-9_-]{1,12}\Z")
KEYS = some.sampled_from((*MAJOR_KEYS, *MINOR_KEYS, Key.parse("D dorian"), Key.parse("B locrian")))
JSON = some.recursive(
    some.none() | some.booleans() | some.integers() | some.floats(allow_nan=False, allow_infinity=False) | some.text(),
    lambda inner: some.lists(inner, max_size=3) | some.dictionaries(some.text(max_size=5), inner, max_size=3),
    max_leaves=8,
)
UNKNOWN_SETTINGS = some.dictionaries(some.text(max_size=8), JSON, max_size=4).map(
    lambda tree: blocks.canonical_settings(msgspec.json.encode(tree))
)


@some.composite
def drills(draw: some.DrawFn) -> DrillFamily:
    """A drill with any settings that its family allows."""
    family = EveryKind()
    for name, param in EveryKind.declared().items():
        if param.extremes() and draw(some.booleans()):
            family = dataclasses.replace(family, **{name: draw(some.sampled_from(param.extremes()))})
    return dataclasses.replace(
        family,
        remark=draw(LINES),
        key=draw(some.none() | KEYS),
        keys=tuple(draw(some.lists(KEYS, max_size=4))),
        right_fingers=tuple(draw(some.lists(some.integers(0, 5), max_size=9))),
    )


def any_block(block_id: str) -> some.SearchStrategy[Block]:
    """Any block of an id."""
    one = some.just(block_id)
    return some.one_of(
        some.builds(Heading, LINES, some.integers(1, 2), one),
        some.builds(Note, TEXTS, one),
        some.builds(Drill, drills(), one),
        some.builds(UnknownAid, LINES.filter(lambda code: aid_if_known(code) is None), UNKNOWN_SETTINGS, one),
        some.builds(UnknownDrill, LINES.filter(lambda code: code != "every-kind"), UNKNOWN_SETTINGS, one),
        some.builds(Space, some.integers(1, 250), one),
        some.builds(PageBreak, one),
    )


STYLES = some.builds(LabelStyle, **{name: some.sampled_from(faces) for name, faces in CHOICES.items()})
BLOCKS = some.lists(IDS, unique=True, max_size=5).flatmap(lambda ids: some.tuples(*map(any_block, ids)))
LESSONS = some.builds(
    Lesson, LINES, TEXTS, LINES, KEYS, some.integers(20, 300), some.sampled_from(Paper),
    some.builds(House, STYLES, some.booleans(), some.booleans()), BLOCKS,
)  # fmt: skip

# Every setting is named, because defaults may change while what a file says may not.
SETTINGS: dict[str, params.Plain] = {
    "key": "Bb", "hands": "right", "lowest": "C4", "octaves": 2, "direction": "up and down", "note_length": "1/8",
    "metre": "4/4", "shows_chord_names": True, "shows_degrees": False, "fingers_shown": "all",
    "right_fingers": [1, 2, 4, 5], "left_fingers": [], "quality": "maj7", "keys": [],
    "bars": "Imaj7 | vim7 | IVmaj7 | V7", "remark": "", "colour": "rich",
}  # fmt: skip
SAMPLE = Lesson(
    "A lesson", "One aim\nand another", "R. Lind", Key.parse("Eb"), 84, Paper.LETTER, House(LabelStyle("ø7", "Δ7")),
    (
        Heading("Heading", 2, "a1"),
        Note("A **note**\n\n{IVmaj7}", "b2"),
        Drill(EveryKind.from_settings(SETTINGS), "c3"),
        UnknownDrill("of-tomorrow", '{"depth":1.50,"list":[1,{"a":null}],"é":"\\u00e9"}', "d4"),
        Space(30, "e5"),
        PageBreak("f6"),
    ),
)  # fmt: skip
with pytest.MonkeyPatch.context() as patch:
    patch.setattr(blocks, "family_if_known", known)
    BYTES = lesson_to_bytes(SAMPLE)


def sentence_about(data: bytes) -> str:
    """The sentence with which bytes are refused; it names the file and is one line."""
    with pytest.raises(LessonFileError) as caught:
        lesson_from_bytes(data, "my.lesson")
    sentence = str(caught.value)
    assert sentence.startswith("my.lesson: ")
    assert "\n" not in sentence
    assert len(sentence) < 700
    return sentence.removeprefix("my.lesson: ")


def changed(old: str, new: str) -> bytes:
    """The sample's bytes with one place changed."""
    text = BYTES.decode()
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the sample"
    return text.replace(old, new).encode("utf-8", "surrogateescape")


@given(LESSONS)
def test_any_lesson_comes_back_from_its_bytes(lesson: Lesson) -> None:
    """What the teacher saves is what she opens."""
    data = lesson_to_bytes(lesson)
    assert lesson_from_bytes(data, "a") == lesson
    assert lesson_to_bytes(lesson_from_bytes(data, "a")) == data


def test_a_file_of_the_first_version_reads_as_it_always_did() -> None:
    """The file in old_files is never edited: teachers' files of that day must open for ever."""
    assert read_lesson(OLD_FILES / "v1" / "every_kind.lesson") == SAMPLE


def test_a_file_can_be_read_and_compared_by_people() -> None:
    """Lessons are kept in folders that show what changed, line by line."""
    text = BYTES.decode()
    assert text.startswith('{\n  "format": "lesson",\n  "version": 1,\n  "title": "A lesson",\n')
    assert text.endswith("}\n")
    assert not text.endswith("\n\n")
    assert '"right_fingers": [1, 2, 4, 5],' in text
    assert '        "A **note**",\n        "",\n        "{IVmaj7}"\n' in text


def test_fields_stand_in_the_file_in_the_order_of_their_shape() -> None:
    """The shape is where one looks up what a file holds."""
    names = re.findall(r'^  "(\w+)":', BYTES.decode(), re.MULTILINE)
    assert names == list(LessonShape.__struct_fields__)


def test_the_tables_of_blocks_are_whole() -> None:
    """A new kind of block that could not be saved would cost somebody an evening."""
    assert set(blocks.WRITERS) == set(KINDS)
    assert set(blocks.READERS) == set(BlockShape.__args__)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ('"octaves": 2', '"octaves": 9', "blocks[2].drill.octaves: 9 is more than 4"),
        ('"octaves": 2', '"octaves": "two"', "blocks[2].drill.octaves: 'two' is not a whole number"),
        ('"octaves": 2', '"octaves": 2.0', "blocks[2].drill.octaves: "),
        ('"octaves": 2', '"octaves": {}', "blocks[2].drill.octaves: "),
        ('"octaves": 2', '"octaves": 1267650600228229401496703205376', "blocks[2].drill.octaves: "),
        ('"octaves": 2', '"octavs": 2', "blocks[2].drill.octavs: Every kind has no such setting; it has key,"),
        ('"octaves": 2', '"octaves": 2, "octaves": 3', "octaves: this name stands twice"),
        ("[1, 2, 4, 5]", '[1, "2"]', "blocks[2].drill.right_fingers: a list holds either texts or numbers"),
        ("[1, 2, 4, 5]", "[1, 9]", "blocks[2].drill.right_fingers: 9 is not between 0 and 5"),
        ("[1, 2, 4, 5]", "[1, [2]]", "blocks[2].drill.right_fingers: [1]: "),
        ('"key": "Bb"', '"key": "H"', "blocks[2].drill.key: 'H' is not a key"),
        ('"key": "Eb"', '"key": "H"', "key: 'H' is not a key"),
        ('"key": "Eb"', '"key": "Fb"', "key: F♭ major would need more than seven accidentals"),
        ('"key": "Eb"', '"key": 3', "key: text belongs here, not a whole number"),
        ('"tempo": 84', '"tempo": 8', "tempo: this number is less than 20"),
        ('"tempo": 84', '"tempo": 1e999', "tempo: "),
        ('"tempo": 84', '"tempo": NaN', "line 11, column 12: this is not well-formed JSON"),
        ('"tempo": 84,', "", "tempo: this field is missing"),
        ('"paper": "letter"', '"paper": "a6"', "paper: 'a6' is not one of the words"),
        ('"half_diminished": "ø7"', '"half_diminished": "x"', "house.label_style: 'x' is not a way to write"),
        ('"height": 30', '"height": 251', "blocks[4].height: this number is more than 250"),
        ('"height": 30', '"height": true', "blocks[4].height: a whole number belongs here, not true or false"),
        ('"level": 2', '"level": 3', "blocks[0].level: this number is more than 2"),
        ('"text": "Heading"', '"text": "Two\\nlines"', "blocks[0].text: a heading is one line"),
        ('"text": "Heading"', '"text": "\\u0000"', "blocks[0].text: a heading holds the character U+0000"),
        ('"{IVmaj7}"', '"\\u0007"', "blocks[1].text: a note holds the character U+0007"),
        ('"{IVmaj7}"', "7", "blocks[1].text[2]: text belongs here, not a whole number"),
        ('"kind": "space"', '"kind": "video"', "blocks[4].kind: 'video' is not one of the words"),
        ('"kind": "space",', "", "blocks[4].kind: this field is missing"),
        ('"id": "e5"', '"id": "../e"', "blocks[4].id: a name here has"),
        ('"id": "e5"', '"id": "a1"', "two blocks of the lesson share one id"),
        ('"id": "e5"', '"id": "e5", "colour": "red"', "blocks[4].colour: there is no such field"),
        ('"title"', '"titel"', "titel: there is no such field"),
        ('"format": "lesson"', '"format": "recipe"', "format: 'recipe' is not 'lesson'; this is not a lesson file"),
        ('"version": 1', '"version": 3', "the file was written by a newer lessonkit (version 3; this one reads up"),
        ('"version": 1', '"version": 0', "version: this number is less than 1"),
        ('"version": 1', '"version": "1"', "version: a whole number belongs here, not text"),
        ('  "version": 1,\n', "", "version: this field is missing"),
        ('{"depth":1.50', '{"depth":1.50,"depth":2', "depth: this name stands twice"),
        ('"family": "of-tomorrow"', '"family": "a\\nb"', "blocks[3].family: the name of a drill family is one line"),
        ('"list":[1,{"a":null}]', '"list":' + "[" * 30 + "]" * 30, "blocks[3].drill: brackets lie inside one another"),
        ('"list":[1,{"a":null}]', '"list":' + "[" * 9999 + "]" * 9999, "brackets lie inside one another deeper"),
        ('"list":[1,{"a":null}]', f'"list":"{"x" * 100_001}"', "blocks[3].drill: settings of 100"),
    ],
)
def test_a_wrong_place_is_named_in_one_sentence(old: str, new: str, expected: str) -> None:
    """A teacher who edits a file by hand, or mends one, finds the place by the sentence."""
    assert sentence_about(changed(old, new)).startswith(expected)


def test_a_text_too_long_is_named() -> None:
    """One field must not hold a library."""
    assert sentence_about(changed('"title": "A lesson"', f'"title": "{"x" * 301}"')) == (
        "title: this text is longer than 300 characters"
    )
    assert "longer than 50000" in sentence_about(changed('"{IVmaj7}"', f'"{"x" * 50_001}"'))
    assert "longer than 50000" in sentence_about(changed('"{IVmaj7}"', f'"{"x" * 49_990}"'))


def test_more_blocks_than_a_lesson_holds_are_refused() -> None:
    """A file of small blocks without end must not become a million drawings."""
    many = ",".join(f'{{"kind": "page break", "id": "{number}"}}' for number in range(2001))
    assert sentence_about(changed('"blocks": [', f'"blocks": [{many},')) == "blocks: this list is longer than 2000"


@pytest.mark.parametrize("data", [b"", b"  \n"])
def test_an_empty_file_is_said_to_be_empty(data: bytes) -> None:
    """What a full disk leaves behind."""
    assert sentence_about(data) == "the file is empty"


def test_a_truncated_file_is_told_with_line_and_column() -> None:
    """Wherever it breaks off."""
    for end in range(1, len(BYTES.rstrip())):
        where = re.match(r"line (\d+), column (\d+): ", sentence_about(BYTES[:end]))
        assert where is not None, end
        if end > 3 and BYTES[end - 1] < 128 and BYTES[end] < 128:
            assert int(where[1]) == BYTES[:end].count(b"\n") + 1
    assert sentence_about(BYTES[:37]) == "line 3, column 14: the file ends too early; the rest of it is missing"


def test_bytes_that_are_no_text_are_told_with_line_and_column() -> None:
    """A picture with a lesson's name, or a file saved in another encoding."""
    assert sentence_about(changed("A lesson", "A less\udcf6n")).startswith("line 4, column 19")
    assert sentence_about(b"\x89PNG\r\n") == "line 1, column 1: the file is not UTF-8 text"


def test_a_byte_order_mark_does_no_harm() -> None:
    """Some editors write one."""
    assert lesson_from_bytes(b"\xef\xbb\xbf" + BYTES, "a") == SAMPLE


@pytest.mark.parametrize("data", [b"[]", b"3", b'"lesson"', b"null", b"{}", b"[" * 100_000, b'{"a":' * 100_000])
def test_json_that_is_no_lesson_is_refused(data: bytes) -> None:
    """Other programs' files, and files made to hurt."""
    assert sentence_about(data)


def test_a_drill_of_an_unknown_family_is_kept_as_it_was() -> None:
    """A newer program's drill survives being opened and saved by this one."""
    unknown = SAMPLE.blocks[3]
    assert isinstance(unknown, UnknownDrill)
    assert f'"drill": {unknown.settings}\n' in BYTES.decode()
    spread = changed('"list":[1,{"a":null}]', '"list" : [ 1 ,\n {"a": null} ]')
    assert lesson_from_bytes(spread, "a") == SAMPLE


def test_an_aid_that_is_not_known_is_kept_as_it_was() -> None:
    """A newer program's aid survives being opened, edited and saved by this one, with numbers as they were written."""
    settings = '{"rows":3.50,"deep":{"list":[1,{"a":null}]},"é":"\\u00e9"}'
    lesson = Lesson(blocks=(Note("before", "n"), UnknownAid("sticker-chart", settings, "u")))
    data = lesson_to_bytes(lesson)
    assert lesson_from_bytes(data, "a") == lesson
    assert f'"settings": {settings}\n' in data.decode()
    spread = data.replace(b'"deep":{"list"', b'"deep" : {\n "list"')
    assert spread != data
    assert lesson_from_bytes(spread, "a") == lesson
    edited = lesson_from_bytes(lesson_to_bytes(set_note_text(lesson, "n", "after")), "a")
    assert edited.blocks[1] == lesson.blocks[1]


@pytest.mark.parametrize("settings", [b"[]", b"3", b'"x"', b"null", b'{"a": ' + b"[" * 30 + b"]" * 30 + b"}"])
def test_what_no_aid_can_have_as_settings_is_refused(settings: bytes) -> None:
    """Kept as it is does not mean unread: what would hurt later is refused with its place."""
    data = lesson_to_bytes(Lesson(blocks=(UnknownAid("sticker-chart", "{}", "u"),)))
    wrong = data.replace(b'"settings": {}', b'"settings": ' + settings)
    assert wrong != data
    with pytest.raises(LessonFileError, match=r"blocks\[0\].settings"):
        lesson_from_bytes(wrong, "a")


def test_settings_that_a_file_leaves_out_keep_their_default() -> None:
    """A family may learn a setting without a new version of the file."""
    drill = lesson_from_bytes(changed('          "octaves": 2,\n'.removeprefix("  "), ""), "a").blocks[2]
    assert isinstance(drill, Drill)
    assert drill.family.octaves == 2


def test_a_lesson_that_would_not_come_back_is_not_written() -> None:
    """Better a sentence while the work is still open than a file that cannot be read tomorrow."""
    with pytest.raises(LessonFileError, match="cannot be written"):
        lesson_to_bytes(Lesson(blocks=(Drill(EveryKind(remark="half \ud800"), "d"),)))
    with pytest.raises(LessonFileError, match="reads back"):
        lesson_to_bytes(Lesson(blocks=(UnknownDrill("x", '{ "a": 1 }', "d"),)))
    with pytest.raises(LessonFileError, match=r"blocks\[0\].drill"):
        lesson_to_bytes(Lesson(blocks=(Drill(EveryKind(octaves=9), "d"),)))


def mutations(data: bytes, chance: random.Random) -> Iterator[bytes]:
    """Random wounds to a file: bytes flipped, cut out, doubled, moved, or one JSON word in the place of another."""
    words = [b"null", b"true", b"{}", b"[]", b"-1", b"1e400", b"9" * 40, b'""', b'"\\ud800"', b'"\\u0000"', b'"x"']
    start, end = sorted(chance.choices(range(len(data)), k=2))
    yield data[:start] + bytes([chance.randrange(256)]) + data[start + 1 :]
    yield data[:start] + data[end:]
    yield data[:end] + data[start:]
    yield data[:start] + chance.choice(words) + data[start:]
    values = list(re.finditer(rb'(?<=: )(?:"[^"]*"|\d+|true|false|null)|(?<=\n)\s+"[^"]*"(?=,?\n)', data))
    place = chance.choice(values)
    yield data[: place.start()] + chance.choice(words) + data[place.end() :]
    lines = data.split(b"\n")
    chance.shuffle(lines)
    yield b"\n".join(lines)


@given(some.integers(0, 2**32))
@settings(max_examples=300)
def test_a_wounded_file_is_a_lesson_or_a_sentence(seed: int) -> None:
    """Never another error, never a hang."""
    for data in mutations(BYTES, random.Random(seed)):
        try:
            lesson = lesson_from_bytes(data, "my.lesson")
        except LessonFileError:
            sentence_about(data)
        else:
            assert lesson_from_bytes(lesson_to_bytes(lesson), "a") == lesson


@given(some.binary(max_size=200))
def test_any_bytes_are_a_lesson_or_a_sentence(data: bytes) -> None:
    """Whatever is opened by mistake."""
    sentence_about(data)


def test_a_file_on_the_disk_is_saved_and_read(tmp_path: Path) -> None:
    """The whole way."""
    path = tmp_path / "a.lesson"
    save_lesson(SAMPLE, path)
    assert path.read_bytes() == BYTES
    assert read_lesson(path) == SAMPLE


def test_a_huge_file_is_refused_without_reading_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A film with a lesson's name must not fill the memory first."""
    path = tmp_path / "film.lesson"
    with open(path, "wb") as file:
        file.truncate(100 * 1024 * 1024)
    monkeypatch.setattr(Path, "read_bytes", lambda path: pytest.fail("the file was read"))
    with pytest.raises(LessonFileError, match=r"^film.lesson: the file is larger than 16 MB"):
        read_lesson(path)


def test_what_cannot_be_opened_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No such file, a folder, a pipe that would never end, no permission, a broken disk."""
    with pytest.raises(LessonFileError, match=r"^none.lesson: there is no such file"):
        read_lesson(tmp_path / "none.lesson")
    with pytest.raises(LessonFileError, match="this is a folder"):
        read_lesson(tmp_path)
    os.mkfifo(tmp_path / "pipe.lesson")
    with pytest.raises(LessonFileError, match="this is no ordinary file"):
        read_lesson(tmp_path / "pipe.lesson")
    with pytest.raises(LessonFileError):
        read_lesson(tmp_path / "with\x00nul")
    (tmp_path / "a.lesson").write_bytes(BYTES)
    errors = ((PermissionError(13, "x"), "you may not read"), (OSError(5, "Input/output error"), "Input/output"))
    for error, words in errors:

        def fail(path: Path, error: OSError = error) -> bytes:
            raise error

        monkeypatch.setattr(Path, "read_bytes", fail)
        with pytest.raises(LessonFileError, match=words):
            read_lesson(tmp_path / "a.lesson")


def test_a_save_that_fails_says_why_and_keeps_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The window shows the sentence and goes on."""
    path = tmp_path / "a.lesson"
    path.write_bytes(b"old")

    def full(path: Path, data: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(whole_files, "safe_write", full)
    with pytest.raises(LessonFileError, match=r"^a.lesson was not saved: No space left on device; save it"):
        save_lesson(SAMPLE, path)
    assert path.read_bytes() == b"old"


class OlderShape(msgspec.Struct, forbid_unknown_fields=True):
    """What a version before might have looked like: a name and nothing else."""

    format: str
    version: int
    name: str


def test_an_older_file_is_brought_up_step_by_step() -> None:
    """The way that the next version will take: decode the old shape as strictly, then one pure step to the next."""
    newest = msgspec.json.decode(BYTES, type=LessonShape)

    def second(old: OlderShape) -> LessonShape:
        return msgspec.structs.replace(newest, title=old.name + "!")

    steps = (
        Step(2, OlderShape, second),
        Step(1, OlderShape, lambda old: OlderShape("lesson", 2, old.name.upper())),
    )
    first = b'{"format": "lesson", "version": 1, "name": "scales"}'
    assert strict.decode(first, "a", "lesson", 3, LessonShape, steps).title == "SCALES!"
    assert strict.decode(first.replace(b"1", b"2"), "a", "lesson", 3, LessonShape, steps).title == "scales!"
    with pytest.raises(LessonFileError, match="a: colour: there is no such field"):
        strict.decode(first.replace(b"name", b"colour"), "a", "lesson", 3, LessonShape, steps)


def test_written_json_is_json() -> None:
    """Our own writer against a reader that is not ours."""
    tree = {"a": [], "b": {}, "c": [1, 2], "d": ["long enough to break"], "é": '\u2028"\\\n', "g": None}
    tree["f"] = Verbatim("[1.50]")
    data = json_bytes(tree)
    assert msgspec.json.decode(data) == {**tree, "f": [1.5]}
    assert data.endswith(b"}\n")
