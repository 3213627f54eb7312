"""Chords that a student has met, and what can be played instead of those not met yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from lessonkit.drills.chord_family import Size
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.theory.chord import Chord
from lessonkit.theory.progression import Progression
from lessonkit.theory.quality import Quality
from lessonkit.theory.roman import RomanChord

SIMPLER: Mapping[str, tuple[str, ...]] = {
    "maj7": ("maj",), "7": ("maj",), "m7": ("m",), "6": ("maj",), "m6": ("m",),
    "m7b5": ("dim",), "dim7": ("dim",), "m(maj7)": ("m",), "maj7#5": ("aug",), "7#5": ("7", "aug"), "7b5": ("7",),
    "7sus4": ("sus4",), "9sus4": ("7sus4", "sus4"),
    "7b9": ("7",), "7#9": ("7",), "7#11": ("7",), "7b13": ("7",), "7b9b13": ("7b9", "7"), "7alt": ("7",),
    "add9": ("maj",), "m(add9)": ("m",), "6/9": ("6", "maj"), "m6/9": ("m6", "m"),
    "9": ("7",), "maj9": ("maj7", "maj"), "m9": ("m7", "m"), "maj7#11": ("maj7", "maj"),
    "11": ("9", "7"), "m11": ("m9", "m7", "m"), "13": ("9", "7"), "maj13": ("maj9", "maj7", "maj"),
    "m13": ("m9", "m7", "m"), "13#11": ("13", "9", "7"), "13b9": ("7b9", "7"), "13b9#11": ("7b9", "7"),
    "7b9#11": ("7b9", "7"), "7#9#11": ("7#9", "7"),
}  # fmt: skip
"""What may stand for a chord that is not known yet, the nearest first (common practice, no source)."""


def unknown_qualities(drill: DrillFamily, setting: Setting, vocabulary: frozenset[str]) -> dict[str, Chord]:
    """The chord qualities of a drill that are not met yet, each with the first chord that has it."""
    try:
        exercise = realise(drill, setting)
    except ValueError:
        return {}
    found: dict[str, Chord] = {}
    for mark in exercise.chords:
        if mark.chord.quality.key not in vocabulary:
            found.setdefault(mark.chord.quality.key, mark.chord)
    return found


def unknown_words(unknown: Mapping[str, Chord]) -> str:
    """Chords in words: ``half-diminished seventh (Bm7♭5)``."""
    return ", ".join(f"{chord.quality.words} ({chord})" for chord in unknown.values())


def in_simpler_chords(drill: DrillFamily, setting: Setting, vocabulary: frozenset[str]) -> DrillFamily | None:
    """The drill with simpler known chords in place of unknown ones, None where its family cannot say that."""
    settings: dict[str, object] = {}
    quality = getattr(drill, "quality", None)
    if isinstance(quality, Quality):
        settings["quality"] = simpler(quality, vocabulary)
    elif getattr(drill, "size", None) in (Size.SEVENTH, Size.NINTH):
        settings["size"] = Size.TRIAD
    progression = getattr(drill, "progression", None)
    if isinstance(progression, Progression) and _is_asked(drill, "progression"):
        settings["progression"] = Progression(
            tuple(tuple(_simpler_degree(chord, vocabulary) for chord in bar) for bar in progression.bars)
        )
    if not settings:
        return None
    changed: DrillFamily = replace(drill, **settings)  # type: ignore[arg-type]
    before = unknown_qualities(drill, setting, vocabulary)
    try:
        realise(changed, setting)
    except ValueError:
        return None
    return changed if len(unknown_qualities(changed, setting, vocabulary)) < len(before) else None


def simpler(quality: Quality, vocabulary: frozenset[str]) -> Quality:
    """The nearest simpler quality that is known; the same one where none is."""
    if quality.key in vocabulary:
        return quality
    known = next((key for key in SIMPLER.get(quality.key, ()) if key in vocabulary), None)
    return quality if known is None else Quality.named(known)


def _simpler_degree(chord: RomanChord, vocabulary: frozenset[str]) -> RomanChord:
    return replace(chord, quality=simpler(chord.quality, vocabulary))


def _is_asked(drill: DrillFamily, name: str) -> bool:
    param = drill.declared().get(name)
    return param is not None and (param.applies is None or param.applies(drill))
