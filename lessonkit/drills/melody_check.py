"""Whether a melody note can stand over a chord: a note of the chord, or a tension that the trade allows.

Barred are the natural eleventh over a chord with a major third, the natural seventh over a dominant, the flat ninth
over anything but a dominant, and the major third over a minor chord. Common practice, no source.
"""

from __future__ import annotations

from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import NoteName

_NAMES = (
    "root", "flat ninth", "ninth", "minor third", "major third", "fourth", "raised fourth", "fifth", "flat sixth",
    "sixth", "flat seventh", "natural seventh",
)  # fmt: skip

_BARRED = {
    "dominant": {"fourth", "natural seventh"},
    "major": {"flat ninth", "minor third", "fourth", "flat sixth", "flat seventh"},
    "minor": {"flat ninth", "major third", "raised fourth", "flat sixth", "natural seventh"},
    "half-diminished": {"flat ninth", "major third", "natural seventh", "fifth"},
    "diminished": {"flat ninth", "major third", "fifth", "flat seventh"},
    "suspended": {"major third", "natural seventh"},
}
"""What may not be sung over each kind of chord, unless the chord has it."""


def clash(note: NoteName, chord: Chord) -> str | None:
    """Why a melody note does not go with a chord, as ``the fourth``; None where it does."""
    above = (note.pitch_class - chord.root.pitch_class) % 12
    if any(tone.pitch_class == note.pitch_class for tone in chord.tones):
        return None
    name = _NAMES[above]
    return f"the {name}" if name in _BARRED[_kind(chord)] else None


def _kind(chord: Chord) -> str:
    degrees = set(chord.quality.degrees)
    if "3" not in degrees and "b3" not in degrees:
        return "suspended"
    if "3" in degrees:
        return "dominant" if "b7" in degrees else "major"
    if "b5" in degrees:
        return "half-diminished" if "b7" in degrees else "diminished"
    return "minor"
