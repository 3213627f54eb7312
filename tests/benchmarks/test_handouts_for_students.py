"""480 handouts, 40 students by 12 lessons: cost against number, two processes against one, memory, a stop.

Run with ``python -m pytest -m bench tests/benchmarks/test_handouts_for_students.py -s``. Figures are printed.
"""

from __future__ import annotations

import os
import resource
import time
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from lessonkit.handout.batch import done_one_by_one
from lessonkit.lesson.edits import transposed
from lessonkit.lesson.lesson import Lesson
from lessonkit.print_for import PrintJob, jobs_for, print_all, print_one
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.student_file import read_student
from lessonkit.students.student import ReadingLevel, Student
from lessonkit.theory.key import Key

SAMPLES = Path(__file__).resolve().parents[2] / "sample_lessons"
DAY = date(2026, 3, 11)


def students(count: int) -> list[Student]:
    """Students with hands from 160 to 238 mm; one in five reads otherwise."""
    one = read_student(SAMPLES / "m_k.student")
    levels = list(ReadingLevel)
    return [
        replace(
            one,
            code=f"S{number:02}",
            hands=replace(one.hands, right_span=160 + 2 * number, left_span=160 + 2 * number),
            reading=levels[number % len(levels)] if number % 5 == 0 else ReadingLevel.GRAND_STAFF,
        )
        for number in range(count)
    ]


def lessons() -> list[tuple[str, Lesson]]:
    """Twelve lessons: the samples in four keys each."""
    found = []
    for path in sorted(SAMPLES.glob("*.lesson"))[:3]:
        for key in ("C", "Eb", "E", "Ab"):
            found.append((f"{path.stem} {key}", transposed(read_lesson(path), Key.parse(key))))
    return found


def seconds(pupils: Sequence[Student], folder: Path, processes: int) -> float:
    start = time.perf_counter()
    outcomes = list(print_all(jobs_for(lessons(), pupils, DAY, folder), processes))
    assert not [outcome.problem for outcome in outcomes if outcome.problem]
    return time.perf_counter() - start


def processor() -> float:
    """Seconds of processor that this process has used."""
    used = resource.getrusage(resource.RUSAGE_SELF)
    return used.ru_utime + used.ru_stime


def memory() -> float:
    """Megabytes that this process holds now; at most held, where the system does not tell."""
    try:
        lines = Path("/proc/self/status").read_text().splitlines()
    except OSError:
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return int(next(line for line in lines if line.startswith("VmRSS")).split()[1]) / 1024


def timed(job: PrintJob) -> tuple[int, float]:
    """Print one handout; answers the process and the seconds of processor that it has used since it was started."""
    print_one(job)
    return os.getpid(), time.process_time()


@pytest.mark.bench
def test_two_processes_share_the_work(tmp_path: Path) -> None:
    """120 handouts. The wall tells little on a busy machine; what the busier of the two has to do tells all."""
    every = students(40)
    seconds(every[:1], tmp_path / "warm", 1)
    before, start = processor(), time.perf_counter()
    assert len(list(done_one_by_one(jobs_for(lessons(), every[1:11], DAY, tmp_path / "one"), timed))) == 120
    alone, wall = processor() - before, time.perf_counter() - start
    start = time.perf_counter()
    used: dict[int, float] = {}
    for outcome in done_one_by_one(jobs_for(lessons(), every[1:11], DAY, tmp_path / "two"), timed, 2):
        assert outcome.made is not None
        pid, seconds_used = outcome.made
        used[pid] = max(used.get(pid, 0.0), seconds_used)
    walls = time.perf_counter() - start
    print(f"\none process {alone:.1f} s of processor, {wall:.1f} s by the clock")
    print(f"two processes {', '.join(f'{one:.1f}' for one in used.values())} s of processor (their start and")
    print(f"empty caches included), {walls:.1f} s by the clock")
    print(f"{alone / max(used.values()):.2f} times by processor, {wall / walls:.2f} times by the clock")
    assert len(used) == 2


@pytest.mark.bench
def test_480_handouts(tmp_path: Path) -> None:
    """Cost by processor and memory, 48 handouts at a time; then the same in two processes."""
    every = students(40)
    print()
    done, wall, before, held = 0, 0.0, processor(), []
    while done < len(every):
        wall += seconds(every[done : done + 4], tmp_path / "one", 1)
        used = processor() - before
        before += used
        held.append(memory())
        print(f"one process, students {done + 1} to {done + 4}: {used / 48 * 1000:.0f} ms of processor for each "
              f"handout, {held[-1]:.0f} MB now")  # fmt: skip
        done += 4
    size = sum(path.stat().st_size for path in (tmp_path / "one").iterdir())
    print(f"{len(list((tmp_path / 'one').iterdir()))} files, {size / 2**20:.1f} MB, {wall:.1f} s by the clock")
    used = {}
    start = time.perf_counter()
    for outcome in done_one_by_one(jobs_for(lessons(), every, DAY, tmp_path / "two"), timed, 2):
        assert outcome.made is not None
        pid, seconds_used = outcome.made
        used[pid] = max(used.get(pid, 0.0), seconds_used)
    walls = time.perf_counter() - start
    print(f"two processes: {walls:.1f} s by the clock, {wall / walls:.2f} times as fast (little is told by a busy one)")
    print(f"{', '.join(f'{one:.1f}' for one in used.values())} s of processor, start included: "
          f"{sum(used.values()) / 480 * 1000:.0f} ms for each handout")  # fmt: skip
    most = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"each of the two held {most:.0f} MB at most")
    # What it holds after four students it holds after forty.
    assert held[-1] < held[0] * 1.1
    assert len(list((tmp_path / "one").iterdir())) == len(list((tmp_path / "two").iterdir())) == 480


@pytest.mark.bench
def test_a_stopped_run_leaves_whole_files_only(tmp_path: Path) -> None:
    """Stopped after the twentieth of 480."""
    made: list[Path] = []
    jobs = jobs_for(lessons(), students(40), DAY, tmp_path / "stopped")
    for outcome in print_all(jobs, 2, lambda: len(made) >= 20):
        assert outcome.made is not None
        made.append(outcome.made.path)
    files = sorted((tmp_path / "stopped").iterdir())
    print(f"\nstopped after 20: {len(files)} files, each of them whole")
    assert files == sorted(made)
    for file in files:
        assert len(PdfReader(file).pages) >= 1
