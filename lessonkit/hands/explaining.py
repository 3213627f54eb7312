"""Why a note has its finger, in words for a player. Keys are the right hand's, or the left hand's mirrored about D."""

from __future__ import annotations

from collections.abc import Set

from lessonkit.hands.costs import REFERENCE_SPAN_MM, opens_to
from lessonkit.hands.keyboard import distance_mm, is_black

WORTH_SAYING_MM = 20.0
"""How much further than easy two fingers open before it is worth a word."""

FINGER_NAMES = ("thumb", "second finger", "third finger", "fourth finger", "little finger")


def finger_name(finger: int) -> str:
    """``thumb`` for 1, ``little finger`` for 5."""
    return FINGER_NAMES[finger - 1]


def reasons_for(
    keys: tuple[int, ...], fingers: tuple[int | None, ...], pinned: Set[int], group: int | None = None
) -> tuple[tuple[str, ...], ...]:
    """For each note the things worth saying about its finger, perhaps none.

    ``group`` is the number of notes to a hand position, for broken chords: the hand moves between groups.
    """
    all_black = all(is_black(key) for key in keys)
    earlier: dict[int, tuple[int, int]] = {}
    answer: list[tuple[str, ...]] = []
    for index, (key, finger) in enumerate(zip(keys, fingers, strict=True)):
        said: list[str] = []
        if index in pinned:
            said.append("pinned by the teacher")
        if finger is None:
            answer.append((*said, "no finger can play this note here"))
            continue
        starts_position = index == 0 or (group is not None and index % group == 0)
        if starts_position:
            said.append("the hand is placed here")
        elif fingers[index - 1] is not None:
            said.extend(_moving(keys[index - 1], fingers[index - 1] or 1, key, finger))
        if is_black(key) and finger in (1, 5) and not all_black:
            said.append(f"{finger_name(finger)} on a black key")
        if not is_black(key) and finger == 1 and any(is_black(one) for one in keys):
            said.append("the thumb keeps to a white key")
        heard = earlier.get(key % 12)
        if group is None and heard is not None and heard[0] != key and heard[1] == finger:
            said.append("the same finger as an octave away")
        earlier[key % 12] = (key, finger)
        answer.append(tuple(said))
    return tuple(answer)


def _moving(key: int, finger: int, next_key: int, next_finger: int) -> list[str]:
    rises = next_key > key
    (low, low_finger), (high, high_finger) = sorted(((key, finger), (next_key, next_finger)))
    far = distance_mm(low, high)
    if key == next_key:
        return [] if finger == next_finger else ["the finger changes on the same key"]
    if low_finger > 1 and high_finger == 1:
        if rises:
            return [f"the thumb passes under the {finger_name(low_finger)}, {far:.0f} mm"]
        return [f"the {finger_name(low_finger)} passes over the thumb, {far:.0f} mm"]
    if low_finger >= high_finger:
        return ["the hand leaps to a new position"]
    if far > opens_to(low_finger, high_finger, REFERENCE_SPAN_MM) + WORTH_SAYING_MM:
        return [f"{low_finger} and {high_finger} open {far:.0f} mm"]
    return []
