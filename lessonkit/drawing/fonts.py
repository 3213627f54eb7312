"""The font file behind each face, and which face can write which sign. All of them ship in resources/fonts."""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path

from lessonkit.drawing.shapes import Face

FOLDER = Path(__file__).resolve().parents[2] / "resources" / "fonts"
"""Where the fonts and their licences lie."""

_FILES: dict[Face, str] = {
    Face.SERIF: "SourceSerifPro-Regular.ttf",
    Face.SERIF_ITALIC: "SourceSerifPro-It.ttf",
    # The semibold is the bold of a page: beside music it is plainly stronger than the text and never shouts.
    Face.SERIF_BOLD: "SourceSerifPro-Semibold.ttf",
    Face.SERIF_BOLD_ITALIC: "SourceSerifPro-SemiboldIt.ttf",
    Face.SANS: "SourceSansPro-Regular.ttf",
    Face.SANS_BOLD: "SourceSansPro-Semibold.ttf",
    # Large print is half bold throughout, so what stands out there must be bolder still.
    Face.SANS_BLACK: "SourceSansPro-Black.ttf",
    Face.SPARE: "LiberationSerif-Regular.ttf",
    Face.SPARE_ITALIC: "LiberationSerif-Italic.ttf",
    Face.SPARE_BOLD: "LiberationSerif-Bold.ttf",
    Face.SIGNS: "LessonkitSigns.ttf",
    Face.SIGNS_BOLD: "LessonkitSigns-Bold.ttf",
}

OWN_SIGNS = frozenset("♩♪♭♮♯𝄪𝄫\U0001d157\U0001d15d\U0001d15e\U0001d165○●◐□■")
"""Signs that always come from our own face, so that all on a page are of one make."""

_SUBSTITUTES: dict[Face, tuple[Face, ...]] = {
    Face.SERIF: (Face.SIGNS, Face.SPARE),
    Face.SERIF_ITALIC: (Face.SIGNS, Face.SERIF, Face.SPARE_ITALIC, Face.SPARE),
    Face.SERIF_BOLD: (Face.SIGNS_BOLD, Face.SPARE_BOLD),
    Face.SERIF_BOLD_ITALIC: (Face.SIGNS_BOLD, Face.SERIF_BOLD, Face.SPARE_BOLD),
    Face.SANS: (Face.SIGNS, Face.SERIF, Face.SPARE),
    Face.SANS_BOLD: (Face.SIGNS_BOLD, Face.SERIF_BOLD, Face.SPARE_BOLD),
    Face.SANS_BLACK: (Face.SIGNS_BOLD, Face.SERIF_BOLD, Face.SPARE_BOLD),
    Face.SPARE: (Face.SIGNS, Face.SERIF),
    Face.SPARE_ITALIC: (Face.SIGNS, Face.SPARE, Face.SERIF),
    Face.SPARE_BOLD: (Face.SIGNS_BOLD, Face.SERIF_BOLD),
    Face.SIGNS: (Face.SERIF, Face.SPARE),
    Face.SIGNS_BOLD: (Face.SERIF_BOLD, Face.SPARE_BOLD),
}

_SIGNS_BESIDE = {
    face: next((one for one in (face, *others) if one in (Face.SIGNS, Face.SIGNS_BOLD)), Face.SIGNS)
    for face, others in _SUBSTITUTES.items()
}


def signs_beside(face: Face) -> Face:
    """The cut of our own signs that is as bold as a face."""
    return _SIGNS_BESIDE[face]


def font_file(face: Face) -> Path:
    """The TrueType file of a face."""
    return FOLDER / _FILES[face]


def runs(text: str, face: Face) -> tuple[tuple[str, Face], ...]:
    """The text in pieces that one face each can write, in order; joined they are the text again.

    A sign that a face lacks comes from the first substitute that has it. A sign that none has stays with the face
    asked for, which shows its empty box.

    >>> [(piece, piece_face.value) for piece, piece_face in runs("A♭ major", Face.SERIF)]
    [('A', 'serif'), ('♭', 'signs'), (' major', 'serif')]
    """
    if text.isascii():
        return ((text, face),) if text else ()
    return _runs(text, face)


@lru_cache(maxsize=4096)
def _runs(text: str, face: Face) -> tuple[tuple[str, Face], ...]:
    found: list[tuple[str, Face]] = []
    for sign in text:
        sign_face = _face_of(sign, face)
        if found and found[-1][1] is sign_face:
            found[-1] = (found[-1][0] + sign, sign_face)
        else:
            found.append((sign, sign_face))
    return tuple(found)


def _face_of(sign: str, face: Face) -> Face:
    if sign in OWN_SIGNS:
        return _SIGNS_BESIDE[face]
    code = ord(sign)
    for candidate in (face, *_SUBSTITUTES[face]):
        if code in advances(candidate):
            return candidate
    return face


def advances(face: Face) -> dict[int, float]:
    """How far each code point of a face moves on, in ems; code point 0 stands for the empty box of a missing sign."""
    return _advances()[face]


@lru_cache(maxsize=1)
def _advances() -> dict[Face, dict[int, float]]:
    """Read from a table beside the fonts, because opening the fonts themselves takes a hundred times as long."""
    table = json.loads((FOLDER / "advances.json").read_text(encoding="utf-8"))
    return {face: _unpacked(**table[face.value]) for face in Face}


def _unpacked(units: int, spans: list[tuple[int, list[int]]]) -> dict[int, float]:
    return {first + place: width / units for first, widths in spans for place, width in enumerate(widths)}
