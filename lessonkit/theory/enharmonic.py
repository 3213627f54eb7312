"""Which of two enharmonic keys is printed, and in which order keys are practised. Every order is the same each time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from enum import Enum
from functools import lru_cache
from typing import TypeVar

from lessonkit.theory.key import Key, Mode
from lessonkit.theory.pitch import Interval, NoteName

DOUBLE_WEIGHS = 10
"""How many single accidentals a double one counts for when two spellings are weighed."""


@lru_cache(maxsize=1024)
def printed_key(key: Key, prefer_flat_six: bool = True) -> Key:
    """The key to print for a key that sounds so: the one with fewer accidentals in its signature.

    D♭ rather than C♯, B rather than C♭, G♯ minor rather than A♭ minor. Where six flats and six sharps tie (G♭ and F♯,
    E♭ minor and D♯ minor) the flats are printed unless ``prefer_flat_six`` is False.
    """
    return min(_spellings(key), key=lambda one: (abs(one.signature), (one.signature < 0) != prefer_flat_six))


def key_of_mode(tonic: NoteName, mode: Mode, prefer_flat_six: bool = True) -> Key:
    """The key of a mode on a tonic, or on its enharmonic where no signature reaches; the one with fewer accidentals."""
    for name in (tonic, *tonic.enharmonics):
        try:
            return printed_key(Key(name, mode), prefer_flat_six)
        except ValueError:
            continue
    raise ValueError(f"{tonic} has no {mode.word} key; choose another key or scale")


def accidentals(names: Iterable[NoteName]) -> int:
    """How heavily notes read: one for each accidental printed without a signature, ten for a double one."""
    return sum(DOUBLE_WEIGHS if name.is_double else abs(name.alteration) for name in names)


def fewest_accidentals(spellings: Mapping[Key, Iterable[NoteName]], prefer_flat_six: bool = True) -> Key:
    """The key in which a drill's notes need the fewest accidentals; ties go to the key that ``printed_key`` prefers.

    ``spellings`` holds all notes that would be printed in each key; raises ValueError where it is empty.
    """
    if not spellings:
        raise ValueError("there is no key to choose from; give at least one")
    weights = {key: accidentals(names) for key, names in spellings.items()}
    least = [key for key, weight in weights.items() if weight == min(weights.values())]
    return next((key for key in least if key == printed_key(key, prefer_flat_six)), least[0])


KEYS_IN_FIFTHS = tuple(Key.parse(tonic) for tonic in ("C", "G", "D", "A", "E", "B", "Gb", "Db", "Ab", "Eb", "Bb", "F"))
"""The twelve major keys as they are printed, in rising fifths from C."""


class KeyOrder(Enum):
    """An order in which all twelve keys are practised."""

    FIFTHS = "fifths"
    FOURTHS = "fourths"
    CHROMATIC = "chromatic"
    CHROMATIC_DOWN = "chromatic down"
    WHOLE_TONES = "whole tones"
    WHOLE_TONES_DOWN = "whole tones down"


_SEMITONES = {
    KeyOrder.FIFTHS: [7] * 11,
    KeyOrder.FOURTHS: [5] * 11,
    KeyOrder.CHROMATIC: [1] * 11,
    KeyOrder.CHROMATIC_DOWN: [11] * 11,
    # Six keys a whole tone apart, then the other six from a semitone above the last.
    KeyOrder.WHOLE_TONES: [2] * 5 + [3] + [2] * 5,
    # Likewise downward; the other six begin a semitone below the first.
    KeyOrder.WHOLE_TONES_DOWN: [10] * 5 + [9] + [10] * 5,
}


def key_order(kind: KeyOrder | str, start: Key, prefer_flat_six: bool = True) -> tuple[Key, ...]:
    """The twelve keys in an order, beginning with ``start`` as it is spelled; the others as ``printed_key`` says.

    Fifths go C G D, fourths C F B♭. Raises ValueError with a sentence for an order that does not exist.
    """
    try:
        steps = _SEMITONES[KeyOrder(kind)]
    except ValueError:
        names = ", ".join(order.value for order in KeyOrder)
        raise ValueError(f"{kind!r} is not an order of keys; the orders are {names}") from None
    keys, above = [start], 0
    for step in steps:
        above = (above + step) % 12
        keys.append(_key_above(start, above, prefer_flat_six))
    return tuple(keys)


@lru_cache(maxsize=1024)
def _key_above(start: Key, semitones: int, prefer_flat_six: bool) -> Key:
    pitch_class = (start.tonic.pitch_class + semitones) % 12
    for name in _names_of(pitch_class):
        try:
            return printed_key(Key(name, start.mode), prefer_flat_six)
        except ValueError:
            continue
    raise AssertionError("every key of the piano carries a key of every mode")


def _names_of(pitch_class: int) -> Iterator[NoteName]:
    for alteration in (0, -1, 1):
        for letter in range(7):
            name = NoteName(letter, alteration)
            if name.pitch_class == pitch_class:
                yield name


def _spellings(key: Key) -> list[Key]:
    keys = [key]
    for interval in (Interval(1, 0), Interval(-1, 0)):
        try:
            keys.append(Key(key.tonic + interval, key.mode))
        except ValueError:
            # The neighbouring letter would need more accidentals than a signature holds.
            continue
    return keys


_Item = TypeVar("_Item")
_BITS = (1 << 64) - 1


def shuffled(items: Sequence[_Item], seed: int) -> tuple[_Item, ...]:
    """The items in a fair order that a seed decides: the same on every platform and with every version of Python.

    Fisher and Yates's shuffle over the SplitMix64 generator (Steele, Lea, Flood, "Fast splittable pseudorandom number
    generators", 2014; from memory, checked by its first outputs); numbers that would favour an order are drawn again.
    """
    order = list(items)
    numbers = _split_mix(seed)
    for last in range(len(order) - 1, 0, -1):
        place = _below(last + 1, numbers)
        order[last], order[place] = order[place], order[last]
    return tuple(order)


def _below(limit: int, numbers: Iterator[int]) -> int:
    fair = (_BITS + 1) - (_BITS + 1) % limit
    return next(number for number in numbers if number < fair) % limit


def _split_mix(seed: int) -> Iterator[int]:
    state = seed & _BITS
    while True:
        state = (state + 0x9E3779B97F4A7C15) & _BITS
        mixed = ((state ^ (state >> 30)) * 0xBF58476D1CE4E5B9) & _BITS
        mixed = ((mixed ^ (mixed >> 27)) * 0x94D049BB133111EB) & _BITS
        yield mixed ^ (mixed >> 31)
