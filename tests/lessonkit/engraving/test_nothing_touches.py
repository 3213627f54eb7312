"""Ink that must not touch does not: the outlines of a finished drawing held against one another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from random import Random

import pytest

from lessonkit.drawing.shapes import Drawing, Face, Glyph, Text
from lessonkit.drills.exercise import Exercise, FingersShown
from lessonkit.drills.family import DrillFamily, Hands, families, family
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.engraving.engrave import engrave, forget
from lessonkit.engraving.look import Look
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from tests.looking.geometry import Count, clashes, outside

STAVES = (6.0, 7.0, 12.0, 16.0)
KEYS = (*MAJOR_KEYS, *MINOR_KEYS)
DRESSED: tuple[dict[str, object], ...] = (
    {},
    {"articulation": "legato, a slur over each group", "loudness": "mf", "shaping": "louder up, softer down",
     "pedal_use": "changed with each bar", "shows_degrees": True},
    {"articulation": "staccato", "loudness": "f", "octaves": 3, "fingers_shown": FingersShown.ALL.value},
    {"note_length": "1/12", "metre": "4/4", "fingers_shown": FingersShown.ALL.value},
    {"metre": "6/8", "shows_degrees": True, "repeats": 3},
    {"articulation": "an accent on each group", "shows_chord_names": False, "pedal_use": "changed with each chord"},
)  # fmt: skip
"""Settings that put every kind of mark on the page."""

SAMPLED = 5
"""How many of its keys, hands, sizes and settings the ordinary run looks at for each family."""

Way = tuple[Key, Hands, float, int]


def ways() -> list[Way]:
    """Every key, hand, staff and dress."""
    return [
        (key, hands, staff, dress)
        for key in KEYS
        for hands in Hands
        for staff in STAVES
        for dress in range(len(DRESSED))
    ]


def swept() -> list[Way]:
    """Every key, hand and staff; the dresses take turns, so that each key has each of them."""
    places = [(key, hands, staff) for key in KEYS for hands in Hands for staff in STAVES]
    # Twelve hands and staves to a key: with a step of one more at each key all of them meet all dresses.
    return [(*place, (at + at // 12) % len(DRESSED)) for at, place in enumerate(places)]


def found(kind: type[DrillFamily], chosen: list[Way], count: Count | None = None) -> Iterator[str]:
    """Everything that touches or leaves its drawing, in words."""
    drawn = refused = 0
    for key, hands, staff, dress in chosen:
        try:
            dressed = {name: value for name, value in DRESSED[dress].items() if name in kind.declared()}
            drill = kind.from_settings(dressed)
            exercise = realise(replace(drill, hands=hands), Setting(key))
        except ValueError:
            refused += 1
            continue
        for number, drawing in enumerate(engrave(exercise, Look(482.0, staff)), 1):
            drawn += 1
            for problem in (*clashes(drawing, count=count), *outside(drawing)):
                yield f"{kind.code} in {key}, {hands.value}, {staff} mm, dress {dress}, line {number}: {problem}"
    assert drawn, "nothing was engraved, so nothing was looked at"
    # Some drills say no to a metre or to three octaves; most of them must be looked at.
    assert refused <= len(chosen) / 2


@pytest.mark.parametrize("kind", families().values(), ids=lambda kind: kind.code)
def test_nothing_touches_what_it_must_not(kind: type[DrillFamily]) -> None:
    """A finger in a beam or a slur through a flat cannot be read at the piano."""
    chosen = Random(kind.code).sample(ways(), SAMPLED)
    assert not list(found(kind, chosen))


@pytest.mark.whole
@pytest.mark.parametrize("kind", families().values(), ids=lambda kind: kind.code)
def test_nothing_touches_in_any_key_for_any_hand_at_any_size(kind: type[DrillFamily]) -> None:
    """The same for all of them."""
    count = Count()
    problems = list(found(kind, swept(), count))
    forget()
    assert not problems, f"{len(problems)} clashes, the first: {problems[0]}"
    assert count.pairs > 100 * count.drawings


def engraved(**settings: object) -> Drawing:
    """The first line of some broken chords."""
    exercise: Exercise = realise(family("broken-chords").from_settings(settings), Setting(Key.parse("Eb")))
    return engrave(exercise, Look(482.0))[0]


def test_a_finger_moved_into_the_notes_is_noticed() -> None:
    """A search that finds nothing anywhere would prove nothing."""
    drawing = engraved()
    assert not clashes(drawing)
    head = next(shape for shape in drawing.shapes if isinstance(shape, Glyph) and shape.code == 0xE0A4)
    text = Text(head.x, head.y, "3", Face.SPARE, 8.0)
    kinds = {clash.one.kind for clash in clashes(replace(drawing, shapes=(*drawing.shapes, text)))}
    kinds |= {clash.other.kind for clash in clashes(replace(drawing, shapes=(*drawing.shapes, text)))}
    assert {"text", "notehead", "staff line"} <= kinds


def test_a_flat_may_nestle_but_not_stand_on_another() -> None:
    """The outlines are compared, not the boxes: the empty corner of a flat is free."""
    drawing = engraved()
    size = next(shape.size for shape in drawing.shapes if isinstance(shape, Glyph))
    low = Glyph(0xE260, 200.0, -100.0, size)
    beside = Glyph(0xE260, 200.0 + 0.13 * size, -100.0 - 0.5 * size, size)
    assert not clashes(replace(drawing, shapes=(low, beside), marks=()))
    assert clashes(replace(drawing, shapes=(low, low._replace(x=200.0 + 0.05 * size)), marks=()))


MET_ONCE = (
    ("block-chords", "Eb", Hands.RIGHT, 16.0, 1), ("block-chords", "B", Hands.BOTH, 16.0, 5),
    ("drop-voicings", "Cb", Hands.LEFT, 16.0, 1), ("enclosures", "Gb", Hands.LEFT, 16.0, 2),
    ("enclosures", "D", Hands.BOTH, 16.0, 2),
)  # fmt: skip
"""A flat in a slur, a pedal's notch on its sign, a swell on its letter, ledger lines of bars too full for a line."""


@pytest.mark.parametrize(("code", "key", "hands", "staff", "dress"), MET_ONCE)
def test_what_met_once_stays_apart(code: str, key: str, hands: Hands, staff: float, dress: int) -> None:
    """Found by the whole sweep, which the ordinary run only samples."""
    assert not list(found(families()[code], [(Key.parse(key), hands, staff, dress)]))
