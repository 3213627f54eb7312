"""Which accidental stands before a note: what the signature and the bar leave unsaid, and courtesies in brackets.

An accidental holds for its octave up to the next bar line that can be seen. Under an octave line a sign is printed
whenever either way of counting octaves (as written, as it sounds) would ask for it.
"""

from __future__ import annotations

from lessonkit.theory.pitch import Pitch

NOTHING, PLAIN, COURTESY = 0, 1, 2


class Memory:
    """What a reader has in mind about accidentals while reading two staves from left to right."""

    def __init__(self, signature: dict[int, int]) -> None:
        """Begin with a signature: the alteration of each letter (0 is C) that it alters."""
        self._signature = signature
        self._written: dict[tuple[int, int], int] = {}
        self._sounding: dict[tuple[int, int], int] = {}
        self._doubtful: set[tuple[int, int]] = set()
        self._last_bar: dict[tuple[int, int], int] = {}
        self._in_bar: dict[int, int] = {}
        """The last alteration of each letter in this bar, in whatever octave and hand."""
        self._last_letters: dict[tuple[int, int], int] = {}
        """How each hand last altered a letter in the bar before, in whatever octave."""
        self._tied: dict[tuple[int, int], int] = {}
        """What ties carried into this bar."""

    def sign(self, staff: int, pitch: Pitch, octaves: int, is_tied: bool = False) -> int:
        """What to print before a note on a staff (0 above, 1 below): NOTHING, PLAIN or COURTESY; and remember it.

        ``octaves`` is how many octaves higher the note sounds than it is written. A note tied to the one before it
        needs no sign.
        """
        letter, alteration = pitch.letter, pitch.alteration
        sounding = (staff, pitch.staff_step)
        written = (staff, pitch.staff_step - 7 * octaves) if octaves else sounding
        usual = self._signature.get(letter, 0)
        if is_tied:
            # Across a bar line the tie carries the sign, but the next note of this pitch must have its own.
            if alteration != self._written.get(written, usual):
                self._doubtful.add(written)
                self._tied[written] = alteration
            self._in_bar[letter] = alteration
            return NOTHING
        is_reminded = written in self._written
        needed = alteration != self._written.get(written, usual) or alteration != self._sounding.get(sounding, usual)
        if written in self._doubtful:
            needed = True
            self._doubtful.discard(written)
        answer = NOTHING
        if needed:
            answer = PLAIN
        elif not is_reminded and (
            self._last_bar.get(written, alteration) != alteration
            or self._in_bar.get(letter, alteration) != alteration
            or self._last_letters.get((staff, letter), alteration) != alteration
        ):
            answer = COURTESY
        # Whatever was said of a letter in this bar, the bar before needs no answer any more in other octaves.
        if self._last_letters:
            self._last_letters.pop((staff, letter), None)
        if answer or alteration != usual:
            self._written[written] = self._sounding[sounding] = alteration
        elif is_reminded:
            self._written[written] = alteration
        self._in_bar[letter] = alteration
        return answer

    def small_sign(self, staff: int, pitch: Pitch, octaves: int) -> int:
        """What to print before a small note. Readers differ on whether its sign holds on: the next note has its own."""
        answer = self.sign(staff, pitch, octaves)
        self._doubtful.add((staff, pitch.staff_step - 7 * octaves))
        return answer

    def pass_bar_line(self, is_seen: bool) -> None:
        """Cross a bar line; one that is not printed ends nothing, so that what it leaves open is said again."""
        usual = self._signature
        said = self._tied | self._written
        altered = {place: sign for place, sign in said.items() if sign != usual.get(place[1] % 7, 0)}
        self._tied = {}
        self._last_letters = {}
        if is_seen:
            self._last_bar = altered
            self._last_letters = {(staff, step % 7): sign for (staff, step), sign in altered.items()}
            self._written.clear()
            self._sounding.clear()
            self._doubtful.clear()
        else:
            self._last_bar = {}
            self._doubtful |= set(altered)
        self._in_bar = {}

    def begin_afresh(self) -> None:
        """Begin a line that looks like a new piece: no courtesy reaches back over it."""
        self._last_bar = {}
        self._last_letters = {}
        self._tied = {}

    def change_signature(self, signature: dict[int, int]) -> None:
        """Begin under another signature, which says all there is to say."""
        self._signature = signature
        self._last_bar = {}
        self._last_letters = {}
        self._tied = {}
        self._written.clear()
        self._sounding.clear()
        self._doubtful.clear()
        self._in_bar = {}
