"""The steps by which a lesson is made a student's, in order. Each looks at the lesson and proposes changes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from lessonkit.drills.choices import ShownAs
from lessonkit.drills.easier_drills import easier_drills
from lessonkit.drills.exercise import Exercise, FingersShown, Hand
from lessonkit.drills.family import DrillFamily, Hands
from lessonkit.drills.in_letters import in_letters
from lessonkit.drills.params import METRONOME_MARKS
from lessonkit.drills.reach_marks import ReachMark, reach_marks
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.strain import Strain, strains
from lessonkit.drills.tempo_ladder import is_dotted, nearest_mark
from lessonkit.drills.within_reach import ReachWay, ways_within_reach
from lessonkit.drills.worksheet import Worksheet
from lessonkit.lesson import edits
from lessonkit.lesson.lesson import Block, Drill, Lesson, Note, Paper
from lessonkit.students.adapted import Edit, Kind, Proposal, Step
from lessonkit.students.dealing import dealt, in_keys, keys_of_drill
from lessonkit.students.items_played import items_of
from lessonkit.students.marks import RATINGS, Cause, Mark
from lessonkit.students.student import ReadingLevel, Student
from lessonkit.students.vocabulary import in_simpler_chords, unknown_qualities, unknown_words
from lessonkit.students.weakness import plain_key

MOST_WAYS = 3
"""As many changes are joined to bring one drill within reach, before its chords are rolled."""

LADDER_STEPS = 5
CARE_ID = "care"

NO_OCTAVE_SPAN = 184.0
"""A hand of this span holds no octave, which needs 185 mm; children are spared octaves whatever their hands."""


def hands_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """The player's hands; who is growing or was injured is spared stretches besides."""
    spared = student.is_growing or student.was_injured
    hands = replace(student.hands, avoid_stretches=student.hands.avoid_stretches or spared)
    if student.age.is_child:
        hands = replace(
            hands,
            right_span=min(hands.right_span, NO_OCTAVE_SPAN),
            left_span=min(hands.left_span, NO_OCTAVE_SPAN),
        )
    if hands == lesson.house.hands:
        return
    spans = f"{hands.right_span:.0f} mm right, {hands.left_span:.0f} mm left"
    what = f"fingers, reach and difficulty for a hand of {spans}" + (", stretches avoided" if spared else "")
    why = "the student's hands as measured"
    if student.age.is_child and NO_OCTAVE_SPAN in (hands.right_span, hands.left_span):
        why += "; under twelve, no octaves are held"
    why += ", still growing" if student.is_growing else ", once injured" if student.was_injured else ""
    yield Proposal(Kind.HANDS, "", what, why, lambda now: edits.set_hands(now, hands))


def names_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """The faces of chord names that the student reads."""
    # A lesson keeps its own names of notes, whoever reads it.
    style = replace(student.label_style, notes=lesson.house.label_style.notes)
    if style != lesson.house.label_style:
        faces = (style.major_seventh, style.minor, style.half_diminished, style.diminished, style.numerals)
        what = f"chord names written {', '.join(faces)}"
        yield Proposal(
            Kind.NAMES, "", what, "the chord names that this student reads",
            lambda now: edits.set_house(now, replace(now.house, label_style=style)),
        )  # fmt: skip


def paper_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """The paper that the student has at home."""
    if lesson.paper not in (student.paper, Paper.BOTH):
        size = student.paper.value
        name = size.upper() if len(size) == 2 else size.capitalize()
        yield Proposal(
            Kind.PAPER, "", f"printed on {name}", "the student's paper",
            lambda now: edits.set_paper(now, student.paper),
        )  # fmt: skip


def staff_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """No staff smaller than this student is given."""
    tenths = student.staff_tenths
    if lesson.house.staff_tenths < tenths:
        yield Proposal(
            Kind.STAFF, "", f"a staff of {tenths / 10:g} mm rather than {lesson.house.staff_tenths / 10:g}",
            "the smallest staff that this student is given",
            lambda now: edits.set_house(now, replace(now.house, staff_tenths=tenths)),
        )  # fmt: skip


def pain_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """After a tick for pain, what stretches or needs force rests until the teacher clears it."""
    since = student.pain_since(day)
    if since is None:
        return
    for drill in _drills(lesson):
        asked = strains(drill.family, lesson.setting) & {Strain.STRETCH, Strain.FORCE, Strain.REPETITION}
        if asked:
            words = " and ".join(sorted(strain.value for strain in asked))
            text = (
                f"**{drill.family.title}** rests until your teacher says so. Say its chords aloud and listen to them "
                f"in your head instead."
            )
            yield Proposal(
                Kind.PAIN, drill.id, f"{drill.family.title} rests", f"pain ticked on {since}; the drill has {words}",
                _replacing(Note(text, drill.id)),
            )  # fmt: skip


def keys_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """Drills through several keys are dealt towards the weak ones, a strong one first."""
    rows = student.key_rows(day)
    for drill in _drills(lesson):
        exercise = _realised(drill.family, lesson.setting)
        if exercise is None or exercise.seed is not None:
            # What is dealt by chance is not dealt again by us.
            continue
        keys = keys_of_drill(drill.family, lesson.setting)
        new = dealt(keys, rows, student.weak_share, lesson.house.prefers_flats_at_six)
        changed = in_keys(drill.family, new) if new != keys else None
        if changed is None or _realised(changed, lesson.setting) is None:
            continue
        weak = [key for key in dict.fromkeys(new[1:]) if (row := rows.get(plain_key(key))) and row.step.dots > 2]
        named = ", ".join(f"{key} ({rows[plain_key(key)].rests_on})" for key in weak)
        yield Proposal(
            Kind.KEYS, drill.id,
            f"{drill.family.title} through {', '.join(str(key.tonic) for key in new)}",
            f"{new[0]} is strong and comes first; weak: {named}; {student.weak_share} in a hundred are to be weak",
            _replacing(Drill(changed, drill.id)),
        )  # fmt: skip


def chords_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """Chords that were not met yet are asked about where simpler ones are known."""
    for drill in _drills(lesson):
        unknown = unknown_qualities(drill.family, lesson.setting, student.vocabulary)
        if unknown:
            simpler = in_simpler_chords(drill.family, lesson.setting, student.vocabulary)
            if simpler is not None:
                yield Proposal(
                    Kind.CHORDS, drill.id, f"{drill.family.title} with simpler chords that are known",
                    f"not met yet: {unknown_words(unknown)}; shall they be replaced?",
                    _replacing(Drill(simpler, drill.id)), is_question=True,
                )  # fmt: skip


def reach_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """What this hand cannot reach is voiced otherwise, rolled or shared; what nothing helps is told in letters."""
    for drill in _drills(lesson):
        marks = _reach(drill.family, lesson.setting)
        if not marks:
            continue
        why = marks[0].sentence
        family, done = within(drill.family, lesson.setting)
        block: Block = Drill(family, drill.id)
        if _reach(family, lesson.setting):
            exercise = realise(drill.family, lesson.setting)
            done = "told in letters, to be played one after another"
            letters = in_letters(exercise, exercise.hands, lesson.house.label_style)
            block = Note(f"**{drill.family.title}**, one note after another:\n\n{letters}", drill.id)
        yield Proposal(Kind.REACH, drill.id, f"{drill.family.title}: {done}", why, _replacing(block))


def tempo_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """The tempo ladder begins where the last mark says."""
    for drill in _drills(lesson):
        family = drill.family
        if "ladder_steps" not in family.declared() or is_dotted(family) or _realised(family, lesson.setting) is None:
            continue
        last = _last_mark(family, lesson.setting, student, day)
        if last is None or (not family.ladder_steps and last.rating == len(RATINGS) - 1):
            continue
        start = _start_from(last, lesson.tempo)
        if start is None:
            continue
        goal = family.ladder_goal or nearest_mark(lesson.tempo)
        goal = max(goal, start)
        changed: DrillFamily = replace(
            family, ladder_steps=family.ladder_steps or LADDER_STEPS, ladder_start=start, ladder_goal=goal
        )
        if changed != family:
            said = f"{RATINGS[last.rating]} on {last.day}" + (f" at {last.tempo}" if last.tempo else "")
            yield Proposal(
                Kind.TEMPO, drill.id, f"{family.title}: tempo ladder from {start} to {goal}", said,
                _replacing(Drill(changed, drill.id)),
            )  # fmt: skip


def causes_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """Where the hand or the ear was the trouble, the teacher is asked whether something easier is wanted."""
    for drill in _drills(lesson):
        last = _last_mark(drill.family, lesson.setting, student, day)
        if last is None or last.cause not in (Cause.HAND, Cause.EAR):
            continue
        said = f"{last.cause.words} was the trouble on {last.day}; shall it be changed?"
        if last.cause is Cause.EAR and not drill.family.shows_degrees and "shows_degrees" in drill.family.declared():
            changed: DrillFamily = replace(drill.family, shows_degrees=True)
            what = f"{drill.family.title} with its degrees"
        else:
            ways = easier_drills(drill.family, lesson.setting) if last.cause is Cause.HAND else ()
            way = next((one for one in ways if not _reach(one.drill, lesson.setting)), None)
            if way is None:
                continue
            changed, what = way.drill, f"{drill.family.title}: {way.what}"
        yield Proposal(Kind.EASIER, drill.id, what, said, _replacing(Drill(changed, drill.id)), is_question=True)


def new_chords_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """Chords that are new to the student are told below the drill in which they come."""
    for drill in _drills(lesson):
        unknown = unknown_qualities(drill.family, lesson.setting, student.vocabulary)
        new_id = f"new-{drill.id}"[:40]
        if not unknown or _has(lesson, new_id):
            continue
        told = ", ".join(
            f"{chord.quality.words} {{chord {chord.ascii}}} ({{notes {chord.ascii}}})" for chord in unknown.values()
        )
        note = Note(f"*New here:* {told}.", new_id)
        yield Proposal(
            Kind.CHORDS, drill.id, f"{drill.family.title}: a line says which chords are new",
            f"not met yet: {unknown_words(unknown)}", _below(drill.id, note),
        )  # fmt: skip


def reading_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """Each drill as the student reads; worksheets stay, since letters would give their answers away."""
    for drill in _drills(lesson):
        exercise = _realised(drill.family, lesson.setting)
        if exercise is None or exercise.has_answers:
            continue
        level, why = student.reading, f"the student reads {student.reading.value}"
        last = _last_mark(drill.family, lesson.setting, student, day)
        if last is not None and last.cause is Cause.READING and level is not ReadingLevel.KEYBOARD:
            level = _below_level(level)
            why += f"; reading was the trouble on {last.day}"
        found = _as_read(drill, exercise, level, lesson)
        if found is not None:
            what, apply = found
            yield Proposal(Kind.READING, drill.id, f"{drill.family.title}: {what}", why, apply)


def care_step(lesson: Lesson, student: Student, day: date) -> Iterator[Proposal]:
    """Lines of care for hands that ask for it, at the head of the handout."""
    lines = []
    if student.is_growing or student.was_injured:
        lines.append(
            "Never push for a note that you cannot reach without strain: roll the chord, break it or leave a note out."
        )
    if student.was_injured:
        lines.append("After a rest begin with half your usual time and add a little each day.")
    if student.pain_since(day) is not None:
        lines.append("Stop if anything hurts, tingles or goes numb, and tell your teacher.")
    if not lines or _has(lesson, CARE_ID) or not any(isinstance(block, Drill) for block in lesson.blocks):
        return
    about = "pain was ticked" if student.pain_since(day) else "growing hands" if student.is_growing else "once injured"
    note = Note("**Your hands.** " + " ".join(lines), CARE_ID)
    yield Proposal(Kind.CARE, "", "lines of care at the head", about, lambda now: edits.insert_block(now, 0, note))


STEPS: tuple[Step, ...] = (
    hands_step, names_step, paper_step, staff_step, pain_step, keys_step, chords_step, reach_step, causes_step,
    tempo_step, new_chords_step, pain_step, reading_step, care_step,
)  # fmt: skip
"""In order: what changes notes comes before what is judged by them. Pain is asked twice: what rests anyhow is not dealt
anew, and a drill may come to strain by the keys or the tempo that it is given.
"""


def within(drill: DrillFamily, setting: Setting) -> tuple[DrillFamily, str]:
    """The drill brought within reach and what was done; the least change that is enough, rolling after all others."""
    done: list[str] = []
    for _ in range(MOST_WAYS):
        best = _best(ways_within_reach(drill, setting))
        if best is None:
            break
        done.append(best.what)
        drill = best.drill
        if not best.left:
            break
    return drill, ", ".join(done)


def _best(ways: Iterator[ReachWay | None]) -> ReachWay | None:
    """The first way that is enough, rolling being the last to be tried; else the one that leaves least."""
    best: ReachWay | None = None
    for way in ways:
        if way is not None and not way.left:
            return way
        if way is not None and (best is None or way.left < best.left):
            best = way
    return best


def _as_read(drill: Drill, exercise: Exercise, level: ReadingLevel, lesson: Lesson) -> tuple[str, Edit] | None:
    family = drill.family
    shown = _SHOWN_AS.get(level)
    if shown is ShownAs.LEFT_IN_LETTERS and (family.hands is not Hands.BOTH or Hand.LEFT not in exercise.hands):
        shown = None
    if shown is not None:
        # What the teacher has chosen for the drill itself stays.
        return _as_shown(drill, shown) if family.shown_as is ShownAs.STAVES else None
    is_chords = len(exercise.chords) > 1 and not family.has_passing_notes
    if not is_chords:
        return None
    if level in (ReadingLevel.SYMBOLS, ReadingLevel.DEGREES) and Worksheet.NOTES in family.blanks:
        by_degree = level is ReadingLevel.DEGREES
        changed: DrillFamily = replace(
            family, worksheet=Worksheet.NOTES, shows_chord_names=not by_degree, shows_degrees=by_degree,
            fingers_shown=FingersShown.NONE,
        )  # fmt: skip
        if _realised(changed, lesson.setting) is None:
            return None
        names = "degrees" if by_degree else "chord symbols"
        return f"{names} only, the staves left empty", _replacing(Drill(changed, drill.id))
    if level is ReadingLevel.EAR and family.shown_as is ShownAs.STAVES:
        return _as_shown(drill, ShownAs.EAR)
    return None


_SHOWN_AS = {
    ReadingLevel.KEYBOARD: ShownAs.PICTURES, ReadingLevel.LETTERS: ShownAs.LETTERS,
    ReadingLevel.ONE_STAFF: ShownAs.LEFT_IN_LETTERS,
}  # fmt: skip
"""What is read in the place of staves, whatever the drill plays."""

_SHOWN_WORDS = {
    ShownAs.PICTURES: "keyboard pictures and letters in place of staves",
    ShownAs.LETTERS: "in letters in place of staves",
    ShownAs.LEFT_IN_LETTERS: "the lower staff in letters besides", ShownAs.EAR: "by ear",
}  # fmt: skip


def _as_shown(drill: Drill, shown: ShownAs) -> tuple[str, Edit]:
    """The same drill, read from something else; it follows every change of key as any drill does."""
    return _SHOWN_WORDS[shown], _replacing(Drill(replace(drill.family, shown_as=shown), drill.id))


def _below_level(level: ReadingLevel) -> ReadingLevel:
    """The level before; from chord symbols, degrees and the ear back to the staves."""
    levels = list(ReadingLevel)
    return levels[min(levels.index(level) - 1, levels.index(ReadingLevel.GRAND_STAFF))]


def _last_mark(family: DrillFamily, setting: Setting, student: Student, day: date) -> Mark | None:
    """The newest mark of anything that the drill plays."""
    played = {(item.skill, plain_key(item.key)) for item in items_of(family, setting)}
    own = [
        mark
        for mark in student.marks
        if mark.day <= day and any((item.skill, plain_key(item.key)) in played for item in mark.items)
    ]
    return max(enumerate(own), key=lambda one: (one[1].day, one[0]))[1] if own else None


def _start_from(last: Mark, tempo: int) -> int | None:
    """Where a ladder begins: at the tempo that was reached, one mark lower for each step of rating below 2."""
    if last.tempo is not None:
        place = METRONOME_MARKS.index(last.tempo) - max(0, 2 - last.rating)
        start: int = METRONOME_MARKS[max(0, place)]
        return start
    if last.cause is Cause.TIME:
        return nearest_mark(tempo * 2 / 3)
    return None


def _reach(family: DrillFamily, setting: Setting) -> tuple[ReachMark, ...]:
    try:
        return reach_marks(family, setting)
    except ValueError:
        return ()


def _realised(family: DrillFamily, setting: Setting) -> Exercise | None:
    try:
        return realise(family, setting)
    except ValueError:
        return None


def _drills(lesson: Lesson) -> Iterator[Drill]:
    return (block for block in lesson.blocks if isinstance(block, Drill))


def _has(lesson: Lesson, block_id: str) -> bool:
    return any(block.id == block_id for block in lesson.blocks)


def _replacing(block: Block) -> Edit:
    return lambda now: edits.replace_block(now, block)


def _below(block_id: str, block: Block) -> Edit:
    return lambda now: edits.insert_block(now, now.place_of(block_id) + 1, block)
