"""Exercises and MusicXML scores as plain lists of notes, so that what was written can be held to what is read."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any, NamedTuple

from lxml import etree

from lessonkit.drills.exercise import Exercise, Hand
from lessonkit.engraving.fingers import fingers_to_print


class Heard(NamedTuple):
    """A note from where it is struck to where its last tied part ends; times in whole notes."""

    staff: int
    onset: Fraction
    length: Fraction
    pitch: str
    finger: int | None = None


def notes_of(exercise: Exercise) -> list[Heard]:
    """The notes of an exercise, tied ones joined."""
    fingers = fingers_to_print(exercise)
    found: list[Heard] = []
    for staff, hand in enumerate(exercise.hands or (Hand.RIGHT,), 1):
        events = [(at, event) for at, event in enumerate(exercise.events) if event.hand is hand]
        held: dict[str, int] = {}
        for at, event in events:
            before, held = held, {}
            own = fingers.get(at, ())
            for index, pitch in enumerate(event.pitches):
                name = pitch.ascii
                if name in before:
                    place = before[name]
                    found[place] = found[place]._replace(length=found[place].length + event.length)
                else:
                    place = len(found)
                    finger = own[index] if index < len(own) else None
                    found.append(Heard(staff, event.onset, event.length, name, finger))
                if event.is_tied:
                    held[name] = place
    return sorted(found, key=lambda one: one[:4])


def read_by_music21(content: bytes) -> Any:
    """The score as music21 reads it."""
    from music21 import converter

    return converter.parseData(content.decode(), format="musicxml")


def notes_by_music21(score: Any) -> list[Heard]:
    """The notes that music21 finds, tied ones joined."""
    found: list[Heard] = []
    for staff, part in enumerate(score.parts, 1):
        held: dict[str, int] = {}
        for element in part.flatten().notes:
            if "Harmony" in element.classes:
                continue
            onset, length = Fraction(element.offset) / 4, Fraction(element.quarterLength) / 4
            fingers = [one.fingerNumber for one in element.articulations if "Fingering" in one.classes]
            notes = element.notes if element.isChord else (element,)
            for index, note in enumerate(notes):
                name = note.pitch.nameWithOctave.replace("-", "b")
                tie = note.tie.type if note.tie is not None else ""
                if tie in ("stop", "continue"):
                    place = held.pop(name)
                    found[place] = found[place]._replace(length=found[place].length + length)
                else:
                    place = len(found)
                    finger = fingers[index] if len(fingers) == len(notes) else None
                    found.append(Heard(staff, onset, length, name, finger))
                if tie in ("start", "continue"):
                    held[name] = place
    return sorted(found, key=lambda one: one[:4])


@cache
def schema() -> etree.XMLSchema:
    """The published schema of MusicXML 4.0 (W3C Music Notation Community Group, 2021), as a package ships it.

    What it imports comes from the package xmlschema, so that nothing is fetched.
    """
    folder, shipped = _folder("musicxml") / "generate_classes", _folder("xmlschema") / "schemas"
    document = etree.parse(folder / "musicxml_4_0.xsd")
    assert "Version 4.0" in etree.tostring(document, encoding="unicode")
    for one in document.getroot().iter("{http://www.w3.org/2001/XMLSchema}import"):
        name = "XLINK/xlink.xsd" if "xlink" in one.get("namespace") else "XML/xml.xsd"
        one.set("schemaLocation", str(shipped / name))
    return etree.XMLSchema(document)


def faults(content: bytes) -> Iterator[str]:
    """What the schema has against a score."""
    document = etree.fromstring(content)
    if not schema().validate(document):
        yield from (f"line {error.line}: {error.message}" for error in schema().error_log)


def _folder(package: str) -> Path:
    found = find_spec(package)
    assert found is not None
    assert found.submodule_search_locations
    return Path(found.submodule_search_locations[0])
