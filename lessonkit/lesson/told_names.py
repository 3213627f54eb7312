"""Chord names found in plain sentences, as captions and remarks have them, so that they are set as chords everywhere.

Only what cannot be read as a word or a note is taken: a root with a quality behind it, not a bare letter and not a note
with its octave.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from lessonkit.lesson.prose import ChordName, DegreeName, Span, Words
from lessonkit.theory.chord import Chord
from lessonkit.theory.naming import NoteNames, in_english, renamed
from lessonkit.theory.roman import RomanChord

_NAME = re.compile(
    r"(?<![\w♭♯/])"
    r"(?P<root>[A-H][♭♯𝄪𝄫]?|(?:sub(?=V))?[♭♯]?(?:VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i))"
    r"(?P<suffix>(?:maj|min|m|M|dim|aug|sus|add|alt|°|ø|Δ|\+|−|6/9|1[13]|[24679]|5|[♭♯](?=\d|1)|\([^()\s]{1,12}\))+)"
    r"(?P<bass>/[A-H][♭♯]?)?(?![\w♭♯°])"
)
_NO_CHORD = re.compile(r"[2456]|[A-G][♭♯]?[0-8]")
"""Suffixes that a note's octave or a word could be."""


def with_names(spans: Iterable[Span], names: NoteNames = NoteNames.ENGLISH) -> tuple[Span, ...]:
    """The spans with the chord names among their plain words as names; the words are written with these names."""
    return tuple(part for span in spans for part in (_parts(span, names) if isinstance(span, Words) else (span,)))


def with_names_told(spans: Iterable[Span], names: NoteNames) -> tuple[Span, ...]:
    """The same of words that were put together in English, whose notes and keys are called otherwise on the page.

    A chord name is drawn in the style of the page, which calls its root as ``names`` do.
    """
    parts = with_names(spans)
    if names is NoteNames.ENGLISH:
        return parts
    return tuple(replace(part, text=renamed(part.text, names)) if isinstance(part, Words) else part for part in parts)


def _parts(span: Words, names: NoteNames) -> Iterator[Span]:
    if span.problem:
        yield span
        return
    place = 0
    for match in _NAME.finditer(span.text):
        name = _named(match, span, names)
        if name is None:
            continue
        if match.start() > place:
            yield Words(span.text[place : match.start()], span.bold, span.italic)
        yield name
        place = match.end()
    if place < len(span.text):
        yield Words(span.text[place:], span.bold, span.italic)


def _named(match: re.Match[str], span: Words, names: NoteNames) -> Span | None:
    if _NO_CHORD.fullmatch(match["suffix"]):
        return None
    try:
        if match["root"][0] in "ABCDEFGH":
            return ChordName(Chord.parse(in_english(match[0], names)), span.bold, span.italic)
        return DegreeName(RomanChord.parse(match[0]), span.bold, span.italic)
    except ValueError:
        return None
