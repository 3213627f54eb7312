"""How a lesson is printed: for whom, how its drills are shown, and how its pages stand on sheets."""

from __future__ import annotations

from lessonkit.handout.imposition import Imposition
from lessonkit.lesson.lesson import Lesson
from lessonkit.pages.editions import Edition, edition_pages
from lessonkit.pages.flow import pages_of
from lessonkit.pages.page import Page
from lessonkit.pages.page_look import Reading
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class HowPrinted:
    """For whom a handout is printed, how its drills are shown, how its pages stand on sheets, and whether it is told.

    A talking score is a text beside the handout.
    """

    edition: Edition = Edition.STUDENT
    reading: Reading = Reading.STAFF
    imposition: Imposition = Imposition.SINGLE
    is_told: bool = False

    @property
    def in_name(self) -> str:
        """What is said of it in the name of a file: nothing of what is usual, else ``-large-booklet``."""
        usual = HowPrinted()
        pairs = ((self.edition, usual.edition), (self.reading, usual.reading), (self.imposition, usual.imposition))
        return "".join(f"-{one.value}" for one, other in pairs if one is not other)


def printed_pages(lesson: Lesson, shows_answers: bool, how: HowPrinted) -> tuple[Page, ...]:
    """The pages of a lesson as it is printed; the student's usual handout may have its answers behind it."""
    if shows_answers and how.edition is Edition.STUDENT and how.reading is Reading.STAFF:
        return pages_of(lesson, shows_answers=True)
    return edition_pages(lesson, how.edition, how.reading)
