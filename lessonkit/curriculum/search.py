"""Finding drills by what is in them, in plain words: ``m7b5 in the left hand``, ``hard broken chords in Eb``.

A query is words in any order: kinds of chord, keys after *in*, hands, drill families, what is read, how hard. What is
none of these is looked for in the words of the lessons.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import field, replace
from functools import cache

from lessonkit.curriculum.coverage import Coverage, Place, Taught
from lessonkit.curriculum.seen import Reading, Seen, plain_key
from lessonkit.drills.difficulty import difficulty
from lessonkit.drills.exercise import Hand
from lessonkit.drills.family import families
from lessonkit.hands.difficulty import Band
from lessonkit.lesson.lesson import Drill, Heading, Note
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.quality import ALL_QUALITIES
from lessonkit.values import dataclass

LONGEST_QUERY = 300
LONGEST_PHRASE = 8
"""The most words in the name of a chord or a drill family."""


@dataclass(frozen=True, slots=True)
class Query:
    """What is looked for; of several things of one kind any will do, and of every kind that is named one must be there.

    ``words`` have to stand in the lesson's title, in a note or heading, or in the drill's own line.
    """

    qualities: frozenset[str] = frozenset()
    keys: frozenset[Key] = frozenset()
    hands: frozenset[Hand] = frozenset()
    families: frozenset[str] = frozenset()
    readings: frozenset[Reading] = frozenset()
    bands: frozenset[Band] = frozenset()
    words: tuple[str, ...] = ()

    @property
    def told(self) -> str:
        """How the query was understood, in words."""
        parts = [
            ("chords", sorted(self.qualities)), ("keys", sorted(map(str, self.keys))),
            ("hands", sorted(hand.value for hand in self.hands)),
            ("drills", sorted(families()[code].title for code in self.families)),
            ("reading", sorted(one.value for one in self.readings)),
            ("difficulty", [band.value for band in Band if band in self.bands]),
            ("words", [f"“{word}”" for word in self.words]),
        ]  # fmt: skip
        return "; ".join(f"{what}: {', '.join(found)}" for what, found in parts if found) or "everything"

    def wants(self, seen: Seen) -> bool:
        """Whether one thing that a drill contains is of every kind that is asked for."""
        return (
            (not self.qualities or seen.quality in self.qualities)
            and (not self.keys or seen.key in self.keys)
            and (not self.hands or seen.hand in self.hands)
            and (not self.families or seen.skill.family in self.families)
            and (not self.readings or seen.reading in self.readings)
        )


@dataclass(frozen=True, slots=True)
class Found:
    """A drill that was found: where it is, its one line, how hard it is."""

    place: Place
    line: str
    band: Band
    score: float = field(compare=False, default=0.0)


def read_query(text: str) -> Query:
    """The query that some plain words mean; never raises but for a text that is far too long."""
    if len(text) > LONGEST_QUERY:
        raise ValueError(f"{len(text)} characters are too many to look for; use {LONGEST_QUERY} at most")
    tokens = [token for token in re.split(r"[\s,;]+", text.replace("♭", "b").replace("♯", "#").strip()) if token]
    query = Query()
    place = 0
    while place < len(tokens):
        for reader in READERS:
            taken, better = reader(tokens, place, query)
            if taken:
                query, place = better, place + taken
                break
        else:
            word = tokens[place].lower()
            if word not in FILLERS:
                query = replace(query, words=(*query.words, word))
            place += 1
    return query


def search(coverage: Coverage, query: Query) -> tuple[Found, ...]:
    """The drills of a shelf or a term that a query means, in the order of the lessons."""
    return tuple(found for taught in coverage.lessons for found in _in_lesson(taught, query))


def by_difficulty(found: Sequence[Found]) -> tuple[Found, ...]:
    """What was found, the easiest first."""
    return tuple(sorted(found, key=lambda one: one.score))


def _in_lesson(taught: Taught, query: Query) -> Iterator[Found]:
    counts = dict(taught.blocks)
    setting = taught.lesson.setting
    texts = [taught.lesson.title, taught.lesson.aims]
    texts += [block.text for block in taught.lesson.blocks if isinstance(block, Heading | Note)]
    told = "\n".join(texts).lower()
    for block in taught.lesson.blocks:
        if not isinstance(block, Drill) or not any(query.wants(seen) for seen in counts[block.id].seen):
            continue
        line = block.family.in_one_line(setting)
        if not all(word in told or word in f"{block.family.title} {line}".lower() for word in query.words):
            continue
        how_hard = difficulty(block.family, setting)
        if not query.bands or how_hard.band in query.bands:
            place = Place(taught.name, taught.week, taught.day, block.id)
            yield Found(place, line, how_hard.band, how_hard.score)


Reader = Callable[[Sequence[str], int, Query], tuple[int, Query]]
"""Takes tokens from a place on and answers how many it understood (0 for none) and the query with them."""

FILLERS = frozenset((
    "a", "all", "an", "and", "any", "are", "at", "by", "drill", "drills", "every", "find", "for", "from", "hand",
    "hands", "have", "in", "is", "key", "keys", "lesson", "lessons", "me", "of", "on", "only", "or", "show", "some",
    "that", "the", "to", "where", "which", "with",
))  # fmt: skip
"""Words that say nothing by themselves."""


def _phrase(tokens: Sequence[str], place: int, said: dict[str, object]) -> tuple[int, object | None]:
    """The longest phrase of a table that stands at a place, and what it means."""
    for length in range(LONGEST_PHRASE, 0, -1):
        words = " ".join(tokens[place : place + length]).lower().replace("-", " ").replace("–", " ")
        if place + length <= len(tokens) and words in said:
            return length, said[words]
    return 0, None


def _of_family(tokens: Sequence[str], place: int, query: Query) -> tuple[int, Query]:
    taken, code = _phrase(tokens, place, _families())
    return taken, replace(query, families=query.families | {str(code)}) if taken else query


@cache
def _families() -> dict[str, object]:
    """Families by title, singular too, and by code."""
    said: dict[str, object] = {}
    for code, family in families().items():
        title = family.title.lower().replace("-", " ").replace("–", " ")
        for words in (title, title.removesuffix("s"), code.replace("-", " ")):
            said.setdefault(words, code)
    return said


def _of_hand(tokens: Sequence[str], place: int, query: Query) -> tuple[int, Query]:
    said: dict[str, object] = {"left hand": Hand.LEFT, "right hand": Hand.RIGHT, "left": Hand.LEFT, "right": Hand.RIGHT}
    taken, hand = _phrase(tokens, place, said)
    return taken, replace(query, hands=query.hands | {hand}) if isinstance(hand, Hand) else query


def _of_reading(tokens: Sequence[str], place: int, query: Query) -> tuple[int, Query]:
    taken, found = _phrase(tokens, place, {one.value: one for one in Reading})
    return taken, replace(query, readings=query.readings | {found}) if isinstance(found, Reading) else query


def _of_band(tokens: Sequence[str], place: int, query: Query) -> tuple[int, Query]:
    said: dict[str, object] = {"difficult": Band.HARD, "very difficult": Band.VERY_HARD}
    said.update((band.value, band) for band in Band)
    taken, band = _phrase(tokens, place, said)
    return taken, replace(query, bands=query.bands | {band}) if isinstance(band, Band) else query


_TONIC = re.compile(r"[A-G][b#]?")


def _of_key(tokens: Sequence[str], place: int, query: Query) -> tuple[int, Query]:
    """A key with its mode, a tonic after *in*, or one with a sign."""
    tonic = tokens[place]
    is_minor = tonic.endswith("m") and _TONIC.fullmatch(tonic[:-1]) is not None
    if _TONIC.fullmatch(tonic) is None and not is_minor:
        return 0, query
    mode = tokens[place + 1].lower() if place + 1 < len(tokens) else ""
    has_mode = mode in ("major", "minor", "dorian", "phrygian", "lydian", "mixolydian", "locrian") and not is_minor
    after_in = place > 0 and tokens[place - 1].lower() in ("in", "key", "or", "and")
    if not (has_mode or after_in or len(tonic) == 2):
        return 0, query
    try:
        key = plain_key(Key.parse(f"{tonic} {mode}" if has_mode else tonic))
    except ValueError:
        return 0, query
    return 2 if has_mode else 1, replace(query, keys=query.keys | {key})


def _of_quality(tokens: Sequence[str], place: int, query: Query) -> tuple[int, Query]:
    """A suffix such as m7b5 or ø7, a whole symbol such as Cm7b5, or the name in full."""
    taken, quality = _phrase(tokens, place, _qualities())
    if taken:
        return taken, replace(query, qualities=query.qualities | {str(quality)})
    token = tokens[place]
    if not (any(sign.isdigit() for sign in token) or "ø" in token or "°" in token):
        return 0, query
    for text in (f"C{token}", token):
        try:
            return 1, replace(query, qualities=query.qualities | {Chord.parse(text).quality.key})
        except ValueError:
            continue
    return 0, query


@cache
def _qualities() -> dict[str, object]:
    """Kinds of chord by their names in full, with and without ``chord``."""
    said: dict[str, object] = {}
    for quality in ALL_QUALITIES:
        words = quality.words.replace("-", " ")
        if len(words.split()) > 1 or words in ("diminished", "augmented"):
            said |= {words: quality.key, f"{words} chord": quality.key, f"{words} chords": quality.key}
        else:
            said |= {f"{words} triad": quality.key, f"{words} triads": quality.key}
            said |= {f"{words} chord": quality.key, f"{words} chords": quality.key}
    return said | {"half diminished": "m7b5", "diminished triad": "dim", "diminished triads": "dim"}


READERS: tuple[Reader, ...] = (_of_family, _of_quality, _of_hand, _of_key, _of_reading, _of_band)
"""What words are tried for, in this order."""
