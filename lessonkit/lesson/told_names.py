"""Chord names found in plain sentences, as captions and remarks have them, so that they are set as chords everywhere.

Only what cannot be read as a word or a note is taken: a root with a quality behind it, not a bare letter and not a note
with its octave.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from lessonkit.lesson.prose import ChordName, DegreeName, Span, Words
from lessonkit.theory.chord import Chord
from lessonkit.theory.roman import RomanChord

_NAME = re.compile(
    r"(?<![\w♭♯/])"
    r"(?P<root>[A-G][♭♯𝄪𝄫]?|[♭♯]?(?:VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i))"
    r"(?P<suffix>(?:maj|min|m|M|dim|aug|sus|add|alt|°|ø|Δ|\+|−|6/9|1[13]|[24679]|5|[♭♯](?=\d|1)|\([^()\s]{1,12}\))+)"
    r"(?P<bass>/[A-G][♭♯]?)?(?![\w♭♯°])"
)
_NO_CHORD = re.compile(r"[2456]|[A-G][♭♯]?[0-8]")
"""Suffixes that a note's octave or a word could be."""


def with_names(spans: Iterable[Span]) -> tuple[Span, ...]:
    """The spans with the chord names among their plain words as names."""
    return tuple(part for span in spans for part in (_parts(span) if isinstance(span, Words) else (span,)))


def _parts(span: Words) -> Iterator[Span]:
    if span.problem:
        yield span
        return
    place = 0
    for match in _NAME.finditer(span.text):
        name = _named(match, span)
        if name is None:
            continue
        if match.start() > place:
            yield Words(span.text[place : match.start()], span.bold, span.italic)
        yield name
        place = match.end()
    if place < len(span.text):
        yield Words(span.text[place:], span.bold, span.italic)


def _named(match: re.Match[str], span: Words) -> Span | None:
    if _NO_CHORD.fullmatch(match["suffix"]):
        return None
    try:
        if match["root"][0] in "ABCDEFG":
            return ChordName(Chord.parse(match[0]), span.bold, span.italic)
        return DegreeName(RomanChord.parse(match[0]), span.bold, span.italic)
    except ValueError:
        return None
