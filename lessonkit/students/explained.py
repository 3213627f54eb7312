"""How every number that a teacher sees can be worked out by hand from the student's file: the words of the help."""

from __future__ import annotations

from lessonkit.students.make_up import GOES
from lessonkit.students.marks import RATINGS
from lessonkit.students.schedule import INTERVALS, LONG_HORIZON, MINUTES_AN_ITEM, SELF_LIMIT
from lessonkit.students.session import FILL_FROM, FLOOR_DAYS, LOW_MEAN, RECENT_TRIES
from lessonkit.students.weakness import BAND_PRIORS, EVEN, HALF_LIFE, PRIOR_WEIGHT, STEP_LIMITS, Step

_BOXES = ", ".join(f"box {box} {days}" for box, days in enumerate(INTERVALS, start=1))
_RATED = ", ".join(f"{number} {words}" for number, words in enumerate(RATINGS))
_PRIORS = ", ".join(f"{band.value} {prior:g}" for band, prior in BAND_PRIORS.items())
_LIMITS = ", ".join(f"{step.value} below {limit:g}" for limit, step in STEP_LIMITS) + f", {Step.WEAK.value} from there"

RULES: dict[str, str] = {
    "rating": f"How the first, cold try went: {_RATED}.",
    "box": (
        f"Each item stands in a box; the days of the boxes are: {_BOXES}. A new item begins in box 1. A 3 lifts it by "
        f"one box if half the wait was over, a 2 leaves it, a 1 lowers it by one, a 0 puts it back into box 1. A "
        f"student's own 3 lifts nothing above box {SELF_LIMIT}. A new item that is right at tempo goes to box 2."
    ),
    "due": (
        "The day of the last try plus the days of the box, moved back to the last practice day before it (forward to "
        "the next one where none lies between). While a goal is ahead, no wait is longer than a fifth of the days "
        f"left, a tenth if more than {LONG_HORIZON} are left."
    ),
    "weakness": (
        f"For each mark w is 1 if the teacher gave it and ½ if the student did, halved for every {HALF_LIFE} days of "
        f"age. Weakness = (sum of w × (3 − rating) ÷ 3, plus {PRIOR_WEIGHT:g} × p) ÷ (sum of w, plus "
        f"{PRIOR_WEIGHT:g}). p is what is thought beforehand, the mean over the items marked, by how hard their chords "
        f"are for this hand: {_PRIORS}; {EVEN:g} where nothing is known. Shown as: {_LIMITS}."
    ),
    "priority": (
        "Days since the last try ÷ days of the wait × (0.5 + weakness of the key). An item is due when the first part "
        f"is 1 or more, and may fill a free slot from {FILL_FROM:g}. What was not touched for more than {FLOOR_DAYS} "
        "days comes before everything else."
    ),
    "load": (
        "Items a day = the sum of 1 ÷ days of its box over all items. A day holds as many as its minutes ÷ "
        f"{MINUTES_AN_ITEM}. A new item is counted as if in box 2; when that is too much, nothing new is begun."
    ),
    "rounds": (
        "Up to the age of eleven, or where the mean of the "
        f"last {RECENT_TRIES} first tries is below {LOW_MEAN:g}, each item is played two or three times before the "
        "next, twice round; otherwise once each."
    ),
    "share of weak keys": (
        "Keys shown as shaky or weak that have a mark. A drill through n keys gets the share of n, rounded up, at most "
        "n − 1, the weakest first, behind the most secure key. A drill through all twelve keeps all and plays the weak "
        "ones once more at its end, six at most."
    ),
    "tempo ladder": (
        "It begins at the tempo noted with the newest mark; one mark of the metronome lower after a 1, two after a 0. "
        "Where no tempo was noted and the cause was time, at two thirds of the lesson's tempo."
    ),
    "minutes": (
        f"A drill on a make-up sheet takes {GOES} goes: its length in quarters × repeats × {GOES} ÷ the lesson's "
        "tempo, rounded, one at least."
    ),
}
"""The rule of each number, by the name under which it is shown."""
