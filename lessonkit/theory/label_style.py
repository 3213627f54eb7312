"""How chord qualities are written on the page. One style holds for a whole lesson, so that no page mixes two faces."""

from __future__ import annotations

from dataclasses import fields

from lessonkit.values import dataclass

CHOICES: dict[str, tuple[str, ...]] = {
    "half_diminished": ("m7♭5", "ø7"),
    "major_seventh": ("maj7", "Δ7"),
    "minor": ("m", "−"),
    "diminished": ("°", "dim"),
}
"""The faces that each choice offers; the first is the one that is printed unless the teacher chooses."""


@dataclass(frozen=True, slots=True)
class LabelStyle:
    """The teacher's four choices of face; raises ValueError for a face that is not offered.

    ``diminished`` counts for the triad and, with a 7 after it, for the diminished seventh.
    """

    half_diminished: str = "m7♭5"
    major_seventh: str = "maj7"
    minor: str = "m"
    diminished: str = "°"

    def __post_init__(self) -> None:
        for field in fields(self):
            face = getattr(self, field.name)
            if face not in CHOICES[field.name]:
                what = field.name.replace("_", " ")
                raise ValueError(f"{face!r} is not a way to write {what}; choose {' or '.join(CHOICES[field.name])}")


PLAIN_STYLE = LabelStyle()
"""The faces that are printed unless the teacher chooses."""
