"""What is looked at before an excerpt is parsed: how large it is and whether it asks for more than notes.

Nothing here understands music. What passes is plain text without entities, document types or directives, small enough
to be parsed in a moment; all else is refused with a sentence.
"""

from __future__ import annotations

import io
import re
import zipfile
from enum import Enum
from pathlib import Path

from lessonkit.values import dataclass

LARGEST_FILE = 4_000_000
"""The largest file that is opened, in bytes."""

LARGEST_TEXT = {"MusicXML": 8_000_000, "ABC": 64_000}
"""The longest text that is parsed, in characters."""

MOST_NOTES, MOST_MEASURES, MOST_PARTS = 3000, 300, 40
MOST_IN_ARCHIVE = 200
MOST_BEATS = 32
UNITS = (1, 2, 4, 8, 16, 32)

_ENCLOSED = "META-INF/container.xml"
_ROOT_FILE = re.compile(r"<rootfile\b[^>]*\bfull-path\s*=\s*[\"']([^\"'<>]{1,300})[\"']")
_DOCTYPE = re.compile(r"<!DOCTYPE[^\[<>]*>", re.IGNORECASE)
_DECLARATION = re.compile(r"\A\s*<\?xml[^>]*\?>")
_LONG_NUMBER = re.compile(r"<(?!words|text|credit|software|encoder|rights)[^<>]*>\s*-?[0-9]{7,}")
_WITH_FREE_TEXT = re.compile(r"(?m)^[ \t]*(?:[ABCDFGHNOQRSTWXZw+]:).*$|%.*$|\"[^\"\n]*\"")
_ABC_METRE = re.compile(r"(?m)(?:^|\[)M:\s*([^\]\n%]*)")
_ABC_LENGTH = re.compile(r"(?m)(?:^|\[)L:\s*([^\]\n%]*)")


class UnreadableExcerpt(ValueError):
    """A file cannot be read as an excerpt; the text is the sentence to show."""


class Kind(Enum):
    """What an excerpt is written in."""

    MUSICXML = "MusicXML"
    ABC = "ABC"


@dataclass(frozen=True, slots=True)
class Guarded:
    """An excerpt's text that may be parsed, and what was taken out of it, a sentence each."""

    kind: Kind
    text: str
    report: tuple[str, ...] = ()


def guarded(path: Path) -> Guarded:
    """The text of a file that may be parsed; raises UnreadableExcerpt for any other."""
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except OSError as error:
        raise UnreadableExcerpt(f"{path.name} cannot be opened: {error.strerror or 'it is no file'}") from None
    if len(data) > LARGEST_FILE:
        raise UnreadableExcerpt(f"{path.name} is larger than {LARGEST_FILE // 1_000_000} MB; save a few bars of it")
    if data.startswith(b"PK"):
        data = _unpacked(data, path.name)
    text = _decoded(data, path.name)
    if text.lstrip().startswith("<"):
        return _musicxml(text, path.name)
    if re.search(r"(?m)^\s*K:", text):
        return _abc(text, path.name)
    raise UnreadableExcerpt(
        f"{path.name} is neither MusicXML nor ABC; save it as MusicXML (.musicxml or .mxl) from the program it is from"
    )


def _unpacked(data: bytes, name: str) -> bytes:
    """The music of a compressed MusicXML file, unpacked no further than its limit."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if len(archive.infolist()) > MOST_IN_ARCHIVE:
                raise UnreadableExcerpt(f"{name} packs more than {MOST_IN_ARCHIVE} files, so it is no music to read")
            container = _member(archive, _ENCLOSED, 64_000, name).decode("utf-8", "replace")
            found = _ROOT_FILE.search(container)
            if found is None:
                raise UnreadableExcerpt(f"{name} does not say where its music is; save it as .musicxml and try again")
            return _member(archive, found[1], LARGEST_TEXT["MusicXML"], name)
    except (zipfile.BadZipFile, RuntimeError, NotImplementedError, EOFError, OSError, ValueError, KeyError) as error:
        if isinstance(error, UnreadableExcerpt):
            raise
        raise UnreadableExcerpt(f"{name} is damaged and cannot be unpacked; save it again and try once more") from None
    except Exception as error:  # zlib and lzma have errors of their own, outside of any common class
        if type(error).__module__ in ("zlib", "lzma", "_lzma"):
            raise UnreadableExcerpt(f"{name} is damaged and cannot be unpacked; save it again") from None
        raise


def _member(archive: zipfile.ZipFile, member: str, most: int, name: str) -> bytes:
    with archive.open(member) as packed:
        data = packed.read(most + 1)
    if len(data) > most:
        raise UnreadableExcerpt(f"{name} unpacks to more than {most // 1000} KB; save a few bars of it")
    return data


def _decoded(data: bytes, name: str) -> str:
    encodings = ("utf-16",) if data[:2] in (b"\xff\xfe", b"\xfe\xff") else ("utf-8-sig", "latin-1")
    for encoding in encodings:
        try:
            text = data.decode(encoding)
        except UnicodeError:
            continue
        if "\0" in text:
            break
        return text.replace("\r\n", "\n").replace("\r", "\n")
    raise UnreadableExcerpt(f"{name} is no text, so it is neither MusicXML nor ABC")


def _musicxml(text: str, name: str) -> Guarded:
    _check_length(text, Kind.MUSICXML, name)
    text = _DOCTYPE.sub("", _DECLARATION.sub("", text), count=1)
    lower = text.lower()
    if "<!doctype" in lower or "<!entity" in lower or "<!element" in lower or "<?xml-stylesheet" in lower:
        raise UnreadableExcerpt(f"{name} defines entities of its own, which music needs none of; it was not read")
    if "<score-partwise" not in lower:
        what = "is MusicXML ordered by time" if "<score-timewise" in lower else "has no MusicXML score in it"
        raise UnreadableExcerpt(f"{name} {what}; save it as ordinary MusicXML from the program it is from")
    for tag, most, what in (
        ("note", MOST_NOTES, "notes"),
        ("measure", MOST_MEASURES, "bars"),
        ("part", MOST_PARTS, "parts"),
    ):
        count = len(re.findall(rf"<{tag}[\s>/]", lower))
        if count > most:
            raise UnreadableExcerpt(f"{name} has {count} {what}, more than {most}; save a few bars of it")
    if _LONG_NUMBER.search(text):
        raise UnreadableExcerpt(f"{name} has numbers that no music has; it was not read")
    for beats in re.findall(r"<beats>\s*([^<]*?)\s*</beats>", lower):
        _check_metre(beats, "4", name)
    for unit in re.findall(r"<beat-type>\s*([^<]*?)\s*</beat-type>", lower):
        _check_metre("4", unit, name)
    return Guarded(Kind.MUSICXML, text)


def _abc(text: str, name: str) -> Guarded:
    _check_length(text, Kind.ABC, name)
    report = []
    kept = [line for line in text.split("\n") if not re.match(r"\s*(%%|I:|U:|m:)", line)]
    if len(kept) < len(text.split("\n")):
        report.append("Directives for other programs (lines that begin with %% or I:) were left out.")
    text = "\n".join(kept)
    notes = _WITH_FREE_TEXT.sub("", text)
    if re.search(r"[0-9]{3,}", notes):
        raise UnreadableExcerpt(f"{name} has numbers that no music has; it was not read")
    if len(re.findall(r"[A-Ga-gzx]", notes)) > MOST_NOTES or notes.count("|") > MOST_MEASURES:
        raise UnreadableExcerpt(f"{name} is longer than {MOST_MEASURES} bars; save a few bars of it")
    for metre in _ABC_METRE.findall(text):
        plain = metre.strip()
        if plain not in ("C", "C|", "none", ""):
            beats, _, unit = plain.partition("/")
            _check_metre(beats, unit, name)
    for length in _ABC_LENGTH.findall(text):
        beats, _, unit = length.strip().partition("/")
        if not (
            beats.strip().isdigit() and (not unit.strip() or unit.strip() in ("1", "2", "4", "8", "16", "32", "64"))
        ):
            raise UnreadableExcerpt(f"{name} has the note length {length.strip()[:20]!r}, which cannot be read")
    return Guarded(Kind.ABC, text, tuple(report))


def _check_length(text: str, kind: Kind, name: str) -> None:
    most = LARGEST_TEXT[kind.value]
    if len(text) > most:
        raise UnreadableExcerpt(f"{name} has more than {most // 1000} KB of {kind.value}; save a few bars of it")


def _check_metre(beats: str, unit: str, name: str) -> None:
    numbers = [part.strip() for part in beats.strip("() ").split("+")]
    is_metre = all(part.isdigit() and len(part) <= 2 for part in numbers) and unit.strip().isdigit()
    if not is_metre or not 1 <= sum(map(int, numbers)) <= MOST_BEATS or len(unit) > 3 or int(unit) not in UNITS:
        raise UnreadableExcerpt(
            f"{name} has the metre {beats[:12]}/{unit[:12]}, which cannot be read; write it like 4/4"
        )
