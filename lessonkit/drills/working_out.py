"""Works a drill out but for its fingers: built in each of its keys, chained, and given what every drill can have.

Families build one key; everything that is the same for all of them happens here, once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from lessonkit.drills.exercise import Bar, BarEnd, Blank, Event, Exercise, FingersShown, Hand
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.key_deck import Order
from lessonkit.drills.playing import as_played
from lessonkit.drills.setting import Setting
from lessonkit.drills.worksheet import Worksheet
from lessonkit.drills.writing import check_size
from lessonkit.theory.key import Key


def worked_out(drill: DrillFamily, setting: Setting) -> Exercise:
    """The drill in all its keys with everything but fingers; raises ValueError as ``build`` does, and for its size."""
    setting = drill.setting_of(setting)
    exercise = _carried(drill, setting) if drill.is_carried else drill.build(setting)
    check_size(len(exercise.events))
    exercise = as_played(exercise, drill)
    exercise = replace(exercise, shown=replace(exercise.shown, fingers=drill.fingers_printed(setting)))
    if drill.repeats > 1:
        exercise = replace(exercise, bars=_repeated(exercise, drill.repeats))
    if drill.worksheet is not Worksheet.NOTHING:
        exercise = _as_worksheet(exercise, drill)
    return replace(exercise, summary=drill.in_one_line(setting))


def _carried(drill: DrillFamily, setting: Setting) -> Exercise:
    """The drill in key after key, each on a line of its own."""
    keys = drill.carried_keys(setting)
    built = []
    size = 0
    for key in keys:
        one = _in_one_key(drill, key, setting)
        built.append(one)
        size += len(one.events)
        check_size(size)
    chained = _chained(built, keys)
    is_shuffled = drill.key_order is Order.SHUFFLED
    return replace(chained, seed=drill.key_seed if is_shuffled and chained.seed is None else chained.seed)


def _in_one_key(drill: DrillFamily, key: Key, setting: Setting) -> Exercise:
    alone = replace(drill, key=key, key_count=1, key_order=Order.FIFTHS)
    try:
        return alone.build(setting)
    except ValueError as error:
        raise ValueError(f"{error} ({key} is among the keys of this drill)") from None


def _chained(built: Sequence[Exercise], keys: Sequence[Key]) -> Exercise:
    """One exercise out of several: each begins a line under its key's name, and the last ends the whole."""
    events: list[Event] = []
    bars: list[Bar] = []
    samples: list[Event] = []
    parts: dict[str, list[object]] = {"chords": [], "dynamics": []}
    remarks: dict[str, None] = {}
    start, group = Fraction(0), 0
    for number, (exercise, key) in enumerate(zip(built, keys, strict=True)):
        events += [replace(event, onset=event.onset + start, group=event.group + group) for event in exercise.events]
        samples += [replace(event, onset=event.onset + start, group=event.group + group) for event in exercise.samples]
        for name, marks in parts.items():
            marks += [replace(mark, onset=mark.onset + start) for mark in getattr(exercise, name)]
        own = [replace(bar, onset=bar.onset + start) for bar in exercise.bars]
        named = own[0].key or key
        label = f"{named} · {own[0].label}" if own[0].label else str(named)
        own[0] = replace(own[0], key=named, label=label, starts_line=True, tells_chord=False)
        if number + 1 < len(built):
            own[-1] = replace(own[-1], end=BarEnd.DOUBLE)
        bars += own
        remarks |= dict.fromkeys(exercise.remarks)
        start += exercise.length
        group = 1 + max((event.group for event in events), default=0)
    # Events stand hand by hand, as a single key has them.
    order = {hand: place for place, hand in enumerate(dict.fromkeys(event.hand for event in built[0].events))}
    for row in (events, samples):
        row.sort(key=lambda event: order.get(event.hand, len(order)))
    return replace(
        built[0],
        events=tuple(events),
        samples=tuple(samples),
        bars=tuple(bars),
        remarks=tuple(remarks),
        **{name: tuple(marks) for name, marks in parts.items()},  # type: ignore[arg-type]
    )


def _repeated(exercise: Exercise, times: int) -> tuple[Bar, ...]:
    """The bars with repeat signs around each key. At the very beginning none is needed, as the trade has it."""
    begins, ends = {*exercise.key_starts[1:]}, {*exercise.key_starts[1:], exercise.length}
    answer: list[Bar] = []
    for bar in exercise.bars:
        if bar.onset in begins:
            bar = replace(bar, begins_repeat=True)
        is_last = bar.onset + bar.length in ends
        answer.append(replace(bar, end=BarEnd.REPEAT, times=times) if is_last else bar)
    return tuple(answer)


def _as_worksheet(exercise: Exercise, drill: DrillFamily) -> Exercise:
    """What the drill's worksheet leaves blank; fingers that are asked for are printed on the answer page.

    Raises ValueError where the hand that is left blank has nothing to play.
    """
    blank = drill.worksheet.blank
    if Blank.RIGHT_HAND in blank and Hand.RIGHT not in exercise.hands:
        raise ValueError("the right hand is left blank but does not play; choose both hands or another blank")
    shown = exercise.shown
    if Blank.FINGERS in blank and shown.fingers is FingersShown.NONE:
        shown = replace(shown, fingers=FingersShown.ALL)
    return replace(exercise, blank=exercise.blank | blank, shown=shown)
