"""A page of the help in Qt's rich text: what a drill or an aid is, its picture, its settings in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from html import escape
from typing import cast

from PySide6.QtCore import QSize
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from desktop.painting.qt_painter import QtPainter
from desktop.theme import tones_of
from desktop.words import say
from lessonkit.drawing.shapes import Placed, paint
from lessonkit.drills.declared import Declared
from lessonkit.drills.difficulty import difficulty
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.params import Param
from lessonkit.lesson.lesson import Block, Lesson
from lessonkit.pages.blocks import draw_block, look_of

PICTURE = "picture"
"""The name of the picture within a page."""

_SCALE, _MARGIN = 0.95, 8.0
"""Pixels in a point of the picture, and the paper around the music in pixels."""

_HIGHEST = 360
"""A picture is not higher, in pixels; the lines that do not fit are left out."""


def explained(kind: type[Declared], lesson: Lesson, size: QSize | None) -> str:
    """What a drill or an aid is for, how it goes and what can be set; with a picture where its ``size`` is known."""
    parts = [_heading("h2", say(kind.title)), f"<p>{escape(say(kind.about()))}</p>"]
    parts += [f"<p>{escape(say(paragraph))}</p>" for paragraph in _more(kind)]
    if size is not None:
        parts.append(f"<p><img src='{PICTURE}' width='{size.width()}' height='{size.height()}'></p>")
    if issubclass(kind, DrillFamily):
        parts.append(f"<p>{escape(_hardness(kind, lesson))}</p>")
    parts.append(_heading("h3", say("What can be set")))
    for group, params in _groups(kind.declared()).items():
        parts.append(_heading("h4", say(group)))
        parts += [_row(param) for param in params]
    return "".join(parts)


def picture_of(block: Block, lesson: Lesson, width: int, ratio: float) -> QImage | None:
    """The block as it prints in the lesson's key, set in a column of so many pixels; None where it shows nothing."""
    tones = tones_of(cast(QApplication, QApplication.instance()))
    look = replace(look_of(lesson), width=(width - 2 * _MARGIN) / _SCALE)
    placed, y = [], 0.0
    for part in draw_block(block, lesson, look).parts:
        top = y + (part.above if placed else 0.0)
        if placed and (top + part.drawing.height) * _SCALE > _HIGHEST:
            break
        placed.append(Placed(part.drawing, 0.0, top))
        y = top + part.drawing.height
    if not placed:
        return None
    height = round(y * _SCALE + 2 * _MARGIN)
    image = QImage(round(width * ratio), round(height * ratio), QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(tones.paper)
    painter = QPainter(image)
    painter.scale(ratio, ratio)
    painter.translate(_MARGIN, _MARGIN)
    painter.scale(_SCALE, _SCALE)
    for one in placed:
        paint(one, QtPainter(painter, tones.page_ink, tones.paper))
    painter.end()
    image.setDevicePixelRatio(ratio)
    return image


def _more(kind: type[Declared]) -> Iterator[str]:
    """The further paragraphs of what is said of it."""
    for paragraph in (kind.__doc__ or "").split("\n\n")[1:]:
        yield " ".join(paragraph.split())


def _hardness(kind: type[DrillFamily], lesson: Lesson) -> str:
    try:
        band = difficulty(kind(), lesson.setting).band
    except ValueError:
        return ""
    return say("In {key} it is {band} for the hands of this lesson.", key=str(lesson.key), band=say(band.value))


def _groups(declared: Mapping[str, Param]) -> dict[str, list[Param]]:
    """The settings by their groups, the drill's own first: the common ones are the same everywhere."""
    found: dict[str, list[Param]] = {}
    for param in declared.values():
        found.setdefault(param.group, []).append(param)
    common = {param.group for param in DrillFamily.declared().values()}
    return {name: found[name] for name in sorted(found, key=lambda name: name in common)}


def _heading(level: str, words: str) -> str:
    # The faces of the window have no bolder letters than these.
    return f"<{level} style='font-weight: 600'>{escape(words)}</{level}>"


def _row(param: Param) -> str:
    tones = tones_of(cast(QApplication, QApplication.instance()))
    about = f"<br><span style='color: {tones.muted}'>{escape(say(param.help))}</span>" if param.help else ""
    return f"<p style='margin-top: 0; margin-bottom: 6px'>{escape(say(param.label))}{about}</p>"
