"""How notes are called: in English, in German or in syllables. Files keep English names; here they are said otherwise.

Common practice, no source: German calls B♭ by the letter B and B by the letter H; the Romance languages sing do to si.
"""

from __future__ import annotations

import re
from enum import Enum

from lessonkit.theory.pitch import NoteName

SYLLABLES = ("do", "re", "mi", "fa", "sol", "la", "si")
"""The syllables of the letters C to B."""


class NoteNames(Enum):
    """The names of notes that a lesson is written in."""

    ENGLISH = "B and B♭"
    GERMAN = "H and B"
    SYLLABLES = "si and si♭"


def note_name(name: NoteName, names: NoteNames) -> str:
    """A note as it is called: ``B♭``, ``B`` or ``si♭``, and the next key of the piano ``B``, ``H`` or ``si``."""
    plain = str(name)
    if names is NoteNames.SYLLABLES:
        return SYLLABLES[name.letter] + plain[1:]
    if names is NoteNames.GERMAN and plain[0] == "B":
        return "B" if name.alteration == -1 else "H" + plain[1:]
    return plain


_WRITTEN = re.compile(
    r"(?<![A-Za-z♭♯])(?<![Ff]orm )([A-G])([♭♯𝄫𝄪]*)"
    r"(?=maj|m(?![a-z])|dim|aug|sus|add|alt|[°øΔ−+(/]|-?\d|[^\w♭♯]|$)"
    r"(?! (?:black|flat|sharp))"
)
_ARTICLE = re.compile(r"A (?!major|minor|dorian|phrygian|lydian|mixolydian|locrian)[a-z]")


def renamed(text: str, names: NoteNames) -> str:
    """Words that were written with English names of notes, keys and chords, with these names in their place."""
    if names is NoteNames.ENGLISH:
        return text
    return _WRITTEN.sub(lambda found: _renamed(found, names), text)


def _renamed(found: re.Match[str], names: NoteNames) -> str:
    if _ARTICLE.match(found.string, found.start()):
        return found[0]
    name = found[1] + found[2]
    if names is NoteNames.SYLLABLES:
        return SYLLABLES["CDEFGAB".index(found[1])] + found[2]
    return name if found[1] != "B" else "B" if found[2] == "♭" else "H" + found[2]


_SPOKEN = re.compile(r"\b([A-G])( double flat| flat| sharp| double sharp)?(?![A-Za-z♭♯])")


def respoken(words: str, names: NoteNames) -> str:
    """Notes in words, ``B flat 3`` and ``B 3``, as they are said with these names: ``B 3`` and ``H 3`` in German."""
    if names is NoteNames.ENGLISH:
        return words
    return _SPOKEN.sub(lambda found: _respoken(found, names), words)


def _respoken(found: re.Match[str], names: NoteNames) -> str:
    sign = found[2] or ""
    if names is NoteNames.SYLLABLES:
        return SYLLABLES["CDEFGAB".index(found[1])] + sign
    return found[0] if found[1] != "B" else "B" if sign == " flat" else f"H{sign}"


_TYPED = re.compile(
    r"(?<![A-Za-z0-9(])(?:([BH])([b♭#♯]?)(?=maj|min|m(?![a-z])|M|dim|aug|sus|add|alt|[^A-Za-z]|$)"
    r"|([bh])([b♭#♯]?)(?=m?(?:[\s,;]|$)))"
)
_SUNG = re.compile(r"(?<![A-Za-z])(do|re|ré|mi|fa|sol|la|si)(?![a-z]{2})", re.IGNORECASE)


def in_english(text: str, names: NoteNames) -> str:
    """What was typed in these names, in the English ones that are read and kept: of German ``B, H`` comes ``Bb, B``."""
    if names is NoteNames.SYLLABLES:
        return _SUNG.sub(lambda sung: "CDEFGAB"[SYLLABLES.index(sung[1].lower().replace("é", "e"))], text)
    if names is NoteNames.GERMAN:
        return _TYPED.sub(_from_german, text)
    return text


def _from_german(typed: re.Match[str]) -> str:
    letter, sign = (typed[1], typed[2]) if typed[1] else (typed[3], typed[4])
    if letter in "Hh":
        return "B" + sign
    return "Bb" + ("" if sign in ("b", "♭") else sign)
