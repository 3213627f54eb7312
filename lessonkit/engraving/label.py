"""Chord names and degrees as musicians set them: the root large, its accidental close, the quality small and raised."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from lessonkit.drawing.fonts import runs
from lessonkit.drawing.shapes import Face
from lessonkit.drawing.text_width import text_width


class LabelRun(NamedTuple):
    """A run of a label: its letters, face, size, and where it starts from the label's origin (y grows downwards)."""

    text: str
    face: Face
    size: float
    x: float
    y: float


class SetLabel(NamedTuple):
    """A label that is set: its runs, its width and how far it reaches above and below the base line."""

    runs: tuple[LabelRun, ...]
    width: float
    ascent: float
    descent: float


_SMALL, _RAISED = 0.76, 0.27
_SIGN, _SIGN_RAISED = 0.92, 0.06


@lru_cache(maxsize=8192)
def set_label(text: str, size: float, face: Face = Face.STAFF) -> SetLabel:
    """Set a chord name or a degree at a size; the joined texts of its runs are the text itself."""
    parts = _large_and_small(text)
    x = 0.0
    set_runs: list[LabelRun] = []
    ascent = 0.68 * size
    for letters, is_small in parts:
        letter_size = size * _SMALL if is_small else size
        lift = size * _RAISED if is_small else 0.0
        for piece, piece_face in runs(letters, face):
            is_sign = piece_face is Face.SIGNS
            piece_size = letter_size * (_SIGN if is_sign else 1.0)
            piece_lift = lift + (letter_size * _SIGN_RAISED if is_sign else 0.0)
            if is_sign and set_runs:
                # A sign belongs to the letter or figure beside it and stands close.
                x += 0.02 * size
            set_runs.append(LabelRun(piece, piece_face, piece_size, x, -piece_lift))
            x += text_width(piece, piece_face, piece_size) + (0.02 * size if is_sign else 0.0)
        ascent = max(ascent, lift + 0.74 * letter_size)
    return SetLabel(tuple(set_runs), x, ascent, 0.2 * size)


def _large_and_small(text: str) -> list[tuple[str, bool]]:
    """The label in pieces, each large on the base line or small and raised."""
    head, slash, tail = text, "", ""
    at = text.rfind("/")
    if at > 0 and at + 1 < len(text) and not text[at + 1].isdigit():
        head, slash, tail = text[:at], "/", text[at + 1 :]
    pieces = _one_symbol(head)
    return [*pieces, (slash, False), *_one_symbol(tail)] if slash else pieces


_SYMBOL = re.compile(r"(sub)?([♭♯𝄪𝄫]*)([A-G]|[IViv]+)([♭♯𝄪𝄫]*)(m(?!aj)|−)?(.*)", re.DOTALL)


def _one_symbol(text: str) -> list[tuple[str, bool]]:
    match = _SYMBOL.fullmatch(text)
    if match is None:
        return [(text, False)] if text else []
    large = "".join(part or "" for part in match.group(1, 2, 3, 4, 5))
    # Each sign is a piece of its own, so that it can stand a little higher than the letters.
    return [(large, False), (match[6], True)] if match[6] else [(large, False)]
