"""Chord symbols as MusicXML says them: a kind of the standard for each of our qualities, and what is changed in it.

Kinds and degrees follow the MusicXML 4.0 specification (W3C Music Notation Community Group, 2021; elements ``kind`` and
``degree``): an added degree counts from the dominant chord on the root, so that an added 7 with no alteration is the
minor seventh; an altered one counts from the kind's own.
"""

from __future__ import annotations

from xml.etree.ElementTree import Element

from lessonkit.exchange.xml_parts import add
from lessonkit.theory.chord import Chord
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.pitch import NoteName
from lessonkit.theory.symbol import written_quality

Change = tuple[str, int, int]
"""``add`` or ``alter``, the degree, and by how many semitones."""

KINDS: dict[str, tuple[str, tuple[Change, ...]]] = {
    "maj": ("major", ()),
    "m": ("minor", ()),
    "dim": ("diminished", ()),
    "aug": ("augmented", ()),
    "sus2": ("suspended-second", ()),
    "sus4": ("suspended-fourth", ()),
    "5": ("power", ()),
    "6": ("major-sixth", ()),
    "m6": ("minor-sixth", ()),
    "maj7": ("major-seventh", ()),
    "7": ("dominant", ()),
    "m7": ("minor-seventh", ()),
    "m7b5": ("half-diminished", ()),
    "dim7": ("diminished-seventh", ()),
    "m(maj7)": ("major-minor", ()),
    "maj7#5": ("major-seventh", (("alter", 5, 1),)),
    "7#5": ("augmented-seventh", ()),
    "7sus4": ("suspended-fourth", (("add", 7, 0),)),
    "7b5": ("dominant", (("alter", 5, -1),)),
    "7b9": ("dominant", (("add", 9, -1),)),
    "7#9": ("dominant", (("add", 9, 1),)),
    "7#11": ("dominant", (("add", 11, 1),)),
    "7b13": ("dominant", (("add", 13, -1),)),
    "7b9b13": ("dominant", (("add", 9, -1), ("add", 13, -1))),
    "7alt": ("dominant", (("alter", 5, 1), ("add", 9, 1))),
    "add9": ("major", (("add", 9, 0),)),
    "m(add9)": ("minor", (("add", 9, 0),)),
    "6/9": ("major-sixth", (("add", 9, 0),)),
    "m6/9": ("minor-sixth", (("add", 9, 0),)),
    "9": ("dominant-ninth", ()),
    "maj9": ("major-ninth", ()),
    "m9": ("minor-ninth", ()),
    "9sus4": ("suspended-fourth", (("add", 7, 0), ("add", 9, 0))),
    "maj7#11": ("major-seventh", (("add", 11, 1),)),
    "11": ("dominant-11th", ()),
    "m11": ("minor-11th", ()),
    # The eleventh that a thirteenth implies in the standard is left out in practice, in print as in our voicings.
    "13": ("dominant-13th", ()),
    "maj13": ("major-13th", ()),
    "m13": ("minor-13th", ()),
    "m7b9": ("minor-seventh", (("add", 9, -1),)),
    "m7b5b9": ("half-diminished", (("add", 9, -1),)),
    "m9b5": ("half-diminished", (("add", 9, 0),)),
    "m(maj9)": ("major-minor", (("add", 9, 0),)),
    "maj9#5": ("major-ninth", (("alter", 5, 1),)),
    "maj7#9": ("major-seventh", (("add", 9, 1),)),
    "dim7b9": ("diminished-seventh", (("add", 9, -1),)),
    "13#11": ("dominant", (("add", 9, 0), ("add", 11, 1), ("add", 13, 0))),
    "13b9": ("dominant", (("add", 9, -1), ("add", 13, 0))),
    "13b9#11": ("dominant", (("add", 9, -1), ("add", 11, 1), ("add", 13, 0))),
    "7b9#11": ("dominant", (("add", 9, -1), ("add", 11, 1))),
    "7#9#11": ("dominant", (("add", 9, 1), ("add", 11, 1))),
}
"""The kind and its changes for each quality; a test holds that none is missing and that each means those notes."""


def harmony(chord: Chord, style: LabelStyle, offset: int) -> Element:
    """The element of a chord symbol, so many divisions after the place where it stands in the file."""
    kind, changes = KINDS[chord.quality.key]
    element = Element("harmony")
    _note(add(element, "root"), "root", chord.root)
    add(element, "kind", kind).set("text", written_quality(chord.quality, style))
    if chord.bass is not None:
        _note(add(element, "bass"), "bass", chord.bass)
    for how, degree, semitones in changes:
        # The symbol as it is written says the degrees already.
        change = add(element, "degree", print_object="no")
        add(change, "degree-value", degree)
        add(change, "degree-alter", semitones)
        add(change, "degree-type", how)
    if offset:
        add(element, "offset", offset)
    add(element, "staff", 1)
    return element


def _note(parent: Element, what: str, name: NoteName) -> None:
    add(parent, f"{what}-step", "CDEFGAB"[name.letter])
    if name.alteration:
        add(parent, f"{what}-alter", name.alteration)
