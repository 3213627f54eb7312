"""A stretch of work in which Python's search for cycles rests: a page makes thousands of values and no cycle.

Each few hundred new values set the search off, and it walks the same ones again; what it would find here is nothing.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uncollected() -> Iterator[None]:
    """Let the search rest until the work is done; within another such stretch nothing changes."""
    if not gc.isenabled():
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
