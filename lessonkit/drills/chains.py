"""Chooses one shape for each chord in view of the whole chain, so that it costs least. Of equal chains, the first."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from lessonkit.theory.pitch import Pitch

Shape = tuple[Pitch, ...]


def cheapest_chain(choices: Sequence[Sequence[Shape]], cost: Callable[[Shape, Shape], int]) -> list[Shape]:
    """One shape of each row so that the steps from each to the next cost least together.

    Of chains that cost the same, the one with the first choices is taken. No row may be empty.
    """
    ahead = [[0] * len(choices[-1])]
    for here, there in zip(reversed(choices[:-1]), reversed(choices[1:]), strict=True):
        following = ahead[0]
        ahead.insert(
            0, [min(cost(one, two) + rest for two, rest in zip(there, following, strict=True)) for one in here]
        )
    chain: list[Shape] = []
    for row, rest in zip(choices, ahead, strict=True):
        totals = [(cost(chain[-1], one) if chain else 0) + more for one, more in zip(row, rest, strict=True)]
        chain.append(row[totals.index(min(totals))])
    return chain


def top_moves(before: Shape, after: Shape) -> int:
    """How far the top note moves, in semitones."""
    return abs(after[-1].midi - before[-1].midi)


def octaves_between(shape: Shape, lowest: int, highest: int) -> list[Shape]:
    """The shape in every octave where its lowest note lies between two MIDI numbers, both included, low to high."""
    first = -((shape[0].midi - lowest) // 12)
    last = (highest - shape[0].midi) // 12
    return [tuple(pitch.octaves_up(octaves) for pitch in shape) for octaves in range(first, last + 1)]
