"""The papers, and where text stands on them. A4 and Letter share one text width, so that a drawing fits either."""

from __future__ import annotations

from lessonkit.lesson.lesson import Paper
from lessonkit.values import dataclass

MILLIMETRE = 72 / 25.4
"""A millimetre in points."""

TEXT_WIDTH = 174 * MILLIMETRE
"""The width of text and music on A4 and Letter. It leaves margins of 18 mm on A4, enough for a hole punch."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of paper and the area for text on it, in points from the top left corner.

    ``first_top`` is where the text of the first page begins; later pages carry a running head and begin at ``top``.
    """

    width: float
    height: float
    left: float
    first_top: float
    top: float
    bottom: float
    running_head: float
    """The base line of the running head."""
    page_number: float
    """The base line of the page number."""

    @property
    def text_width(self) -> float:
        """The width of text and music."""
        return self.width - 2 * self.left


def _sheet(width: float, height: float, text_width: float = TEXT_WIDTH) -> Sheet:
    return Sheet(
        width=width * MILLIMETRE,
        height=height * MILLIMETRE,
        left=(width * MILLIMETRE - text_width) / 2,
        first_top=17 * MILLIMETRE,
        top=23 * MILLIMETRE,
        bottom=(height - 20) * MILLIMETRE,
        running_head=15.5 * MILLIMETRE,
        page_number=(height - 12.5) * MILLIMETRE,
    )


SHEETS: dict[Paper, Sheet] = {
    Paper.A4: _sheet(210, 297),
    Paper.LETTER: _sheet(215.9, 279.4),
    Paper.BOTH: _sheet(210, 279.4),
    Paper.A5: _sheet(148, 210, 123.9 * MILLIMETRE),
    Paper.A3: _sheet(297, 420, 261 * MILLIMETRE),
}
"""Each paper's sheet; margins are 12 mm or more, page numbers included, which every printer can reach."""
