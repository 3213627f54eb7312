"""The one door to verovio: MEI in, SVG out, always the same. verovio is loaded at the first call and kept."""

from __future__ import annotations

from pathlib import Path
from threading import Lock
from typing import Any

UNITS_IN_STAFF = 720
"""Units of the answered SVG to one staff height; a staff space is 180."""

UNITS_IN_SPACE = 180

_OPTIONS = {
    "font": "Bravura",
    "breaks": "encoded",
    "header": "none",
    "footer": "none",
    "pageHeight": 60000,
    "pageMarginTop": 0,
    "pageMarginBottom": 0,
    "pageMarginLeft": 0,
    "pageMarginRight": 0,
    # The distances across are ours: here everything only has to stand clear of everything else.
    "noJustification": True,
    "spacingLinear": 0.3,
    "mnumInterval": 0,
    "outputFormatRaw": True,
    "svgFormatRaw": True,
    "svgRemoveXlink": True,
    "smuflTextFont": "none",
    "xmlIdSeed": 1,
}

_lock = Lock()
_kept: list[Any] = []
_width = 0


def svg_of(mei: str, width: float) -> str:
    """The SVG of all systems, each ``width`` units wide; one long page, and more behind it where verovio needs them.

    Raises ValueError where verovio cannot read the text, which is an error of ours.
    """
    global _width
    with _lock:
        toolkit = _toolkit()
        tenths = round(width / 10)
        if tenths != _width:
            toolkit.setOptions({"pageWidth": max(tenths, 100)})
            _width = tenths
        if not toolkit.loadData(mei):
            raise ValueError("the notes could not be engraved; this is an error of the program, please report it")
        pages = [toolkit.renderToSVG(page) for page in range(1, toolkit.getPageCount() + 1)]
    return "".join(pages)


def _toolkit() -> Any:
    if not _kept:
        import verovio

        verovio.enableLog(verovio.LOG_OFF)
        toolkit = verovio.toolkit(False)
        toolkit.setResourcePath(str(Path(verovio.__path__[0]) / "data"))
        toolkit.setOptions(_OPTIONS)
        _kept.append(toolkit)
    return _kept[0]
