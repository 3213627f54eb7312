"""Rows of a printed manual, stated as facts.

Source: O. Beringer and T. F. Dunhill, *Manual of Scales, Arpeggios and Broken Chords for Pianoforte*, 1900. Arpeggios
and scales stand here as the way up over two octaves; the book comes down on the same fingers. ``/`` parts printed
alternatives. A benchmark compares with a whole transcription where one is at hand.
"""

import pytest

from lessonkit.hands.fingering import finger_groups, finger_line
from lessonkit.hands.hand import Hand
from lessonkit.theory.pitch import NoteName, Pitch

ARPEGGIOS = """
C E G     | 1231235 | 5421421
E G C     | 1241245 | 5421421
G C E     | 1241245 | 5321321
C Eb G    | 1231235 | 5421421
G C Eb    | 1231235 | 5321321
D F# A    | 1231235 | 5321321
F# A D    | 2124124 | 4214212/3213212
G# B E    | 2124124 | 4214212/3213212
Ab C Eb   | 2124124 | 2142142/3142142
Eb Ab C   | 2412412 | 4214212
Bb D F    | 2124124 | 3213212
F Bb D    | 1241245 | 5321321
Bb Db F   | 2312312/2312313 | 3213212
Db F Bb   | 2123123 | 2132132/3132132
F# A# C#  | 1231235 | 5321321
A# C# F#  | 1241245 | 5421421
C# F# A   | 2412412 | 4214212
G B D F   | 123412345 | 543214321
Eb G Bb Db | 212341234 | 214321432
Db Eb G Bb | 231234123 | 321432132
Bb Db Eb G | 234123412 | 432143212
C# E# G# B | 212341234 | 432143212/214321432
F# A B D#  | 212341234 | 321432132
A C Eb Gb  | 123412345 | 543214321
Bb Db Fb G | 231234123 | 432143212
Gb A C Eb  | 212341234 | 321432132
"""

SCALES = """
C D E F G A B        | 123123412312345 | 543213214321321
E F G A B C D        | 312341231234123 | 321321432132132
F# G A B C# D E      | 212341231234123 | 321321432132132
Ab Bb C Db Eb F G    | 231231234123123 | 321432132143212
Bb C D Eb F G A      | 212312341231234 | 321432132143212
C Db Eb F G Ab Bb    | 123123412312345 | 543213214321321
A# B C# D# E# F# G#  | 212312341231234 | 213214321321432
"""

BROKEN_CHORDS = """
C E G     | 1235 1245 1245 1235 | 5421 5421 5321 5421
C Eb G    | 1235 1245 1235 1235 | 5421 5421 5321 5421
D F# A    | 1235 1245 1245 1235 | 5321 5421 5321 5321
Ab C Eb   | 1235 1245 1245 1235 | 5321 5421 5321 5321
Bb Db F   | 1235 1245 1235 1235 | 5421 5421 5321 5421
F# A# C#  | 1235 1245 1245 1235 | 5321 5421 5321 5321
G# B D#   | 1235 1245 1235 1235 | 5421 5421 5321 5421
"""

CHART = """
A C# E    | 1231235 | 5321321
B D# F#   | 1231235 | 5321321
Db F Ab   | 2124124/4124124 | 2142142
Eb G Bb   | 2124124/4124124 | 2142142
Eb Gb Bb  | 1231235 | 5421421
D7 F# A C | 123412345 | 543214321
F# A# C# E | 234123412 | 432143212
"""
"""A music-teachers' association's two-octave chart; it starts D♭ on 4 or 2."""


def _rows(table: str) -> list[tuple[str, ...]]:
    return [tuple(cell.strip() for cell in line.split("|")) for line in table.strip().splitlines()]


def _rising(names: str, count: int) -> list[Pitch]:
    found: list[Pitch] = []
    floor = Pitch.parse("C3")
    parsed = [NoteName.parse(name.rstrip("7")) for name in names.split()]
    for index in range(count):
        pitch = parsed[index % len(parsed)].nearest_above(floor)
        if found and pitch.midi == found[-1].midi:
            pitch = pitch.octaves_up(1)
        floor = pitch
        found.append(pitch)
    return found


@pytest.mark.parametrize(("names", "right", "left"), _rows(ARPEGGIOS) + _rows(SCALES) + _rows(CHART))
@pytest.mark.parametrize("hand", Hand)
def test_runs_have_their_printed_fingers(names: str, right: str, left: str, hand: Hand) -> None:
    """Teachers hold the engine against the book on the music stand."""
    pitches = _rising(names, 2 * len(names.split()) + 1)
    there_and_back = [*pitches, *pitches[-2::-1]]
    fingers = "".join(map(str, finger_line(there_and_back, hand).fingers))
    printed = (right if hand is Hand.RIGHT else left).split("/")
    assert fingers in [one + one[-2::-1] for one in printed]


@pytest.mark.parametrize(("names", "right", "left"), _rows(BROKEN_CHORDS))
@pytest.mark.parametrize("hand", Hand)
def test_broken_chords_have_their_printed_fingers(names: str, right: str, left: str, hand: Hand) -> None:
    """Groups of four with the octave, each beginning a note of the triad higher."""
    pitches = _rising(names, 7)
    groups = [pitch for start in range(4) for pitch in pitches[start : start + 4]]
    fingers = "".join(map(str, finger_groups(groups, 4, hand).fingers))
    assert fingers == (right if hand is Hand.RIGHT else left).replace(" ", "")


def test_the_one_printed_arpeggio_that_differs_is_the_runner_up() -> None:
    """F♯ minor, left hand: the book ends on 3 where it prints 2 for the same shape on G♯ and A♭; 3 is offered."""
    pitches = _rising("F# A C#", 7)
    fingering = finger_line(pitches, Hand.LEFT)
    assert fingering.fingers == (2, 1, 4, 2, 1, 4, 2)
    assert fingering.runner_up == (3, 1, 4, 2, 1, 4, 2)
    assert fingering.has_close_runner_up


BLACK_STARTS = """
right | F# A D F# | 2124
right | Ab C Eb Ab | 2124
right | Bb D F Bb | 2124
left | Eb Ab C Eb | 4212
left | C# F# A C# | 4212
left | G# B E G# | 4212
left | Bb D F Bb | 5321
left | Ab C Eb Ab | 5321
"""


@pytest.mark.parametrize(("hand", "names", "printed"), _rows(BLACK_STARTS))
def test_a_low_black_note_before_a_white_one_may_take_2_1_2_4(hand: str, names: str, printed: str) -> None:
    """The book's alternative; it stops at a major third between the two, so B♭ over F keeps its frame."""
    pitches = _rising(names, 4)
    fingering = finger_groups(pitches, 4, Hand(hand), black_start=True)
    assert "".join(map(str, fingering.fingers)) == printed
