"""Keyboard pictures: chords or single notes as keys that are held, with letters as spelled and finger numbers."""

from __future__ import annotations

from collections.abc import Sequence

from lessonkit.drills import fields
from lessonkit.hands.chord_shapes import held, inverted, shortened
from lessonkit.hands.fingering import finger_chord
from lessonkit.hands.hand import Hand
from lessonkit.lesson.advice import first_chord
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.prose import ChordName, Span, Words
from lessonkit.lesson.shown import Keyboard, Keyboards, PressedKey, Shown
from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.roman import RomanChord, diatonic_chord
from lessonkit.values import dataclass

MOST_PICTURES = 8
WIDEST = 36
"""As many semitones as a picture can show."""


@dataclass(frozen=True)
class KeyboardPicture(PageAid):
    """Chords or notes as keys of the piano that are held, with their letters as spelled and the fingers."""

    code = "keyboard-picture"
    title = "Keyboard picture"
    words = ("piano keys", "diagram", "letters", "fingers", "notes")
    heading = "On the keys"

    what: str = fields.lines(
        "", label="Chords or notes", most=400,
        help="One picture a line: a chord (Abmaj7), a degree (IVmaj7) or notes (Ab3 C4 Eb4). "
        "Left empty, the drill's first chord.",
    )  # fmt: skip
    inversion: int = fields.whole(0, least=0, most=6, label="Inversion", help="Of chords; 0 is root position.")
    hand: Hand = fields.choice(Hand.RIGHT, label="Hand")
    shows_letters: bool = fields.yes_no(True, label="Letters")
    shows_fingers: bool = fields.yes_no(True, label="Fingers")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        lines = [line.strip() for line in self.what.replace(",", "\n").splitlines() if line.strip()]
        if len(lines) > MOST_PICTURES:
            raise ValueError(f"{len(lines)} pictures are more than {MOST_PICTURES}; take some out")
        if lines:
            return (Keyboards(tuple(self._picture(line, scene) for line in lines)),)
        own = first_chord(scene.drill, scene.setting) if scene.drill is not None else None
        return (Keyboards((self._of_chord(own or diatonic_chord(scene.setting.key, 1), scene),)),)

    def _picture(self, line: str, scene: Scene) -> Keyboard:
        parts = line.split()
        if all(part[-1].isdigit() for part in parts) and _are_pitches(parts):
            pitches = tuple(sorted((Pitch.parse(part) for part in parts), key=lambda pitch: pitch.midi))
            return self._of_pitches(
                (Words(" ".join(scene.setting.label_style.note(pitch.name) for pitch in pitches)),), pitches, scene
            )
        try:
            return self._of_chord(RomanChord.parse(line).in_key(scene.setting.key), scene)
        except ValueError:
            return self._of_chord(Chord.parse(line), scene)

    def _of_chord(self, chord: Chord, scene: Scene) -> Keyboard:
        tones = inverted(chord, min(self.inversion, len(chord.tones) - 1))
        return self._of_pitches((ChordName(chord, bold=True),), held(shortened(tones, chord), self.hand), scene)

    def _of_pitches(self, name: tuple[Span, ...], pitches: tuple[Pitch, ...], scene: Scene) -> Keyboard:
        for pitch in pitches:
            if not pitch.is_on_keyboard:
                raise ValueError(f"{pitch} lies off the keyboard, which runs from A0 to C8")
        if pitches[-1].midi - pitches[0].midi > WIDEST:
            raise ValueError(f"{pitches[0]} to {pitches[-1]} is wider than three octaves; make two pictures of it")
        fingers: Sequence[int | None] = [None] * len(pitches)
        if self.shows_fingers:
            fingers = finger_chord(pitches, self.hand, scene.setting.hands).fingers[0]
        pressed = tuple(PressedKey(pitch, finger) for pitch, finger in zip(pitches, fingers, strict=True))
        return Keyboard(name, pressed, self.shows_letters)


def _are_pitches(parts: Sequence[str]) -> bool:
    try:
        return len([Pitch.parse(part) for part in parts]) > 1 or len(parts[0]) == 2
    except ValueError:
        return False
