"""Many handouts at once: every job is answered, a stop begins nothing more, a killed run leaves whole files only."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import pytest

from lessonkit.handout.batch import done_one_by_one
from lessonkit.print_for import jobs_for, print_all
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.student_file import read_student

ROOT = Path(__file__).resolve().parents[3]
SAMPLES = ROOT / "sample_lessons"


def halved(number: int) -> int:
    if number % 2:
        raise ValueError(f"{number} is odd")
    return number // 2


@pytest.mark.parametrize("processes", [1, 2])
def test_every_job_is_answered_and_a_bad_one_stops_no_other(processes: int) -> None:
    outcomes = sorted(done_one_by_one(range(6), halved, processes), key=lambda one: one.job)
    assert [one.made for one in outcomes] == [0, None, 1, None, 2, None]
    assert outcomes[3].problem == "3 is odd"


@pytest.mark.parametrize("processes", [1, 2])
def test_a_stop_begins_nothing_more(processes: int) -> None:
    """What has been begun is finished, so that nothing is half done."""
    done: list[int] = []
    for outcome in done_one_by_one(range(0, 400, 2), halved, processes, lambda: len(done) >= 3):
        done.append(outcome.job)
    assert 3 <= len(done) <= 3 + 2 * processes * 2


def test_the_same_handout_comes_out_in_another_process(tmp_path: Path) -> None:
    student = read_student(SAMPLES / "m_k.student")
    lessons = [("one", read_lesson(SAMPLES / "broken_chords.lesson"))]
    for processes in (1, 2):
        folder = tmp_path / str(processes)
        outcomes = list(print_all(jobs_for(lessons, [student], date(2026, 3, 11), folder), processes))
        assert [outcome.problem for outcome in outcomes] == [""]
    assert (tmp_path / "1/one for M_K.pdf").read_bytes() == (tmp_path / "2/one for M_K.pdf").read_bytes()


@pytest.mark.skipif(os.name == "nt", reason="signals are another matter there")
def test_a_killed_run_leaves_whole_files_only(tmp_path: Path) -> None:
    """The lid of a laptop is closed in the middle of forty handouts."""
    code = (
        "from datetime import date; from dataclasses import replace; from pathlib import Path\n"
        "from lessonkit.print_for import jobs_for, print_all\n"
        "from lessonkit.storage.lesson_file import read_lesson\n"
        "from lessonkit.storage.student_file import read_student\n"
        "one = read_student(Path('sample_lessons/m_k.student'))\n"
        "students = [replace(one, code=f'S {number}') for number in range(40)]\n"
        "lesson = read_lesson(Path('sample_lessons/ladder_of_sevenths.lesson'))\n"
        f"jobs = jobs_for([('one', lesson)], students, date(2026, 3, 11), Path({str(tmp_path)!r}))\n"
        "for outcome in print_all(jobs): print(outcome.made.path, flush=True)\n"
    )
    run = subprocess.Popen([sys.executable, "-c", code], cwd=ROOT, stdout=subprocess.PIPE)
    assert run.stdout is not None
    run.stdout.readline()
    time.sleep(0.05)
    run.send_signal(signal.SIGKILL)
    run.wait()
    run.stdout.close()
    made = sorted(tmp_path.glob("*.pdf"))
    assert 1 <= len(made) < 40
    for path in made:
        assert path.read_bytes().rstrip().endswith(b"%%EOF")
