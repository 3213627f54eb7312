"""What a good teacher says to a drill without being asked: its aim, how to practise it, what to check, how to use it.

The words come from what the hands do in it. Common practice of teachers, no source; every aid can be reworded.
"""

from __future__ import annotations

from enum import Enum
from functools import lru_cache

from lessonkit.drills.exercise import Blank, Exercise
from lessonkit.drills.family import DrillFamily, Texture
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.tempo_ladder import is_dotted, tempo_ladder
from lessonkit.hands.easier import As
from lessonkit.theory.chord import Chord
from lessonkit.theory.naming import renamed
from lessonkit.values import dataclass


class Material(Enum):
    """What the hands do in a drill."""

    SHAPES = "shapes broken in one position each"
    LINE = "a line of single notes"
    SOLID = "one chord held"
    JUMPS = "leaps of a chord"
    CHANGES = "one chord after another"
    APART = "figures with the hand lifted between them"


@dataclass(frozen=True, slots=True)
class Advice:
    """What is said of one material."""

    steps: tuple[str, ...]
    checks: tuple[str, ...]
    prompt: str
    question: str


ADVICE = {
    Material.SHAPES: Advice(
        (
            "Press each shape as one solid chord and look at your hand before you move on.",
            "Break one shape up and down four times, every note as loud as the next.",
            "Join two neighbouring shapes, then three, without a gap between them.",
            "Play it all once, slowly enough that nothing goes wrong.",
        ),
        ("Every note sounds alike", "The wrist is quiet and the arm travels", "The printed fingers", "I breathe out"),
        "Improvise for two minutes with these shapes in any order. Let the top note sing, then leave a bar empty.",
        "Which shape felt easiest, and why?",
    ),
    Material.LINE: Advice(
        (
            "Say the names of the notes aloud and touch their keys without a sound.",
            "Play up to each turn of the thumb, stop there, look, go on.",
            "Play it in long and short pairs, then in short and long ones.",
            "Play it evenly, then once with closed eyes.",
        ),
        ("Every note sounds alike", "The thumb passes without a bump", "The printed fingers", "I counted aloud"),
        "Improvise for two minutes with the notes of this line: three notes, a rest, an answer.",
        "Where did the hand have to think ahead?",
    ),
    Material.SOLID: Advice(
        (
            "Put the fingers on the keys, press them together, let go, put them down again.",
            "Lift the hand to the lap between two chords and land without feeling for the keys.",
            "Play it softly, then strongly, with the same loose wrist.",
            "Play it in time with eyes on the page.",
        ),
        ("All notes sound together", "The wrist is loose after the stroke", "The printed fingers", "I breathe out"),
        "Improvise for two minutes over this chord held in the left hand.",
        "Which note did you have to look for?",
    ),
    Material.JUMPS: Advice(
        (
            "Look at the next place before the hand leaves this one.",
            "Fly there in time, touch the keys without a sound, then press.",
            "Play only the outer notes of each chord, then all of them.",
            "Play six landings, rest the arm, play six again.",
        ),
        ("I looked before I leapt", "The landing makes no extra noise", "The shoulder stays down", "I rested"),
        "Improvise for two minutes: answer every chord with the same chord in another register.",
        "Which landing was the surest, and what did you look at?",
    ),
    Material.CHANGES: Advice(
        (
            "Press each chord and say its name before you play the next one.",
            "Play each pair of chords four times; notice which fingers stay.",
            "Play all of it hands alone in slow time, with a count of two before each change.",
            "Play it in time without stopping, whatever happens.",
        ),
        ("Notes that stay are held", "No gap at the change", "The top line can be sung", "I counted aloud"),
        "Improvise for two minutes over these chords: one note to a bar at first, then two, then as you like.",
        "Which change moved the fewest fingers?",
    ),
    Material.APART: Advice(
        (
            "Play the first note of each figure only, in time.",
            "Play each figure as one solid shape where the hand can hold it.",
            "Play figure by figure, the hand loose in the rests between.",
            "Play it all in time, the last note of each figure the softest.",
        ),
        ("The first note of each figure leads", "The hand is loose between", "The printed fingers", "I counted aloud"),
        "Improvise for two minutes: keep this figure going and put long notes above or below it.",
        "Which figure lay best under your hand?",
    ),
}
"""What is said of each material; a test holds that none is missing."""

BOTH_HANDS = "Play each hand alone, then both together at half the tempo."
MANY_KEYS = "Begin with the two keys that you know least."
WORKSHEET = ("Write the answers in pencil without the piano.", "Play what you wrote and listen: does it sound right?")
NO_DRILL = Advice(
    ("Play it slowly once.", "Repeat the hardest bar four times.", "Play it all without stopping."),
    ("Even tone", "Quiet wrist", "The printed fingers", "Counted aloud"),
    "Improvise for two minutes with what you have just played.",
    "What felt easiest, and why?",
)
MOST_STEPS = 5


def material_of(drill: DrillFamily, setting: Setting) -> Material:
    """What the hands do in a drill; raises ValueError where it cannot be written out."""
    texture = drill.texture()
    if texture is Texture.POSITIONS:
        return Material.SHAPES
    if texture is Texture.LINE:
        return Material.LINE
    if texture is Texture.APART:
        return Material.APART
    played = drill.played_chord(setting)
    if played is not None and played.played is As.JUMP:
        return Material.JUMPS
    sounding = [event for event in realise(drill, setting).events if event.pitches]
    if sum(len(event.pitches) > 1 for event in sounding) * 2 < len(sounding):
        return Material.LINE
    return Material.CHANGES if len(_chords(realise(drill, setting))) > 1 else Material.SOLID


def advice_for(drill: DrillFamily | None, setting: Setting) -> Advice:
    """What is said of a drill; of no drill, or of one that cannot be written out, what holds for every one."""
    return NO_DRILL if drill is None else _advice(drill, setting)


@lru_cache(maxsize=512)
def _advice(drill: DrillFamily, setting: Setting) -> Advice:
    try:
        exercise, material = realise(drill, setting), material_of(drill, setting)
    except ValueError:
        return NO_DRILL
    found = ADVICE[material]
    if exercise.blank - {Blank.FINGERS}:
        return Advice((*WORKSHEET, found.steps[-1]), found.checks, found.prompt, found.question)
    steps = list(found.steps)
    if len(exercise.hands) > 1:
        steps.insert(2, BOTH_HANDS)
    if len({bar.key for bar in exercise.bars}) > 2 and len(steps) < MOST_STEPS:
        steps.insert(0, MANY_KEYS)
    return Advice(tuple(steps[:MOST_STEPS]), found.checks, found.prompt, found.question)


def aim_of(drill: DrillFamily, setting: Setting) -> str:
    """An aim that can be seen and heard: what is played, evenly, and how fast at last."""
    marks = tempo_ladder(drill, setting)
    beat = "♩." if is_dotted(drill) else "♩"
    tempo = marks[-1] if marks else round(setting.tempo * (2 / 3 if is_dotted(drill) else 1))
    try:
        played = renamed(realise(drill, setting).summary or drill.in_one_line(setting), setting.label_style.notes)
    except ValueError:
        played = drill.title
    return f"Play {_in_a_sentence(played)}, evenly, at {beat}\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}{tempo}."


def first_chord(drill: DrillFamily, setting: Setting) -> Chord | None:
    """The chord that a drill begins with; none where it names none or asks for its chords."""
    try:
        exercise = realise(drill, setting)
    except ValueError:
        return None
    if exercise.blank & {Blank.CHORD_NAMES, Blank.KEY, Blank.NOTES}:
        return None
    return exercise.chords[0].chord if exercise.chords else None


def _chords(exercise: Exercise) -> set[Chord]:
    return {mark.chord for mark in exercise.chords}


def _in_a_sentence(words: str) -> str:
    """The summary of a drill with a small letter, unless it begins with a chord or a note."""
    first = words.split(" ")[0].rstrip(",")
    try:
        Chord.parse(first)
    except ValueError:
        return words[:1].lower() + words[1:]
    return words
