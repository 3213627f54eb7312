"""What every family has in common: keys to go through, repeats, rests, touch, loudness, pedal, worksheets, words."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from lessonkit.drills.exercise import BarEnd, Blank, Event, Exercise, FingersShown, Hand, Sign
from lessonkit.drills.family import family
from lessonkit.drills.params import Plain
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.told import chance_told, remarks_told
from lessonkit.theory.enharmonic import KeyOrder, key_order
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import LabelStyle


def made(code: str, key: str = "C", **settings: Plain) -> Exercise:
    """A drill's exercise in a key."""
    return realise(family(code).from_settings(settings), Setting(Key.parse(key)))


def keys_of(exercise: Exercise) -> list[str]:
    return [bar.key.ascii for bar in exercise.bars if bar.key is not None]


def sounding(exercise: Exercise) -> list[Event]:
    return [event for event in exercise.events if event.pitches]


class TestKeys:
    """Any drill is carried through keys."""

    def test_each_key_is_the_drill_in_that_key(self) -> None:
        """Chaining moves nothing but the time: notes, fingers and groups are those of each key by itself."""
        exercise = made("broken-chords", "Ab", key_count=3, hands="both")
        assert keys_of(exercise) == ["Ab", "Eb", "Bb"]
        begins = [bar.onset for bar in exercise.bars if bar.key is not None]
        for begin, until, key in zip(begins, [*begins[1:], exercise.length], keys_of(exercise), strict=True):
            alone = made("broken-chords", key, hands="both")
            here = [event for event in exercise.events if begin <= event.onset < until]
            assert [(one.onset - begin, one.hand, one.pitches, one.fingers) for one in here] == [
                (one.onset, one.hand, one.pitches, one.fingers) for one in alone.events
            ]

    def test_each_key_begins_a_line_under_its_name(self) -> None:
        """A double line parts the keys and the last ends with the final one."""
        exercise = made("sequences", key_count=4, key_order="by whole tones")
        begins = [bar for bar in exercise.bars if bar.key is not None]
        assert [bar.label for bar in begins] == ["C major", "D major", "E major", "G♭ major"]
        assert all(bar.starts_line for bar in begins)
        ends = [bar.end for bar, after in pairwise(exercise.bars) if after.key is not None]
        assert ends == [BarEnd.DOUBLE] * 3
        assert exercise.bars[-1].end is BarEnd.FINAL

    def test_a_shuffle_deals_each_key_once_and_always_the_same(self) -> None:
        """The number is printed, so that the same sheet can be made again."""
        first, again, other = (made("chord-jumps", key_count=12, key_order="shuffled", key_seed=n) for n in (7, 7, 8))
        assert first == again
        assert keys_of(first) != keys_of(other)
        twelve = key_order(KeyOrder.FIFTHS, Key.parse("C"), True)
        assert sorted(keys_of(first)) == sorted(key.ascii for key in twelve)
        assert first.seed == 7

    def test_listed_keys_are_played_as_listed(self) -> None:
        """They count themselves; without any the drill says what to do."""
        assert keys_of(made("enclosures", key_order="as listed", key_list=["Eb", "F", "Am"])) == ["Eb", "F", "Am"]
        with pytest.raises(ValueError, match="no keys are listed; list some"):
            made("enclosures", key_order="as listed")

    def test_one_key_that_cannot_be_is_named(self) -> None:
        """Among twelve keys the teacher must be told which."""
        with pytest.raises(
            ValueError, match=r"^C major has no chord of its own .* \(C major is among the keys of this"
        ):
            made("broken-chords", key_order="as listed", key_list=["Am", "C"], degree="b7")

    def test_typed_fingers_hold_in_every_key_or_in_one(self) -> None:
        """As in a progression: counted from each key's first note."""
        typed: dict[str, Plain] = {"key_count": 2, "octaves": 1, "right_fingers": [2, 1]}
        for hold, count in (("in every key", 4), ("in one key only", 2)):
            exercise = made("broken-chords", **typed, fingers_hold=hold, fingers_key="C")
            assert sum(len(event.pinned) for event in exercise.events) == count

    def test_families_with_keys_of_their_own_keep_them(self) -> None:
        """No setting is shown twice."""
        for code in ("progression-through-keys", "two-five-one-chains", "by-ear", "shape-survey"):
            declared = family(code).declared()
            assert "key_count" not in declared
            assert "count" in declared
        with pytest.raises(ValueError, match=r"key_count: .* has no such setting"):
            family("stride").from_settings({"key_count": 2})


class TestTime:
    """Turning, rests and repeats."""

    @pytest.mark.parametrize(
        ("code", "once"),
        [("arpeggio-run", 17), ("double-notes", 15), ("block-chords", 17), ("quartal-voicings", 11)],
    )
    def test_the_turning_note_is_struck_once_or_twice(self, code: str, once: int) -> None:
        """Catalogue, common parameters: the count of notes tells which; one more where it is struck twice."""
        settings: dict[str, Plain] = {"octaves": 2 if code == "arpeggio-run" else 1, "direction": "up and down"}
        counts = [
            sum(event.hand is Hand.RIGHT for event in sounding(made(code, **settings, turning=turning)))
            for turning in ("once", "twice")
        ]
        assert counts == [once, once + 1]

    def test_a_rest_parts_the_groups(self) -> None:
        """Catalogue 1: C4 E4 G4 | E4 G4 C5 | …, five groups up; a beat of rest after each but the last."""
        exercise = made("broken-chords", size="triad", direction="up", rest_between=1)
        groups = list(dict.fromkeys(event.group for event in sounding(exercise)))
        assert len(groups) == 5
        for before, after in pairwise(groups):
            end = max(event.end for event in sounding(exercise) if event.group == before)
            begin = min(event.onset for event in sounding(exercise) if event.group == after)
            assert begin - end == Fraction(1, 4)
        assert exercise.length % 1 == 0

    def test_rests_move_the_chords_along(self) -> None:
        """A chord's name stands where the chord is played."""
        exercise = made("diatonic-ladder", rest_between=2, direction="up")
        onsets = {event.onset for event in sounding(exercise)}
        assert {mark.onset for mark in exercise.chords} <= onsets

    def test_repeats_enclose_each_key(self) -> None:
        """No sign opens the first one: the trade leaves it out."""
        exercise = made("progression-through-keys", count=3, repeats=3)
        begins = [bar for bar in exercise.bars if bar.key is not None]
        assert [bar.begins_repeat for bar in begins] == [False, True, True]
        assert [bar.times for bar in exercise.bars if bar.end is BarEnd.REPEAT] == [3, 3, 3]

    def test_sections_of_one_key_are_repeated_together(self) -> None:
        """Five structures over one dominant are one drill and not five."""
        exercise = made("upper-structures", repeats=2)
        assert [bar.end for bar in exercise.bars].count(BarEnd.REPEAT) == 1
        assert not any(bar.begins_repeat for bar in exercise.bars)


class TestPlaying:
    """Touch, loudness, pedal: meaning only, and no note is changed."""

    def test_touch_stands_at_every_note_or_at_the_first_of_each_group(self) -> None:
        """Rests have none."""
        staccato = made("broken-chords", articulation="staccato", rest_between=1)
        assert {event.sign for event in sounding(staccato)} == {Sign.STACCATO}
        assert {event.sign for event in staccato.events if not event.pitches} == {None}
        accents = made("broken-chords", articulation="an accent on each group")
        firsts = {event.group: event for event in reversed(sounding(accents))}
        assert [event for event in sounding(accents) if event.sign] == sorted(
            firsts.values(), key=lambda event: event.onset
        )

    def test_slurs_go_from_the_first_to_the_last_note_of_a_group(self) -> None:
        """In each hand by itself."""
        exercise = made("broken-chords", hands="both", articulation="legato, a slur over each group")
        assert len(exercise.slurs) == 2 * 12
        for slur in exercise.slurs:
            first, last = exercise.events[slur.first], exercise.events[slur.last]
            assert (first.hand, first.group) == (last.hand, last.group)
            assert last.onset - first.onset == Fraction(3, 8)

    def test_the_closing_note_of_a_run_joins_the_last_slur(self) -> None:
        """A note by itself is never slurred."""
        exercise = made("arpeggio-run", octaves=1, direction="up", articulation="legato, a slur over each group")
        (slur,) = exercise.slurs
        assert (slur.first, slur.last) == (0, 4)

    def test_loudness_follows_the_line(self) -> None:
        """Louder to the top, softer from the note after it; against the line the other way round."""
        for shaping, grows in (("louder up, softer down", True), ("softer up, louder down", False)):
            exercise = made("double-notes", shaping=shaping)
            up, down = exercise.swells
            assert (up.grows, down.grows) == (grows, not grows)
            assert (up.onset, up.end, down.onset) == (0, Fraction(7, 4), Fraction(2))
        (only,) = made("double-notes", shaping="louder up, softer down", direction="down").swells
        assert not only.grows

    def test_the_pedal_changes_with_the_harmony(self) -> None:
        """Taken anew at once within a key, left at its end."""
        exercise = made("progression-through-keys", count=2, pedal_use="changed with each chord")
        assert [pedal.onset for pedal in exercise.pedals] == [mark.onset for mark in exercise.chords]
        assert [pedal.changes for pedal in exercise.pedals] == [True, True, True, False] * 2
        by_bar = made("broken-chords", pedal_use="changed with each bar")
        assert [pedal.onset for pedal in by_bar.pedals] == [bar.onset for bar in by_bar.bars]

    def test_a_pedal_begins_with_a_note(self) -> None:
        """Where a bar begins with a rest it is taken with the first note after it."""
        exercise = made("broken-chords", octaves=1, rest_between=1, pedal_use="changed with each bar")
        onsets = {event.onset for event in sounding(exercise)}
        assert {pedal.onset for pedal in exercise.pedals} <= onsets


class TestWorksheets:
    """What is left blank."""

    def test_only_what_makes_sense_is_offered(self) -> None:
        """The name of the one chord under a scale tells nothing, and a puzzle has its own answers."""
        for code, offered in (("sequences", ["nothing", "notes", "fingers"]), ("by-ear", ["nothing"])):
            assert family(code).declared()["worksheet"].describe()["allowed"] == offered
        assert "chord names and degrees" in family("broken-chords").declared()["worksheet"].describe()["allowed"]

    def test_the_sheet_and_its_answers_are_one_exercise(self) -> None:
        """Blank says what is hidden; nothing is taken away."""
        whole, sheet = (made("broken-chords", worksheet=blank) for blank in ("nothing", "notes"))
        assert sheet.blank == {Blank.NOTES}
        assert sheet.events == whole.events

    def test_fingers_that_are_asked_for_are_on_the_answer_page(self) -> None:
        """Also where the drill shows none."""
        assert made("broken-chords", worksheet="fingers", fingers_shown="none").shown.fingers.value == "all"

    def test_a_hand_that_does_not_play_cannot_be_left_blank(self) -> None:
        """The sentence says what to do instead."""
        with pytest.raises(ValueError, match="the right hand is left blank but does not play; choose both hands"):
            made("stride", worksheet="right hand")
        assert made("stride", worksheet="right hand", hands="both").blank == {Blank.RIGHT_HAND}

    def test_a_drill_that_cannot_be_written_is_called_by_its_title(self) -> None:
        """The window names it all the same."""
        setting = Setting(Key.parse("C"))
        for settings in ({"key_order": "as listed"}, {"degree": "b2"}):
            assert family("broken-chords").from_settings(settings).in_one_line(setting) == "Broken chords"

    def test_the_line_above_does_not_give_the_answers_away(self) -> None:
        """It names neither the chord nor the degrees that are to be found."""
        assert made("broken-chords", "Ab", worksheet="chord names").summary.startswith("A chord broken through")
        assert made("stride", worksheet="degrees").summary.startswith("Four chords in C major, stride")
        assert "Imaj7" in made("stride", worksheet="chord names").summary


class TestWords:
    """What is told."""

    def test_the_line_says_what_is_chosen(self) -> None:
        """And says nothing of what is not."""
        said = made(
            "broken-chords", "Eb", key_count=3, repeats=2, articulation="staccato", worksheet="notes", octaves=1
        ).summary
        assert said == (
            "E♭maj7 broken through its inversions in fours, right hand, one octave up and down, "
            "carried through 3 keys, round the fifths, staccato, each key twice, notes to fill in"
        )
        rootless = made("rootless-voicings", form="A", count=12, order="chromatic")
        assert rootless.summary == "Rootless ii9–V13–Imaj9, form A, in 12 keys, chromatic, left hand"

    def test_a_shuffled_drill_names_the_chord_that_it_begins_with(self) -> None:
        """The lesson's own key may come later or not at all."""
        exercise = made("broken-chords", "Ab", key_count=4, key_order="shuffled", key_seed=77)
        assert exercise.summary.startswith(exercise.chords[0].chord.symbol())

    def test_numbers_of_chance_are_told_where_chance_had_a_hand(self) -> None:
        """In one plain word for all families: a pupil need not know what was drawn or shuffled."""
        cases: tuple[tuple[str, dict[str, Plain], str], ...] = (
            ("progression-through-keys", {"order": "shuffled", "seed": 42}, "Sheet 42"),
            ("progression-through-keys", {"seed": 42}, ""),
            ("by-ear", {"seed": 5}, "Sheet 5"),
            ("stride", {}, ""),
            ("broken-chords", {"key_count": 2, "key_order": "shuffled", "key_seed": 9}, "Sheet 9"),
            ("call-and-response", {"seed": 3, "key_count": 2, "key_order": "shuffled", "key_seed": 9},
             "Sheet 3, keys 9"),
        )  # fmt: skip
        for code, settings, told in cases:
            assert chance_told(family(code).from_settings(settings), made(code, **settings)) == told

    def test_what_was_respelled_is_told_in_one_sentence(self) -> None:
        """A♭7♭9 has A where the strict spelling has B𝄫 (notation conventions, common practice, no source)."""
        drill = family("progression-through-keys").from_settings({"progression": "V7b9 | Imaj7", "count": 1})
        exercise = realise(drill, Setting(Key.parse("Db"), is_friendly=True))
        assert remarks_told(exercise) == ("Written for easy reading: A♭7♭9: A for B𝄫.",)
        assert remarks_told(realise(drill, Setting(Key.parse("Db")))) == ()

    def test_fingers_are_as_the_lesson_has_them_unless_chosen(self) -> None:
        """And where the lesson says nothing, as such drills usually have them."""
        key = Key.parse("C")
        for code, usual in (("broken-chords", "all"), ("turnarounds", "first group"), ("by-ear", "none")):
            drill = family(code)()
            assert realise(drill, Setting(key)).shown.fingers.value == usual
            lesson = Setting(key, fingers=FingersShown.CHANGES)
            assert realise(drill, lesson).shown.fingers is FingersShown.CHANGES
            own = family(code).from_settings({"fingers_shown": "all"})
            assert realise(own, lesson).shown.fingers is FingersShown.ALL

    def test_a_drill_can_have_faces_of_its_own(self) -> None:
        """Signs on one drill, letters on another, whatever the lesson writes."""
        lesson = Setting(Key.parse("C"), LabelStyle(major_seventh="Δ7"))
        for faces, symbol in (
            ("as the lesson", "CΔ7"), ("in letters: Cmaj7, Cm7♭5, C°7", "Cmaj7"), ("in signs: CΔ7, Cø7, C°7", "CΔ7"),
        ):  # fmt: skip
            drill = family("broken-chords").from_settings({"faces": faces})
            assert realise(drill, lesson).summary.startswith(symbol)
