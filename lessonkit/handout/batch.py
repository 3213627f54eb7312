"""Many handouts at once, in processes of their own. A run can be stopped at any moment and leaves whole files only.

Jobs are handed out a few at a time, so that memory stays level however many there are.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from itertools import islice
from typing import Generic, TypeVar

from lessonkit.values import dataclass

Job = TypeVar("Job")
Made = TypeVar("Made")

AHEAD = 2
"""How many jobs wait for each process."""


@dataclass(frozen=True, slots=True)
class Outcome(Generic[Job, Made]):
    """What came of one job: what was made, or the sentence that says why nothing was."""

    job: Job
    made: Made | None
    problem: str = ""


def _never() -> bool:
    return False


def done_one_by_one(
    jobs: Iterable[Job],
    work: Callable[[Job], Made],
    processes: int = 1,
    is_stopped: Callable[[], bool] = _never,
) -> Iterator[Outcome[Job, Made]]:
    """Do each job and answer its outcome as soon as it is there, in any order where there are several processes.

    ``work`` is a function of a module and jobs are plain values, since both travel to other processes. Where
    ``is_stopped`` says so, nothing more is begun; what has been begun is finished.
    """
    if processes <= 1:
        for job in jobs:
            if is_stopped():
                return
            yield _done(job, work)
        return
    # Processes are started anew and not split off, since a window has threads that do not survive that.
    pool = ProcessPoolExecutor(processes, multiprocessing.get_context("spawn"))
    try:
        left = iter(jobs)
        running: dict[Future[Made], Job] = {}
        while True:
            if not is_stopped():
                for job in islice(left, processes * AHEAD - len(running)):
                    running[pool.submit(work, job)] = job
            if not running:
                return
            for future in wait(running, return_when=FIRST_COMPLETED).done:
                yield _outcome(running.pop(future), future)
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _done(job: Job, work: Callable[[Job], Made]) -> Outcome[Job, Made]:
    try:
        return Outcome(job, work(job))
    except (ValueError, OSError) as error:
        return Outcome(job, None, str(error))


def _outcome(job: Job, future: Future[Made]) -> Outcome[Job, Made]:
    try:
        return Outcome(job, future.result())
    except (ValueError, OSError) as error:
        return Outcome(job, None, str(error))
