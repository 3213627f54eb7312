"""What holds for every drill family; a new file in ``families/`` is tested here the day it appears."""

from __future__ import annotations

import importlib
import inspect
import json
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from random import Random
from typing import Any

import pytest

from lessonkit.drills import params
from lessonkit.drills.answers import drills_answer, notes_answer
from lessonkit.drills.exercise import Blank, Exercise, FingersShown, Hand
from lessonkit.drills.family import Direction, DrillFamily, Hands, Metre, Turning, families
from lessonkit.drills.key_fingers import FingersInKeys, KeyFingers
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.theory.progression import Progression
from lessonkit.theory.quality import interval_of_degree

FAMILIES = list(families().values())
SAMPLED_KEYS = [Key.parse(text) for text in ("C", "Gb", "C#", "F#m", "Abm", "D dorian")]
OTHERS = {
    # For kinds that have no ends of their own: values that a teacher may well choose.
    params.KeyChoice: (None, Key.parse("Cb"), Key.parse("A#m")),
    params.KeyList: ((), (Key.parse("C"),), MAJOR_KEYS + MINOR_KEYS),
    params.PitchChoice: (Pitch.parse("A0"), Pitch.parse("B#2"), Pitch.parse("C8")),
    params.ProgressionText: (
        Progression.parse("V7/ii"),
        Progression.parse("iim7b5 subV7 | bVIImaj7/3 i6/9 #ivdim7 V13"),
    ),
    params.Numbers: ((), (1,), (0, 1, 2, 1)),
    FingersInKeys: ((), (KeyFingers.parse("Eb right 0 3"), KeyFingers.parse("D dorian left 5 1"))),
    params.Words: ("", "x" * 200),
    # Only aids have lines so far; a drill that takes them is tried with these.
    params.Lines: ("", "one\ntwo", "x" * 400),
}
"""Values to try, by kind of setting."""

PLAYED: tuple[dict[str, params.Plain], ...] = (
    {"articulation": "legato, a slur over each group", "loudness": "pp", "shaping": "louder up, softer down",
     "pedal_use": "changed with each group", "repeats": 2},
    {"articulation": "an accent on each group", "loudness": "ff", "shaping": "softer up, louder down",
     "pedal_use": "changed with each bar", "repeats": 9, "ladder_steps": 8},
    {"articulation": "staccato", "pedal_use": "changed with each chord", "faces": "in signs: CΔ7, Cø7, C°7"},
)  # fmt: skip
"""Common settings that say how a drill is played and printed."""


def extremes(param: params.Param) -> tuple[Any, ...]:
    """The values at the ends of a setting, or those that stand for its kind."""
    return param.extremes() or OTHERS[type(param)]


def variants(family: type[DrillFamily]) -> Iterator[DrillFamily]:
    """The family with each of its settings at each of its extremes, one at a time."""
    for name, param in family.declared().items():
        for value in extremes(param):
            yield family(**{name: value})


def combinations(family: type[DrillFamily], count: int) -> Iterator[tuple[DrillFamily, Key]]:
    """Drills with every setting at some extreme, and a key; the same each time."""
    chance = Random(family.code)
    keys = [*MAJOR_KEYS, *MINOR_KEYS, *SAMPLED_KEYS]
    for _ in range(count):
        # Half of the settings stay as they are, so that not every drill leaves the keyboard.
        changed = [name for name in family.declared() if chance.random() < 0.5]
        values = {name: chance.choice(extremes(family.declared()[name])) for name in changed}
        yield family(**values), chance.choice(keys)


def built(drill: DrillFamily, key: Key) -> Exercise | None:
    """The exercise, or None where a single clear sentence says why there is none."""
    try:
        return realise(drill, Setting(key))
    except ValueError as error:
        sentence = str(error)
        assert 20 < len(sentence) < 300, sentence
        assert "\n" not in sentence, sentence
        assert "Fraction(" not in sentence, sentence
        return None


def check(exercise: Exercise, family: type[DrillFamily]) -> None:
    """Hold an exercise of a family to what holds for all of them."""
    now = Fraction(0)
    for bar in exercise.bars:
        assert bar.onset == now
        assert bar.length > 0
        now += bar.length
    if exercise.meter is not None:
        assert {bar.length for bar in exercise.bars} == {exercise.meter.bar}
    assert exercise.bars[0].key is not None
    tones = [set(mark.chord.tones) | {mark.chord.lowest} for mark in exercise.chords]
    for own, mark in zip(tones, exercise.chords, strict=True):
        own |= {mark.chord.tone_for(degree) for degree in family.tensions}
    is_rootless = any(words in exercise.summary.lower() for words in ("rootless", "without roots", "3-5-7-9"))
    if is_rootless or "13" in family.tensions:
        # A rootless shape has the ninth and, in dominants, the thirteenth whether the symbol says so or not; before a
        # minor chord those of its scale.
        for own, mark in zip(tones, exercise.chords, strict=True):
            own |= {mark.chord.tone_for("9"), mark.chord.tone_for("13")}
            if mark.chord.quality.key == "7":
                own |= {mark.chord.root + interval_of_degree("b9"), mark.chord.root + interval_of_degree("b13")}
    for hand in exercise.hands:
        now, mark = Fraction(0), -1
        for event in exercise.of(hand):
            assert event.onset == now, "the notes of a hand follow one another without a gap"
            now = event.end
            while mark + 1 < len(exercise.chords) and exercise.chords[mark + 1].onset <= event.onset:
                mark += 1
            assert all(pitch.is_on_keyboard for pitch in event.pitches)
            assert [pitch.midi for pitch in event.pitches] == sorted({pitch.midi for pitch in event.pitches})
            is_of_chord = {pitch.name for pitch in event.pitches} <= (tones[mark] if mark >= 0 else set())
            assert is_of_chord or family.has_passing_notes, f"{event} over {exercise.chords[mark:]}"
        assert now == exercise.length, "the hands fill the bars to the end"
    if len(exercise.hands) == 2:
        highest = {event.onset: event.pitches[-1].midi for event in exercise.of(Hand.LEFT) if event.pitches}
        for event in exercise.of(Hand.RIGHT):
            if event.pitches and event.onset in highest:
                assert highest[event.onset] < event.pitches[0].midi, "the hands do not reach into one another"
    assert exercise.summary


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.code)
class TestEveryFamily:
    """One look at each family for each rule."""

    def test_says_what_it_is(self, family: type[DrillFamily]) -> None:
        """The shelf, the help and the form are made of these words and nothing else."""
        module = inspect.getmodule(family)
        assert module is not None
        assert (importlib.import_module(module.__name__).__doc__ or "").strip()
        assert len(family.about()) > 40
        assert family.title
        assert family.code == family.code.lower().strip()
        assert family.__module__.endswith("." + family.code.replace("-", "_"))
        assert family.summary(family(), Setting(Key.parse("Eb"))) != family.title

    def test_has_words_for_every_setting(self, family: type[DrillFamily]) -> None:
        """A form without labels cannot be filled in; no two labels are alike within it."""
        labels = [param.label for param in family.declared().values()]
        assert all(labels)
        assert len(set(labels)) == len(labels)
        for name, param in family.declared().items():
            assert param.group, name
            assert not param.help or param.help.endswith("."), name
            if param.applies is not None:
                assert param.applies(family()) in (True, False), name

    def test_builds_in_all_keys_as_it_is(self, family: type[DrillFamily]) -> None:
        """What a teacher drops into a lesson works at once, whatever the lesson's key."""
        for key in MAJOR_KEYS + MINOR_KEYS:
            exercise = built(family(), key)
            assert exercise is not None, key
            check(exercise, family)
            # A drill on a scale of its own stands in that scale's signature, on the same tonic where it has one.
            assert exercise.key == family().key_in(Setting(key))
            assert exercise.key == key or exercise.key.tonic.pitch_class == key.tonic.pitch_class

    def test_builds_at_the_ends_of_every_setting(self, family: type[DrillFamily]) -> None:
        """The form lets a teacher go there; the drill is right or one sentence says why there is none."""
        for drill in variants(family):
            for key in SAMPLED_KEYS[:2]:
                exercise = built(drill, key)
                if exercise is not None:
                    check(exercise, family)

    def test_builds_with_any_settings_together(self, family: type[DrillFamily]) -> None:
        """Settings that are sound one by one may not go together; then, too, one sentence says so."""
        for drill, key in combinations(family, 150):
            exercise = built(drill, key)
            if exercise is not None:
                check(exercise, family)

    @pytest.mark.whole
    def test_builds_with_very_many_settings_together(self, family: type[DrillFamily]) -> None:
        """The same as above, twenty times as many."""
        for drill, key in combinations(family, 3000):
            exercise = built(drill, key)
            if exercise is not None:
                check(exercise, family)

    @pytest.mark.whole
    def test_builds_at_the_ends_of_every_setting_in_all_keys(self, family: type[DrillFamily]) -> None:
        """The same as above for every key and the modes."""
        for drill in variants(family):
            for key in {*MAJOR_KEYS, *MINOR_KEYS, *SAMPLED_KEYS}:
                exercise = built(drill, key)
                if exercise is not None:
                    check(exercise, family)

    def test_settings_survive_the_file(self, family: type[DrillFamily]) -> None:
        """A lesson that is saved and opened again is the same lesson."""
        for drill in (family(), *variants(family)):
            assert family.from_settings(json.loads(json.dumps(drill.settings()))) == drill

    def test_settings_survive_the_command_line(self, family: type[DrillFamily]) -> None:
        """What is listed as a setting's value can be typed."""
        for drill in variants(family):
            typed = family()
            for name, plain in drill.settings().items():
                if plain is None:
                    continue
                text = " ".join(map(str, plain)) if isinstance(plain, list) else str(plain)
                typed = typed.with_text(name, text)
            assert typed == drill

    def test_an_unknown_or_mistyped_setting_is_one_sentence(self, family: type[DrillFamily]) -> None:
        """The sentence names the setting, so that a lesson file can be mended."""
        with pytest.raises(ValueError, match=r"colour: .* has no such setting"):
            family.from_settings({"colour": "red"})
        with pytest.raises(ValueError, match="octaves: 9 is more than 4"):
            family.from_settings({"octaves": 9})
        for name, param in family.declared().items():
            with pytest.raises(ValueError, match=f"^{name}: "):
                # No kind of setting takes a list of a text that means nothing.
                family.from_settings({name: ["?!"]})
            assert param.plain(getattr(family(), name)) == family().settings()[name]

    def test_the_same_drill_has_the_same_notes(self, family: type[DrillFamily]) -> None:
        """A handout printed again is the same handout: no hidden state, no clock."""
        for drill in variants(family):
            try:
                first = drill.build(Setting(Key.parse("Db")))
            except ValueError:
                continue
            assert drill.build(Setting(Key.parse("Db"))) == first

    def test_goes_to_another_key_and_back(self, family: type[DrillFamily]) -> None:
        """The chords of one key, moved by the interval between the tonics, are those of the other."""
        drill = family.from_settings({"count": 1}) if "count" in family.declared() else family()
        home = realise(drill, Setting(Key.parse("C")))
        for key in MAJOR_KEYS:
            away = realise(drill, Setting(key))
            interval = Pitch.parse("C4").interval_to(key.tonic.in_octave(4))
            assert len(away.chords) == len(home.chords)
            for mark, at_home in zip(away.chords, home.chords, strict=True):
                if mark.chord.root - interval != at_home.chord.root:
                    # A chord outside the key whose notes would need double accidentals is named from another root.
                    assert mark.degree is not None
                    assert mark.chord == mark.degree.in_key(key)
                    assert mark.chord.root not in key.notes
            assert [mark.chord.quality for mark in away.chords] == [mark.chord.quality for mark in home.chords]
            assert [mark.degree for mark in away.chords] == [mark.degree for mark in home.chords]
            for event in away.events:
                assert tuple(pitch - interval + interval for pitch in event.pitches) == event.pitches

    def test_reads_well_when_it_is_asked_to(self, family: type[DrillFamily]) -> None:
        """Respelling for the reader changes no sound, and every change is remarked."""
        for key in (Key.parse("Cb"), Key.parse("G#m"), Key.parse("Db")):
            for drill in variants(family):
                try:
                    strict, friendly = (realise(drill, Setting(key, is_friendly=answer)) for answer in (False, True))
                except ValueError:
                    continue
                assert _sounds(strict) == _sounds(friendly)
                assert (strict.events != friendly.events) <= bool(friendly.remarks)

    def test_every_note_of_a_hand_has_a_finger(self, family: type[DrillFamily]) -> None:
        """As the family comes, in every key: five notes at most, a finger each, no two alike in a chord."""
        for key in MAJOR_KEYS + MINOR_KEYS:
            drill = family.from_settings({"hands": "both"})
            exercise = realise(drill, Setting(key))
            assert exercise.remarks == drill.build(Setting(key)).remarks, "the fingers give no cause for remarks"
            for event in exercise.events:
                assert len(event.fingers) == len(event.pitches)
                assert set(event.fingers) <= {1, 2, 3, 4, 5}
                assert len(set(event.fingers)) == len(event.fingers)
                assert not event.pinned
                wanted = sorted(event.fingers, reverse=event.hand is Hand.LEFT)  # type: ignore[type-var]
                assert list(event.fingers) == wanted, "the fingers of a chord do not cross"

    def test_typed_fingers_stand_on_the_notes(self, family: type[DrillFamily]) -> None:
        """What the teacher types wins, even where it is odd; nought and what is not typed are the program's."""
        drill = family.from_settings({"right_fingers": [1, 0, 4], "hands": "right"})
        exercise = realise(drill, Setting(Key.parse("C")))
        events = [event for event in exercise.events if event.pitches]
        fingers = [finger for event in events for finger in event.fingers]
        pinned = [place in event.pinned for event in events for place in range(len(event.pitches))]
        assert (fingers[0], fingers[2]) == (1, 4)
        assert None not in fingers
        assert pinned[:3] == [True, False, True]

    def test_signs_repeats_and_worksheets_change_no_note(self, family: type[DrillFamily]) -> None:
        """How it is played, how often, and what is left blank: the notes are the same, and so is their time."""
        plain = realise(family(), Setting(Key.parse("Db")))
        for settings in PLAYED:
            offered = {name: value for name, value in settings.items() if name in family.declared()}
            exercise = realise(family.from_settings(offered), Setting(Key.parse("Db")))
            check(exercise, family)
            assert _written(exercise) == _written(plain)

    def test_is_carried_through_keys(self, family: type[DrillFamily]) -> None:
        """Each key has what it has by itself; a family with keys of its own has no second choice of them."""
        declared = family.declared()
        assert {"count", "key_count"} & set(declared) in ({"count"}, {"key_count"})
        if "key_count" not in declared:
            return
        exercise = realise(family(key_count=3), Setting(Key.parse("Ab")))
        check(exercise, family)
        begins = [bar for bar in exercise.bars if bar.label and bar.starts_line and bar.key is not None]
        keys = [bar.key for bar in exercise.bars if bar.key is not None]
        assert [key.ascii for key in dict.fromkeys(keys) if key is not None] == ["Ab", "Eb", "Bb"]
        assert len(begins) >= 3
        now = Fraction(0)
        for key in ("Ab", "Eb", "Bb"):
            alone = realise(family(key=Key.parse(key)), Setting(Key.parse("Ab")))
            until = now + alone.length
            here = [event for event in exercise.events if now <= event.onset < until]
            assert _written(replace(exercise, events=tuple(here)), now) == _written(alone)
            now = until
        assert now == exercise.length

    def test_rests_between_groups_leave_the_notes_alone(self, family: type[DrillFamily]) -> None:
        """They give time and take nothing away."""
        if "rest_between" not in family.declared():
            return
        for metre in ("4/4", "6/8", "free"):
            drill = family.from_settings({"metre": metre})
            plain, rested = (realise(one, Setting(Key.parse("G"))) for one in (drill, replace(drill, rest_between=1)))
            check(rested, family)
            assert rested.length >= plain.length
            for hand in plain.hands:
                notes = [[event.pitches for event in one.of(hand) if event.pitches] for one in (plain, rested)]
                assert notes[0] == notes[1]

    def test_a_blank_hides_what_is_there(self, family: type[DrillFamily]) -> None:
        """An offer to leave blank what a family never shows would be no worksheet."""
        choice = family.declared()["worksheet"]
        for worksheet in choice.extremes():
            exercise = realise(family(worksheet=worksheet, hands=Hands.BOTH), Setting(Key.parse("F")))
            assert worksheet.blank <= exercise.blank
            if Blank.CHORD_NAMES in worksheet.blank:
                assert exercise.chords
            if Blank.DEGREES in worksheet.blank:
                assert any(mark.degree is not None for mark in exercise.chords)
            if Blank.RIGHT_HAND in worksheet.blank:
                assert Hand.RIGHT in exercise.hands
            if Blank.FINGERS in worksheet.blank:
                assert exercise.shown.fingers is not FingersShown.NONE

    def test_is_said_in_one_line(self, family: type[DrillFamily]) -> None:
        """What is printed above a drill is what is spoken and listed, a line without a full stop."""
        for drill in variants(family):
            exercise = built(drill, Key.parse("Eb"))
            if exercise is None:
                continue
            assert exercise.summary == drill.in_one_line(Setting(Key.parse("Eb")))
            assert 10 < len(exercise.summary) < 260, exercise.summary
            for awkward in ("\n", "  ", ", ,", ",,", " ,", " | ", "None", "Fraction"):
                assert awkward not in exercise.summary, exercise.summary
            assert not exercise.summary.endswith((".", ","))

    def test_stands_in_the_metre_and_the_note_lengths_that_are_asked_for(self, family: type[DrillFamily]) -> None:
        """A setting that is shown and does nothing would send a teacher looking for what is wrong."""
        for metre in Metre:
            exercise = built(family(metre=metre), Key.parse("F"))
            assert exercise is None or exercise.meter == metre.meter
        param = family.declared()["note_length"]
        exercises = [built(family(note_length=length), Key.parse("F")) for length in param.extremes()]
        rhythms = {tuple((one.onset, one.length) for one in exercise.events) for exercise in exercises if exercise}
        assert (len(rhythms) > 1) == (param.applies is None or param.applies(family()))

    def test_keeps_to_the_octaves_that_are_asked_for(self, family: type[DrillFamily]) -> None:
        """From its lowest note a hand goes up so many octaves, and no further than its last chord or figure is wide."""
        param = family.declared()["octaves"]
        for octaves in (1, 2, 3):
            drill = family(octaves=octaves)
            if param.applies is not None and not param.applies(drill):
                continue
            exercise = built(drill, Key.parse("Db"))
            for hand in exercise.hands if exercise else ():
                assert exercise is not None
                keys = [pitch.midi for event in exercise.of(hand) for pitch in event.pitches]
                assert max(keys) - min(keys) <= 12 * octaves + 12

    def test_is_answered_for_machines(self, family: type[DrillFamily]) -> None:
        """The notes of a drill are plain JSON with exactly these fields."""
        answer = json.loads(json.dumps(notes_answer(family(), Setting(Key.parse("Ab")))))
        assert list(answer) == ["family", "key", "settings", "events", "summary", "seed", "remarks"]
        assert answer["family"] == family.code
        assert answer["key"] == "Ab"
        fields = ["hand", "onset", "length", "pitches", "midi", "fingers", "chord", "degree"]
        for event in answer["events"]:
            assert list(event) == fields
            assert [Pitch.parse(text).midi for text in event["pitches"]] == event["midi"]
            assert event["midi"]
            assert Fraction(event["length"]) > 0
            assert event["chord"].isascii()
            assert event["degree"].isascii()
        exercise = realise(family(), Setting(Key.parse("Ab")))
        told = sorted((event["hand"], Fraction(event["onset"]), event["pitches"]) for event in answer["events"])
        played = sorted(
            (event.hand.value, event.onset, [pitch.ascii for pitch in event.pitches])
            for event in exercise.events
            if event.pitches
        )
        assert told == played, "the command line tells the notes that the page shows"

    def test_an_exercise_far_off_the_keyboard_says_so(self, family: type[DrillFamily]) -> None:
        """The sentence names the hand and the note, and what to do."""
        for start, what in (("B7", "above the piano's C8; begin lower"), ("A0", "below the piano's A0; begin higher")):
            drill = family.from_settings({"lowest": start, "hands": "both"})
            with pytest.raises(ValueError, match=what):
                realise(drill, Setting(Key.parse("Bb")))


def _written(exercise: Exercise, start: Fraction = Fraction(0)) -> list[tuple[Any, ...]]:
    """What is played and by which finger, from a moment on."""
    return [(one.hand, one.onset - start, one.length, one.pitches, one.fingers) for one in exercise.events]


def _sounds(exercise: Exercise) -> list[tuple[Fraction, tuple[int, ...]]]:
    return [(event.onset, tuple(pitch.midi for pitch in event.pitches)) for event in exercise.events]


def test_the_first_four_families_are_there() -> None:
    """Their codes stand in saved lessons and never change."""
    assert {"broken-chords", "diatonic-ladder", "chord-jumps", "progression-through-keys"} <= set(families())


def test_common_settings_stand_in_few_groups_in_the_order_of_a_lesson() -> None:
    """A teacher finds the same settings at the same place in every drill, and no more than a handful at once."""
    declared = DrillFamily.declared()
    groups = list(dict.fromkeys(param.group for param in declared.values()))
    assert groups == ["Key", "Hands and range", "Time", "How to play", "On the page", "Worksheet", "Fingers typed"]
    for group in groups:
        shown = [
            name
            for name, param in declared.items()
            if param.group == group and (param.applies is None or param.applies(FAMILIES[0]()))
        ]
        assert len(shown) <= 6, shown


FORMULAS = [
    # Broken chords: floor((n k + 1 - g) / step) + 1 groups of g notes each way (catalogue of drills; worked out there).
    ("broken-chords", {"size": "triad", "group_size": "3"}, lambda n, k: (n * k + 1 - 3) // 1 + 1, 3, 3),
    ("broken-chords", {"size": "seventh", "group_size": "4"}, lambda n, k: (n * k + 1 - 4) // 1 + 1, 4, 4),
    ("broken-chords", {"size": "seventh", "group_size": "3", "step": 2}, lambda n, k: (n * k + 1 - 3) // 2 + 1, 3, 4),
    ("broken-chords", {"size": "triad", "group_size": "4"}, lambda n, k: (n * k + 1 - 4) // 1 + 1, 4, 3),
    # A run has a note for each rung of the ladder: n k + 1.
    ("arpeggio-run", {"size": "triad"}, lambda n, k: n * k + 1, 1, 3),
    ("arpeggio-run", {"size": "ninth"}, lambda n, k: n * k + 1, 1, 5),
    # A cell of n notes in each of k octaves and the note it lands on.
    ("arpeggio-run", {"size": "seventh", "passing": "the same cell set down in each octave"},
     lambda n, k: n * k + 1, 1, 4),
    # Seven steps of the scale an octave and the last tonic.
    ("double-notes", {}, lambda n, k: 7 * k + 1, 1, 7),
]  # fmt: skip


@pytest.mark.parametrize(("code", "settings", "groups", "size", "tones"), FORMULAS)
@pytest.mark.parametrize("octaves", [1, 2, 3])
def test_the_number_of_notes_is_that_of_the_formula(
    code: str, settings: dict[str, params.Plain], groups: Any, size: int, tones: int, octaves: int
) -> None:
    """Common practice, no source; the catalogue's own definitions. Up and down, the turning note once or twice."""
    drill = families()[code].from_settings({**settings, "octaves": octaves, "direction": "up"})
    up = groups(tones, octaves) * size
    assert _strikes(drill) == up
    assert _strikes(replace(drill, direction=Direction.DOWN)) == up
    there_and_back = replace(drill, direction=Direction.UP_AND_DOWN)
    if "turning" in drill.declared():
        assert _strikes(there_and_back) == 2 * up - 1
        assert _strikes(replace(there_and_back, turning=Turning.TWICE)) == 2 * up
    else:
        assert _strikes(there_and_back) == 2 * up


def _strikes(drill: DrillFamily) -> int:
    return sum(bool(event.pitches) for event in realise(drill, Setting(Key.parse("C"))).events)


def test_every_kind_of_setting_is_tried() -> None:
    """A new kind needs ends of its own or values to try."""
    for kind in params.Param.__subclasses__():
        has_own_ends = kind.extremes is not params.Param.extremes
        assert has_own_ends != (kind in OTHERS), kind


def test_families_are_listed_for_machines() -> None:
    """Every setting says its name, kind, default, words and what is allowed."""
    answer = json.loads(json.dumps(drills_answer()))
    assert [item["family"] for item in answer] == list(families())
    for item in answer:
        for setting in item["settings"]:
            assert {"name", "kind", "default", "label", "help", "unit", "group"} <= set(setting)
            assert set(setting) & {"allowed", "least"}, setting["name"]


@pytest.mark.parametrize("step", ["-M9", "P8", "A4"])
def test_moving_pitches_there_and_back_is_no_move(step: str) -> None:
    """What the transposing test above rests on."""
    interval = Interval.parse(step)
    for pitch in (Pitch.parse("Cb4"), Pitch.parse("F##3"), Pitch.parse("B#5")):
        assert pitch + interval - interval == pitch
