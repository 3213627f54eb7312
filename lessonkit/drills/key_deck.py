"""Which keys a drill goes through, and in which order: one choice of words for every family."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from lessonkit.drills.setting import Setting
from lessonkit.theory.enharmonic import KeyOrder, key_order, shuffled
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key, Mode
from lessonkit.theory.pitch import NoteName

LARGEST_SEED = 999_999
"""The largest seed of a shuffle; small enough to be read out and typed."""

MOST_KEYS = 15
"""The most keys that a drill goes through unless they are listed."""


class Order(Enum):
    """In which order the keys follow one another."""

    FIFTHS = "round the fifths"
    FOURTHS = "round the fourths"
    CHROMATIC = "chromatic"
    CHROMATIC_DOWN = "chromatic downward"
    WHOLE_TONES = "by whole tones"
    WHOLE_TONES_DOWN = "by whole tones downward"
    SHUFFLED = "shuffled"
    CHOSEN = "as listed"


class Deck(Enum):
    """From which keys a shuffle is dealt."""

    TWELVE = "twelve keys"
    FIFTEEN = "fifteen keys"


_STEADY = {
    Order.FIFTHS: KeyOrder.FIFTHS,
    Order.FOURTHS: KeyOrder.FOURTHS,
    Order.CHROMATIC: KeyOrder.CHROMATIC,
    Order.CHROMATIC_DOWN: KeyOrder.CHROMATIC_DOWN,
    Order.WHOLE_TONES: KeyOrder.WHOLE_TONES,
    Order.WHOLE_TONES_DOWN: KeyOrder.WHOLE_TONES_DOWN,
}


def keys_through(
    start: Key, order: Order, count: int, deck: Deck, seed: int, listed: Sequence[Key], setting: Setting
) -> tuple[Key, ...]:
    """The keys in the order in which they are played; raises ValueError where they are to be listed and none is."""
    if order is Order.CHOSEN:
        if not listed:
            raise ValueError("no keys are listed; list some, such as C, F, Bb")
        return tuple(listed)
    if order is Order.SHUFFLED:
        return shuffled(dealt_from(start, deck, setting), seed)[:count]
    return key_order(_STEADY[order], start, setting.prefers_flats_at_six)[:count]


def dealt_from(start: Key, deck: Deck, setting: Setting) -> tuple[Key, ...]:
    """The keys from which a shuffle is dealt, in the mode of the drill's own key."""
    fifteen = {Mode.MAJOR: MAJOR_KEYS, Mode.MINOR: MINOR_KEYS}.get(start.mode)
    if deck is Deck.FIFTEEN and fifteen is not None:
        return fifteen
    # The order is counted from C so that one number deals the same order in every lesson.
    twelve = key_order(KeyOrder.FIFTHS, Key(NoteName.parse("C"), start.mode), setting.prefers_flats_at_six)
    return tuple(start if key.tonic.pitch_class == start.tonic.pitch_class else key for key in twelve)
