"""What the commands finger and rate answer."""

import json

import pytest

from lessonkit.hands.answers import as_json, finger_answer, finger_answers, rate_answer
from lessonkit.hands.easier import As
from lessonkit.hands.hand import Hand


def test_a_passage_answers_fingers_cost_runner_up_and_reasons() -> None:
    """Programs read these names; they stay."""
    answer = finger_answer(["C4", "E4", "G4", "C5", "E5", "G5", "C6"], Hand.RIGHT)
    assert answer["fingers"] == [1, 2, 3, 1, 2, 3, 5]
    assert set(answer) == {"hand", "notes", "fingers", "cost", "runner_up", "reasons", "kind", "problems"}
    assert isinstance(answer["reasons"], list)
    assert len(answer["reasons"]) == 7
    assert answer["reasons"][3] == [
        "the thumb passes under the third finger, 71 mm",
        "the same finger as an octave away",
    ]
    assert json.loads(as_json(answer)) == answer


def test_groups_and_black_start_are_passed_on() -> None:
    """C minor in groups of four: the printed main fingering and its alternative (Beringer and Dunhill, 1900)."""
    text = "C4 Eb4 G4 C5 Eb4 G4 C5 Eb5"
    assert finger_answer(text, Hand.RIGHT, groups=4)["fingers"] == [1, 2, 3, 5, 1, 2, 4, 5]
    assert finger_answer(text, Hand.RIGHT, groups=4, black_start=True)["fingers"] == [1, 2, 3, 5, 2, 1, 2, 4]


def test_lines_may_change_hands_and_a_bad_line_stops_nothing() -> None:
    """One object a line, in order; blank lines are passed over."""
    lines = ["C4 E4 G4 C5 E5 G5 C6", "", "left: C3 E3 G3 C4 E4 G4 C5", "right: H4", "C4 D4"]
    answers = list(finger_answers(lines, Hand.RIGHT))
    assert [answer.get("hand") for answer in answers] == ["right", "left", None, "right"]
    assert answers[1]["fingers"] == [5, 4, 2, 1, 4, 2, 1]
    assert answers[2] == {"line": 4, "error": "'H4' is not a pitch; write it like F#3"}


def test_a_wrong_span_is_told_at_once() -> None:
    """It is wrong for every line."""
    with pytest.raises(ValueError, match="50 mm is not a playing hand"):
        list(finger_answers(["C4"], Hand.RIGHT, span=50))


def test_a_passage_without_notes_is_refused() -> None:
    """There is nothing to finger."""
    with pytest.raises(ValueError, match="there are no notes"):
        finger_answer("", Hand.RIGHT)


@pytest.mark.parametrize("played", As)
def test_a_rating_answers_score_band_reasons_and_easier(played: As) -> None:
    """The score is a number from 0 up, the rest is words."""
    answer = rate_answer("Abmaj7", played, Hand.RIGHT)
    assert set(answer) == {"chord", "inversion", "as", "hand", "tempo", "score", "band", "reasons", "easier"}
    assert isinstance(answer["score"], float)
    assert answer["score"] > 0
    assert answer["band"] in ("easy", "moderate", "hard", "very hard")
    assert json.loads(as_json(answer)) == answer
    assert rate_answer("Cmaj7", played, Hand.RIGHT)["score"] < answer["score"]
