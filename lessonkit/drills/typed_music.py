"""The kinds of setting in which a teacher types music: a phrase, a chart of chords. Both are values, not text."""

from __future__ import annotations

from typing import Any, ClassVar

from lessonkit.drills.chart import LIKE as CHART_LIKE
from lessonkit.drills.chart import Chart
from lessonkit.drills.params import Param, Plain
from lessonkit.drills.phrase import LIKE as PHRASE_LIKE
from lessonkit.drills.phrase import Phrase
from lessonkit.values import dataclass


@dataclass(frozen=True)
class PhraseText(Param):
    """A phrase of the teacher's own, such as ``in C | Dm7: 1/8 D4 F A C``; nothing where it may be left out."""

    kind: ClassVar[str] = "phrase"
    is_needed: bool = True

    def plain(self, value: Phrase | None) -> str:
        return "" if value is None else value.ascii

    def value(self, plain: Plain) -> Phrase | None:
        if not isinstance(plain, str):
            raise ValueError(f"a list or number is not a phrase; {PHRASE_LIKE}")
        if not self.is_needed and not plain.strip():
            return None
        return Phrase.parse(plain)

    def describe(self) -> dict[str, Any]:
        return {"allowed": f"notes in bars with chords over them; {PHRASE_LIKE}"}

    def extremes(self) -> tuple[Any, ...]:
        few = Phrase.parse("in C | 1/4 C5")
        many = Phrase.parse(
            "in F# minor | 1/4 C# | F#m: 1/12 F#4 r C#5 1/8 E# r 1/4 D#+G# ~ "
            "| G#m7b5: 3/8 B 1/8 ~ 1/16 D C# B# B 1/4 ~ | C#7: 1/8 E# D C# B A G# F# E# "
            "| Em7: 1/2 G4 A7: Bb | F#m: 1/1 F#"
        )
        return (few, many) if self.is_needed else (None, few, many)


@dataclass(frozen=True)
class ChartText(Param):
    """A chord chart of the teacher's own, such as ``in F | Gm7 | C7 / / Gb7 | Fmaj7``, or one of degrees."""

    kind: ClassVar[str] = "chord chart"

    def plain(self, value: Chart) -> str:
        return value.ascii

    def value(self, plain: Plain) -> Chart:
        if not isinstance(plain, str):
            raise ValueError(f"a list or number is not a chord chart; {CHART_LIKE}")
        return Chart.parse(plain)

    def describe(self) -> dict[str, Any]:
        return {"allowed": f"chord symbols or degrees in bars; {CHART_LIKE}"}

    def extremes(self) -> tuple[Any, ...]:
        return (
            Chart.parse("in G | G"),
            Chart.parse("in Ebm | Ebm7 Abm7/Eb | Fm7b5 / Bb7b9 / | % | Cbmaj7 A7 Dm7 G7 | Ebm6/9"),
            Chart.parse("vim7 II7 | iim7 / / bII7 | I6/9"),
        )
