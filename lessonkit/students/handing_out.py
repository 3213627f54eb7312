"""The whole handout of a student: the day's plan in front, the adapted lesson, a review of what is due, the strip.

All of it is made of ordinary blocks, so that the teacher can change every word before it is printed.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from lessonkit.drills.family import DrillFamily, family_if_known
from lessonkit.drills.key_deck import Order
from lessonkit.drills.params import Choice
from lessonkit.drills.reach_marks import reach_marks
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.lesson.aids.header_strip import HeaderStrip
from lessonkit.lesson.edits import insert_blocks, replace_block
from lessonkit.lesson.lesson import Aid, Block, Drill, Heading, Lesson, Note, PageBreak
from lessonkit.students.adapt import adapt
from lessonkit.students.adapted import Adapted
from lessonkit.students.adapting import within
from lessonkit.students.item import Item
from lessonkit.students.items_played import given_blocks
from lessonkit.students.marks import Cause
from lessonkit.students.session import BREAK_MINUTES, DueItem, Role, Session, Slot, due_on, session_on
from lessonkit.students.student import GivenBlock, Handout, Student
from lessonkit.students.weakness import Chart, Row, Step
from lessonkit.theory.quality import Quality
from lessonkit.values import dataclass

MOST_REVIEWED = 4
"""As many due items are written out on the review page; the others are named."""

FOR_WHOM = "for-whom"
"""The header strip that says for whom a handout is."""

_ROLES = {
    Role.OPENER: "To begin with",
    Role.REVIEW: "Review",
    Role.FROM_MEMORY: "Without the page, from chord names",
    Role.NEW: "New",
    Role.USE: "Use it",
}


@dataclass(frozen=True, slots=True)
class Around:
    """What stands around a student's lesson: for whom it is, the plan in front, the review and the strip behind."""

    has_name: bool = True
    has_plan: bool = True
    has_review: bool = True
    has_strip: bool = True


WHOLE = Around()
"""All of it."""


def around(is_wanted: bool, has_name: bool) -> Around:
    """Plan, review and strip all together or none of them; and whether it says for whom it is."""
    return Around(has_name, is_wanted, is_wanted, is_wanted)


@dataclass(frozen=True, slots=True)
class HandedOut:
    """What a student is given: the lesson as it is printed, how it was adapted, and what to keep of it."""

    lesson: Lesson
    adapted: Adapted
    handout: Handout


def handed_out(lesson: Lesson, student: Student, day: date, around: Around = WHOLE) -> HandedOut:
    """The handout of a lesson for a student on a day."""
    return from_adapted(adapt(lesson, student, day), student, day, around)


def from_adapted(adapted: Adapted, student: Student, day: date, around: Around = WHOLE) -> HandedOut:
    """The handout of a lesson that was adapted before, and perhaps changed by hand since."""
    made = adapted.lesson
    given = given_blocks(made)
    due = due_on(student, day)
    new = [item for block in given for item in block.items]
    if around.has_review and due:
        made = insert_blocks(made, len(made.blocks), review_blocks(due, made, day))
    if around.has_plan:
        made = insert_blocks(made, 0, plan_blocks(session_on(student, day, new)))
    given = given_blocks(made)
    if around.has_strip and given:
        made = insert_blocks(made, len(made.blocks), strip_blocks(given))
    if around.has_name:
        made = named_for(made, student.code, day)
    title = lesson_title(adapted.original)
    return HandedOut(made, adapted, Handout(_id(student, title, day), day, title, given))


def lesson_title(lesson: Lesson) -> str:
    """The title under which a handout is kept."""
    return lesson.title or "Lesson"


def named_for(lesson: Lesson, code: str, day: date) -> Lesson:
    """The lesson with for whom it is in its header strips; one is put at its head where it has none."""
    strips = [block for block in lesson.blocks if isinstance(block, Aid) and isinstance(block.shows, HeaderStrip)]
    for block in strips:
        assert isinstance(block.shows, HeaderStrip)
        if not block.shows.student:
            lesson = replace_block(lesson, Aid(replace(block.shows, student=code), block.id))
    if strips:
        return lesson
    strip = HeaderStrip(student=code, date=f"{day.day} {day:%B} {day.year}", shows_level=False, numbers_page=False)
    return insert_blocks(lesson, 0, (Aid(strip, FOR_WHOM),))


def plan_blocks(session: Session) -> tuple[Block, ...]:
    """A session as the front of a handout."""
    lines = []
    for number, slot in enumerate(session.slots, start=1):
        lines.append(f"{number}. {slot_words(slot)}")
        if number == session.break_after:
            lines.append(f"\nThen leave the piano for {BREAK_MINUTES} minutes.\n")
    if not lines:
        return ()
    text = "\n".join(lines) + f"\n\n{session.rounds}"
    if session.said:
        text += "\n\n" + " ".join(session.said)
    return Heading(f"Plan for {session.day:%d} {session.day:%B}", 1, "plan-head"), Note(text, "plan")


def slot_words(slot: Slot) -> str:
    """One slot for the student: ``**Review:** Broken chords, major seventh, in E♭ major, right hand``."""
    if slot.role is Role.USE:
        return f"**Use it:** music of your own, with the material of {slot.item.words[:1].lower()}{slot.item.words[1:]}"
    return f"**{_ROLES[slot.role]}:** {slot.item.words}"


def review_blocks(due: Sequence[DueItem], lesson: Lesson, day: date) -> tuple[Block, ...]:
    """What is due: the first few written out as drills within this hand's reach, the others named."""
    blocks: list[Block] = [PageBreak("review-page"), Heading("Review", 1, "review-head")]
    named: list[str] = []
    written = 0
    for one in due:
        drill = drill_of(one.item, lesson.setting) if written < MOST_REVIEWED else None
        if drill is None:
            named.append(f"- {one.item.words}")
            continue
        written += 1
        days = (day - one.standing.last).days
        words = f"Last tried {days} {'day' if days == 1 else 'days'} ago."
        blocks += [Note(words, f"review-note-{written}"), Drill(drill, f"review-{written}")]
    if named:
        blocks.append(Note("Due as well:\n\n" + "\n".join(named), "review-more"))
    return tuple(blocks)


def drill_of(item: Item, setting: Setting) -> DrillFamily | None:
    """The drill that plays an item in its key, within reach of the hand; None where it cannot be written out."""
    known = family_if_known(item.skill)
    if known is None:
        return None
    declared = known.declared()
    settings: dict[str, object] = {"key": item.key}
    if "count" in declared:
        settings |= {"count": 1, "order": Order.FIFTHS} if isinstance(declared.get("order"), Choice) else {"count": 1}
    if "hands" in declared:
        settings["hands"] = item.hands
    if item.quality and "quality" in declared:
        settings["quality"] = Quality.named(item.quality)
    drill: DrillFamily = known()
    for name, value in settings.items():
        try:
            drill = drill.with_value(name, value)
        except ValueError:
            # The family has no such choice; the drill as it is still plays the item.
            continue
    try:
        realise(drill, setting)
        return within(drill, setting)[0] if reach_marks(drill, setting) else drill
    except ValueError:
        return None


def strip_blocks(given: Sequence[GivenBlock]) -> tuple[Block, ...]:
    """The strip that is ringed at the door: the blocks in the order in which they are typed."""
    causes = ", ".join(f"{cause.value} {cause.words}" for cause in Cause)
    rings = f"0 · 1 · 2 · 3 — {' · '.join(cause.value for cause in Cause)}"
    lines = [f"{number}. {rings} — {block.title}" for number, block in enumerate(given, 1)]
    text = f"Ring how the first try went, and why if it was less than 3 ({causes}).\n\n" + "\n".join(lines)
    return Heading("First tries", 2, "strip-head"), Note(text, "strip")


def chart_blocks(chart: Chart, day: date) -> tuple[Block, ...]:
    """A chart for the teacher, in words: what is weak first, each with what it rests on."""
    blocks: list[Block] = [Heading(f"Weak and strong on {day:%d} {day:%B}", 1, "chart-head")]
    for title, rows in (("Keys", chart.keys), ("Chord qualities", chart.qualities), ("Shapes", chart.shapes)):
        text = "\n".join(_steps(rows)) or "No marks yet."
        blocks.append(Note(f"**{title}**\n\n{text}", f"chart-{title.split()[0].lower()}"))
    return tuple(blocks)


def due_blocks(due: Sequence[DueItem], day: date) -> tuple[Block, ...]:
    """What is due for the teacher's eyes, each with its reason."""
    lines = [f"- **{one.item.words}:** {one.why(day)}" for one in due]
    return Heading(f"Due on {day:%d} {day:%B}", 1, "due-head"), Note("\n".join(lines) or "Nothing is due.", "due")


def _steps(rows: Sequence[Row]) -> list[str]:
    found = []
    for step in reversed(Step):
        own = [row for row in rows if row.step is step]
        if own:
            found.append(f"- *{step.value}:* " + "; ".join(f"{row.label} ({row.rests_on})" for row in own))
    return found


def _id(student: Student, title: str, day: date) -> str:
    """The same handout of the same day has the same id; one more of it that day gets another."""
    taken = {handout.id for handout in student.handouts}
    for number in range(len(taken) + 1):
        said = f"{student.code}\n{title}\n{day}\n{number}"
        found = hashlib.sha256(said.encode()).hexdigest()[:8]
        if found not in taken:
            return found
    raise AssertionError("one of so many names is free")


def without_plan(lesson: Lesson) -> Lesson:
    """The lesson without what ``handed_out`` put around it."""
    around = (FOR_WHOM, "plan", "plan-head", "strip", "strip-head")
    blocks = tuple(block for block in lesson.blocks if block.id not in around and not block.id.startswith("review-"))
    return replace(lesson, blocks=blocks)
