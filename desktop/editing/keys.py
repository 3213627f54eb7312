"""The keys of the strip: those of a mode in the order of fifths, the same tonic in another mode, a key as typed."""

from __future__ import annotations

from lessonkit.theory.key import Key, Mode
from lessonkit.theory.naming import NoteNames, in_english
from lessonkit.theory.pitch import NoteName


def keys_in_fifths(mode: Mode) -> tuple[Key, ...]:
    """The fifteen keys of a mode from seven flats to seven sharps."""
    found: dict[int, Key] = {}
    for letter in range(7):
        for alteration in (-1, 0, 1):
            name = NoteName(letter, alteration)
            signature = name.fifths + mode.fifths
            if abs(signature) <= 7:
                found[signature] = Key(name, mode)
    return tuple(found[signature] for signature in sorted(found))


def in_mode(key: Key, mode: Mode) -> Key:
    """The key of another mode on the same tonic, or with the same signature where that one cannot be written."""
    by_signature = {other.signature: other for other in keys_in_fifths(mode)}
    for other in by_signature.values():
        if other.tonic == key.tonic:
            return other
    return by_signature[key.signature]


def typed_key(typed: str, mode: Mode, names: NoteNames = NoteNames.ENGLISH) -> Key | None:
    """The key that was typed, such as ``eb``, ``F#`` or ``c#m``, in the mode unless it says minor; None for no key.

    Where notes have German names, ``b`` is B♭ and ``h`` is B.
    """
    text = in_english(typed.strip(), names).replace("♭", "b").replace("♯", "#")
    text = text[:1].upper() + text[1:]
    tonic, is_minor = text.removesuffix("m"), text.endswith("m")
    for key in keys_in_fifths(Mode.MINOR if is_minor else mode):
        if key.tonic.ascii == tonic:
            return key
    return None


def typed_keys(typed: str, mode: Mode, names: NoteNames = NoteNames.ENGLISH) -> tuple[Key, ...]:
    """The keys of a list that was typed, such as ``eb, Bb, f#m``; what is no key yet is left out."""
    found = (typed_key(text, mode, names) for text in typed.split(","))
    return tuple(key for key in found if key is not None)
