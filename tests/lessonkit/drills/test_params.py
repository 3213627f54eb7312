"""Every kind of setting reads what it writes and refuses what it cannot mean."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction
from typing import Any

import pytest

from lessonkit.drills import params
from lessonkit.drills.chart import Chart
from lessonkit.drills.key_fingers import FingersInKeys, KeyFingers
from lessonkit.drills.params import Param, Plain
from lessonkit.drills.phrase import Phrase
from lessonkit.drills.typed_music import ChartText, PhraseText
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.quality import Quality


class Colour(Enum):
    """Stands for any enumeration."""

    BLACK = "black"
    WHITE = "white"


MAJOR_SEVENTH = Quality.named("maj7")

KINDS: list[tuple[Param, Any, Plain, str, tuple[Plain, ...]]] = [
    # the kind, a value, as it stands in a file, as it is typed, what is refused
    (params.Whole(label="n", least=1, most=4), 3, 3, "3", (0, 5, True, "3", None, [3])),
    (params.YesNo(label="n"), True, True, "yes", ("perhaps", 1, None)),
    (params.Choice(label="n", options=Colour), Colour.WHITE, "white", "white", ("green", 1, None, ["white"])),
    (params.QualityChoice(label="n"), MAJOR_SEVENTH, "maj7", "Δ7", ("nonsense", None, 7)),
    (params.QualityOrKey(label="n"), MAJOR_SEVENTH, "maj7", "M7", ("nonsense", 7, ["maj7"])),
    (params.KeyChoice(label="n"), Key.parse("Ebm"), "Ebm", "eb minor", ("H", 3, ["C"])),
    (params.KeyList(label="n"), (Key.parse("C"), Key.parse("F#m")), ["C", "F#m"], "C, F#m",
     ("C", [1], ["H"], ["C"] * 31)),
    (params.NoteValue(label="n"), Fraction(1, 8), "1/8", "1/8", ("1/7", 0.125, "")),
    (params.TempoMark(label="n"), 72, 72, "72", (73, "72", True, 0, [72])),
    (params.PitchChoice(label="n"), Pitch.parse("F#3"), "F#3", "F♯3", ("F#", "C9", 60)),
    (params.ProgressionText(label="n"), Progression.parse("iim7 | V7"), "iim7 | V7", "iim7|V7",
     ("", "x", 1, "I|" * 2000)),
    (PhraseText(label="n"), Phrase.parse("in Eb | Bb7: 1/8 F4 Ab 1/4 D5 | Eb: 1/2 Eb"),
     "in Eb | Bb7: 1/8 F4 Ab 1/4 D |\nEb: 1/2 Eb", "in Eb major\n|Bb7: 1/8 F4 Ab 1/4 D5|Eb: 1/4 Eb5 ~|",
     ("", "x", 1, "C D E", "in C | X4", "in C |" + "C " * 4000)),
    (ChartText(label="n"), Chart.parse("in F | Gm7 | C7 / / Gb7"), "in F | Gm7 | C7 / / Gb7", "in F: |Gm7|C7 / / Gb7|",
     ("", "x", 1, "Cmaj7 | Dm7", "in C | H7", "in C |" + "C |" * 4000)),
    (params.Words(label="n", most=5), "aim", "aim", "aim", ("longer", 1, None)),
    (FingersInKeys(label="n", most=2), (KeyFingers.parse("F#m left 5 0 1"), KeyFingers.parse("Eb right 2")),
     ["F#m left 5 0 1", "Eb right 2"], "F#m left 5 0 1; Eb  right 2",
     ("Eb right 1", ["Eb 1 2"], ["H right 1"], ["Eb right 6"], ["Eb right 0"], ["Eb right 1", "Eb right 2"], [1],
      ["C right 1", "D right 1", "E right 1"])),
    (params.Lines(label="n", most=9), "one\ntwo", "one\ntwo", "one\ntwo", ("ten letters", 1, None, "\x07")),
    (params.Numbers(label="n", most=5), (1, 2, 0), [1, 2, 0], "1-2-0", ("1", [6], [True], ["1"], [1] * 65)),
]  # fmt: skip


@pytest.mark.parametrize(("param", "value", "plain", "typed", "refused"), KINDS)
def test_a_setting_reads_what_it_writes(
    param: Param, value: Any, plain: Plain, typed: str, refused: tuple[Plain, ...]
) -> None:
    """The file, the form and the command line mean the same value; anything else is one sentence."""
    assert param.plain(value) == plain
    assert param.value(plain) == value
    assert param.from_text(typed) == value
    assert param.describe()
    for wrong in refused:
        with pytest.raises(ValueError, match=r"\S+ \S+ \S+") as caught:
            param.value(wrong)
        assert len(str(caught.value)) < 1000


def test_every_kind_of_setting_is_in_the_table() -> None:
    """A new kind is read and written, or this fails."""
    assert {type(row[0]) for row in KINDS} == set(Param.__subclasses__())
    assert len({kind.kind for kind in Param.__subclasses__()}) == len(Param.__subclasses__())


def test_nothing_means_the_lessons_key_and_the_keys_chord() -> None:
    """What is not chosen follows the lesson; on a command line a word says so."""
    assert params.KeyChoice(label="n").value(None) is None
    assert params.KeyChoice(label="n").from_text("lesson") is None
    assert params.QualityOrKey(label="n").value(None) is None
    assert params.QualityOrKey(label="n").from_text("key") is None


@pytest.mark.parametrize("text", ["", "x", "3.5", "--3", "²", "9" * 400])
def test_a_mistyped_number_is_one_sentence(text: str) -> None:
    """Also when it is absurdly long."""
    with pytest.raises(ValueError, match=r"is not a whole number|is more than"):
        params.Whole(label="n", least=1, most=4).from_text(text)
