"""An excerpt parsed by music21 into a plain form of texts and numbers; runs in a process of its own.

The form: ``key`` (``Eb``, ``F#m``), ``has_mode``, ``meter``, and ``bars``, each with its ``length``, its ``notes``
(pitches, length, whether tied on) and its ``chords`` (onset, root, kind, kind as written, changes, bass, figure);
``report`` has a sentence for everything that was left out. Times are fractions of a whole note as text.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from lessonkit.exchange.guarding import Kind, UnreadableExcerpt

MOST_BARS = 64
"""Bars beyond these are left out."""

Plain = dict[str, Any]


def plain_form(text: str, kind: Kind) -> Plain:
    """The excerpt in plain form; raises UnreadableExcerpt where it has no notes."""
    from music21 import converter, stream

    parsed: Any = converter.parseData(text, format="musicxml" if kind is Kind.MUSICXML else "abc")
    report: list[str] = []
    if isinstance(parsed, stream.Opus):
        if len(parsed.scores) > 1:
            report.append(f"The file has {len(parsed.scores)} tunes; only the first was taken.")
        parsed = parsed.scores[0]
    part = _melody_of(parsed, report)
    measures = list(part.getElementsByClass(stream.Measure))
    if not measures:
        part = part.makeMeasures()
        measures = list(part.getElementsByClass(stream.Measure))
    if len(measures) > MOST_BARS:
        report.append(f"It has {len(measures)} bars; the first {MOST_BARS} were taken.")
    answer: Plain = {"bars": [], "report": report, **_key_of(part, report), "meter": _meter_of(part)}
    _changes(part, measures, report)
    counted = _Counted()
    harmonies = _harmonies_by_bar(parsed, part)
    for number, measure in enumerate(_before_other_metre(measures[:MOST_BARS], report), start=1):
        answer["bars"].append(_bar(measure, number, counted, harmonies.get(_number(measure), ())))
    report += counted.sentences()
    return answer


class _Counted:
    """What was left out of the bars, counted so that each kind is told once."""

    def __init__(self) -> None:
        self.graces = self.marks = self.unpitched = 0
        self.voices: list[int] = []
        self.torn: list[int] = []
        self.lyrics = 0

    def sentences(self) -> Iterator[str]:
        if self.voices:
            yield f"{_bars(self.voices)} more than one voice; only the first was taken."
        if self.graces:
            yield f"{self.graces} grace {'note was' if self.graces == 1 else 'notes were'} left out."
        if self.unpitched:
            what = "note" if self.unpitched == 1 else "notes"
            yield f"{self.unpitched} {what} without pitch (percussion) became rests."
        if self.torn:
            yield f"{_bars(self.torn)} notes that overlap or leave gaps; gaps became rests."
        if self.marks:
            yield "Touch, fingers, slurs and other marks were left out; only notes, rests, ties and chords were taken."
        if self.lyrics:
            yield "The words under the notes were left out."


def _bars(numbers: list[int]) -> str:
    distinct = list(dict.fromkeys(numbers))
    named = ", ".join(map(str, distinct[:5])) + (" and others" if len(distinct) > 5 else "")
    return f"Bar {named} has" if len(distinct) == 1 else f"Bars {named} have"


def _melody_of(score: Any, report: list[str]) -> Any:
    """The first part that has notes with pitches."""
    from music21 import stream

    parts = list(score.parts) if isinstance(score, stream.Score) else [score]
    with_notes = [part for part in parts if any(note.pitches for note in part.recurse().notes if not _is_harmony(note))]
    if not with_notes:
        raise UnreadableExcerpt("the excerpt has no notes with pitches; look whether it was saved with its music")
    part = with_notes[0]
    left = len(parts) - 1
    if left:
        is_piano = len(parts) == 2 and all(type(one).__name__ == "PartStaff" for one in parts)
        what = "The lower staff was" if is_piano else f"{left} other {'part was' if left == 1 else 'parts were'}"
        name = f" (“{part.partName[:40]}”)" if part.partName and not is_piano else ""
        report.append(
            f"{what} left out; the notes are those of the {'upper staff' if is_piano else 'first part'}{name}."
        )
    instrument = part.getInstrument(returnDefault=False)
    if instrument is not None and instrument.transposition is not None:
        report.append("The part is for a transposing instrument; its notes were taken as they are written.")
    return part


def _is_harmony(element: Any) -> bool:
    from music21 import harmony

    return isinstance(element, harmony.Harmony)


def _number(measure: Any) -> Any:
    return (measure.number, measure.numberSuffix)


def _harmonies_by_bar(score: Any, part: Any) -> dict[Any, list[tuple[Fraction, Any]]]:
    """The chord symbols of each bar of the part; where it has none, those of the first part that has."""
    from music21 import harmony, stream

    parts = [part, *(one for one in getattr(score, "parts", ()) if one is not part)]
    for one in parts:
        found: dict[Any, list[tuple[Fraction, Any]]] = {}
        for measure in one.getElementsByClass(stream.Measure):
            for symbol in measure.recurse().getElementsByClass(harmony.Harmony):
                onset = Fraction(symbol.getOffsetInHierarchy(measure)) / 4
                found.setdefault(_number(measure), []).append((onset, symbol))
        if found:
            return found
    return {}


def _key_of(part: Any, report: list[str]) -> Plain:
    from music21 import key

    found = next(iter(part.recurse().getElementsByClass(key.KeySignature)), None)
    if found is None:
        return {"key": "C", "has_mode": False}
    if abs(found.sharps or 0) > 7:
        raise UnreadableExcerpt(f"the excerpt's signature has {abs(found.sharps)} accidentals; write it in another key")
    if isinstance(found, key.Key) and found.mode not in ("major", "minor"):
        report.append(
            f"The key is called {found.tonic.name.replace('-', '♭')} {found.mode}; it was read by its signature."
        )
    elif isinstance(found, key.Key):
        return {"key": _ours(found.tonic.name) + ("m" if found.mode == "minor" else ""), "has_mode": True}
    return {"key": _ours(key.KeySignature(found.sharps).asKey("major").tonic.name), "has_mode": False}


def _meter_of(part: Any) -> list[int] | None:
    from music21 import meter

    found = next(iter(part.recurse().getElementsByClass(meter.TimeSignature)), None)
    return None if found is None else [int(found.numerator), int(found.denominator)]


def _changes(part: Any, measures: list[Any], report: list[str]) -> None:
    """What changes on the way and is not followed."""
    from music21 import bar, key

    signatures = {signature.sharps for signature in part.recurse().getElementsByClass(key.KeySignature)}
    if len(signatures) > 1:
        report.append("The key signature changes on the way; the notes are right, the key is that of the beginning.")
    barlines = [line for measure in measures for line in (measure.leftBarline, measure.rightBarline)]
    if any(isinstance(line, bar.Repeat) for line in barlines):
        report.append("Repeat signs were left out; each bar was taken once.")


def _before_other_metre(measures: list[Any], report: list[str]) -> Iterator[Any]:
    """The bars up to the one in which the metre changes."""
    first = None
    for number, measure in enumerate(measures, start=1):
        signature = measure.timeSignature
        if signature is not None and first is not None and signature.ratioString != first:
            report.append(f"The metre changes in bar {number}; the bars before it were taken.")
            return
        first = first or (signature.ratioString if signature is not None else None)
        yield measure


def _bar(measure: Any, number: int, counted: _Counted, harmonies: Any) -> Plain:
    voices = list(measure.voices)
    if len(voices) > 1:
        counted.voices.append(number)
    source = voices[0] if voices else measure
    notes: list[list[Any]] = []
    now = Fraction(0)
    for element in source.notesAndRests:
        if _is_harmony(element):
            continue
        if element.duration.isGrace:
            counted.graces += 1
            continue
        onset, length = Fraction(element.offset) / 4, Fraction(element.quarterLength) / 4
        if length <= 0:
            continue
        if onset < now:
            counted.torn.append(number)
            continue
        if onset > now:
            counted.torn.append(number)
            notes.append([[], str(onset - now), False])
        notes.append([_pitches(element, counted), str(length), _is_tied_on(element)])
        counted.marks += bool(getattr(element, "articulations", ()) or getattr(element, "expressions", ()))
        counted.lyrics += bool(getattr(element, "lyrics", ()))
        now = onset + length
    return {
        "length": str(Fraction(measure.barDuration.quarterLength) / 4),
        "notes": notes,
        "chords": [_chord(onset, symbol) for onset, symbol in harmonies],
    }


def _pitches(element: Any, counted: _Counted) -> list[str]:
    if element.isRest:
        return []
    if not hasattr(element, "pitches") or not element.pitches:
        counted.unpitched += 1
        return []
    return [f"{_ours(pitch.name)}{pitch.implicitOctave}" for pitch in element.pitches]


def _is_tied_on(element: Any) -> bool:
    tied = [element, *getattr(element, "notes", ())]
    return any(one.tie is not None and one.tie.type in ("start", "continue") for one in tied)


def _chord(onset: Fraction, symbol: Any) -> list[Any]:
    root = symbol.root()
    bass = symbol.bass()
    changes = [
        f"{modification.modType} {_sign(modification.interval)}{modification.degree}"
        for modification in symbol.getChordStepModifications()
    ]
    return [
        str(onset),
        "" if root is None else _ours(root.name),
        str(getattr(symbol, "chordKind", "") or ""),
        str(getattr(symbol, "chordKindStr", "") or ""),
        changes,
        "" if bass is None or root is None or bass.name == root.name else _ours(bass.name),
        str(symbol.figure or "")[:40],
    ]


def _sign(interval: Any) -> str:
    semitones = int(interval.semitones) if interval is not None else 0
    return "#" * semitones if semitones > 0 else "b" * -semitones


def _ours(name: str) -> str:
    return name.replace("-", "b")
