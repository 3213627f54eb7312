"""Edits: functions from lesson to lesson. None changes a lesson; an edit that changes nothing gives an equal one.

Places count blocks from 0; a place is where the block stands afterwards, or before which blocks go. A block that is
not there raises KeyError; a value that cannot be raises ValueError with a sentence.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from contextlib import suppress
from dataclasses import fields, replace
from typing import Any

from lessonkit.drills.chord_map import ChordMap
from lessonkit.drills.declared import Declared
from lessonkit.drills.easier_drills import Suggestion
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.fingers import runner_up, typed_place, with_hold, with_pin, with_runner_up
from lessonkit.drills.key_deck import Order
from lessonkit.drills.listed_keys import names_of_list
from lessonkit.drills.params import KeyChoice
from lessonkit.drills.realise import realise
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile, span_from_words
from lessonkit.lesson.lesson import (
    Aid,
    Block,
    DifficultyMap,
    Drill,
    House,
    Lesson,
    Note,
    Paper,
    clean_line,
    clean_text,
    new_block_id,
)
from lessonkit.lesson.page_aid import PageAid
from lessonkit.theory.enharmonic import printed_key
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import NoteName


def set_title(lesson: Lesson, title: str) -> Lesson:
    """The lesson under another title."""
    return replace(lesson, title=clean_line(title))


def set_aims(lesson: Lesson, aims: str) -> Lesson:
    """The lesson with other aims."""
    return replace(lesson, aims=clean_text(aims))


def set_author(lesson: Lesson, author: str) -> Lesson:
    """The lesson by another author."""
    return replace(lesson, author=clean_line(author))


def set_key(lesson: Lesson, key: Key) -> Lesson:
    """The lesson in another key; drills with a key of their own stay where they are (see ``transposed``)."""
    return replace(lesson, key=key)


def set_tempo(lesson: Lesson, tempo: int) -> Lesson:
    """The lesson at another tempo, in quarter notes a minute."""
    return replace(lesson, tempo=tempo)


def set_paper(lesson: Lesson, paper: Paper) -> Lesson:
    """The lesson on another paper."""
    return replace(lesson, paper=paper)


def set_house(lesson: Lesson, house: House) -> Lesson:
    """The lesson in other words and spellings."""
    return replace(lesson, house=house)


def insert_block(lesson: Lesson, at: int, block: Block) -> Lesson:
    """The lesson with one block more, at a place."""
    return insert_blocks(lesson, at, (block,))


def insert_blocks(lesson: Lesson, at: int, blocks: Iterable[Block]) -> Lesson:
    """The lesson with blocks more, the first at a place; a block whose id is taken gets a new one.

    This is also how blocks copied elsewhere are pasted.
    """
    _check_place(lesson, at)
    taken = {block.id for block in lesson.blocks}
    fresh: list[Block] = []
    for block in blocks:
        fresh.append(replace(block, id=new_block_id()) if block.id in taken else block)
        taken.add(fresh[-1].id)
    return replace(lesson, blocks=(*lesson.blocks[:at], *fresh, *lesson.blocks[at:]))


def insert_in_note(lesson: Lesson, note_id: str, at: int, blocks: Iterable[Block]) -> Lesson:
    """The lesson with blocks more where a note's text is parted, before its character of a place.

    A live word is never parted. Of the note only what holds words stays; its first half keeps its id.
    """
    note, place = lesson.block(note_id), lesson.place_of(note_id)
    if not isinstance(note, Note):
        raise TypeError(f"the block {note_id} is not a note")
    opened, closed = note.text.rfind("{", 0, at), note.text.find("}", at)
    if opened >= 0 and closed >= 0 and not set("{}\n") & set(note.text[opened + 1 : closed]):
        at = closed + 1
    before, after = note.text[:at].rstrip(), note.text[at:].lstrip("\n")
    first = [replace(note, text=before)] if before else []
    last = [Note(after, note.id if not first else new_block_id())] if after.strip() else []
    without = replace(lesson, blocks=(*lesson.blocks[:place], *first, *last, *lesson.blocks[place + 1 :]))
    return insert_blocks(without, place + len(first), blocks)


def with_new_ids(blocks: Iterable[Block]) -> tuple[Block, ...]:
    """Copies of blocks under new ids."""
    return tuple(replace(block, id=new_block_id()) for block in blocks)


def replace_block(lesson: Lesson, block: Block) -> Lesson:
    """The lesson with a block in the place of the one that has its id."""
    at = lesson.place_of(block.id)
    return replace(lesson, blocks=(*lesson.blocks[:at], block, *lesson.blocks[at + 1 :]))


def delete_blocks(lesson: Lesson, block_ids: Collection[str]) -> Lesson:
    """The lesson without some blocks."""
    _check_there(lesson, block_ids)
    return replace(lesson, blocks=tuple(block for block in lesson.blocks if block.id not in block_ids))


def move_blocks(lesson: Lesson, block_ids: Collection[str], before: int) -> Lesson:
    """The lesson with some blocks, in their order, before the block that now stands at a place."""
    _check_there(lesson, block_ids)
    _check_place(lesson, before)
    head = tuple(block for block in lesson.blocks[:before] if block.id not in block_ids)
    moved = tuple(block for block in lesson.blocks if block.id in block_ids)
    tail = tuple(block for block in lesson.blocks[before:] if block.id not in block_ids)
    return replace(lesson, blocks=head + moved + tail)


def move_block(lesson: Lesson, block_id: str, to: int) -> Lesson:
    """The lesson with one block at another place, counted as it stands afterwards."""
    before = to if to <= lesson.place_of(block_id) else to + 1
    return move_blocks(lesson, (block_id,), before)


def shift_blocks(lesson: Lesson, block_ids: Collection[str], by: int) -> Lesson:
    """The lesson with some blocks, brought together, so many places further down (up when negative), as far as it goes.

    Shifting down, the last of them counts; shifting up, the first.
    """
    _check_there(lesson, block_ids)
    places = [place for place, block in enumerate(lesson.blocks) if block.id in block_ids]
    if not places or by == 0:
        return lesson
    before = places[-1] + 1 + by if by > 0 else places[0] + by
    return move_blocks(lesson, block_ids, min(max(before, 0), len(lesson.blocks)))


def duplicate_blocks(lesson: Lesson, block_ids: Collection[str]) -> Lesson:
    """The lesson with copies of some blocks after the last of them, under new ids."""
    _check_there(lesson, block_ids)
    copied = [(place, block) for place, block in enumerate(lesson.blocks) if block.id in block_ids]
    if not copied:
        return lesson
    return insert_blocks(lesson, copied[-1][0] + 1, with_new_ids(block for _, block in copied))


def duplicate_block(lesson: Lesson, block_id: str) -> Lesson:
    """The lesson with a copy of one block after it, under a new id."""
    return duplicate_blocks(lesson, (block_id,))


def set_note_text(lesson: Lesson, block_id: str, text: str) -> Lesson:
    """The lesson with another text in a note; raises TypeError where the block is none."""
    note = lesson.block(block_id)
    if not isinstance(note, Note):
        raise TypeError(f"the block {block_id} is not a note")
    return replace_block(lesson, replace(note, text=clean_text(text)))


def set_for_teacher(lesson: Lesson, block_id: str, is_for_teacher: bool) -> Lesson:
    """The lesson with a note kept for the teacher, or shown to the student again; raises TypeError for no note."""
    note = lesson.block(block_id)
    if not isinstance(note, Note):
        raise TypeError(f"the block {block_id} is not a note")
    return replace_block(lesson, replace(note, for_teacher=is_for_teacher))


def without_teacher_notes(lesson: Lesson) -> Lesson:
    """The lesson as a student gets it."""
    blocks = tuple(block for block in lesson.blocks if not (isinstance(block, Note) and block.for_teacher))
    return lesson if len(blocks) == len(lesson.blocks) else replace(lesson, blocks=blocks)


def set_drill_setting(lesson: Lesson, block_id: str, name: str, value: Any) -> Lesson:
    """The lesson with one setting of a drill or a difficulty map changed to a musical value.

    Raises ValueError as ``octaves: 9 is more than 4``.
    """
    block = lesson.block(block_id)
    return replace_block(lesson, _with_declared(block, declared_of(block).with_value(name, value)))


def set_keys_in_turn(lesson: Lesson, block_id: str, keys: Sequence[Key]) -> Lesson:
    """The lesson with a drill that goes through these keys in this order; through its usual ones where there are none.

    Raises ValueError as ``key_list: 31 keys are more than 30``.
    """
    drill = lesson.block(block_id)
    names = names_of_list(drill.family) if isinstance(drill, Drill) else None
    if not isinstance(drill, Drill) or names is None:
        raise TypeError(f"the block {block_id} goes through no keys")
    usual = {field.name: field.default for field in fields(drill.family)}[names[1]]
    listed = set_drill_setting(lesson, block_id, names[0], tuple(keys))
    return set_drill_setting(listed, block_id, names[1], Order.CHOSEN if keys else usual)


def set_drill_text(lesson: Lesson, block_id: str, name: str, text: str) -> Lesson:
    """The lesson with one setting of a drill or a map changed to what was typed; raises as ``set_drill_setting``."""
    block = lesson.block(block_id)
    return replace_block(lesson, _with_declared(block, declared_of(block).with_text(name, text)))


def declared_of(block: Block) -> Declared:
    """What declares the settings of a block, a drill or a map; raises TypeError for a block that has none."""
    if isinstance(block, Drill):
        return block.family
    if isinstance(block, DifficultyMap):
        return block.map
    if isinstance(block, Aid):
        return block.shows
    raise TypeError(f"the block {block.id} is not a drill")


def set_hands(lesson: Lesson, hands: HandProfile) -> Lesson:
    """The lesson for other hands; raises ValueError for a span or strength that is no whole number."""
    return replace(lesson, house=replace(lesson.house, hands=hands))


def set_span_text(lesson: Lesson, hand: Hand, text: str) -> Lesson:
    """The lesson with one hand's span as it was typed: ``205``, ``20.5 cm``, ``small`` or ``comfortable ninth``.

    Raises ValueError for anything else, and for a span that is no playing hand's.
    """
    millimetres = round(span_from_words(text))
    hands = lesson.house.hands
    if hand is Hand.RIGHT:
        return set_hands(lesson, replace(hands, right_span=millimetres))
    return set_hands(lesson, replace(hands, left_span=millimetres))


def pin_finger(lesson: Lesson, block_id: str, event: int, pitch: int, finger: int) -> Lesson:
    """The lesson with a finger typed on a note of a drill: the event's index, the place of its pitch, the finger.

    0 takes a typed finger away. Raises ValueError for what is no finger and where the drill cannot be written out.
    """
    family = _family_of(lesson, block_id)
    exercise = realise(family, lesson.setting)
    hand, note, key = typed_place(exercise, event, pitch)
    return replace_block(lesson, Drill(with_pin(family, hand, note, finger, key), block_id))


def hold_finger(lesson: Lesson, block_id: str, event: int, pitch: int, in_every_key: bool) -> Lesson:
    """The lesson with the finger typed on a note of a drill holding in every key, or in the key of the note only."""
    family = _family_of(lesson, block_id)
    hand, note, key = typed_place(realise(family, lesson.setting), event, pitch)
    return replace_block(lesson, Drill(with_hold(family, hand, note, in_every_key, key), block_id))


def take_runner_up(lesson: Lesson, block_id: str, hand: Hand) -> Lesson:
    """The lesson with the next best fingers of a hand typed into a drill; unchanged where there are none."""
    family = _family_of(lesson, block_id)
    offer = runner_up(family, lesson.setting, hand)
    return lesson if offer is None else replace_block(lesson, Drill(with_runner_up(family, offer), block_id))


def make_easier(lesson: Lesson, block_id: str, suggestion: Suggestion) -> Lesson:
    """The lesson with a drill changed as a suggestion of ``easier_drills`` says."""
    _family_of(lesson, block_id)
    return replace_block(lesson, Drill(suggestion.drill, block_id))


def transposed(lesson: Lesson, key: Key) -> Lesson:
    """The lesson in another key, drills with keys of their own moved by the same interval; modes stay as they are.

    Moved keys take the spelling with fewer accidentals (D♭ rather than C♯); where six tie, the lesson's house decides.
    """
    semitones = (key.tonic.pitch_class - lesson.key.tonic.pitch_class) % 12
    prefers_flats = lesson.house.prefers_flats_at_six
    blocks: list[Block] = []
    for block in lesson.blocks:
        if isinstance(block, Drill | DifficultyMap | Aid):
            block = _with_declared(block, _moved(declared_of(block), semitones, prefers_flats))
        blocks.append(block)
    return replace(lesson, key=key, blocks=tuple(blocks))


def _moved(family: Declared, semitones: int, prefers_flats: bool) -> Declared:
    """The drill or map with every key among its settings, alone or in a list, moved up."""
    moved: dict[str, Any] = {}
    declared = family.declared()
    for field in fields(family):
        value, param = getattr(family, field.name), declared.get(field.name)
        if isinstance(param, KeyChoice) and not param.moves:
            continue
        if isinstance(value, Key):
            moved[field.name] = key_moved(value, semitones, prefers_flats)
        elif isinstance(value, tuple) and value and all(isinstance(item, Key) for item in value):
            moved[field.name] = tuple(key_moved(item, semitones, prefers_flats) for item in value)
    return replace(family, **moved) if moved else family


def key_moved(key: Key, semitones: int, prefers_flats: bool = True) -> Key:
    """The key so many semitones higher, spelled with the fewest accidentals; where six tie, the choice decides."""
    if semitones % 12 == 0:
        return key
    wanted = (key.tonic.pitch_class + semitones) % 12
    for name in (NoteName(letter, alteration) for letter in range(7) for alteration in (0, -1, 1)):
        if name.pitch_class == wanted:
            # A spelling whose signature cannot be written is none; another one of the same sound is.
            with suppress(ValueError):
                return printed_key(Key(name, key.mode), prefers_flats)
    raise AssertionError("every key of the piano carries a key of every mode")


def _with_declared(block: Block, declared: Declared) -> Block:
    if isinstance(declared, DrillFamily):
        return Drill(declared, block.id)
    if isinstance(declared, PageAid):
        return Aid(declared, block.id)
    assert isinstance(declared, ChordMap)
    return DifficultyMap(declared, block.id)


def _family_of(lesson: Lesson, block_id: str) -> DrillFamily:
    block = lesson.block(block_id)
    if not isinstance(block, Drill):
        raise TypeError(f"the block {block_id} is not a drill")
    return block.family


def _check_there(lesson: Lesson, block_ids: Collection[str]) -> None:
    missing = set(block_ids) - {block.id for block in lesson.blocks}
    if missing:
        raise KeyError(min(missing))


def _check_place(lesson: Lesson, at: int) -> None:
    if not 0 <= at <= len(lesson.blocks):
        raise IndexError(f"{at} is not a place among {len(lesson.blocks)} blocks")
