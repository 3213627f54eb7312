"""Live words: music named inside braces that follows the lesson's key. What is not understood stays as it was typed.

``{IVmaj7}`` is a chord's name, ``{notes IVmaj7}`` its spelled notes, ``{roman IVmaj7}`` the degree itself, ``{key}``,
``{tonic}``, ``{signature}`` and ``{tempo}`` the lesson's own, ``{scale}`` or ``{scale dorian}`` a scale on the tonic,
``{degree 3}`` the note on a degree, ``{chord Abmaj7}`` a chord that stays where it is. ``{{`` prints a brace.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from lessonkit.drills.setting import Setting
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import NoteName
from lessonkit.theory.roman import RomanChord
from lessonkit.theory.scale import SCALES, Scale
from lessonkit.values import dataclass

LONGEST_TOKEN = 60
"""The most characters that can stand between two braces and still name music."""


@dataclass(frozen=True, slots=True)
class LiveText:
    """Words as they print. ``source`` is what was typed; ``problem`` says why a token was not understood."""

    source: str
    text: str
    problem: str = ""


@dataclass(frozen=True, slots=True)
class LiveChord:
    """The name of a chord, written in the label style where it is drawn."""

    source: str
    chord: Chord


@dataclass(frozen=True, slots=True)
class LiveDegree:
    """The name of a degree, such as IVmaj7, written in the label style where it is drawn."""

    source: str
    degree: RomanChord


LivePart = LiveText | LiveChord | LiveDegree

_TOKEN = re.compile(r"\{\{|\}\}|\{(?P<inside>[^{}]*)\}|\{")


def read(text: str, setting: Setting) -> tuple[LivePart, ...]:
    """The parts of a text in order; their sources together are the text again. Takes any text, raises nothing."""
    parts: list[LivePart] = []
    place = 0
    for match in _TOKEN.finditer(text):
        if match.start() > place:
            parts.append(_words(text[place : match.start()]))
        parts.append(_part(match, setting))
        place = match.end()
    if place < len(text):
        parts.append(_words(text[place:]))
    return tuple(parts)


def _words(text: str) -> LiveText:
    return LiveText(text, text)


def _part(match: re.Match[str], setting: Setting) -> LivePart:
    source = match[0]
    inside = match["inside"]
    if source in ("{{", "}}"):
        return LiveText(source, source[0])
    if inside is None:
        return LiveText(source, source, "this brace is never closed; write {{ for a brace that is only a brace")
    if len(inside) > LONGEST_TOKEN:
        reason = f"{len(inside)} characters between braces are too many to name music; write {{{{ for a brace"
        return LiveText(source, source, reason)
    try:
        return _understood(source, inside, setting)
    except ValueError as error:
        return LiveText(source, source, str(error))


def _understood(source: str, inside: str, setting: Setting) -> LivePart:
    words = inside.split()
    if not words:
        raise ValueError(f"nothing stands between the braces; {_HINT}")
    writer = WORDS.get(words[0].lower())
    if writer is not None:
        return writer(source, " ".join(words[1:]), setting)
    if not _LOOKS_LIKE_DEGREE.match(inside.strip()):
        raise ValueError(f"{inside.strip()!r} is not a live word; {_HINT}")
    return LiveChord(source, _printed(RomanChord.parse(inside.strip()).in_key(setting.key), setting)[0])


_LOOKS_LIKE_DEGREE = re.compile(r"(?:sub)?[#♯b♭]*[IiVv]")
_HINT = "write a degree such as {IVmaj7}, or {notes IVmaj7}, {key}, {scale}, {degree 3} or {chord Abmaj7}"
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven")
_DEGREE = re.compile(r"(?P<sign>[#♯b♭]?)(?P<number>1[0-5]|[1-9])")


def _key(source: str, rest: str, setting: Setting) -> LivePart:
    _nothing_more("key", rest)
    return LiveText(source, setting.label_style.key(setting.key))


def _tonic(source: str, rest: str, setting: Setting) -> LivePart:
    _nothing_more("tonic", rest)
    return LiveText(source, setting.label_style.note(setting.key.tonic))


def _signature(source: str, rest: str, setting: Setting) -> LivePart:
    _nothing_more("signature", rest)
    return LiveText(source, signature_words(setting.key))


def _tempo(source: str, rest: str, setting: Setting) -> LivePart:
    _nothing_more("tempo", rest)
    return LiveText(source, str(setting.tempo))


def _scale(source: str, rest: str, setting: Setting) -> LivePart:
    scale = scale_of(setting.key, rest)
    return LiveText(source, _spelled(scale.friendly().names if setting.is_friendly else scale.names, setting))


def _degree(source: str, rest: str, setting: Setting) -> LivePart:
    match = _DEGREE.fullmatch(rest.replace(" ", ""))
    if match is None:
        raise ValueError(f"{rest!r} is not the number of a degree; write it like {{degree 3}} or {{degree b6}}")
    name = setting.key.degree(int(match["number"]))
    alteration = {"": 0, "#": 1, "♯": 1, "b": -1, "♭": -1}[match["sign"]]
    return LiveText(source, setting.label_style.note(NoteName(name.letter, name.alteration + alteration)))


def _notes(source: str, rest: str, setting: Setting) -> LivePart:
    if not rest:
        raise ValueError("no chord is named; write it like {notes IVmaj7} or {notes Abmaj7}")
    chord = RomanChord.parse(rest).in_key(setting.key) if _LOOKS_LIKE_DEGREE.match(rest) else Chord.parse(rest)
    printed, tones = _printed(chord, setting)
    return LiveText(source, _spelled(_from_the_bass(tones, printed.lowest), setting))


def _roman(source: str, rest: str, setting: Setting) -> LivePart:
    if not rest:
        raise ValueError("no degree is named; write it like {roman IVmaj7}")
    return LiveDegree(source, RomanChord.parse(rest))


def _chord(source: str, rest: str, setting: Setting) -> LivePart:
    if not rest:
        raise ValueError("no chord is named; write it like {chord Abmaj7}")
    return LiveChord(source, _printed(Chord.parse(rest), setting)[0])


WORDS: dict[str, Callable[[str, str, Setting], LivePart]] = {
    "key": _key,
    "tonic": _tonic,
    "signature": _signature,
    "tempo": _tempo,
    "scale": _scale,
    "degree": _degree,
    "notes": _notes,
    "roman": _roman,
    "chord": _chord,
}
"""The live words that begin with a word; anything else between braces is read as a degree."""


def signature_words(key: Key) -> str:
    """A key's signature in words: ``three flats``, ``one sharp``, ``no sharps or flats``."""
    count = abs(key.signature)
    if count == 0:
        return "no sharps or flats"
    return f"{_COUNTS[count]} {'sharp' if key.signature > 0 else 'flat'}{'' if count == 1 else 's'}"


def scale_of(key: Key, words: str) -> Scale:
    """The scale that some words name on a key's tonic (the key's own for none); raises ValueError with those known."""
    wanted = " ".join(words.lower().replace("-", " ").split())
    if not wanted:
        return Scale.of_key(key)
    for name, kind in SCALES.items():
        if wanted == name.replace("-", " "):
            return Scale(key.tonic, kind)
    raise ValueError(f"{words!r} is not a scale; the scales are {', '.join(SCALES)}")


def _printed(chord: Chord, setting: Setting) -> tuple[Chord, tuple[NoteName, ...]]:
    """The chord and its notes as the lesson's house spells them."""
    if not setting.is_friendly:
        return chord, chord.tones
    friendly = chord.friendly(setting.key)
    return friendly.chord, friendly.tones


def _from_the_bass(tones: tuple[NoteName, ...], bass: NoteName) -> tuple[NoteName, ...]:
    """The tones in the order they lie over a bass: G/B is B D G, and C/D is D C E G."""
    if bass not in tones:
        return (bass, *tones)
    place = tones.index(bass)
    return tones[place:] + tones[:place]


def _nothing_more(word: str, rest: str) -> None:
    if rest:
        raise ValueError(f"{{{word}}} stands alone; take {rest!r} out of the braces")


def _spelled(names: tuple[NoteName, ...], setting: Setting) -> str:
    return " ".join(setting.label_style.note(name) for name in names)
