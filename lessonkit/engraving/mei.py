"""A written score as MEI text, made for one engraver. Every sign is decided here; the engraver only places them.

Ids: ``e3.0`` is pitch 0 of event 3, ``e3.0t1`` its continuation after a tie, ``c3`` the chord around it, ``r3`` a
rest, ``m2`` bar 2. What begins with ``h`` is not drawn. Distances are no matter of this text: see ``spacing``.
"""

from __future__ import annotations

from functools import lru_cache
from html import escape

from lessonkit.drills.exercise import Bar, BarEnd, Blank, Exercise, Hand, Roll
from lessonkit.engraving.accidentals import COURTESY, NOTHING, Memory
from lessonkit.engraving.breaks import Lines
from lessonkit.engraving.playing_marks import articulation, hanging_marks, loudness_place
from lessonkit.engraving.score import NOTE, REST, Piece, Run, Score, WrittenBar
from lessonkit.engraving.staves import Stand, Stands
from lessonkit.engraving.written_staff import WrittenStaff
from lessonkit.theory.key import Key

_SIGNS = {-3: "tf", -2: "ff", -1: "f", 0: "n", 1: "s", 2: "x", 3: "ts"}
_CLEFS = {"G": ("G", "2"), "F": ("F", "4")}
_MIDDLE = {"G": 'pname="b" oct="4"', "F": 'pname="d" oct="3"'}
_ENDS = {
    BarEnd.SINGLE: "", BarEnd.DOUBLE: ' right="dbl"', BarEnd.FINAL: ' right="end"', BarEnd.INVISIBLE: ' right="invis"',
    BarEnd.REPEAT: ' right="rptend"',
}  # fmt: skip
_HEAD = '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0"><meiHead/><music><body><mdiv><score>'
_TAIL = "</section></score></mdiv></body></music></mei>"


def mei_text(score: Score, stands: dict[Hand, Stands], lines: Lines, hidden: frozenset[Hand], apart: int = 0) -> str:
    """The whole exercise as MEI; raises ValueError for a note with more accidentals than can be written.

    ``apart`` is how far apart the staves stand at least, in half spaces.
    """
    exercise = score.exercise
    hands = tuple(score.bars)
    memory = Memory(_signature(exercise, exercise.bars[0].key or exercise.key))
    staves = [WrittenStaff(hand, number, hand in hidden, stands[hand], score) for number, hand in enumerate(hands)]
    apart = max(apart, _WIDE if _has_inner_octave_line(stands) else 0)
    out = [_HEAD, _score_def(exercise, staves, apart), "<section>"]
    hanging = hanging_marks(score, hidden)
    if len(lines.starts) == 1:
        out.append("<sb/>")
    for number, bar in enumerate(exercise.bars):
        follower = exercise.bars[number + 1] if number + 1 < len(exercise.bars) else None
        if number:
            out.append(_between(exercise, number, bar, lines, memory))
        _bar(out, number, bar, follower, score, staves, memory)
        _loudness_and_rolls(out, number, score, staves)
        out += hanging.get(number, ())
        out.append("</measure>")
        memory.pass_bar_line(end_of(exercise, number) is not BarEnd.INVISIBLE)
    out.append(_TAIL)
    return "".join(out)


def _has_inner_octave_line(stands: dict[Hand, Stands]) -> bool:
    """Whether an octave line runs between two staves."""
    return len(stands) == 2 and (
        any(stand.octaves > 0 for row in stands[Hand.LEFT] for stand in row)
        or any(stand.octaves < 0 for row in stands[Hand.RIGHT] for stand in row)
    )


_WIDE, WIDEST = 20, 26
"""How far apart staves stand in half spaces: with an octave line between them, or where the hands come close."""

_SPACE = '<space dur="8"/>'

_UNTIED: frozenset[int] = frozenset()

Signs = dict[tuple[int, int, int], int]
"""What stands before a note (event, part, index of its pitch), as ``accidentals`` says it."""


def _signature(exercise: Exercise, key: Key) -> dict[int, int]:
    return {} if exercise.open_signature else dict(_altered(key))


@lru_cache(maxsize=64)
def _altered(key: Key) -> tuple[tuple[int, int], ...]:
    return tuple((name.letter, name.alteration) for name in key.signature_names)


def _key_text(exercise: Exercise, key: Key) -> str:
    sharps = 0 if exercise.open_signature else key.signature
    return "0" if sharps == 0 else f"{abs(sharps)}{'s' if sharps > 0 else 'f'}"


def _score_def(exercise: Exercise, staves: list[WrittenStaff], apart: int) -> str:
    key = exercise.bars[0].key or exercise.key
    meter = ""
    if exercise.meter is not None:
        meter = f' meter.count="{exercise.meter.beats}" meter.unit="{exercise.meter.unit}"'
    group = ' symbol="brace" bar.thru="true"' if len(staves) == 2 else ""
    defs = []
    for staff in staves:
        shape, line = _CLEFS[staff.clef]
        spacing = f' spacing="{apart}vu"' if apart and staff.number == 1 else ""
        defs.append(f'<staffDef n="{staff.number + 1}" lines="5" clef.shape="{shape}" clef.line="{line}"{spacing}/>')
    signature = _key_text(exercise, key)
    return f'<scoreDef keysig="{signature}"{meter}><staffGrp{group}>{"".join(defs)}</staffGrp></scoreDef>'


def _between(exercise: Exercise, number: int, bar: Bar, lines: Lines, memory: Memory) -> str:
    """What stands between two bars: a new line, a new signature, or a line that begins afresh with its own."""
    new_line = "<sb/>" if number in lines.starts else ""
    has_new_key = bar.key is not None and not exercise.open_signature
    if has_new_key and bar.key is not None:
        memory.change_signature(_signature(exercise, bar.key))
    if number in lines.fresh:
        # Without a staffGrp the engraver does not announce the new signature at the end of the line before; a hidden
        # meterSig keeps it from writing the time signature anew.
        memory.begin_afresh()
        key = _key_text(exercise, bar.key or exercise.key)
        meter = ""
        if exercise.meter is not None:
            meter = f'<meterSig count="{exercise.meter.beats}" unit="{exercise.meter.unit}" visible="false"/>'
        return f'</section><section restart="true"><scoreDef keysig="{key}">{meter}</scoreDef>{new_line}'
    if has_new_key and bar.key is not None and bar.key.signature != _key_before(exercise, number).signature:
        return f'<scoreDef keysig="{_key_text(exercise, bar.key)}"/>{new_line}'
    return new_line


def end_of(exercise: Exercise, number: int) -> BarEnd:
    """The line at the end of a bar as it is printed: a new signature is announced by a double one."""
    end = exercise.bars[number].end
    follower = exercise.bars[number + 1] if number + 1 < len(exercise.bars) else None
    announces = follower is not None and follower.key is not None and not exercise.open_signature
    return BarEnd.DOUBLE if announces and end not in (BarEnd.FINAL, BarEnd.REPEAT) else end


def _key_before(exercise: Exercise, number: int) -> Key:
    return next((bar.key for bar in reversed(exercise.bars[:number]) if bar.key is not None), exercise.key)


def _bar(
    out: list[str],
    number: int,
    bar: Bar,
    follower: Bar | None,
    score: Score,
    staves: list[WrittenStaff],
    memory: Memory,
) -> None:
    begin = ' left="rptstart"' if bar.begins_repeat else ""
    out.append(f'<measure xml:id="m{number}"{begin}{_ENDS[end_of(score.exercise, number)]}>')
    signs = _signs(number, staves, score, memory)
    for staff in staves:
        out.append(f'<staff n="{staff.number + 1}"><layer n="1">')
        written = staff.bars[number]
        if not written.pieces:
            out.append(_SPACE * 4 if staff.is_hidden else f'<mRest xml:id="r-{number}.{staff.number}"/>')
        else:
            _layer(out, staff, number, written, score, signs)
            if bar.end is BarEnd.INVISIBLE and score.exercise.meter is not None:
                # The part of a bar ends without a line; its last note keeps away from the staff's end.
                out.append('<space dur="8"/>')
        if follower is not None and not staff.is_hidden:
            row = staff.stands[number + 1]
            if row and row[0].clef != staff.clef:
                _change_clef(out, staff, row[0].clef)
        out.append("</layer></staff>")


def _change_clef(out: list[str], staff: WrittenStaff, clef: str) -> None:
    shape, line = _CLEFS[clef]
    out.append(f'<clef shape="{shape}" line="{line}"/>')
    staff.clef = clef


def _signs(number: int, staves: list[WrittenStaff], score: Score, memory: Memory) -> Signs:
    """What stands before each note of a bar, in the order in which it is read: by moment, over both staves."""
    events = score.exercise.events
    found: Signs = {}
    reading = [
        (piece.start, staff.number, piece, stand, staff)
        for staff in staves
        if not staff.is_hidden
        for piece, stand in zip(staff.bars[number].pieces, staff.stands[number], strict=True)
        if piece.kind == NOTE
    ]
    if len(staves) == 2:
        reading.sort(key=lambda item: item[:2])
    for _, staff_number, piece, stand, staff in reading:
        event, part = piece.event, piece.part
        pitches = events[event].pitches
        for index, pitch in enumerate(events[event].crushed) if part == 0 else ():
            sign = memory.small_sign(staff_number, pitch, stand.octaves)
            if sign != NOTHING:
                found[event, part, CRUSHED + index] = sign
        for index, pitch in enumerate(pitches):
            is_tied = bool(staff.tied) and pitch.midi in staff.tied
            sign = memory.sign(staff_number, pitch, stand.octaves, is_tied)
            if sign != NOTHING:
                found[event, part, index] = sign
        staff.tied = frozenset(pitch.midi for pitch in pitches) if piece.is_tied_on else _UNTIED
    return found


def _layer(out: list[str], staff: WrittenStaff, number: int, written: WrittenBar, score: Score, signs: Signs) -> None:
    pieces, row = written.pieces, staff.stands[number]
    opens: dict[int, list[str]] = {}
    closes: dict[int, list[str]] = {}
    spans: list[tuple[Run, str, str]] = [(run, "<beam>", "</beam>") for run in _beams_in_one_stand(written, row)]
    if staff.is_hidden:
        spans = []
    # Where all short notes are of triplets the first bar tells it; one with a rest in it is told everywhere.
    for run in written.tuplets:
        tuplet = pieces[run.first].tuplet
        normal = 2 if tuplet == 3 else 4
        has_rest = any(piece.kind != NOTE for piece in pieces[run.first : run.last])
        shows = (number == 0 or staff.mixes_tuplets or has_rest) and not staff.is_hidden
        visible = "true" if shows else "false"
        is_beamed = any(beam.first <= run.first and run.last <= beam.last for beam in written.beams)
        bracket = "true" if shows and not is_beamed else "false"
        tag = f'<tuplet num="{tuplet}" numbase="{normal}" num.visible="{visible}" bracket.visible="{bracket}">'
        spans.append((run, tag, "</tuplet>"))
    # The longer span opens first and closes last, so that the tags nest.
    for run, start_tag, end_tag in sorted(spans, key=lambda span: span[0].first - span[0].last):
        opens.setdefault(run.first, []).append(start_tag)
        closes.setdefault(run.last - 1, []).insert(0, end_tag)
    for at, piece in enumerate(pieces):
        if not staff.is_hidden and row[at].clef != staff.clef:
            _change_clef(out, staff, row[at].clef)
        # Small notes stand before a beam that begins here; as its first notes they would lose their stems.
        if not staff.is_hidden and piece.kind == NOTE and piece.part == 0:
            _crushed(out, piece.event, row[at], score, signs)
        out.extend(opens.get(at, ()))
        _piece(out, staff, number, at, piece, row[at], score, signs)
        out.extend(closes.get(at, ()))


def _beams_in_one_stand(written: WrittenBar, row: tuple[Stand, ...]) -> list[Run]:
    parts = []
    for run in written.beams:
        first = run.first
        for at in range(run.first + 1, run.last + 1):
            if at == run.last or row[at] != row[at - 1]:
                if at - first > 1:
                    parts.append(Run(first, at))
                first = at
    return parts


def _piece(
    out: list[str], staff: WrittenStaff, number: int, at: int, piece: Piece, stand: Stand, score: Score,
    signs: Signs,
) -> None:  # fmt: skip
    value = f'dur="{piece.value}" dots="{piece.dots}"' if piece.dots else f'dur="{piece.value}"'
    if staff.is_hidden:
        place = f"{number}.{staff.number}.{at}"
        staff.anchors[piece.start] = f"h{place}"
        out.append(f'<note xml:id="h{place}" {value} {_MIDDLE[staff.clef]}/>')
        return
    if piece.kind != NOTE:
        name = f"r{piece.event if piece.event >= 0 else ''}-{number}.{staff.number}.{at}"
        staff.anchors[piece.start] = name
        out.append(f'<{"rest" if piece.kind == REST else "space"} xml:id="{name}" {value}/>')
        return
    event, part = piece.event, piece.part
    sounding = score.exercise.events[event]
    pitches = sounding.pitches
    tail = f"t{part}" if part else ""
    following = staff.tied_into(number, at, piece)
    before = staff.tied_from(number, at, piece)
    are_tied = bool(following or before)
    is_chord = len(pitches) > 1
    if part == 0 and sounding.sign is not None:
        value += articulation(sounding.sign)
    # Brackets of three signs and more would stand in each other's way and in the bar line's.
    is_crowded = is_chord and sum((event, part, index) in signs for index in range(len(pitches))) > 2
    staff.anchors[piece.start] = f"c{event}{tail}" if is_chord else f"e{event}.0{tail}"
    if is_chord:
        out.append(f'<chord xml:id="c{event}{tail}" {value}>')
        value = ""
    for index, pitch in enumerate(pitches):
        tie = ""
        if are_tied and (pitch.midi in following or pitch.midi in before):
            tie = (
                ' tie="m"'
                if pitch.midi in following and pitch.midi in before
                else (' tie="i"' if pitch.midi in following else ' tie="t"')
            )
        note = (
            f'<note xml:id="e{event}.{index}{tail}" {value} pname="{_LETTERS[pitch.letter]}"'
            f' oct="{pitch.octave - stand.octaves}"{tie}'
        )
        sign = signs.get((event, part, index), NOTHING)
        if sign == NOTHING:
            out.append(f"{note}/>")
        elif sign == COURTESY and not is_crowded:
            out.append(f'{note}><accid accid="{_sign(pitch.alteration)}" func="caution" enclose="paren"/></note>')
        else:
            out.append(f'{note} accid="{_sign(pitch.alteration)}"/>')
    if is_chord:
        out.append("</chord>")


def _crushed(out: list[str], event: int, stand: Stand, score: Score, signs: Signs) -> None:
    """The small notes with a stroke that are struck just before a note, if there are any."""
    crushed = score.exercise.events[event].crushed
    if not crushed:
        return
    out.append("<graceGrp>")
    for index, pitch in enumerate(crushed):
        is_signed = signs.get((event, 0, CRUSHED + index), NOTHING) != NOTHING
        accidental = f' accid="{_sign(pitch.alteration)}"' if is_signed else ""
        out.append(
            f'<note xml:id="g{event}.{index}" dur="8" grace="unacc" stem.mod="1slash"'
            f' pname="{_LETTERS[pitch.letter]}" oct="{pitch.octave - stand.octaves}"{accidental}/>'
        )
    out.append("</graceGrp>")


CRUSHED = 100
"""Where the places of crushed notes begin among those of a note or chord."""

_LETTERS = "cdefgab"


def _sign(alteration: int) -> str:
    if alteration not in _SIGNS:
        raise ValueError(f"a note altered by {alteration} semitones has no sign; respell it")
    return _SIGNS[alteration]


def _loudness_and_rolls(out: list[str], number: int, score: Score, staves: list[WrittenStaff]) -> None:
    """What else hangs on the moments of a bar."""
    exercise, clock = score.exercise, score.clock
    start, end = score.starts[number], score.starts[number] + score.lengths[number]
    if Blank.NOTES in exercise.blank and any(staff.is_hidden for staff in staves):
        return
    for dynamic in exercise.dynamics:
        moment = clock.ticks(dynamic.onset)
        if start <= moment < end:
            where = _where(moment, start, staves, exercise, clock.whole)
            place = loudness_place(tuple(score.bars))
            out.append(f'<dynam staff="1" {where} place="{place}">{escape(dynamic.mark, quote=False)}</dynam>')
    for staff in staves:
        if staff.is_hidden:
            continue
        for piece in staff.bars[number].pieces:
            event = exercise.events[piece.event] if piece.kind == NOTE else None
            if event is not None and event.roll is not Roll.NONE and piece.part == 0 and len(event.pitches) > 1:
                down = ' order="down" arrow="true"' if event.roll is Roll.DOWN else ""
                out.append(f'<arpeg staff="{staff.number + 1}" startid="#c{piece.event}"{down}/>')


def _where(moment: int, start: int, staves: list[WrittenStaff], exercise: Exercise, whole: int) -> str:
    for staff in staves:
        if moment in staff.anchors:
            return f'startid="#{staff.anchors[moment]}"'
    unit = exercise.meter.unit if exercise.meter is not None else 4
    return f'tstamp="{1 + (moment - start) * unit / whole:g}"'
