"""Colours and letters of the window, light and dark. One accent marks what is selected, and nothing else."""

from __future__ import annotations

import re
from dataclasses import asdict
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QFontDatabase, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication

from lessonkit.values import dataclass

RESOURCES = Path(__file__).resolve().parents[1] / "resources"
"""The folder with fonts, icons and the style sheet."""

GRID = 8
"""The step of all distances in the window, in device-independent pixels."""

LARGER = (1.0, 1.2, 1.5, 2.0)
"""How many times larger the window's words can be than usual."""

STYLE = "Fusion"
"""Qt's own style, which looks alike on every system; the style sheet dresses it."""

_INTERFACE_FONTS = (
    "SourceSansPro-Regular",
    "SourceSansPro-Semibold",
    "LessonkitSigns",
    "LessonkitSigns-Bold",
    "SourceSerifPro-Regular",
)
_FAMILIES = ["Source Sans Pro", "Lessonkit Signs", "Liberation Sans", "sans-serif"]


@dataclass(frozen=True, slots=True)
class Tones:
    """The colours of one appearance, as #rrggbb.

    ``ink`` and ``muted`` write on ``panel`` and ``control``; ``page_ink`` writes on ``paper``; ``on_accent`` on the
    accent. ``edge`` parts what lies side by side; ``mark`` is the accent where it is laid over paper.
    """

    is_dark: bool
    desk: str
    panel: str
    control: str
    hover: str
    edge: str
    ink: str
    muted: str
    accent: str
    on_accent: str
    paper: str
    page_ink: str
    page_edge: str
    mark: str


LIGHT = Tones(
    is_dark=False,
    desk="#d8d3cb",
    panel="#efebe5",
    control="#fbf9f6",
    hover="#e5e0d8",
    edge="#d3ccc2",
    ink="#211f1c",
    muted="#655f57",
    accent="#14595b",
    on_accent="#ffffff",
    paper="#ffffff",
    page_ink="#141312",
    page_edge="#bbb4a9",
    mark="#14595b",
)

DARK = Tones(
    is_dark=True,
    desk="#1a1917",
    panel="#262421",
    control="#33302c",
    hover="#3d3a35",
    edge="#45413b",
    ink="#ece7df",
    muted="#aea69c",
    accent="#5fb7b3",
    on_accent="#10201f",
    paper="#d8d3c9",
    page_ink="#12110f",
    page_edge="#000000",
    mark="#0d5052",
)


def tones_of(application: QApplication) -> Tones:
    """The tones that were applied last; the light ones before any were."""
    return DARK if application.property("tones") == "dark" else LIGHT


def apply_theme(application: QApplication, tones: Tones, larger: float = 1.0) -> None:
    """Dress the whole application: its own style, palette, letters and style sheet, the same on every desktop."""
    application.setProperty("enlarged", larger)
    if application.property("style") != STYLE:
        application.setStyle(STYLE)
        application.setProperty("style", STYLE)
    application.setProperty("tones", "dark" if tones.is_dark else "light")
    application.setPalette(palette(tones))
    application.setFont(interface_font())
    application.setStyleSheet(style_sheet(tones))


def dress_application(appearance: str, larger: float = 1.0) -> None:
    """Dress the application in ``light`` or ``dark``, or with ``system`` as the computer is."""
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    is_dark = appearance == "dark"
    if appearance == "system":
        is_dark = QGuiApplication.styleHints().colorScheme() is Qt.ColorScheme.Dark
    apply_theme(application, DARK if is_dark else LIGHT, larger)


def interface_font(size: float = 10.5, is_bold: bool = False) -> QFont:
    """The face of the interface at a size in points; accidentals come from our own face of signs."""
    _load_fonts()
    font = QFont()
    font.setFamilies(_FAMILIES)
    font.setPointSizeF(size * enlarged())
    font.setWeight(QFont.Weight.DemiBold if is_bold else QFont.Weight.Normal)
    return font


def palette(tones: Tones) -> QPalette:
    """Qt's palette in our tones."""
    roles = {
        QPalette.ColorRole.Window: tones.panel,
        QPalette.ColorRole.WindowText: tones.ink,
        QPalette.ColorRole.Base: tones.control,
        QPalette.ColorRole.AlternateBase: tones.panel,
        QPalette.ColorRole.Text: tones.ink,
        QPalette.ColorRole.Button: tones.panel,
        QPalette.ColorRole.ButtonText: tones.ink,
        QPalette.ColorRole.BrightText: tones.on_accent,
        QPalette.ColorRole.Highlight: tones.accent,
        QPalette.ColorRole.HighlightedText: tones.on_accent,
        QPalette.ColorRole.Accent: tones.accent,
        QPalette.ColorRole.Link: tones.accent,
        QPalette.ColorRole.ToolTipBase: tones.control,
        QPalette.ColorRole.ToolTipText: tones.ink,
        QPalette.ColorRole.PlaceholderText: tones.muted,
        QPalette.ColorRole.Light: tones.control,
        QPalette.ColorRole.Midlight: tones.hover,
        QPalette.ColorRole.Mid: tones.edge,
        QPalette.ColorRole.Dark: tones.muted,
        QPalette.ColorRole.Shadow: tones.page_edge,
    }
    dressed = QPalette()
    for role, colour in roles.items():
        dressed.setColor(role, QColor(colour))
    for role in (QPalette.ColorRole.Text, QPalette.ColorRole.WindowText, QPalette.ColorRole.ButtonText):
        dressed.setColor(QPalette.ColorGroup.Disabled, role, QColor(tones.muted))
    return dressed


def style_sheet(tones: Tones) -> str:
    """The style sheet with every ``@name`` filled in; a name that is no tone is a mistake in the sheet."""
    colours = asdict(tones) | {"icons": (RESOURCES / "icons").as_posix() + ("/dark" if tones.is_dark else "/light")}
    sheet = (RESOURCES / "window.qss").read_text(encoding="utf-8")
    sheet = re.sub(r"@([a-z_]+)", lambda found: str(colours[found[1]]), sheet)
    return re.sub(r"font-size: ([0-9.]+)pt", lambda found: f"font-size: {float(found[1]) * enlarged():g}pt", sheet)


def enlarged() -> float:
    """How many times larger than usual the window's words are."""
    application = QApplication.instance()
    return float(application.property("enlarged") or 1.0) if application is not None else 1.0


def _load_fonts() -> None:
    if "Source Sans Pro" in QFontDatabase.families():
        return
    for name in _INTERFACE_FONTS:
        QFontDatabase.addApplicationFont(str(RESOURCES / "fonts" / f"{name}.ttf"))
