"""The header strip: whose page it is and when, with lines to write on for what is not filled in."""

from __future__ import annotations

from lessonkit.drills import fields
from lessonkit.lesson.page_aid import PageAid, Scene
from lessonkit.lesson.shown import Fields, Shown
from lessonkit.values import dataclass


@dataclass(frozen=True)
class HeaderStrip(PageAid):
    """Whose page it is, the date, the level and the studio; what is left empty becomes a line to write on."""

    code = "header-strip"
    title = "Header strip"
    words = ("name", "student", "date", "level", "studio", "page number")
    leads = True

    student: str = fields.words("", label="Student", most=40, help="A code or initials; no name is needed to print.")
    date: str = fields.words("", label="Date", most=30)
    level: str = fields.words("", label="Level", most=30)
    shows_level: bool = fields.yes_no(True, label="A place for the level")
    studio: str = fields.words("", label="Studio", most=60, help="Where it is not the author named at the head.")
    shows_title: bool = fields.yes_no(
        False, label="The lesson's title", help="For later pages; the first one has it at its head."
    )
    numbers_page: bool = fields.yes_no(True, label="Page number")

    def shown(self, scene: Scene) -> tuple[Shown, ...]:
        pairs = [("Student", self.student), ("Date", self.date)]
        if self.shows_level:
            pairs.append(("Level", self.level))
        if self.studio:
            pairs.append(("Studio", self.studio))
        return (Fields(scene.title if self.shows_title else "", tuple(pairs), self.numbers_page),)
