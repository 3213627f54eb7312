"""What can be chosen of the things that a lesson, or a studio for all its lessons, decides: values with their words."""

from __future__ import annotations

from typing import Any

from desktop.forms.wording import capital
from desktop.words import english, say
from lessonkit.drills.exercise import FingersShown
from lessonkit.lesson.lesson import Paper
from lessonkit.theory.naming import NoteNames

Options = tuple[tuple[str, Any], ...]

STYLE_WORDS = {
    "half_diminished": english("Half-diminished"),
    "major_seventh": english("Major seventh"),
    "minor": english("Minor"),
    "diminished": english("Diminished"),
    "numerals": english("Roman numerals"),
}
"""The faces of chord names that can be chosen."""


def face_shown(name: str, face: str) -> str:
    """A face as an example: what follows a root behind a C, a numeral by itself."""
    return face if name == "numerals" else f"C{face}"


PAPERS: Options = (
    ("A4", Paper.A4), (english("Letter"), Paper.LETTER), (english("A4 or Letter"), Paper.BOTH), ("A5", Paper.A5),
    (english("A3, all larger"), Paper.A3),
)  # fmt: skip

STRENGTHS: Options = (
    (english("No matter"), 0), (english("As usual"), 1), (english("Strongly"), 2), (english("Nearly always"), 3),
)  # fmt: skip
"""How much fingers avoid something."""

SIXES: Options = ((english("G♭, six flats"), True), (english("F♯, six sharps"), False))
NOTE_NAMES: Options = (
    (english("English: B, B♭"), NoteNames.ENGLISH),
    (english("German: H, B"), NoteNames.GERMAN),
    (english("Syllables: si, si♭"), NoteNames.SYLLABLES),
)
"""The names of notes, by the two in which they differ."""

SPELLINGS: Options = ((english("Strict"), False), (english("Easy to read"), True))

FINGERS_PRINTED: Options = (
    (english("As usual for each drill"), None),
    *((one.value, one) for one in FingersShown if one is not FingersShown.LESSON),
)

STAVES = (
    (60, english(", smallest")), (65, english(", compact")), (70, english(", for readers")),
    (75, english(", for adults who begin")), (80, ""), (90, english(", for children")), (100, english(", large print")),
    (120, english(", large print")), (140, ""), (160, english(", largest")),
)  # fmt: skip
"""Heights of a staff in tenths of a millimetre, and whom they suit (common practice)."""


def said(options: Options) -> list[tuple[str, Any]]:
    """Options in the words of the window."""
    return [(capital(say(words)), value) for words, value in options]


def staves_said() -> list[tuple[str, Any]]:
    """The heights of a staff in the words of the window."""
    return [(f"{size / 10:g} mm{say(words)}", size) for size, words in STAVES]
