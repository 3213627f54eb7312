"""The fields of a drill family: each declares one setting with its default, its kind and its words."""

from __future__ import annotations

import dataclasses
from enum import Enum
from fractions import Fraction
from typing import Any

from lessonkit.drills import params
from lessonkit.drills.chart import Chart
from lessonkit.drills.key_fingers import FingersInKeys
from lessonkit.drills.phrase import Phrase
from lessonkit.drills.typed_music import ChartText, PhraseText
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.quality import Quality


def whole(default: int, *, least: int, most: int, label: str, **more: Any) -> Any:
    """A field for a whole number."""
    return _field(default, params.Whole(label=label, least=least, most=most, **more))


def yes_no(default: bool, *, label: str, **more: Any) -> Any:
    """A field for yes or no."""
    return _field(default, params.YesNo(label=label, **more))


def choice(default: Enum, *, label: str, **more: Any) -> Any:
    """A field for one member of the enumeration that the default belongs to."""
    return _field(default, params.Choice(label=label, options=type(default), **more))


def quality(default: str, *, label: str, **more: Any) -> Any:
    """A field for a chord quality; the default by its plain name."""
    return _field(Quality.named(default), params.QualityChoice(label=label, **more))


def quality_or_key(*, label: str, **more: Any) -> Any:
    """A field for a chord quality that is the key's own unless one is chosen."""
    return _field(None, params.QualityOrKey(label=label, **more))


def key(*, label: str, **more: Any) -> Any:
    """A field for a key that follows the lesson unless one is chosen."""
    return _field(None, params.KeyChoice(label=label, **more))


def keys(*, label: str, **more: Any) -> Any:
    """A field for a list of keys, empty at first."""
    return _field((), params.KeyList(label=label, **more))


def note_value(default: str, *, label: str, **more: Any) -> Any:
    """A field for a note length; the default as text such as 1/8."""
    return _field(Fraction(default), params.NoteValue(label=label, **more))


def tempo(*, label: str, **more: Any) -> Any:
    """A field for a mark of the metronome, unset at first."""
    return _field(None, params.TempoMark(label=label, **more))


def pitch(default: str, *, label: str, **more: Any) -> Any:
    """A field for a pitch; the default as text such as C4."""
    return _field(Pitch.parse(default), params.PitchChoice(label=label, **more))


def progression(default: str, *, label: str, **more: Any) -> Any:
    """A field for a progression; the default as it is typed."""
    return _field(Progression.parse(default), params.ProgressionText(label=label, **more))


def phrase(default: str, *, label: str, **more: Any) -> Any:
    """A field for a phrase of the teacher's own; the default as it is typed, empty where it may be left out."""
    value = Phrase.parse(default) if default else None
    return _field(value, PhraseText(label=label, is_needed=bool(default), **more))


def chart(default: str, *, label: str, **more: Any) -> Any:
    """A field for a chord chart of the teacher's own; the default as it is typed."""
    return _field(Chart.parse(default), ChartText(label=label, **more))


def words(default: str, *, label: str, **more: Any) -> Any:
    """A field for a line of words."""
    return _field(default, params.Words(label=label, **more))


def lines(default: str, *, label: str, **more: Any) -> Any:
    """A field for words over several lines."""
    return _field(default, params.Lines(label=label, **more))


def numbers(*, label: str, **more: Any) -> Any:
    """A field for a short list of whole numbers, empty at first."""
    return _field((), params.Numbers(label=label, **more))


def fingers_in_keys(*, label: str, **more: Any) -> Any:
    """A field for fingers that hold in one key each, none at first."""
    return _field((), FingersInKeys(label=label, **more))


def never(drill: object) -> bool:
    """For ``applies``: a setting that every family has and this one has no use for."""
    return False


def _field(default: Any, param: params.Param) -> Any:
    return dataclasses.field(default=default, metadata={"param": param})
