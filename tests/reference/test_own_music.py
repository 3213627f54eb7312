"""The teacher's own licks and charts in other keys and modes, against music21 and worked examples.

Worked examples are common practice, no source, unless they say otherwise.
"""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

import pytest
from music21 import interval as intervals
from music21 import pitch as pitches

from lessonkit.drills.carrying import AT_HOME, carried_chords, carried_phrase
from lessonkit.drills.chart import Chart
from lessonkit.drills.exercise import ChordMark, Exercise, Hand
from lessonkit.drills.families.displacement import Displacement, Way
from lessonkit.drills.families.fills_between_phrases import Fill, FillsBetweenPhrases, Lasts, Melody
from lessonkit.drills.families.own_chart import Fills, OwnChart, Realised
from lessonkit.drills.families.own_lick import Notes, OwnLick, Under
from lessonkit.drills.families.sequences import Moves, Sequences
from lessonkit.drills.family import Direction, Hands, Metre
from lessonkit.drills.phrase import LENGTHS, Phrase, Sound
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.shaping import chord_tones_only, in_metre
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.progression import Progression

LICK = Phrase.parse(
    "in C | 1/8 r 1/8 C#5 | Dm7: 1/8 D C A F E G F A | G7: 1/8 Ab B D F 1/16 E D C B 1/8 Bb A# | Cmaj7: 1/4 B 1/8 G B4 "
    "1/2 ~ | A7: 1/12 C#5 E G 1/4 Bb+G Dm7: 1/2 A4"
)
C = Key.parse("C")


def their(pitch: Pitch) -> pitches.Pitch:
    return pitches.Pitch(pitch.name.ascii[0] + pitch.name.ascii[1:].replace("b", "-") + str(pitch.octave))


def spelled(phrase: Phrase) -> str:
    return " ".join("+".join(pitch.name.ascii for pitch in sound.pitches) or "r" for sound in phrase.sounds)


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=lambda key: key.ascii)
def test_a_lick_goes_to_every_key_by_the_interval_that_music21_transposes_by(key: Key) -> None:
    """Each note keeps its letter's distance; the tonic lies within a tritone of the register."""
    moved = carried_phrase(LICK, key, AT_HOME, True)
    home = their(Pitch.parse("C4"))
    goal = their(key.tonic.nearest_above(Pitch.parse("F#3")))
    step = intervals.Interval(home, goal)
    for pitch, other in zip(LICK.pitches, moved.pitches, strict=True):
        wanted = their(pitch).transpose(step)
        # A chord outside the key may be printed from another root, and its notes go with it.
        assert their(other).ps == wanted.ps
        assert other.alteration in (wanted.alter, other.alteration if abs(wanted.alter) > 1 else wanted.alter)
    assert [sound.length for sound in moved.sounds] == [sound.length for sound in LICK.sounds]


@pytest.mark.parametrize("key", [*MAJOR_KEYS, *MINOR_KEYS], ids=lambda key: key.ascii)
def test_a_lick_that_goes_away_and_back_is_the_same_lick(key: Key) -> None:
    """Nothing is lost on the way where the mode stays."""
    phrase = LICK if not key.is_minor else Phrase.parse(
        "in Am | Bm7b5: 1/8 B4 F D A | E7: 1/8 G# F E D | Am: 1/4 C B E G#4 | Am: 1 A"
    )  # fmt: skip
    there = carried_phrase(phrase, key, AT_HOME, True)
    assert carried_phrase(there, phrase.key, AT_HOME, True).pitches == phrase.pitches


MODES = [
    # Third, sixth and seventh follow the scale; the dominant keeps its leading note.
    ("in C | Cmaj7: 1/8 C4 D E F G A B C", "Cm", "C D Eb F G Ab Bb C"),
    ("in C | G7: 1/8 B4 A G F E D C B", "Cm", "B Ab G F Eb D C B"),
    ("in C | Dm7: 1/8 D4 F A C E A F D", "Cm", "D F Ab C Eb Ab F D"),
    # A chromatic approach keeps its semitone to its goal, from above as well as from below.
    ("in C | Cmaj7: 1/8 F4 D# E G# A F# G B", "Cm", "F D Eb G Ab F# G Bb"),
    ("in C | Cmaj7: 1/8 F4 Gb F Eb D Db C C", "Cm", "F Gb F Eb D Db C C"),
    ("in Cm | Dm7b5: 1/8 D4 F Ab C G7b9: Ab F D B | Cm7: 1/8 C4 Eb G Bb 1/2 C", "C", "D F A C A F D B C E G B C"),
    ("in Am | Am: 1/8 A4 B C D E F# G# A", "A", "A B C# D E F# G# A"),
    ("in Bb | Cm7: 1/8 Eb4 G Bb D F7: C A G F | Bbmaj7: 1/2 D Bb3", "Bbm", "Eb Gb Bb Db C A Gb F Db Bb"),
]


@pytest.mark.parametrize(("text", "key", "wanted"), MODES)
def test_a_lick_changes_between_major_and_minor(text: str, key: str, wanted: str) -> None:
    """By the scale, by the chord's own notes, and by what leads where."""
    assert spelled(carried_phrase(Phrase.parse(text), Key.parse(key), AT_HOME, True)) == wanted


def test_the_mode_stays_when_it_is_asked_to() -> None:
    """All intervals stay; only the signature is that of the minor key."""
    moved = carried_phrase(LICK, Key.parse("Cm"), AT_HOME, False)
    assert moved.pitches == LICK.pitches


SIMPLE = [
    ("in C | Dm7: 1/8 D4 E F G A B C5 B", "D F A C", "1/4 1/4 1/4 1/4"),
    # Notes before the first chord tone give it their time.
    ("in C | C: 1/8 D4 D# E F G A 1/4 C5", "E G C", "1/2 1/4 1/4"),
    # A note that is struck before the bar and held over it belongs to the chord of the bar.
    ("in C | Dm7: 1/4 D4 F A 1/8 C B | G7: ~ 1/8 A G F 1/2 D", "D F A C B G F D", "1/4 1/4 1/4 1/8 3/8 1/8 1/8 1/2"),
    # Where a chord has no note of its own in the lick there is silence.
    ("in C | C: 1/4 C4 E F#: 1/8 D E D E", "C E r", "1/4 1/4 1/2"),
    ("in C | C: 1/12 C4 D E 1/12 F G A 1/4 r G", "C E G r G", "1/6 1/12 1/4 1/4 1/4"),
]


@pytest.mark.parametrize(("text", "notes", "lengths"), SIMPLE)
def test_a_lick_comes_down_to_its_chord_tones_and_keeps_its_time(text: str, notes: str, lengths: str) -> None:
    """Rhythm stays whole: nothing is lost of the bars."""
    phrase = Phrase.parse(text)
    simple = chord_tones_only(phrase)
    assert spelled(simple) == notes
    assert [sound.length for sound in simple.sounds] == [Fraction(length) for length in lengths.split()]
    assert sum(sound.length for sound in simple.sounds) == phrase.length


@pytest.mark.parametrize("key", [*MAJOR_KEYS, *MINOR_KEYS], ids=lambda key: key.ascii)
@pytest.mark.parametrize("under", Under)
def test_chord_tones_are_those_of_the_names_above_them_in_every_key(key: Key, under: Under) -> None:
    """Whatever the key and the mode, over shells, roots and rootless chords that lie below the lick."""
    drill = OwnLick(lick=LICK, notes=Notes.CHORD_TONES, hands=Hands.BOTH, under=under)
    exercise = realise(drill, Setting(key))
    for event in exercise.of(Hand.RIGHT):
        heard = [mark.chord for mark in exercise.chords if mark.onset <= event.onset + Fraction(1, 8)]
        heard = heard or [exercise.chords[0].chord]
        for pitch in event.pitches:
            assert any(pitch.name in chord.tones for chord in heard[-2:]), f"{pitch} over {heard[-1]}"
    assert exercise.length == 5


def at_random(seed: int) -> Phrase:
    chance = random.Random(seed)
    sounds: list[Sound] = []
    bars: list[Fraction] = []
    chords: list[tuple[Fraction, Chord]] = []
    now = Fraction(0)
    for _ in range(chance.randrange(1, 5)):
        start = now
        for _ in range(chance.randrange(1, 7)):
            if chance.random() < 0.3:
                chords.append((now, Chord.parse(chance.choice(["Dm7b5", "G7b9", "C#maj7", "Ebm6/9", "F/A"]))))
            if chance.random() < 0.2:
                lengths = [Fraction(1, 12)] * 3
            else:
                lengths = [chance.choice([length for length in LENGTHS if length.denominator % 3])]
            for length in lengths:
                count = chance.choice([0, 1, 1, 1, 2, 3])
                found = {
                    pitch.midi: pitch
                    for pitch in (Pitch(chance.randrange(7), chance.randrange(-2, 3), chance.randrange(2, 6))
                                  for _ in range(count))
                }  # fmt: skip
                sounds.append(Sound(tuple(found[midi] for midi in sorted(found)), length))
                now += length
        bars.append(now - start)
    sounds[0] = Sound((Pitch.parse("C4"),), sounds[0].length)
    return Phrase(Key.parse(chance.choice(["C", "F#m", "Db", "D dorian"])), tuple(sounds), tuple(bars), tuple(chords))


@pytest.mark.parametrize("seed", range(60))
def test_what_is_written_is_read_again(seed: int) -> None:
    """The text is what stands in the file; neighbouring rests and ties may be parted otherwise, but sound the same."""
    phrase = at_random(seed)
    again = Phrase.parse(phrase.ascii)
    assert again.ascii == phrase.ascii
    assert (again.key, again.bars, again.chords) == (phrase.key, phrase.bars, phrase.chords)
    assert [sound for sound in again.placed if sound[1].pitches] == [
        sound for sound in phrase.placed if sound[1].pitches
    ]


@pytest.mark.parametrize(
    "text",
    [
        "in Bb | Bb: 1/4 D5 C Bb4 A", "in Bb|Bb: 1/4 D5 C Bb4 A", "in B♭ major: Bb: 1/4 D5 c b♭ a",
        "In bb major\nBb: 1/4 D5\nC Bb A |",
    ],
)  # fmt: skip
def test_a_lick_is_read_however_it_is_spaced(text: str) -> None:
    """Capitals, printed signs and line ends make no difference."""
    assert Phrase.parse(text) == Phrase.parse("in Bb | Bb: 1/4 D5 C Bb A")


WRONG = [
    ("", "nothing is written"),
    ("C D E", "the key is missing"),
    ("in H | C", "'H' is not a key"),
    ("in C | C4 D | E X2", "bar 2, place 2: 'X2' is no note"),
    ("in C | C4 | Hm7: D", "bar 2, place 1: 'Hm7' is not a chord symbol"),
    ("in C | 1/5 C4", "bar 1, place 1: '1/5' is no length"),
    ("in C | C9", "bar 1, place 1: C9 is not on the keyboard"),
    ("in C | ~ C4", "bar 1, place 1: '~' holds the note before it, and there is none"),
    ("in C | C4 | 1/12 D E | F", "bar 2: a triplet is not whole"),
    ("in C | C4 || D", "bar 2 is empty"),
    ("in C | C4+E+C4", "has one key of the piano twice"),
    ("in C | C: Dm: C4", "bar 1, place 2: 'Dm' begins where 'C' does"),
    ("in C | r r", "the phrase has no note"),
    ("in C | " + "C4 | " * 70, "a phrase of 70 bars is longer than 64"),
    ("in C | " + "C4 " * 700, "more than 600 notes"),
]


@pytest.mark.parametrize(("text", "wanted"), WRONG)
def test_a_sentence_names_the_bar_and_the_place(text: str, wanted: str) -> None:
    """A teacher finds the slip at once."""
    with pytest.raises(ValueError, match=r".") as caught:
        Phrase.parse(text)
    assert wanted in str(caught.value)
    assert "\n" not in str(caught.value)


def test_bars_are_held_to_the_metre() -> None:
    """A short first bar is a pick-up and a short last one is filled up; any other is told."""
    phrase = Phrase.parse("in C | 1/4 G4 | 1 C | 1/2 E")
    full = in_metre(phrase, Metre.FOUR_FOUR.meter)
    assert spelled(full) == "r G C E r"
    assert full.bars == (1, 1, 1)
    with pytest.raises(ValueError, match="bar 2 of the phrase lasts 4 quarters where a bar of 3/4 has 3 quarters"):
        in_metre(phrase, Metre.THREE_FOUR.meter)
    with pytest.raises(ValueError, match="bar 2 of the phrase lasts 3 eighths where a bar of 4/4 has 4 quarters"):
        in_metre(Phrase.parse("in C | 1 C4 | 3/8 C | 1 C"), Metre.FOUR_FOUR.meter)


# Charts

CHARTS = [
    ("in C | Cmaj7 C#dim7 | Dm7 G7 | C7 | Fmaj7 Bb7 | Em7 A7 | Dm7 Db7 | C6", "Cm",
     "Cm7 C♯°7 Dm7♭5 G7 C7 Fm7 B♭7 E♭maj7 A7 Dm7♭5 D♭7 Cm6"),
    ("in C | Cmaj7 | E7 | Am7 | Bm7b5 E7 | Am7 D7 | G7", "Cm", "Cm7 E♭7 A♭maj7 B♭m7♭5 E♭7 A♭maj7 D7 G7"),
    ("in Cm | Cm7 Bb7 | Ebmaj7 | Abmaj7 | Dm7b5 G7b9 | Cm6", "C", "Cmaj7 B7 Em7 Am7 Dm7 G9 C6"),
    ("in F | Fmaj7/A Gm7/F | C7/E F", "Fm", "Fm7/A♭ Gm7♭5/F C7/E Fm"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "key", "wanted"), CHARTS)
def test_a_chart_changes_between_major_and_minor(text: str, key: str, wanted: str) -> None:
    """What belongs to the key becomes the other key's own; what does not keeps its distance to its goal."""
    bars = Chart.parse(text).in_key(Key.parse(key))
    assert " ".join(str(one.chord) for bar in bars for one in bar) == wanted


@pytest.mark.parametrize("key", MAJOR_KEYS, ids=lambda key: key.ascii)
def test_chords_go_to_every_key_by_intervals(key: Key) -> None:
    """Roots and basses as music21 transposes them, and the same qualities; chords with no degree too."""
    chords = tuple(map(Chord.parse, ["Fmaj7/A", "Gm7", "C7", "F#dim7", "Db7/Cb", "Bbm6", "Emaj7", "F##m7", "Bbb7"]))
    step = intervals.Interval(their(Pitch.parse("F4")), their(key.tonic.in_octave(4)))
    for chord, moved in zip(chords, carried_chords(chords, Key.parse("F"), key, True), strict=True):
        wanted = their(chord.root.in_octave(4)).transpose(step)
        assert their(moved.strict.root.in_octave(4)).pitchClass == wanted.pitchClass
        if abs(wanted.alter) <= 3:
            assert moved.strict.root.alteration == wanted.alter or chord.root.alteration not in (-1, 0, 1)
        assert moved.strict.quality == chord.quality
        assert moved.printed.root.pitch_class == moved.strict.root.pitch_class


TUNE = Chart.parse(
    "in F | Fmaj7 D7 | Gm7 C7 | Am7b5 D7b9 | Gm7 / / C7 | Fmaj7 F7/A | Bbmaj7 Bbm6 | Fmaj7/C D7 | Gm7 C7"
)


def chords_of(exercise: Exercise) -> list[tuple[Fraction, str]]:
    return [(mark.onset, str(mark.chord)) for mark in exercise.chords]


@pytest.mark.parametrize("realised", Realised)
@pytest.mark.parametrize("hands", Hands)
def test_every_way_to_play_a_chart_has_its_chords_at_their_moments(realised: Realised, hands: Hands) -> None:
    """Strokes share the bar: Gm7 has three of four beats."""
    exercise = realise(OwnChart(chart=TUNE, realised=realised, hands=hands), Setting(Key.parse("F")))
    assert chords_of(exercise)[6:9] == [(Fraction(3), "Gm7"), (Fraction(15, 4), "C7"), (Fraction(4), "Fmaj7")]
    assert exercise.length == 8


def test_fills_take_the_last_two_beats_of_each_phrase_but_the_last() -> None:
    """They lie above the chord that is held and are over when the next phrase begins."""
    plain = realise(OwnChart(chart=TUNE), Setting(Key.parse("F")))
    filled = realise(OwnChart(chart=TUNE, fills=Fills.PENTATONIC_UP), Setting(Key.parse("F")))
    begin, end = Fraction(7, 2), Fraction(4)
    runs = [event for event in filled.of(Hand.RIGHT) if begin <= event.onset < end]
    assert [event.onset for event in runs] == [begin + Fraction(number, 8) for number in range(4)]
    assert all(len(event.pitches) == 1 for event in runs)
    held = next(event for event in filled.of(Hand.RIGHT) if event.end == begin)
    assert held.pitches[-1].midi < min(event.pitches[0].midi for event in runs)
    outside = [event for event in filled.of(Hand.RIGHT) if event.onset >= end]
    assert [event.pitches for event in outside] == [
        event.pitches for event in plain.of(Hand.RIGHT) if event.onset >= end
    ]
    left = [[event.pitches for event in one.of(Hand.LEFT)] for one in (plain, filled)]
    assert left[0] == left[1]


def test_a_chord_with_a_double_sign_before_its_degree_shows_none() -> None:
    """♯♯I tells a reader nothing; the chord is carried by its interval all the same."""
    marks: tuple[ChordMark, ...] = realise(
        OwnChart(chart=Chart.parse("in Cb | Cb | F#7 | Cb")), Setting(Key.parse("Cb"))
    ).chords
    assert [mark.degree is None for mark in marks] == [False, True, False]


REPEATS = [
    ("in C | C | %", "C C"),
    ("in C | C | F | %%", "C F C F"),
    ("in C |: C | F :| G7", "C F C F G7"),
    ("in C | C |: F :|: G7 | % :|", "C F F G7 G7 G7 G7"),
    ("in C | C | F :|", "C F C F"),
]


@pytest.mark.parametrize(("text", "wanted"), REPEATS)
def test_repeats_are_written_out(text: str, wanted: str) -> None:
    """By the signs that stand in printed music."""
    bars = Chart.parse(text).in_key(C)
    assert " ".join(str(one.chord) for bar in bars for one in bar) == wanted


WRONG_CHARTS = [
    ("", "nothing is written"),
    ("Cmaj7 | Dm7", "the key is missing"),
    ("in C | Cmaj7 | H7", "bar 2, place 1: 'H7' is not a chord symbol"),
    ("vim7 | bad", "bar 2, place 1: 'bad' is not a degree"),
    ("in C | / C", "bar 1 begins with a stroke"),
    ("in C | %", "bar 1: % has too few bars before it"),
    ("in C | C | % F", "bar 2: % stands for whole bars"),
    ("in C | C C C C C C C C C", "bar 1 has more than 8 chords and strokes"),
    ("in C |: C : F", "a colon stands alone"),
    ("in C", "the chart has no chord"),
    ("in C | " + "C | " * 250, "a chart of 201 bars is longer than 200"),
]


@pytest.mark.parametrize(("text", "wanted"), WRONG_CHARTS)
def test_a_wrong_chart_is_a_sentence(text: str, wanted: str) -> None:
    """With the bar and the chord in it."""
    with pytest.raises(ValueError, match=r".") as caught:
        Chart.parse(text)
    assert wanted in str(caught.value)


# A phrase of one's own as raw material


def sung(exercise: Exercise) -> str:
    return " ".join(event.pitches[0].name.ascii if event.pitches else "r" for event in exercise.of(Hand.RIGHT))


def test_a_sequence_takes_the_teachers_phrase_with_its_rhythm() -> None:
    """From each note of the scale; a chromatic neighbour stays a semitone below its goal (B to C, not B sharp)."""
    own = Phrase.parse("in C | 1/8 E4 G F# A 1/2 G")
    drill = Sequences(own=own, direction=Direction.UP)
    exercise = realise(drill, Setting(C))
    assert sung(exercise).startswith("E G F# A G F A G# B A G B A# C B A C B D C B D C# E D C E D# F E")
    assert [event.length for event in exercise.of(Hand.RIGHT)[:5]] == [Fraction(1, 8)] * 4 + [Fraction(1, 2)]
    assert len(exercise.bars) == 8
    minor = sung(realise(replace(drill, key=Key.parse("Dm")), Setting(C)))
    assert minor.startswith("F A G# Bb A G Bb A C Bb")


def test_a_sequence_takes_the_phrase_through_keys() -> None:
    """A whole tone higher each time, spelled by intervals from key to key, with each key's chord above it."""
    own = Phrase.parse("in C | 1/8 E4 G F# A 1/2 G")
    exercise = realise(Sequences(own=own, moves=Moves.TONE, direction=Direction.UP), Setting(C))
    assert sung(exercise).startswith("E G F# A G F# A G# B A G# B A# C# B Bb Db C Eb Db")
    assert [str(mark.chord) for mark in exercise.chords][:4] == ["Cmaj7", "Dmaj7", "Emaj7", "G♭maj7"]


@pytest.mark.parametrize(
    ("text", "way", "bars", "times"),
    [
        ("in C | 1/8 E4 G 1/8 A", Way.RUNS_ON, 3, 8),
        ("in C | 1/8 E4 G 1/4 A 1/8 G", Way.RUNS_ON, 5, 8),
        ("in C | 1/4 E4 1/12 G A G 1/4 E", Way.RUNS_ON, 3, 4),
        ("in C | 1/4 C4 1/8 E G ~ A", Way.ONE, 9, 8),
        ("in C | 1/4 C4 1/8 E G ~ A", Way.TWO, 5, 4),
    ],
)
def test_a_displaced_phrase_comes_back_to_the_bar_line(text: str, way: Way, bars: int, times: int) -> None:
    """3 eighths in 8 after 3 bars, 5 after 5, as the cells that are built in."""
    own = Phrase.parse(text)
    drill = Displacement(own=own, way=way)
    exercise = realise(drill, Setting(C))
    assert len(exercise.bars) == bars == drill.bars()
    sounding = [event for event in exercise.of(Hand.RIGHT) if event.pitches]
    assert len(sounding) == times * len(own.pitches)
    period = Fraction(bars, times)
    begins = [event.onset for event in sounding[:: len(own.pitches)]]
    assert begins == [period * number for number in range(times)]


def test_a_phrase_fills_over_each_chord_as_over_its_own() -> None:
    """Over a minor chord in minor, over a dominant with its seventh, over a half-diminished one with its fifth."""
    drill = FillsBetweenPhrases(
        fill=Fill.OWN, own=Phrase.parse("in C | 1/16 E5 G B C"), lasts=Lasts.ONE_BEAT, hands=Hands.RIGHT,
        progression=Progression.parse("Imaj7 | vim7 | V7 | viim7b5 | #ivdim7"), melody=Melody.ROOT,
    )  # fmt: skip
    exercise = realise(drill, Setting(C))
    fills = [event for event in exercise.of(Hand.RIGHT) if event.length == Fraction(1, 16)]
    names = " ".join(event.pitches[0].name.ascii for event in fills)
    assert names == "E G B C C E G A B D F G D F A B A C Eb F#"
    held = [event for event in exercise.of(Hand.RIGHT) if event.length > Fraction(1, 16)]
    for number, event in enumerate(held):
        assert event.pitches[-1].midi + 3 <= min(fill.pitches[0].midi for fill in fills[4 * number : 4 * number + 4])
