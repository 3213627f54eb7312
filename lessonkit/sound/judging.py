"""A drill as a student played it, held against the drill: which notes were right, wrong, missed or late.

The student begins when ready and at any tempo. Levels are our own: what a teacher would let pass.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from enum import Enum
from itertools import pairwise
from statistics import median
from typing import TypeVar

from lessonkit.sound.performance import PlayedNote
from lessonkit.sound.played_in import Struck
from lessonkit.values import dataclass

TOGETHER = 0.06
"""Keys struck within so many seconds of one another are a chord."""

LATE = 0.25
"""How much of a beat a note may come after its time and not be late."""

LEAST_LATE = 0.09
"""Seconds that a note may always come after its time."""

SLOW = 1.1
"""How much longer than asked all may take and still be at tempo."""

_NOT_ALONG = 60
"""How many notes the two rows may be apart while they are laid side by side."""

_SAME, _OTHER, _GAP = 2, -1, -1


class Verdict(Enum):
    """What became of a note."""

    RIGHT = "right"
    LATE = "late"
    WRONG = "wrong"
    """Another key was struck in its place."""
    MISSED = "missed"
    EXTRA = "extra"
    """A key was struck that stands nowhere."""


@dataclass(frozen=True, slots=True)
class Judged:
    """A note of the drill, the key that was struck for it, or both; ``late`` is by how many seconds."""

    verdict: Verdict
    note: PlayedNote | None
    struck: Struck | None
    late: float = 0.0


@dataclass(frozen=True, slots=True)
class Judgement:
    """All notes in order, how much slower than asked it was (1 is as asked), and how often it came to a stop."""

    notes: tuple[Judged, ...]
    slower: float
    stops: int

    def count(self, *verdicts: Verdict) -> int:
        """How many notes have one of these verdicts."""
        return sum(one.verdict in verdicts for one in self.notes)

    @property
    def rating(self) -> int:
        """The mark proposed for a first try: 0 could not, 1 not without a stop or mistake, 2 right but slow, 3 right.

        One slip in thirty notes is let pass.
        """
        asked = self.count(Verdict.RIGHT, Verdict.LATE, Verdict.WRONG, Verdict.MISSED)
        right = self.count(Verdict.RIGHT, Verdict.LATE)
        mistakes = asked - right + self.count(Verdict.EXTRA)
        if not asked or right < asked / 2 or self.count(Verdict.EXTRA) > asked / 2:
            return 0
        if self.stops or mistakes > asked // 30:
            return 1
        return 2 if self.slower > SLOW or self.count(Verdict.LATE) > asked / 8 else 3

    @property
    def reason(self) -> str:
        """Why the mark is not the best, in words; empty where it is."""
        if self.rating == 3:
            return ""
        if self.rating == 2:
            return "it was slower than asked" if self.slower > SLOW else "many notes were late"
        return "it came to a stop" if self.rating and self.stops else "too few notes were right"

    @property
    def sentence(self) -> str:
        """What was heard, in words."""
        asked = len(self.notes) - self.count(Verdict.EXTRA)
        parts = [f"{self.count(Verdict.RIGHT, Verdict.LATE)} of {asked} notes right"]
        wrong = self.count(Verdict.WRONG, Verdict.EXTRA)
        for count, words in (
            (wrong, "wrong"), (self.count(Verdict.MISSED), "missed"), (self.count(Verdict.LATE), "late"),
        ):  # fmt: skip
            if count:
                parts.append(f"{count} {words}")
        if self.stops:
            parts.append("one stop" if self.stops == 1 else f"{self.stops} stops")
        if self.slower > SLOW:
            parts.append(f"at {round(100 / self.slower)} % of the tempo")
        return ", ".join(parts)


def judged(expected: Sequence[PlayedNote], played: Sequence[Struck], beat: float) -> Judgement:
    """Hold what was played against what is asked; a beat lasts so many seconds at the tempo asked."""
    pairs = _mended(list(_side_by_side(_in_chords(expected), _in_chords(played))), beat)
    slower = _slower(pairs)
    found, stops = _timed(pairs, slower, beat)
    return Judgement(tuple(found), slower, stops)


_Pair = tuple[PlayedNote | None, Struck | None]


_Key = TypeVar("_Key", PlayedNote, Struck)


def _in_chords(keys: Sequence[_Key]) -> list[_Key]:
    """In order of time, and from low to high where they are struck together."""
    found: list[_Key] = []
    chord: list[_Key] = []
    for one in sorted(keys, key=lambda key: (key.start, key.midi)):
        if chord and one.start - chord[-1].start > TOGETHER:
            found += sorted(chord, key=lambda key: key.midi)
            chord = []
        chord.append(one)
    return found + sorted(chord, key=lambda key: key.midi)


def _side_by_side(notes: Sequence[PlayedNote], keys: Sequence[Struck]) -> Iterator[_Pair]:
    """The two rows laid side by side so that as many keys as possible agree (Needleman and Wunsch, 1970)."""
    rows, columns = len(notes), len(keys)
    slope = columns / rows if rows else 0
    reach = _NOT_ALONG + abs(rows - columns)
    scores: list[dict[int, int]] = [{column: _GAP * column for column in range(min(columns, reach) + 1)}]
    nowhere = -(10**9)
    for row in range(1, rows + 1):
        middle = round(row * slope)
        line: dict[int, int] = {}
        above = scores[-1]
        for column in range(max(middle - reach, 0), min(middle + reach, columns) + 1):
            best = above.get(column, nowhere) + _GAP
            if column:
                best = max(best, line.get(column - 1, nowhere) + _GAP)
                best = max(best, above.get(column - 1, nowhere) + _likeness(notes[row - 1], keys[column - 1]))
            line[column] = best
        scores.append(line)
    pairs: list[_Pair] = []
    row, column = rows, columns
    while row or column:
        now = scores[row].get(column, nowhere)
        across = scores[row - 1].get(column - 1, nowhere) if row and column else nowhere
        if row and column and now == across + _likeness(notes[row - 1], keys[column - 1]):
            row, column = row - 1, column - 1
            pairs.append((notes[row], keys[column]))
        elif row and (not column or now == scores[row - 1].get(column, nowhere) + _GAP):
            row -= 1
            pairs.append((notes[row], None))
        else:
            column -= 1
            pairs.append((None, keys[column]))
    return reversed(pairs)


def _likeness(note: PlayedNote, key: Struck) -> int:
    return _SAME if note.midi == key.midi else _OTHER


def _mended(pairs: list[_Pair], beat: float) -> list[_Pair]:
    """A note and its key that were parted because others came between them are brought together.

    Two hands are seldom struck in the same order, and a rolled chord is rolled in many ways.
    """
    right = [(note.start, key.start) for note, key in pairs if note and key and note.midi == key.midi]
    loose_keys = [key for note, key in pairs if key and (note is None or note.midi != key.midi)]
    taken: dict[PlayedNote, Struck] = {}
    for note, key in pairs:
        if note is None or (key is not None and key.midi == note.midi):
            continue
        about = _at(right, note.start)
        near = [(abs(one.start - about), place) for place, one in enumerate(loose_keys) if one.midi == note.midi]
        if near and min(near)[0] < beat / 2:
            taken[note] = loose_keys[min(near)[1]]
            loose_keys.remove(taken[note])
    used = set(taken.values())
    found: list[_Pair] = []
    for note, key in pairs:
        if note in taken:
            found.append((note, taken[note]))
            if key is not None and key not in used:
                found.append((None, key))
        elif key in used:
            if note is not None:
                found.append((note, None))
        else:
            found.append((note, key))
    return found


def _at(right: Sequence[tuple[float, float]], start: float) -> float:
    """When a moment of the drill was played, by the notes around it that are right."""
    if not right:
        return start
    place = bisect_left(right, start, key=lambda one: one[0])
    before, after = right[max(place - 1, 0)], right[min(place, len(right) - 1)]
    if after[0] <= before[0]:
        return before[1] + start - before[0]
    return before[1] + (after[1] - before[1]) * (start - before[0]) / (after[0] - before[0])


def _matched(pairs: Sequence[_Pair]) -> list[tuple[PlayedNote, Struck]]:
    found = [(note, key) for note, key in pairs if note is not None and key is not None and note.midi == key.midi]
    return sorted(found, key=lambda one: (one[0].start, one[1].start))


def _slower(pairs: Sequence[_Pair]) -> float:
    """How much longer than asked the steps from note to note are, by the one in the middle."""
    steps = [
        (late.start - early.start) / (after.start - before.start)
        for (before, early), (after, late) in pairwise(_matched(pairs))
        if after.start - before.start > TOGETHER
    ]
    return max(median(steps), 0.05) if steps else 1.0


def _timed(pairs: Sequence[_Pair], slower: float, beat: float) -> tuple[list[Judged], int]:
    """Each pair with its verdict, and how many of the late ones were stops.

    A note is late by what came before it: after a late one the time is counted from there.
    """
    late: dict[PlayedNote, float] = {}
    stops = 0
    anchor: tuple[float, float] | None = None
    allowed = max(LATE * beat * slower, LEAST_LATE)
    for note, key in _matched(pairs):
        if anchor is None:
            anchor = (note.start, key.start)
            continue
        off = key.start - (anchor[1] + (note.start - anchor[0]) * slower)
        if off > allowed:
            late[note] = off
            stops += off > max(beat * slower, 0.6)
            anchor = (note.start, key.start)
        elif off < -allowed:
            anchor = (note.start, key.start)
        else:
            # Nobody plays like a clock: the time follows the player.
            anchor = (note.start, key.start - off / 2)
    found = []
    for pair_note, pair_key in pairs:
        if pair_note is None:
            verdict = Verdict.EXTRA
        elif pair_key is None:
            verdict = Verdict.MISSED
        elif pair_note.midi != pair_key.midi:
            verdict = Verdict.WRONG
        else:
            verdict = Verdict.LATE if pair_note in late else Verdict.RIGHT
        found.append(Judged(verdict, pair_note, pair_key, late.get(pair_note, 0.0) if pair_note else 0.0))
    return found, stops
