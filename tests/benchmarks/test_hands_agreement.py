"""How far the engine agrees with a printed manual, by family and hand.

The transcription is no part of the project: give its path in LESSONKIT_FINGERING_ROWS and run
``python -m pytest -m bench tests/benchmarks/test_hands_agreement.py -s``. Each row of the JSON list holds ``family``,
``key``, ``hand``, ``midi``, ``fingers``, perhaps ``alternates`` and, for broken chords, groups of four notes.
"""

import json
import os
from collections import defaultdict
from collections.abc import Iterable
from pathlib import Path

import pytest

from lessonkit.hands.fingering import finger_groups, finger_line
from lessonkit.hands.hand import Hand
from lessonkit.theory.pitch import Pitch

NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")


class Count:
    """Rows and notes that agree."""

    def __init__(self) -> None:
        self.rows = self.main = self.printed = self.first_two = self.notes = self.same_notes = 0

    def line(self) -> str:
        share = [100 * count / self.rows for count in (self.main, self.printed, self.first_two)]
        notes = 100 * self.same_notes / self.notes
        return f"{self.rows:5d} {share[0]:9.1f} {share[1]:13.1f} {share[2]:13.1f} {notes:9.2f}"


def _text(fingers: Iterable[int | None]) -> str:
    return "".join(str(finger or "-") for finger in fingers)


@pytest.mark.bench
def test_agreement_with_the_printed_manual() -> None:
    """Broken chords and scales agree in every row; of the arpeggios all but 2 in 100 do, alternatives counted."""
    path = os.environ.get("LESSONKIT_FINGERING_ROWS")
    if not path:
        print("\nno transcription given in LESSONKIT_FINGERING_ROWS; nothing compared")
        return
    counts: dict[tuple[str, str], Count] = defaultdict(Count)
    for row in json.loads(Path(path).read_text("utf-8")):
        pitches = [Pitch.parse(f"{NAMES[key % 12]}{key // 12 - 1}") for key in row["midi"]]
        hand = Hand(row["hand"])
        is_broken = row["family"] == "broken chord"
        fingering = finger_groups(pitches, 4, hand) if is_broken else finger_line(pitches, hand)
        found, second = _text(fingering.fingers), _text(fingering.runner_up or ())
        printed = [row["fingers"], *row.get("alternates", [])]
        nearest = max(sum(one == other for one, other in zip(found, way, strict=True)) for way in printed)
        for place in ((row["family"], row["hand"]), ("all", "")):
            count = counts[place]
            count.rows += 1
            count.main += found == printed[0]
            count.printed += found in printed
            count.first_two += found in printed or second in printed
            count.notes += len(found)
            count.same_notes += nearest
    print(f"\n{'family':28s} {'hand':6s}  rows  main row %  with printed %  first two %  notes %")
    for (family, side), count in sorted(counts.items()):
        print(f"{family:28s} {side:6s} {count.line()}")
    for (family, _), count in counts.items():
        if family in ("broken chord", "major scale"):
            assert count.printed == count.rows
    assert counts["all", ""].printed >= 0.98 * counts["all", ""].rows
