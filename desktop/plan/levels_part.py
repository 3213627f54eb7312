"""The levels of the studio: what each asks for, what comes before what, and how far something reaches them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QListWidgetItem, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from desktop.aside import Aside
from desktop.memory import counts_file
from desktop.plan.counting import Counting
from desktop.plan.lessons_beside import LessonsBeside
from desktop.plan.level_form import LevelForm
from desktop.plan.levels_desk import LevelsDesk, fill
from desktop.plan.levels_words import asked_words, level_words, need_words
from desktop.plan.measuring import Kind, Measuring, Whom
from desktop.plan.open_levels import OpenLevels
from desktop.plan.panel_parts import button, empty_part
from desktop.plan.paper_view import MARGIN, SCALE
from desktop.plan.wording import place_words, title_of
from desktop.words import english, say
from lessonkit.curriculum.coverage import Place
from lessonkit.curriculum.level_edits import (
    add_level,
    add_requirement,
    move_level,
    remove_level,
    remove_requirement,
    set_title,
)
from lessonkit.curriculum.levels import Curriculum, Level, Measure, Requirement
from lessonkit.curriculum.seen import Skill
from lessonkit.curriculum.skills_offered import skills_of_families, skills_offered
from lessonkit.storage.curriculum_file import SUFFIX

_PLACE = Qt.ItemDataRole.UserRole

LEAST_PICTURE = 420.0
"""The least width of the picture of what comes first, in points."""
_ABOUT = english(
    "Levels say what a student can do when a stage is reached. Terms, lessons and students are measured against them."
)


class LevelsPart(QWidget):
    """The part."""

    shown = Signal(Path, str)
    """A drill is to be shown in the lessons room: the lesson's file and the drill's id."""

    opened = Signal(Path)
    """Levels of another file are open."""

    def __init__(
        self,
        levels: OpenLevels,
        counting: Counting,
        beside: LessonsBeside,
        aside: Aside,
        student_folders: Callable[[], Sequence[Path]],
        students: Callable[[], Sequence[str]],
        ask_open: Callable[[], Path | None],
        ask_new: Callable[[], Path | None],
    ) -> None:
        super().__init__()
        self.levels = levels
        self._counting = counting
        self._beside = beside
        self._aside = aside
        self._students = students
        self._ask_open, self._ask_new = ask_open, ask_new
        self._skills: tuple[Skill, ...] = ()
        self._is_showing = False
        self._skill: Skill | None = None
        self.measuring = Measuring(levels, counting, beside, aside, student_folders, counts_file())
        self._stack = QStackedWidget()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._stack)
        self._make_buttons()
        self.form = LevelForm(levels)
        self.desk = LevelsDesk(self.form, dict(self.buttons))
        self.begin_new = button(say("New levels …"), say("Begin new levels"), self.new_levels)
        self.begin_open = button(say("Open levels …"), say("Open a file of levels"), self.open_levels)
        self._stack.addWidget(empty_part(say(_ABOUT), self.begin_new, self.begin_open))
        self._stack.addWidget(self.desk)
        desk = self.desk
        desk.way_chosen.connect(self._show_order)
        desk.title.textEdited.connect(self._set_title)
        desk.levels.currentRowChanged.connect(self._choose_level)
        desk.asked.currentRowChanged.connect(self._choose_asked)
        desk.needs.itemActivated.connect(self._open_need)
        desk.whom.activated.connect(lambda: self.measuring.choose(desk.whom.currentData()))
        desk.picture.clicked.connect(self.choose_skill)
        levels.changed.connect(self.show_levels)
        levels.opened.connect(self._begin)
        self.measuring.measured.connect(self._show_measures)
        beside.changed.connect(self._show_whom)
        self._begin()

    @property
    def undoing(self) -> OpenLevels:
        """What Undo works on here."""
        return self.levels

    @property
    def panes(self) -> tuple[QWidget, ...]:
        """What F6 goes through."""
        return self.desk.levels, self.desk.asked, self.desk.needs, self.form.name

    @property
    def level(self) -> int:
        """The place of the chosen level; -1 for none."""
        return self.desk.levels.currentRow()

    @property
    def place(self) -> int:
        """The place of the chosen thing that the level asks for; -1 for none."""
        return self.desk.asked.currentRow()

    def show_levels(self) -> None:
        """Show the curriculum as it is now."""
        curriculum = self.levels.curriculum
        self._stack.setCurrentIndex(1 if self.levels.is_open else 0)
        level, place = self.level, self.place
        self._is_showing = True
        if self.desk.title.text().strip() != curriculum.title:
            self.desk.title.setText(curriculum.title)
        self.desk.file.setText(self.levels.path.name if self.levels.path is not None else "")
        fill(self.desk.levels, [level_words(one, self._measure_of(at)) for at, one in enumerate(curriculum.levels)])
        self.desk.levels.setCurrentRow(min(max(level, 0), len(curriculum.levels) - 1))
        self._show_asked()
        self.desk.asked.setCurrentRow(min(max(place, 0), self.desk.asked.count() - 1))
        self._is_showing = False
        self._draw()
        self._offer_skills()
        self._show_chosen()

    def choose_skill(self, name: str) -> None:
        """Choose a skill by its name: where a level asks for it, that level too."""
        skill = Skill.parse(name)
        for at, level in enumerate(self.levels.curriculum.levels):
            for place, one in enumerate(level.requirements):
                if one.skill == skill:
                    self.desk.levels.setCurrentRow(at)
                    self.desk.asked.setCurrentRow(place)
                    return
        self.desk.asked.setCurrentRow(-1)
        self._skill = skill
        self._show_chosen()

    def add_level(self) -> None:
        """Put a level in behind the chosen one."""
        at = self.level + 1
        if not self.levels.attempt(say("Add level"), lambda one: add_level(one, at)):
            self.desk.levels.setCurrentRow(at)
            self.form.name.setFocus()
            self.form.name.selectAll()

    def remove_level(self) -> None:
        """Take the chosen level out."""
        at = self.level
        if at >= 0:
            name = self.levels.curriculum.levels[at].name
            self.levels.attempt(say("Remove {name}", name=name), lambda one: remove_level(one, at))

    def shift_level(self, by: int) -> None:
        """Put the chosen level earlier or later."""
        at, count = self.level, len(self.levels.curriculum.levels)
        if at >= 0 and 0 <= at + by < count:
            name = self.levels.curriculum.levels[at].name
            self.levels.attempt(say("Move {name}", name=name), lambda one: move_level(one, at, at + by))
            self.desk.levels.setCurrentRow(at + by)

    def add_asked(self) -> None:
        """Let the chosen level ask for one thing more."""
        at = self.level
        if at < 0 or not self._skills:
            return
        own = {one.skill for one in self.levels.curriculum.levels[at].requirements}
        skill = next((one for one in self._skills if one not in own), self._skills[0])
        asked = Requirement(skill)
        if not self.levels.attempt(
            say("Ask for {words}", words=say(skill.words)), lambda one: add_requirement(one, at, asked)
        ):
            self.desk.asked.setCurrentRow(self.desk.asked.count() - 1)
            self.form.skill.setFocus()

    def remove_asked(self) -> None:
        """Let the chosen level not ask for the chosen thing any more."""
        at, place = self.level, self.place
        if place >= 0:
            skill = self.levels.curriculum.levels[at].requirements[place].skill
            label = say("Do not ask for {words}", words=say(skill.words))
            self.levels.attempt(label, lambda one: remove_requirement(one, at, place))

    def open_levels(self) -> None:
        """Ask for a file of levels and open it."""
        path = self._ask_open()
        if path is not None and self.levels.open(path):
            self.opened.emit(path)

    def new_levels(self) -> None:
        """Ask where new levels are kept and begin them."""
        path = self._ask_new()
        if path is not None:
            self.levels.begin(Curriculum(path.name.removesuffix(SUFFIX), (Level(say("First level")),)), path)
            self.opened.emit(path)

    def _show_order(self, is_shown: bool) -> None:
        self.form.show_order(is_shown)
        # In a moment of its own, when its place has its size.
        QTimer.singleShot(0, self, self._draw)

    def _draw(self) -> None:
        # A bar at the side takes some of the room.
        room = self.desk.picture_width - 16
        picture = self.levels.curriculum.picture(max(LEAST_PICTURE, (room - 2 * MARGIN) / SCALE), say)
        self.desk.picture.show_drawing(picture, room)

    def _begin(self) -> None:
        self.desk.levels.setCurrentRow(-1)
        self._show_whom()
        self.show_levels()
        self._aside.ask("skills", skills_of_families, lambda found: self._offer_skills())
        self.measuring.measure()

    def _offer_skills(self) -> None:
        curriculum = self.levels.curriculum
        used = {one.skill for level in curriculum.levels for one in level.requirements}
        used |= {skill for pair in curriculum.before for skill in pair}
        used |= {skill for taught in self._counting.coverage.lessons for skill in (one.skill for one in taught.seen)}
        self._skills = skills_offered(used)
        self.form.show_skills(self._skills)

    def _show_asked(self) -> None:
        level = self._chosen_level()
        measure = self._measure_of(self.level)
        fill(self.desk.asked, [asked_words(one, measure) for one in level.requirements] if level is not None else [])

    def _choose_level(self) -> None:
        if not self._is_showing:
            self._is_showing = True
            self._show_asked()
            self.desk.asked.setCurrentRow(0)
            self._is_showing = False
            self._show_chosen()

    def _choose_asked(self) -> None:
        if not self._is_showing:
            self._show_chosen()

    def _show_chosen(self) -> None:
        level = self._chosen_level()
        if level is not None and 0 <= self.place < len(level.requirements):
            self._skill = level.requirements[self.place].skill
        for name in ("earlier", "later", "take out", "ask for"):
            self.buttons[name].setEnabled(level is not None)
        self.buttons["ask not"].setEnabled(self.place >= 0)
        self.form.show_chosen(self.level, self.place, self._skill)
        self.desk.picture.choose(self._skill.ascii if self._skill is not None else "")
        self._show_needs()

    def _show_measures(self) -> None:
        curriculum = self.levels.curriculum
        if len(self.measuring.measures) != len(curriculum.levels):
            return
        is_showing, self._is_showing = self._is_showing, True
        fill(self.desk.levels, [level_words(one, self._measure_of(at)) for at, one in enumerate(curriculum.levels)])
        self._show_asked()
        self._is_showing = is_showing
        self._show_needs()

    def _show_needs(self) -> None:
        level, measure = self._chosen_level(), self._measure_of(self.level)
        self.desk.needs.clear()
        if level is None or measure is None:
            return
        wanted = level.requirements[self.place].needs if self.place >= 0 else level.needs
        met = dict(measure.met)
        unmet = [need for need in wanted if need not in met]
        for need in unmet:
            self.desk.needs.addItem(QListWidgetItem(say("Missing: {need_words}", need_words=need_words(need))))
        for need in (one for one in wanted if one in met):
            places = self.measuring.places(need)
            if not places:
                self.desk.needs.addItem(QListWidgetItem(say("Met: {need_words}", need_words=need_words(need))))
            for place in places:
                words = place_words(place, self._beside.lessons)
                item = QListWidgetItem(say("Met: {need_words}\n{words}", need_words=need_words(need), words=words))
                item.setData(_PLACE, place)
                self.desk.needs.addItem(item)
        count = len(wanted)
        self.desk.said.setText(
            say("{met} of {count} met", met=count - len(unmet), count=count)
            if count
            else say("Nothing is asked for yet.")
        )

    def _measure_of(self, at: int) -> Measure | None:
        levels, measures = self.levels.curriculum.levels, self.measuring.measures
        if 0 <= at < len(levels) and at < len(measures) and measures[at].level == levels[at]:
            return measures[at]
        return None

    def _chosen_level(self) -> Level | None:
        levels = self.levels.curriculum.levels
        return levels[self.level] if 0 <= self.level < len(levels) else None

    def _show_whom(self) -> None:
        lessons = self._beside.lessons
        options = [(say("The term"), Whom()), (say("All lessons of the folder"), Whom(Kind.FOLDER))]
        titled = sorted((title_of(name, lessons), name) for name in lessons)
        options += [(say("Student {code}", code=code), Whom(Kind.STUDENT, code)) for code in self._students()]
        options += [(title, Whom(Kind.LESSON, name)) for title, name in titled]
        if [words for words, _ in options] == [self.desk.whom.itemText(at) for at in range(self.desk.whom.count())]:
            return
        self.desk.whom.clear()
        for words, whom in options:
            self.desk.whom.addItem(words, whom)
        places = [at for at, (_, whom) in enumerate(options) if whom == self.measuring.whom]
        self.desk.whom.setCurrentIndex(places[0] if places else 0)

    def _open_need(self, item: QListWidgetItem) -> None:
        place = item.data(_PLACE)
        path = self._beside.path_of(place.lesson) if isinstance(place, Place) else None
        if path is not None:
            self.shown.emit(path, place.block_id)

    def _set_title(self, title: str) -> None:
        self.levels.attempt(
            say("Title of the levels"), lambda one: set_title(one, title.strip() or say("Levels")), "title"
        )

    def _make_buttons(self) -> None:
        made = {
            "add": button(say("Add level"), say("Add a level behind the chosen one"), self.add_level),
            "earlier": button(say("Earlier"), say("Put the chosen level earlier"), lambda: self.shift_level(-1)),
            "later": button(say("Later"), say("Put the chosen level later"), lambda: self.shift_level(1)),
            "take out": button(say("Remove level"), say("Take the chosen level out"), self.remove_level),
            "ask for": button(say("Ask for a skill"), say("Let the level ask for one skill more"), self.add_asked),
            "ask not": button(
                say("Remove"), say("Let the level not ask for the chosen skill any more"), self.remove_asked
            ),
            "new": button(say("New levels …"), say("Begin new levels"), self.new_levels),
            "open": button(say("Open levels …"), say("Open a file of levels"), self.open_levels),
        }
        self.buttons: dict[str, QPushButton] = made

    # Qt overrides

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        QTimer.singleShot(0, self, self._draw)

    def sizeHint(self) -> QSize:
        return QSize(1000, 600)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._show_whom()
        self.measuring.measure()
