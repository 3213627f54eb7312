"""The circle of fifths as a strip: major keys with their signatures, the minor keys below, today's filled."""

from __future__ import annotations

from lessonkit.drills import fields
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.scene_keys import relative_minor, short_name, signature_words
from lessonkit.lesson.shown import Shown, Strip, StripCell
from lessonkit.theory.enharmonic import KeyOrder, key_order
from lessonkit.theory.key import Key
from lessonkit.values import dataclass


@dataclass(frozen=True)
class FifthsStrip(PageAid):
    """The circle of fifths as a strip from the flats to the sharps, the lesson's key filled."""

    code = "fifths-strip"
    title = "Circle of fifths"
    words = ("signatures", "relative minor", "keys")
    heading = "Round the fifths"

    shows_signatures: bool = fields.yes_no(True, label="Signatures")
    shows_minor: bool = fields.yes_no(True, label="Minor keys")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        today, prefers_flats = scene.setting.key, scene.setting.prefers_flats_at_six
        style = scene.setting.label_style
        row = list(key_order(KeyOrder.FIFTHS, Key.parse("C"), prefers_flats))
        # From the most flats to the most sharps, so that the strip reads as signatures grow.
        row.sort(key=lambda key: key.signature)
        cells = []
        for key in row:
            below = [signature_words(key)] if self.shows_signatures else []
            if self.shows_minor:
                below.append(short_name(relative_minor(key), style))
            cells.append(
                StripCell(
                    scene.setting.label_style.note(key.tonic), (key.signature - today.signature) % 12 == 0, tuple(below)
                )
            )
        return (Strip(tuple(cells)),)
