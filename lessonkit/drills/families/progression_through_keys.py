"""Progression through keys: one progression in key after key, each on a line of its own; also as a worksheet."""

from __future__ import annotations

from collections.abc import Sequence

from lessonkit.drills import fields
from lessonkit.drills.exercise import FingersShown
from lessonkit.drills.progression_family import Deck as Deck
from lessonkit.drills.progression_family import Order as Order
from lessonkit.drills.progression_family import ProgressionFamily
from lessonkit.drills.progression_family import Worksheet as Worksheet
from lessonkit.drills.voicing_plan import Plan, voiced
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.voicing import Voicing
from lessonkit.values import dataclass


@dataclass(frozen=True)
class ProgressionThroughKeys(ProgressionFamily):
    """One progression is played in key after key, so that the hands know its degrees rather than its chord names.

    Each key has a line of its own, with its chords voiced by a plan. As a worksheet, chord names, degrees or notes are
    left blank, and the answers come from the same drill.
    """

    code = "progression-through-keys"
    title = "Progression through keys"
    words = ("chord progression", "transposing", "twelve keys", "worksheet", "voice leading")
    usual_fingers = FingersShown.FIRST_GROUP

    plan: Plan = fields.choice(Plan.ROOT_LEFT, label="Voicing", group="Voicing")

    def voicings(self, chords: Sequence[Chord], key: Key) -> Sequence[Voicing]:
        return voiced(chords, self.plan, self.lowest)

    def voiced_words(self) -> str:
        return self.plan.words
