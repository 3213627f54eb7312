"""The footer: how to make the page again, how to listen, and a line of 50 mm by which a shrunk print is noticed."""

from __future__ import annotations

from lessonkit.drills import fields
from lessonkit.lesson.page_aid import At, PageAid, Scene
from lessonkit.lesson.shown import Foot, Shown
from lessonkit.values import dataclass


@dataclass(frozen=True)
class Footer(PageAid):
    """Small print at the foot of the page: the drills' ids and sheet numbers, and a line of 50 mm to measure."""

    code = "footer"
    title = "Footer"
    words = ("small print", "scale", "seed", "ruler", "listen")
    at = At.FOOT

    listen: str = fields.words("", label="How to listen", most=120, help="Such as the name of a sound file.")
    shows_marks: bool = fields.yes_no(True, label="Ids and sheet numbers")
    shows_scale: bool = fields.yes_no(True, label="A line of 50 mm", help="Measured, it shows a page that was shrunk.")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        parts = [f"Listen: {self.listen}" if self.listen else "", scene.marks if self.shows_marks else ""]
        return (Foot(" · ".join(filter(None, parts)), self.shows_scale),)
