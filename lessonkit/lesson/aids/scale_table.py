"""A table of scales: one scale in every key, or every scale of a kind on one tonic, with their notes."""

from __future__ import annotations

from enum import Enum

from lessonkit.drills import fields
from lessonkit.drills.scale_choice import ScaleChoice
from lessonkit.lesson.page_aid import PageAid, Scene, Stands
from lessonkit.lesson.prose import Words
from lessonkit.lesson.shown import SPACED, Cell, Shown, Table
from lessonkit.theory.enharmonic import KeyOrder, key_order
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.quality import degree_of_interval
from lessonkit.theory.scale import Scale
from lessonkit.values import dataclass


class ScaleRows(Enum):
    """What stands in the rows."""

    KEYS = "one scale in twelve keys"
    SCALES = "several scales on one tonic"


_MODES = (
    ScaleChoice.LYDIAN, ScaleChoice.KEY, ScaleChoice.MIXOLYDIAN, ScaleChoice.DORIAN, ScaleChoice.HARMONIC_MINOR,
    ScaleChoice.MELODIC_MINOR, ScaleChoice.MAJOR_PENTATONIC, ScaleChoice.MINOR_PENTATONIC, ScaleChoice.BLUES,
)  # fmt: skip


@dataclass(frozen=True)
class ScaleTable(PageAid):
    """One scale in every key, or the usual scales on one tonic, each with its notes."""

    code = "scale-table"
    title = "Table of scales"
    words = ("modes", "notes", "spelling")
    heading = "Scales"

    rows: ScaleRows = fields.choice(ScaleRows.SCALES, label="Rows")
    scale: ScaleChoice = fields.choice(ScaleChoice.KEY, label="Scale", applies=lambda aid: aid.rows is ScaleRows.KEYS)
    key: Key | None = fields.key(label="Key")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        key, style = self.key or scene.setting.key, scene.setting.label_style
        if self.rows is ScaleRows.KEYS:
            start = Key.parse("Am" if key.mode is Mode.MINOR else "C")
            keys = key_order(KeyOrder.FIFTHS, start, scene.setting.prefers_flats_at_six)
            rows = tuple(_row(style.note(one.tonic), self.scale.on(one), style) for one in keys)
            return (Table(("Tonic", "Notes"), rows),)
        scales = [choice.on(key) for choice in _MODES]
        if self.stands is Stands.HALF:
            return (Table(("Scale", "Notes"), tuple(_row(scale.kind.key, scale, style) for scale in scales)),)
        heads = ("Scale", "Notes", "Degrees")
        return (Table(heads, tuple((*_row(scale.kind.key, scale, style), _degrees(scale)) for scale in scales)),)


def _row(name: str, scale: Scale, style: LabelStyle) -> tuple[Cell, ...]:
    return (Words(name, bold=True),), (Words(SPACED.join(map(style.note, scale.names))),)


def _degrees(scale: Scale) -> Cell:
    degrees = (degree_of_interval(tone).replace("b", "♭").replace("#", "♯") for tone in scale.kind.tones)
    return (Words(SPACED.join(degrees)),)
