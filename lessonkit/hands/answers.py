"""The answers of the command lines ``finger`` and ``rate`` as values ready for JSON. Nothing is read or printed here.

Wrong arguments raise ValueError with one sentence. What is wrong with single notes stands under ``problems`` instead,
and the other notes keep their fingers.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from typing import TypeAlias

from lessonkit.hands.difficulty import USUAL_TEMPO
from lessonkit.hands.easier import As, Easier, easier_ways, rate_chord
from lessonkit.hands.fingering import Fingering, finger_groups, finger_line
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import Pitch

Answer: TypeAlias = dict[str, object]

MOST_NOTES = 4096
"""The longest passage that is fingered; longer ones are refused before any work."""


def read_notes(text: str | Sequence[str]) -> tuple[Pitch, ...]:
    """The pitches of a passage such as ``Ab3 C4 Eb4 G4``, parted by spaces or commas; raises ValueError for others."""
    whole = text if isinstance(text, str) else " ".join(text)
    names = whole.replace(",", " ").split()
    if not names:
        raise ValueError("there are no notes; write pitches like Ab3 C4 Eb4 G4")
    if len(names) > MOST_NOTES:
        raise ValueError(f"{len(names)} notes are too many for one passage; give at most {MOST_NOTES}")
    return tuple(Pitch.parse(name) for name in names)


def profile_of_span(span: float | None) -> HandProfile:
    """The medium hand, or both hands of a span in millimetres; raises ValueError for a span that is no hand's."""
    return HandProfile() if span is None else HandProfile().with_span(span)


def finger_answer(
    notes: str | Sequence[str],
    hand: Hand,
    span: float | None = None,
    groups: int | None = None,
    black_start: bool = False,
) -> Answer:
    """What ``lessonkit finger`` prints for one passage.

    Keys: ``hand``, ``notes``, ``fingers`` (one a note, null where none), ``cost``, ``runner_up`` (``fingers`` and
    ``cost``, or null), ``reasons`` (a list of sentences for each note), ``kind`` and ``problems``.
    """
    pitches = read_notes(notes)
    profile = profile_of_span(span)
    if groups is None:
        fingering = finger_line(pitches, hand, profile)
    else:
        fingering = finger_groups(pitches, groups, hand, profile, black_start)
    return _fingering_answer(pitches, hand, fingering)


def finger_answers(
    lines: Iterable[str],
    hand: Hand,
    span: float | None = None,
    groups: int | None = None,
    black_start: bool = False,
) -> Iterator[Answer]:
    """What ``lessonkit finger … -`` prints: one answer for each line that holds a passage, in order.

    ``right:`` or ``left:`` before the notes changes the hand for that line. A line that cannot be read answers
    ``{"line": number, "error": sentence}`` and the next ones go on.
    """
    profile_of_span(span)  # A wrong span is wrong for all lines and is told before the first of them.
    for number, line in enumerate(lines, 1):
        text = line.strip()
        if not text:
            continue
        try:
            playing, notes = _hand_and_notes(text, hand)
            yield finger_answer(notes, playing, span, groups, black_start)
        except ValueError as error:
            yield {"line": number, "error": str(error)}


def rate_answer(
    chord: str,
    played: As,
    hand: Hand,
    inversion: int = 0,
    octaves: int = 2,
    tempo: int = USUAL_TEMPO,
    span: float | None = None,
) -> Answer:
    """What ``lessonkit rate`` prints for one chord.

    Keys: ``chord``, ``inversion``, ``as``, ``hand``, ``tempo``, ``score``, ``band``, ``reasons`` (sentences, the
    heaviest first) and ``easier`` (ways, best first, each with ``way``, ``what``, ``why``, ``gain``, ``score``,
    ``band``, ``notes``, and ``inversion`` or ``left_hand`` where they apply).
    """
    named, profile = Chord.parse(chord), profile_of_span(span)
    difficulty = rate_chord(named, inversion, played, hand, profile, octaves, tempo)
    ways = easier_ways(named, inversion, played, hand, profile, octaves, tempo)
    return {
        "chord": named.ascii,
        "inversion": inversion,
        "as": played.value,
        "hand": hand.value,
        "tempo": tempo,
        "score": difficulty.score,
        "band": difficulty.band.value,
        "reasons": [reason.sentence for reason in difficulty.reasons],
        "easier": [_easier_answer(way) for way in ways],
    }


def as_json(answer: Answer) -> str:
    """One line of JSON; signs such as ♭ stay readable."""
    return json.dumps(answer, ensure_ascii=False)


def _hand_and_notes(text: str, hand: Hand) -> tuple[Hand, str]:
    before, colon, after = text.partition(":")
    return (Hand.parse(before), after) if colon else (hand, text)


def _fingering_answer(pitches: tuple[Pitch, ...], hand: Hand, fingering: Fingering) -> Answer:
    runner_up: Answer | None = None
    if fingering.runner_up is not None and fingering.runner_up_cost is not None:
        runner_up = {"fingers": list(fingering.runner_up), "cost": round(fingering.runner_up_cost, 3)}
    return {
        "hand": hand.value,
        "notes": [pitch.ascii for pitch in pitches],
        "fingers": list(fingering.fingers),
        "cost": round(fingering.cost, 3),
        "runner_up": runner_up,
        "reasons": [list(reasons) for reasons in fingering.reasons],
        "kind": fingering.kind,
        "problems": [{"notes": list(one.notes), "sentence": one.sentence} for one in fingering.problems],
    }


def _easier_answer(way: Easier) -> Answer:
    answer: Answer = {
        "way": way.way.value,
        "what": way.what,
        "why": way.why,
        "gain": way.gain,
        "score": way.score,
        "band": way.band.value,
        "notes": [pitch.ascii for pitch in way.notes],
    }
    if way.inversion is not None:
        answer["inversion"] = way.inversion
    if way.left_hand is not None:
        answer["left_hand"] = way.left_hand.ascii
    return answer
