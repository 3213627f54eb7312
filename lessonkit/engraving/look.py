"""How an engraving should look: the width it has, the staff's height, the faces of labels. Nothing about the notes."""

from __future__ import annotations

from dataclasses import field

from lessonkit.engraving.lettering import SERIF, Lettering
from lessonkit.theory.label_style import LabelStyle
from lessonkit.values import dataclass

POINTS_IN_MILLIMETRE = 72 / 25.4
_ORDINARY, _LARGE = 8.0, 16.0
_BOLD_ENOUGH = 7.0
"""The staff height in millimetres below which lines no longer get thinner."""

SMALLEST_STAFF, LARGEST_STAFF = 3.5, 20.0
"""The staff heights that can be asked for, in millimetres between the outer lines."""


@dataclass(frozen=True, slots=True)
class Look:
    """The choices of the page around a drill.

    ``width`` is the width of the text in points, ``staff_height`` the distance between a staff's outer lines in
    millimetres; ``shows_answers`` prints what a worksheet leaves blank; ``numbers_bars`` numbers the bar that begins
    a line, from the second line on; ``tempo_mark`` stands above the first bar, as ``♩. = 48``; ``lettering`` are the
    faces of all letters around the staff. Raises ValueError for sizes that cannot be drawn.
    """

    width: float
    staff_height: float = 7.0
    label_style: LabelStyle = field(default_factory=LabelStyle)
    shows_answers: bool = False
    numbers_bars: bool = True
    tempo_mark: str = ""
    lettering: Lettering = SERIF

    def __post_init__(self) -> None:
        if not SMALLEST_STAFF <= self.staff_height <= LARGEST_STAFF:
            raise ValueError(
                f"a staff of {self.staff_height} mm cannot be drawn; choose from {SMALLEST_STAFF} to {LARGEST_STAFF} mm"
            )
        if not self.width >= 8 * self.staff_points:
            raise ValueError(
                f"{self.width:.0f} points are too narrow for a staff of {self.staff_height} mm; "
                f"give at least {8 * self.staff_points:.0f}"
            )

    @property
    def enlargement(self) -> float:
        """How far the print is a large one: 0 up to an ordinary staff, 1 where a staff is 16 mm high and more."""
        return min(max((self.staff_height - _ORDINARY) / (_LARGE - _ORDINARY), 0.0), 1.0)

    @property
    def weight(self) -> float:
        """How much thicker lines are than their share of the staff: small staves must not fade, large print be bold."""
        return max(1.0, _BOLD_ENOUGH / self.staff_height) + 0.45 * self.enlargement

    @property
    def staff_points(self) -> float:
        """The staff's height in points."""
        return self.staff_height * POINTS_IN_MILLIMETRE
