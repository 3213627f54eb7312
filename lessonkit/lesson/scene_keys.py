"""Rows of the twelve keys in fifths, for strips on the page: each spelled as today's keys are, today's marked."""

from __future__ import annotations

from collections.abc import Sequence

from lessonkit.drills.setting import Setting
from lessonkit.lesson.shown import StripCell
from lessonkit.theory.enharmonic import KeyOrder, key_order
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.label_style import LabelStyle


def strip_of(keys: Sequence[Key], setting: Setting) -> tuple[StripCell, ...]:
    """The twelve keys from C in rising fifths, those among ``keys`` filled and spelled as they are there.

    All keys of the strip are minor where all of today's are.
    """
    are_minor = all(key.is_minor for key in keys)
    start = Key.parse("Am" if are_minor else "C")
    own = {key.tonic.pitch_class: key for key in keys}
    cells = []
    for key in key_order(KeyOrder.FIFTHS, start, setting.prefers_flats_at_six):
        today = own.get(key.tonic.pitch_class)
        cells.append(StripCell(short_name(today or key, setting.label_style, are_minor), today is not None))
    return tuple(cells)


def short_name(key: Key, style: LabelStyle, knows_minor: bool = False) -> str:
    """A key's name for a narrow cell: E♭, or Cm where the strip does not say that all are minor."""
    tonic = style.note(key.tonic)
    return f"{tonic}m" if key.is_minor and not knows_minor else tonic


def signature_words(key: Key) -> str:
    """A signature as a number and a sign: 3♭, 2♯, or a dash for none."""
    count = abs(key.signature)
    return f"{count}{'♯' if key.signature > 0 else '♭'}" if count else "–"


def relative_minor(key: Key) -> Key:
    """The minor key of the same signature."""
    return Key(key.degree(6), Mode.MINOR)
