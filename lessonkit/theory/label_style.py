"""How chords and notes are named on the page. One style holds for a whole lesson, so that no page mixes two faces."""

from __future__ import annotations

from lessonkit.theory.key import Key
from lessonkit.theory.naming import NoteNames, note_name
from lessonkit.theory.pitch import NoteName, Pitch
from lessonkit.values import dataclass

CHOICES: dict[str, tuple[str, ...]] = {
    "half_diminished": ("m7♭5", "ø7"),
    "major_seventh": ("maj7", "Δ7"),
    "minor": ("m", "−"),
    "diminished": ("°", "dim"),
    "numerals": ("vi7", "VIm7"),
}
"""The faces that each choice offers; the first is the one that is printed unless the teacher chooses."""


@dataclass(frozen=True, slots=True)
class LabelStyle:
    """The teacher's five choices of face and the names of notes; raises ValueError for a face that is not offered.

    ``diminished`` counts for the triad and, with a 7 after it, for the diminished seventh.
    ``numerals`` tell a minor third by small letters (``vi7``, ``viiø7``) or all by capitals (``VIm7``, ``VIIm7♭5``).
    """

    half_diminished: str = "m7♭5"
    major_seventh: str = "maj7"
    minor: str = "m"
    diminished: str = "°"
    numerals: str = "vi7"
    notes: NoteNames = NoteNames.ENGLISH

    def __post_init__(self) -> None:
        for name, faces in CHOICES.items():
            face = getattr(self, name)
            if face not in faces:
                what = name.replace("_", " ")
                raise ValueError(f"{face!r} is not a way to write {what}; choose {' or '.join(faces)}")

    def note(self, name: NoteName) -> str:
        """A note as it is called in this style: ``B♭``, ``B`` or ``si♭``."""
        return note_name(name, self.notes)

    def pitch(self, pitch: Pitch) -> str:
        """A pitch as it is called in this style, its octave behind it."""
        return f"{note_name(pitch.name, self.notes)}{pitch.octave}"

    def key(self, key: Key) -> str:
        """A key as it is called in this style: ``B♭ major``, ``B major``, ``si♭ major``."""
        return f"{note_name(key.tonic, self.notes)} {key.mode.word}"


PLAIN_STYLE = LabelStyle()
"""The faces that are printed unless the teacher chooses."""
