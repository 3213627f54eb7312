"""A table of chords: those of the key on its degrees, or one quality in every key, with their notes."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.setting import Setting
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.prose import ChordName, DegreeName, Words
from lessonkit.lesson.shown import SPACED, Cell, Shown, Table
from lessonkit.theory.chord import Chord
from lessonkit.theory.enharmonic import KeyOrder, key_order
from lessonkit.theory.key import Key
from lessonkit.theory.quality import Quality
from lessonkit.theory.roman import diatonic_chord, recognise
from lessonkit.theory.scale import Scale
from lessonkit.values import dataclass


class ChordRows(Enum):
    """What stands in the rows."""

    TRIADS = "the key's triads"
    SEVENTHS = "the key's seventh chords"
    QUALITY = "one quality in twelve keys"


@dataclass(frozen=True)
class ChordTable(PageAid):
    """The chords of the key on its degrees, or one quality in every key, each with its notes."""

    code = "chord-table"
    title = "Table of chords"
    words = ("diatonic", "degrees", "spelling", "notes")
    heading = "Chords"

    rows: ChordRows = fields.choice(ChordRows.SEVENTHS, label="Rows")
    quality: Quality = fields.quality("maj7", label="Chord quality", applies=lambda aid: aid.rows is ChordRows.QUALITY)
    key: Key | None = fields.key(label="Key")
    is_harmonic: bool = fields.yes_no(
        True, label="Raised seventh in minor", help="As the dominant takes it.",
        applies=lambda aid: aid.rows is not ChordRows.QUALITY,
    )  # fmt: skip

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        key, setting = self.key or scene.setting.key, scene.setting
        if self.rows is ChordRows.QUALITY:
            roots = [one.tonic for one in key_order(KeyOrder.FIFTHS, Key.parse("C"), setting.prefers_flats_at_six)]
            chords = [Chord(root, self.quality) for root in roots]
            return (Table(("Chord", "Notes"), tuple(_row(chord, None, setting) for chord in chords)),)
        size = 3 if self.rows is ChordRows.TRIADS else 7
        own = [diatonic_chord(key, degree, size) for degree in range(1, 8)]
        if self.is_harmonic and key.mode.word == "minor":
            # The dominant and the chord on the leading note take the raised seventh, the others the signature's.
            raised = Scale.named(key.tonic.ascii, "harmonic minor")
            own[4], own[6] = diatonic_chord(raised, 5, size), diatonic_chord(raised, 7, size)
        return (Table(("Degree", "Chord", "Notes"), tuple(_row(chord, key, setting) for chord in own)),)


def _row(chord: Chord, key: Key | None, setting: Setting) -> tuple[Cell, ...]:
    tones = chord.friendly(key).tones if setting.is_friendly else chord.tones
    notes: Cell = (Words(SPACED.join(map(setting.label_style.note, tones))),)
    name: Cell = (ChordName(chord, bold=True),)
    return (name, notes) if key is None else ((DegreeName(recognise(chord, key)),), name, notes)
