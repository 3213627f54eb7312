"""The commands that answer fingers and difficulty: JSON on standard output, one sentence for wrong use."""

from __future__ import annotations

import io
import json
import sys

import pytest

from lessonkit.cli import main


def answered(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, object]:
    assert main(arguments) == 0
    answer: dict[str, object] = json.loads(capsys.readouterr().out)
    return answer


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """The sentence on standard error; wrong use ends with 2, from the parser as from the engine."""
    try:
        code = main(arguments)
    except SystemExit as ended:
        code = ended.code  # type: ignore[assignment]
    assert code == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.count("\n") == 1
    return shown.err


def test_notes_get_fingers(capsys: pytest.CaptureFixture[str]) -> None:
    """Cost, runner-up and a list of reasons for each note stand beside them."""
    answer = answered(capsys, "finger", "--hand", "right", *["C4", "E4", "G4", "C5", "E5", "G5", "C6"])
    assert answer["fingers"] == [1, 2, 3, 1, 2, 3, 5]
    assert {"cost", "runner_up", "reasons"} <= set(answer)
    assert len(answer["reasons"]) == 7  # type: ignore[arg-type]


def test_groups_span_and_black_start_are_heard(capsys: pytest.CaptureFixture[str]) -> None:
    """The printed alternative of C minor (Beringer and Dunhill, 1900)."""
    notes = ["Eb4", "G4", "C5", "Eb5"]
    plain = answered(capsys, "finger", "--hand", "right", "--groups", "4", "--span", "190", *notes)
    other = answered(capsys, "finger", "--hand", "right", "--groups", "4", "--black-start", *notes)
    assert plain["fingers"] == [1, 2, 4, 5]
    assert other["fingers"] == [2, 1, 2, 4]


def test_a_span_may_be_said_in_words(capsys: pytest.CaptureFixture[str]) -> None:
    """As the notebook's form takes it; a bare number is millimetres here."""
    said = [
        answered(capsys, "rate", "Cmaj7", "--as", "jump", "--hand", "right", "--span", span)["score"]
        for span in ("185", "small", "18.5 cm", "comfortable tenth")
    ]
    assert said[0] == said[1] == said[2] > said[3]  # type: ignore[operator]


def test_passages_come_line_by_line(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """One JSON object a line; a wrong line is answered and does not end the rest."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("C4 E4 G4\n\nleft: C3 E3 G3 C4\nH4\nC4 D4\n"))
    assert main(["finger", "--hand", "right", "-"]) == 0
    answers = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [answer.get("hand") for answer in answers] == ["right", "left", None, "right"]
    assert answers[2]["error"].startswith("'H4' is not a pitch")


def test_bytes_that_are_no_text_are_one_sentence(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file of another kind may come by a pipe."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"\xff\xfe\n"), encoding="utf-8"))
    assert "not UTF-8 text" in refused(capsys, "finger", "--hand", "left", "-")


def test_a_chord_is_rated(capsys: pytest.CaptureFixture[str]) -> None:
    """Score, band, reasons and easier ways; A♭maj7 from the root is very hard (common practice, no source)."""
    hard = answered(capsys, "rate", "Abmaj7", "--as", "run", "--hand", "right")
    easier = answered(capsys, "rate", "Abmaj7", "--inversion", "1", "--as", "run", "--hand", "right")
    assert hard["band"] == "very hard"
    assert hard["reasons"]
    assert hard["easier"]
    assert 0 <= easier["score"] < hard["score"]  # type: ignore[operator]
    more = ["--octaves", "1", "--tempo", "60", "--span", "185"]
    assert answered(capsys, "rate", "Cmaj7", "--as", "jump", "--hand", "left", *more)["tempo"] == 60


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ("finger C4", "--hand"),
        ("finger --hand right", "NOTES"),
        ("finger --hand both C4", "invalid choice: 'both'"),
        ("finger --hand right H4", "'H4' is not a pitch; write it like F#3"),
        ("finger --hand right --span 50 C4", "a right-hand span of 50 mm is not a playing hand"),
        ("finger --hand right --span nan C4", "is not a playing hand"),
        ("finger --hand right --span wide C4", "--span: 'wide' is not a hand; write small, medium, large, 205 mm"),
        ("finger --hand right --groups 0 C4", "groups of 0 notes are not playable"),
        ("rate Q --as run --hand right", "'Q' is not a chord symbol"),
        ("rate C --hand right", "--as"),
        ("rate C --as run --hand right --inversion 7", "C has inversions 0 to 2; 7 is not one of them"),
        ("rate C --as run --hand left --octaves 9", "9 octaves is not a run"),
        ("rate C --as jump --hand left --tempo 0", "a tempo of 0 is not playable"),
    ],
)
def test_wrong_use_is_one_sentence(capsys: pytest.CaptureFixture[str], arguments: str, sentence: str) -> None:
    """And the exit code 2."""
    assert sentence in refused(capsys, *arguments.split())
