"""Every number that is shown, worked out once more from the student's file by nothing but the rules that are printed.

The arithmetic here is written anew from the sentences of ``explained.RULES`` and takes its numbers out of them, as a
teacher with a pencil would; it uses nothing of the program but how hard a chord is for a hand, which is shown as such.
"""

from __future__ import annotations

import json
import random
import re
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

import pytest

from lessonkit.drills.families.broken_chords import BrokenChords
from lessonkit.drills.families.progression_through_keys import ProgressionThroughKeys
from lessonkit.drills.realise import realise
from lessonkit.hands.easier import As, rate_chord
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.lesson.lesson import Drill
from lessonkit.storage.student_file import student_from_bytes, student_to_bytes
from lessonkit.students.adapt import adapt
from lessonkit.students.dealing import keys_of_drill
from lessonkit.students.explained import RULES
from lessonkit.students.item import Item
from lessonkit.students.make_up import minutes_of
from lessonkit.students.marks import Mark, Source
from lessonkit.students.schedule import Rhythm, capacity, load, too_much
from lessonkit.students.session import due_on, session_on
from lessonkit.students.student import AgeBand, Student
from lessonkit.students.weakness import Row
from tests.lessonkit.students.test_adapt import lesson

TODAY = date(2026, 6, 1)
ITEMS = [
    Item.parse(f"{skill}/{key}/{hand}/{quality}")
    for skill in ("broken-chords", "chord-jumps")
    for key in ("C", "F", "Bb", "Eb", "Ab", "Db", "G", "D", "A", "E", "B", "Gb")
    for hand in ("right", "left")
    for quality in ("maj7", "7")
]


def a_student(seed: int) -> Student:
    """A student with some weeks of marks, practice days and perhaps a goal."""
    chance = random.Random(seed)
    chosen = chance.sample(ITEMS, 8)
    marks = []
    for _ in range(chance.randint(1, 60)):
        items = tuple(dict.fromkeys(chance.choices(chosen, k=chance.randint(1, 3))))
        day = TODAY - timedelta(chance.randint(0, 90))
        marks.append(Mark(day, items, chance.randint(0, 3), chance.choice(list(Source))))
    days = frozenset(chance.sample(range(7), chance.randint(1, 7)))
    goal = None if chance.random() < 0.5 else TODAY + timedelta(chance.randint(-20, 120))
    span = chance.randint(160, 240)
    return Student(
        "R. S.", hands=HandProfile().with_span(span), minutes=chance.randint(5, 60), marks=tuple(marks),
        rhythm=Rhythm(days, goal),
    )  # fmt: skip


def file_of(student: Student) -> dict[str, Any]:
    """The file as anybody reads it."""
    tree = json.loads(student_to_bytes(student))
    assert isinstance(tree, dict)
    return tree


def number(rule: str, pattern: str) -> Fraction:
    """A number out of a rule's sentence."""
    found = re.search(pattern, RULES[rule])
    assert found is not None, (rule, pattern)
    return Fraction(found[1])


def boxes() -> dict[int, int]:
    """The days of the boxes as the rule lists them."""
    return {int(box): int(days) for box, days in re.findall(r"box (\d): (\d+)", RULES["box"])}


def tries(tree: dict[str, Any]) -> list[tuple[date, str, int, str]]:
    """Every first try of the file by its day: day, item, mark, who marked; those of one day as they stand."""
    found = [
        (date.fromisoformat(mark["day"]), item, mark["rating"], mark.get("by", "teacher"))
        for mark in tree["marks"]
        for item in mark["items"]
    ]
    return sorted(found, key=lambda one: one[0])


def start_of(item: str, student: Student) -> float:
    """What is taken before anything is heard: the number that the rule gives for the band of the chord."""
    listed = re.findall(r"(easy|moderate|very hard|hard) ([\d.]+)", RULES["weakness"])
    starts = {name: float(value) for name, value in listed}
    parsed = Item.parse(item)
    hand = Hand.LEFT if "/left" in item else Hand.RIGHT
    return starts[rate_chord(parsed.chord, 0, As.RUN, hand, student.hands).band.value]


def weakness_by_hand(own: list[tuple[date, str, int, str]], student: Student) -> float:
    """The rule of weakness on some tries."""
    half_life = float(number("weakness", r"days ÷ (\d+)"))
    weight = float(number("weakness", r"(\d+) × start"))
    counts = [
        (1.0 if by == "teacher" else 0.5) * 0.5 ** ((TODAY - day).days / half_life) for day, _, _, by in own
    ]  # fmt: skip
    missed = [(3 - mark) / 3 for _, _, mark, _ in own]
    items = list(dict.fromkeys(item for _, item, _, _ in own))
    start = sum(start_of(item, student) for item in items) / len(items)
    return (sum(c * m for c, m in zip(counts, missed, strict=True)) + weight * start) / (sum(counts) + weight)


def key_in(item: str) -> str:
    return item.split("/")[1]


def step_by_hand(weakness: float) -> str:
    """The step as the rule lists them."""
    limits = re.findall(r"(secure|coming|shaky) below ([\d.]+)", RULES["weakness"])
    return next((name for name, limit in limits if weakness < float(limit)), "weak")


def wait_by_hand(box: int, day: date, tree: dict[str, Any]) -> int:
    """The days of a box, held back by a goal that lies ahead."""
    days = boxes()[box]
    if tree["goal"] is None:
        return days
    ahead = (date.fromisoformat(tree["goal"]) - day).days
    if ahead <= 0:
        return days
    far = int(number("due", r"more than (\d+)"))
    return min(days, max(1, ahead // (10 if ahead > far else 5)))


def due_by_hand(box: int, day: date, tree: dict[str, Any]) -> date:
    """The day of the last try and the wait, brought to a day of practice."""
    end = day + timedelta(wait_by_hand(box, day, tree))
    found = end
    while found > day and found.weekday() not in tree["practice_days"]:
        found -= timedelta(1)
    if found > day:
        return found
    while end.weekday() not in tree["practice_days"]:
        end += timedelta(1)
    return end


def boxes_by_hand(tree: dict[str, Any]) -> dict[str, tuple[int, date, date]]:
    """The box, the last try and the due day of every item, mark after mark."""
    highest_at_home = int(number("box", r"stands in box (\d) or higher"))
    found: dict[str, tuple[int, date, date]] = {}
    for day, item, mark, by in tries(tree):
        if item not in found:
            box = 2 if mark == 3 else 1
        else:
            box, last, _ = found[item]
            half_is_over = (day - last).days >= wait_by_hand(box, last, tree) / 2
            if mark == 0:
                box = 1
            elif mark == 1:
                box = max(1, box - 1)
            elif mark == 3 and half_is_over and not (by == "student" and box >= highest_at_home):
                box = min(max(boxes()), box + 1)
        found[item] = (box, day, due_by_hand(box, day, tree))
    return found


@pytest.mark.parametrize("seed", range(40))
def test_weakness_and_its_step(seed: int) -> None:
    """The chart of keys, number and dots."""
    student = student_from_bytes(student_to_bytes(a_student(seed)), "r_s.student")
    own = tries(file_of(student))
    rows: dict[str, Row] = {row.label: row for row in student.chart(TODAY).keys}
    assert len(rows) == len({key_in(item) for _, item, _, _ in own})
    for key in {key_in(item) for _, item, _, _ in own}:
        of_key = [one for one in own if key_in(one[1]) == key]
        row = rows[str(Item.parse(of_key[0][1]).key)]
        by_hand = weakness_by_hand(of_key, student)
        assert row.weakness == pytest.approx(by_hand, abs=1e-9)
        assert row.step.value == step_by_hand(by_hand)
        assert row.marks == len(of_key)
        assert row.newest == (TODAY - max(one[0] for one in of_key)).days


@pytest.mark.parametrize("seed", range(40))
def test_boxes_and_due_days(seed: int) -> None:
    """Every item, mark after mark."""
    student = a_student(seed)
    by_hand = boxes_by_hand(file_of(student))
    shown = {item.ascii: (one.box, one.last, one.due) for item, one in student.standings.items()}
    assert shown == by_hand


@pytest.mark.parametrize("seed", range(40))
def test_what_comes_first_and_the_sentence_that_says_why(seed: int) -> None:
    """The numbers of the sentence, too, are those of the file."""
    student = a_student(seed)
    tree = file_of(student)
    own, places = tries(tree), boxes_by_hand(tree)
    longest = int(number("priority", r"more than (\d+) days"))
    shown = due_on(student, TODAY)
    wanted = {}
    for item, (box, last, due) in places.items():
        days, wait = (TODAY - last).days, max(1, (due - last).days)
        weak = weakness_by_hand([one for one in own if key_in(one[1]) == key_in(item)], student)
        if days >= wait or days > longest:
            wanted[item] = (days > longest, days, wait, weak, days / wait * (0.5 + weak), box)
    assert {one.item.ascii for one in shown} == set(wanted)
    for one in shown:
        is_long, days, wait, weak, first, box = wanted[one.item.ascii]
        assert one.priority == pytest.approx(first)
        if is_long:
            assert f"not touched for {days} days" in one.why(TODAY)
        else:
            assert f"box {box} waits" in one.why(TODAY)
            assert one.why(TODAY).endswith(f": {days} ÷ {wait} × (0.5 + {weak:.2f}) = {first:.2f}")
    ranks = [(not wanted[one.item.ascii][0], -wanted[one.item.ascii][4]) for one in shown]
    assert [rank[0] for rank in ranks] == sorted(rank[0] for rank in ranks)
    assert [rank for rank in ranks if rank[0]] == sorted(rank for rank in ranks if rank[0])


@pytest.mark.parametrize("seed", range(40))
def test_what_a_day_holds(seed: int) -> None:
    """The load, the room, and whether anything new is begun."""
    student = a_student(seed)
    tree = file_of(student)
    by_hand = sum(Fraction(1, boxes()[box]) for box, _, _ in boxes_by_hand(tree).values())
    room = tree["minutes"] // int(number("load", r"minutes ÷ (\d+)"))
    one_more = Fraction(1, int(number("load", r"adds 1 ÷ (\d+)")))
    assert load(student.standings.values()) == pytest.approx(float(by_hand))
    assert capacity(student.minutes) == room
    assert bool(too_much(student.standings, student.minutes)) == (by_hand + one_more > room)


@pytest.mark.parametrize("seed", range(40))
def test_how_a_plan_is_played(seed: int) -> None:
    """Twice round for who is young or has it hard just now."""
    student = replace(a_student(seed), age=random.Random(seed).choice(list(AgeBand)))
    tree = file_of(student)
    last = [mark for _, _, mark, _ in tries(tree)][-int(number("rounds", r"last (\d+) first tries")) :]
    is_hard = sum(last) / len(last) < float(number("rounds", r"is below ([\d.]+)"))
    is_young = tree["age"] in ("6 to 8", "9 to 11")
    assert ("twice round" in session_on(student, TODAY).rounds) == (is_hard or is_young)


@pytest.mark.parametrize("count", [1, 3, 12])
@pytest.mark.parametrize("tempo", [50, 72, 140])
def test_minutes_of_a_make_up_sheet(count: int, tempo: int) -> None:
    """Goes, quarters, repeats and the lesson's tempo."""
    one = replace(lesson(), tempo=tempo)
    drill = ProgressionThroughKeys(count=count, repeats=2)
    quarters = realise(drill, one.setting).length * 4
    goes = number("minutes", r"with (\d+) goes")
    assert minutes_of(drill, one.setting) == max(1, round(quarters * 2 * goes / tempo))


@pytest.mark.parametrize(("mark", "lower"), [(3, 0), (2, 0), (1, 1), (0, 2)])
@pytest.mark.parametrize("tempo", [60, 84, 126])
def test_where_a_tempo_ladder_begins(mark: int, lower: int, tempo: int) -> None:
    """On the marks of a metronome, below the tempo that was noted."""
    marks = [50, 52, 54, 56, 58, 60, 63, 66, 69, 72, 76, 80, 84, 88, 92, 96, 100, 104, 108, 112, 116, 120, 126]
    student = Student("R. S.", marks=(Mark(TODAY, (Item.parse("broken-chords/C"),), mark, tempo=tempo),))
    found = adapt(lesson(BrokenChords(ladder_steps=5)), student, TODAY).lesson.block("d0")
    assert isinstance(found, Drill)
    assert found.family.ladder_start == marks[marks.index(tempo) - lower]


@pytest.mark.parametrize("share", [10, 34, 50, 67, 100])
@pytest.mark.parametrize("count", [3, 4, 5, 7])
def test_the_share_of_weak_keys(share: int, count: int) -> None:
    """Of so many keys so many are weak ones, the weakest first, behind the most secure."""
    weak = ["Ab", "Db", "Gb", "B", "E"]
    marks = [Mark(TODAY, (Item.parse("broken-chords/C"),), 3)] * 4
    for place, key in enumerate(weak):
        marks += [Mark(TODAY, (Item.parse(f"broken-chords/{key}"),), 0)] * (7 - place)
    student = Student("R. S.", marks=tuple(marks), weak_share=share)
    found = adapt(lesson(ProgressionThroughKeys(count=count)), student, TODAY).lesson
    block = found.block("d0")
    assert isinstance(block, Drill)
    wanted = min(len(weak), count - 1, -(-share * count // 100))
    before = [key.ascii for key in keys_of_drill(ProgressionThroughKeys(count=count), found.setting)]
    keys = [key.ascii for key in keys_of_drill(block.family, found.setting)]
    assert keys[0] == "C"
    if keys == before:
        assert sum(key in weak for key in before) >= wanted
    else:
        assert keys[1 : 1 + wanted] == weak[:wanted]
