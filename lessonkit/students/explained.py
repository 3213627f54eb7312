"""How every number that a teacher sees can be worked out by hand from the student's file: the words of the help."""

from __future__ import annotations

from lessonkit.students.make_up import GOES
from lessonkit.students.marks import RATINGS
from lessonkit.students.schedule import INTERVALS, LONG_HORIZON, MINUTES_AN_ITEM, SELF_LIMIT
from lessonkit.students.session import FILL_FROM, FLOOR_DAYS, LOW_MEAN, RECENT_TRIES
from lessonkit.students.weakness import BAND_PRIORS, EVEN, HALF_LIFE, PRIOR_WEIGHT, STEP_LIMITS, Step

_BOXES = ", ".join(f"box {box}: {days}" for box, days in enumerate(INTERVALS, start=1))
_RATED = ", ".join(f"{number} {words}" for number, words in enumerate(RATINGS))
_PRIORS = ", ".join(f"{band.value} {prior:g}" for band, prior in BAND_PRIORS.items())
_LIMITS = ", ".join(f"{step.value} below {limit:g}" for limit, step in STEP_LIMITS) + f", {Step.WEAK.value} from there"

RULES: dict[str, str] = {
    "rating": f"A mark is for the first try, before anything is practised: {_RATED}.",
    "box": (
        f"Every item stands in one of {len(INTERVALS)} boxes, and each box waits so many days: {_BOXES}. A new item "
        "comes into box 1, or into box 2 where its first mark is a 3. After that a 3 moves it one box up if at least "
        "half of its wait is over, a 2 leaves it, a 1 moves it one box down, and a 0 puts it back into box 1. A 3 that "
        f"was marked at home moves nothing that stands in box {SELF_LIMIT} or higher."
    ),
    "due": (
        "An item is due when the days of its box have passed since its last try. Where that is no day of practice, it "
        "is due on the last day of practice before it; where there is none since the last try, on the next one. While "
        "a goal lies ahead, no wait is longer than a fifth of the days from the last try to the goal, or a tenth where "
        f"these are more than {LONG_HORIZON}; parts of a day are left off, and one day is the least."
    ),
    "weakness": (
        "Each mark counts 1 where the teacher gave it and 0.5 where the student did; for its age that is multiplied by "
        f"0.5 to the power of its days ÷ {HALF_LIFE}, so that after {HALF_LIFE} days it counts half. What it missed is "
        "(3 − mark) ÷ 3. A drill through several keys is marked once and counts for each of them. Weakness = (sum of "
        f"count × missed + {PRIOR_WEIGHT:g} × start) ÷ (sum of counts + {PRIOR_WEIGHT:g}). The start is what is taken "
        f"before anything is heard, by how hard the chord is for this hand as a run: {_PRIORS}, or {EVEN:g} where that "
        f"cannot be told; over several items it is their mean. It is shown in four steps: {_LIMITS}."
    ),
    "priority": (
        "Due items stand by this number, the largest first: days since the last try ÷ days of the wait × (0.5 + "
        "weakness of the key). An item is due when its wait is over; a free place in the plan is filled from "
        f"{FILL_FROM * 100:.0f} in a hundred of the wait on. What was not tried for more than {FLOOR_DAYS} days comes "
        "before everything else."
    ),
    "load": (
        "What comes up on a day is the sum of 1 ÷ days of its box over all items. A day holds its minutes ÷ "
        f"{MINUTES_AN_ITEM}, parts left off. One new item adds 1 ÷ {INTERVALS[1]}; where that is too much, nothing new "
        "is begun."
    ),
    "rounds": (
        "Each item is played once, then the next. Up to the age of eleven, or where the mean of the last "
        f"{RECENT_TRIES} first tries is below {LOW_MEAN:g} (a drill through several keys is one for each), each is "
        "played two or three times before the next, and all of them twice round."
    ),
    "share of weak keys": (
        "Weak keys are those with a mark that are shown as shaky or weak. A drill through some keys plays the most "
        "secure one first, then weak ones, the weakest first: the share of its keys that the profile asks for, rounded "
        "up, but never all. One that has as many already, or fewer than three keys, stays as it is. A drill through "
        "all twelve keys keeps them all and plays the weak ones once more at its end, six at most."
    ),
    "tempo ladder": (
        "It begins at the tempo noted with the newest mark, one mark of the metronome lower after a 1, two lower after "
        "a 0. Where no tempo was noted and the trouble was time, it begins at two thirds of the lesson's tempo."
    ),
    "minutes": (
        f"On a make-up sheet each drill is reckoned with {GOES} goes: its length in quarters × repeats × {GOES} ÷ the "
        "lesson's tempo, rounded to whole minutes, one at least."
    ),
}
"""The rule of each number, by the name under which it is shown."""

TITLES: dict[str, str] = {
    "rating": "Marks", "weakness": "Weak and strong", "box": "Boxes", "due": "When an item is due",
    "priority": "What comes first", "load": "How much a day holds", "rounds": "How a plan is played",
    "share of weak keys": "Keys dealt towards the weak ones", "tempo ladder": "Where a tempo ladder begins",
    "minutes": "Minutes of a make-up sheet",
}  # fmt: skip
"""What each rule is called in the help, in the order in which they are read there."""
