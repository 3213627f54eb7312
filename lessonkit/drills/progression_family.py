"""What families share that take a progression through keys: degrees, keys, bars. Each voices the chords its own way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Any

from lessonkit.drills import fields
from lessonkit.drills.dealing import dealt_in_turn
from lessonkit.drills.exercise import Blank, ChordMark, Exercise, Hand, Roll
from lessonkit.drills.family import KEY_DECK, Direction, DrillFamily, Hands, Metre
from lessonkit.drills.key_deck import LARGEST_SEED as LARGEST_SEED
from lessonkit.drills.key_deck import MOST_KEYS, dealt_from, keys_through
from lessonkit.drills.key_deck import Deck as Deck
from lessonkit.drills.key_deck import Order as Order
from lessonkit.drills.minor_twin import in_minor
from lessonkit.drills.setting import Setting
from lessonkit.drills.times import moments
from lessonkit.drills.wording import begun, chords_words, counted, hands_words
from lessonkit.drills.worksheet import Worksheet as Worksheet
from lessonkit.drills.writing import Section, Step, check_size, write
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.pitch import Pitch
from lessonkit.theory.progression import PlacedChord, Progression
from lessonkit.theory.roman import RomanChord
from lessonkit.theory.voicing import Voicing
from lessonkit.values import dataclass

PlacedBars = tuple[tuple[PlacedChord, ...], ...]

DEALS = 64
"""How far the deals of one number lie from those of the next; more than the keys or puzzles of a sheet."""


@dataclass(frozen=True, slots=True)
class ChordSpan:
    """A chord of a progression in one key: its degree, when it begins (counted from the key's start), how long."""

    chord: Chord
    roman: RomanChord
    onset: Fraction
    length: Fraction

    @property
    def end(self) -> Fraction:
        """When the next chord begins."""
        return self.onset + self.length


def order_of_keys(default: Order) -> Any:
    """A field for the order of the keys; every family that goes through keys asks for it in the same words."""
    return fields.choice(
        default, label="Order of keys", group="Keys", help="It begins with the drill's key, unless shuffled or listed."
    )


def how_many_keys(default: int) -> Any:
    """A field for the number of keys; listed keys count themselves."""
    return fields.whole(
        default, least=1, most=MOST_KEYS, label="How many keys", group="Keys",
        applies=lambda drill: drill.order is not Order.CHOSEN,
    )  # fmt: skip


def bars_of_degrees(default: str) -> Any:
    """A field for the progression that is taken through the keys."""
    return fields.progression(
        default, label="Progression", group="Progression",
        help="Bars of degrees parted by |, two or more chords to a bar parted by spaces.",
    )  # fmt: skip


@dataclass(frozen=True)
class ProgressionFamily(DrillFamily):
    """A family that voices a progression, in one key or in key after key, each on a line of its own."""

    # It has keys of its own to go through, bars that chords fill and nothing that turns.
    left_out = KEY_DECK | {"rest_between", "turning", "shaping"}

    progression: Progression = bars_of_degrees("Imaj7 | vim7 | IVmaj7 | V7")
    adapts_to_minor: bool = fields.yes_no(
        True, label="Minor keys use their own chords", group="Progression",
        help="In minor, chords of the major key become those on the same degrees: Imaj7 becomes im7, vim7 VImaj7.",
    )  # fmt: skip
    order: Order = order_of_keys(Order.FIFTHS)
    count: int = how_many_keys(12)
    deck: Deck = fields.choice(
        Deck.TWELVE, label="Dealt from", group="Keys", applies=lambda drill: drill.order is Order.SHUFFLED
    )
    seed: int = fields.whole(
        1, least=0, most=LARGEST_SEED, label="Sheet number", group="Keys",
        help="The same number always gives the same order.", applies=lambda drill: drill.order is Order.SHUFFLED,
    )  # fmt: skip
    keys: tuple[Key, ...] = fields.keys(
        label="Keys listed", group="Keys", applies=lambda drill: drill.order is Order.CHOSEN
    )
    bars_each: int = fields.whole(
        1, least=1, most=4, label="Each bar lasts", unit="bars", group="Time",
        help="2 gives twice the time to every chord.",
    )  # fmt: skip
    open_signature: bool = fields.yes_no(
        False, label="No key signatures", group="On the page", help="Every accidental is printed before its note."
    )
    hands: Hands = fields.choice(Hands.BOTH, label="Hands", group="Hands and range")
    lowest: Pitch = fields.pitch(
        "Bb3", label="Chords begin near", group="Hands and range",
        help="The right hand's chords lie from here up; the left hand's notes an octave or more below.",
    )  # fmt: skip
    octaves: int = fields.whole(1, least=1, most=4, label="Octaves", group="Hands and range", applies=fields.never)
    direction: Direction = fields.choice(Direction.UP, label="Direction", group="Hands and range", applies=fields.never)
    note_length: Fraction = fields.note_value(
        "1", label="Chords are struck every", group="Time", help="A chord is held or struck again until the next one."
    )
    shows_degrees: bool = fields.yes_no(True, label="Degrees", group="On the page")

    def build(self, setting: Setting) -> Exercise:
        keys = self.keys_in(setting)
        strikes = sum(len(self._lengths(len(bar))) for bar in self.progression.bars) * self.bars_each
        check_size(strikes * len(keys) * len(self.playing_hands))
        return write(
            self,
            [self._section(key, bars) for key, bars in zip(keys, self._bars_of(keys), strict=True)],
            summary=self.summary(setting),
            seed=self.seed if self.order is Order.SHUFFLED else None,
            open_signature=self.open_signature,
            remarks=self.remarks(keys, setting),
        )

    def voicings(self, chords: Sequence[Chord], key: Key) -> Sequence[Voicing]:
        """How the chords of one key lie in the hands.

        Where the left hand's part is empty and the left hand plays, it has the right hand's an octave or more lower.
        """
        raise TypeError(f"{type(self).__name__} does not say how chords are voiced")

    def roll(self, shape: Sequence[Pitch]) -> Roll:
        """How the notes of one hand's chord follow one another."""
        return Roll.NONE

    def remarks(self, keys: Sequence[Key], setting: Setting) -> tuple[str, ...]:
        """What is worth saying of the drill in these keys, a sentence each."""
        return ()

    def voiced_words(self) -> str:
        """How the chords are voiced, for the summary: ``in root position``."""
        return ""

    def label_in(self, key: Key) -> str:
        """What stands above a key's first bar."""
        return str(key)

    def summary(self, setting: Setting) -> str:
        keys = self.keys_in(setting)
        first = begun(chords_words(self.progression_in(keys[0]), setting.label_style))
        order = "keys and chords shuffled" if self.deals_chords else self.order.value
        where = f"in {keys[0]}" if len(keys) == 1 else f"in {len(keys)} keys, {order}"
        return f"{first} {where}, {self.voiced_words()}, {hands_words(self)}"

    def keys_in(self, setting: Setting) -> tuple[Key, ...]:
        """The keys in the order in which they are played; raises ValueError where none is listed."""
        return keys_through(
            self.key_in(setting), self.order, self.count, self.deck, self.seed, self.keys, setting
        )  # fmt: skip

    def answers_in_summary(self, setting: Setting) -> dict[str, str]:
        if Blank.DEGREES not in self.worksheet.blank:
            return {}
        progression = self.progression_in(self.keys_in(setting)[0])
        count = sum(len(bar) for bar in progression.bars)
        told = chords_words(progression, setting.label_style)
        return {} if told.endswith("of chords") else {told: counted(count, "chord")}

    def has_several_keys(self, setting: Setting) -> bool:
        return len(self.keys_in(setting)) > 1

    def _deck(self, start: Key, setting: Setting) -> tuple[Key, ...]:
        return dealt_from(start, self.deck, setting)

    def progression_in(self, key: Key) -> Progression:
        """The progression as it is in a key: in minor with the chords of the minor key, unless that is turned off."""
        return in_minor(self.progression) if self.adapts_to_minor and key.mode is Mode.MINOR else self.progression

    @property
    def deals_chords(self) -> bool:
        """Whether each key has its chords in an order of its own, so that no line gives the next one's answers away."""
        return self.order is Order.SHUFFLED and bool(self.worksheet.blank & {Blank.CHORD_NAMES, Blank.DEGREES})

    def _bars_of(self, keys: Sequence[Key]) -> list[PlacedBars]:
        """The chords of each bar of each key; on a worksheet in shuffled keys the chords are shuffled as well."""
        rows = [self.progression_in(key).in_key(key) for key in keys]
        if not self.deals_chords:
            return rows
        names = [placed.roman for bar in rows[0] for placed in bar]
        orders = dealt_in_turn(names, [self.seed * DEALS + number for number in range(len(keys))])
        return [_in_order(bars, order) for bars, order in zip(rows, orders, strict=True)]

    def _section(self, key: Key, bars: PlacedBars) -> Section:
        """One key: its bars, its chords and what the hands do."""
        placed = list(self._placed(bars))
        spans = [
            ChordSpan(chord.chord, chord.roman, now, length)
            for (chord, length), now in zip(placed, moments([length for _, length in placed]), strict=False)
        ]
        marks = tuple(ChordMark(span.onset, span.chord, span.roman) for span in spans)
        free = tuple([self.bar * self.bars_each] * len(bars))
        return Section(key, self.parts(spans, key), marks, label=self.label_in(key), starts_line=True, bars=free)

    def parts(self, spans: Sequence[ChordSpan], key: Key) -> dict[Hand, Sequence[Step]]:
        """What the hands that play do in one key: its chords as they are voiced, held or struck again."""
        voicings = self.voicings([span.chord for span in spans], key)
        parts: dict[Hand, list[Step]] = {hand: [] for hand in self.playing_hands}
        for number, (span, voicing) in enumerate(zip(spans, voicings, strict=True)):
            strikes = _strikes(span.length, self.note_length)
            for hand, part in parts.items():
                shape = self._shape(voicing.left, voicing.right, hand)
                part += [Step(shape, strike, number, self.roll(shape)) for strike in strikes]
        return dict(parts)

    def _shape(self, left: tuple[Pitch, ...], right: tuple[Pitch, ...], hand: Hand) -> tuple[Pitch, ...]:
        """What a hand plays: its own part, or in the left hand, where that is empty, the right hand's lower down."""
        if hand is Hand.RIGHT:
            return right
        if left:
            return left
        octaves = 1 + (right[-1].midi - right[0].midi) // 12 if len(self.playing_hands) == 2 else 1
        return tuple(pitch.octaves_up(-octaves) for pitch in right)

    def _placed(self, bars: PlacedBars) -> Iterator[tuple[PlacedChord, Fraction]]:
        for bar in bars:
            yield from zip(bar, self._lengths(len(bar)), strict=True)

    @property
    def bar(self) -> Fraction:
        """The length of a written bar; in free time that of a bar of four quarters."""
        meter = self.metre.meter
        return Fraction(1) if meter is None else meter.bar

    def _lengths(self, chords: int) -> list[Fraction]:
        """How long each of a bar's chords lasts: whole beats, the first ones longer where they do not go up evenly."""
        return _shares(self.metre, self.bars_each, chords)


def _in_order(bars: PlacedBars, order: Sequence[int]) -> PlacedBars:
    """The chords of the bars in another order, as many in each bar as before."""
    chords = [placed for bar in bars for placed in bar]
    dealt = iter([chords[place] for place in order])
    return tuple(tuple(next(dealt) for _ in bar) for bar in bars)


@lru_cache(maxsize=256)
def _shares(metre: Metre, bars_each: int, chords: int) -> list[Fraction]:
    meter = metre.meter
    bar = Fraction(1) if meter is None else meter.bar
    beat = Fraction(1, 4) if meter is None or meter.unit == 4 else Fraction(3, 8)
    while bar * bars_each / beat < chords:
        beat = beat / 3 if beat == Fraction(3, 8) else beat / 2
    beats = int(bar * bars_each / beat)
    share, longer = divmod(beats, chords)
    return [beat * (share + (place < longer)) for place in range(chords)]


@lru_cache(maxsize=256)
def _strikes(length: Fraction, every: Fraction) -> tuple[Fraction, ...]:
    """The lengths of a chord's strokes; the last is shorter where the time is."""
    whole, rest = divmod(length, every)
    return (every,) * whole + ((rest,) if rest else ())
