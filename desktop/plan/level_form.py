"""What is chosen among the levels: the level's name, what it asks of a skill, and which skills come before it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QCompleter,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from desktop.forms.row import quiet_label
from desktop.forms.wording import quality_words
from desktop.plan.key_ticks import KeyTicks
from desktop.plan.open_levels import OpenLevels
from desktop.plan.panel_parts import PlanForm, button, clear_layout, number_box
from desktop.words import say
from lessonkit.curriculum.level_edits import (
    add_before,
    remove_before,
    rename_level,
    set_requirement,
)
from lessonkit.curriculum.levels import Requirement
from lessonkit.curriculum.seen import Skill
from lessonkit.drills.exercise import Hand
from lessonkit.lesson.lesson import FASTEST, SLOWEST
from lessonkit.theory.key import Key
from lessonkit.theory.quality import QUALITIES

_QUALITY = Qt.ItemDataRole.UserRole


class LevelForm(PlanForm):
    """Shows a level, what it asks of one skill, and the skills that come before that one."""

    def __init__(self, levels: OpenLevels) -> None:
        super().__init__("")
        self._levels = levels
        self._level = self._place = -1
        self._skill: Skill | None = None
        self._is_showing = self._is_order = False
        self._skills: tuple[Skill, ...] = ()
        self.title.hide()
        self.name = QLineEdit()
        self.name.setAccessibleName(say("Name of the level"))
        self.name.textEdited.connect(self._rename)
        self.field(say("Name of the level"), self.name)
        self.reason = quiet_label("")
        self.reason.setObjectName("reason")
        self.reason.setWordWrap(True)
        self.add(self.reason)
        self.asked = self._part(say("What it asks for"))
        inside = self.asked.layout()
        assert isinstance(inside, QVBoxLayout)
        self.skill = _skill_chooser(say("Skill"))
        self.skill.activated.connect(self._set_skill)
        self.keys = KeyTicks()
        self.keys.edited.connect(self._set_keys)
        self.right = QCheckBox(say("Right hand"))
        self.left = QCheckBox(say("Left hand"))
        self.qualities = QListWidget()
        self.qualities.setObjectName("whoList")
        self.qualities.setAccessibleName(say("Kinds of chord"))
        self.qualities.setFixedHeight(176)
        self.qualities.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        for quality in QUALITIES:
            item = QListWidgetItem(quality_words(quality))
            item.setData(_QUALITY, quality.key)
            item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Unchecked)
            self.qualities.addItem(item)
        self.qualities.itemChanged.connect(self._set_qualities)
        self.tempo = number_box(say("Least tempo"), SLOWEST - 1, FASTEST)
        # The lowest value stands for none.
        self.tempo.setSpecialValueText(say("Any tempo"))
        self.tempo.valueChanged.connect(self._set_tempo)
        for words, editor in (
            (say("Skill"), self.skill),
            (say("Keys: any key, where none is chosen"), self.keys),
            (say("Hands: either, where none is ticked"), self.right),
            ("", self.left),
            (say("Kinds of chord: any, where none is ticked"), self.qualities),
            (say("Least tempo"), self.tempo),
        ):
            if words:
                label = quiet_label(words)
                label.setObjectName("rowLabel")
                label.setBuddy(editor)
                inside.addSpacing(8)
                inside.addWidget(label)
            inside.addWidget(editor)
        for box in (self.right, self.left):
            box.clicked.connect(self._set_hands)
        self.order = self._part(say("What comes before this skill"))
        column = self.order.layout()
        assert isinstance(column, QVBoxLayout)
        self._whose = quiet_label("")
        self._whose.setObjectName("quiet")
        self._whose.setWordWrap(True)
        column.addWidget(self._whose)
        self._before = QVBoxLayout()
        self._before.setSpacing(4)
        column.addLayout(self._before)
        self.first = _skill_chooser(say("Skill that comes first"))
        column.addWidget(self.first)
        self.add_first = button(say("Comes first"), say("Let the chosen skill come before this one"), self._add_first)
        column.addWidget(self.add_first, 0, Qt.AlignmentFlag.AlignLeft)
        self.loop = quiet_label("")
        self.loop.setObjectName("reason")
        self.loop.setWordWrap(True)
        column.addWidget(self.loop)
        self.end()

    def show_order(self, is_shown: bool) -> None:
        """Show what comes before the chosen skill alone, or also what the level asks for."""
        self._is_order = is_shown
        self.asked.setVisible(self._place >= 0 and not is_shown)

    def show_skills(self, skills: Sequence[Skill]) -> None:
        """Offer these skills."""
        if tuple(skills) == self._skills:
            return
        self._skills = tuple(skills)
        for chooser in (self.skill, self.first):
            chooser.clear()
            for skill in self._skills:
                chooser.addItem(say(skill.words), skill.ascii)

    def show_chosen(self, level: int, place: int, skill: Skill | None) -> None:
        """Show a level (-1 for none), what it asks for at a place (-1 for nothing), and what comes before a skill."""
        curriculum = self._levels.curriculum
        is_other = (level, place, skill) != (self._level, self._place, self._skill)
        self._is_showing = True
        self._level, self._place, self._skill = level, place, skill
        self.name.setEnabled(level >= 0)
        name = curriculum.levels[level].name if level >= 0 else ""
        if is_other or not self.name.hasFocus():
            self.name.setText(name)
        if is_other:
            self.reason.setText("")
            self.loop.setText("")
        self.reason.setVisible(bool(self.reason.text()))
        self.loop.setVisible(bool(self.loop.text()))
        self.asked.setVisible(place >= 0 and not self._is_order)
        if place >= 0:
            self._show_requirement(curriculum.levels[level].requirements[place])
        self.order.setVisible(skill is not None)
        if skill is not None:
            self._show_before(skill, curriculum.needed_before.get(skill, ()))
        self._is_showing = False

    def _show_requirement(self, one: Requirement) -> None:
        self.skill.setCurrentIndex(self.skill.findData(one.skill.ascii))
        self.keys.show_keys(one.keys)
        self.right.setChecked(Hand.RIGHT in one.hands)
        self.left.setChecked(Hand.LEFT in one.hands)
        for place in range(self.qualities.count()):
            item = self.qualities.item(place)
            is_on = item.data(_QUALITY) in one.qualities
            item.setCheckState(Qt.CheckState.Checked if is_on else Qt.CheckState.Unchecked)
        self.tempo.setValue(one.tempo or SLOWEST - 1)

    def _show_before(self, skill: Skill, first: Sequence[Skill]) -> None:
        clear_layout(self._before)
        self._whose.setText(f"{say(skill.words)}: {say('after') if first else say('nothing has to come before it')}")
        for one in first:
            line = PlanLine(
                say(one.words),
                say("Take out"),
                say("{words} need not come first", words=say(one.words)),
                partial(self._remove_first, one),
            )
            self._before.addWidget(line)

    def _part(self, caption: str) -> QWidget:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 16, 0, 0)
        column.setSpacing(4)
        label = quiet_label(caption)
        label.setObjectName("groupCaption")
        column.addWidget(label)
        self.add(holder)
        return holder

    def _rename(self, name: str) -> None:
        at = self._level
        self._tell(self._levels.attempt(say("Name of a level"), lambda one: rename_level(one, at, name), f"level {at}"))

    def _set_skill(self) -> None:
        skill = Skill.parse(self.skill.currentData())
        self._change(say("Ask for {words}", words=say(skill.words)), lambda one: replace(one, skill=skill))

    def _set_keys(self, keys: tuple[Key, ...]) -> None:
        self._change(say("Keys of a level"), lambda one: replace(one, keys=keys))

    def _set_hands(self) -> None:
        ticked = [hand for hand, box in ((Hand.RIGHT, self.right), (Hand.LEFT, self.left)) if box.isChecked()]
        self._change(say("Hands of a level"), lambda one: replace(one, hands=tuple(ticked)))

    def _set_qualities(self) -> None:
        if self._is_showing:
            return
        items = [self.qualities.item(place) for place in range(self.qualities.count())]
        offered = [item.data(_QUALITY) for item in items]
        ticked = [item.data(_QUALITY) for item in items if item.checkState() is Qt.CheckState.Checked]
        self._change(
            say("Kinds of chord of a level"),
            lambda one: replace(one, qualities=(*ticked, *(key for key in one.qualities if key not in offered))),
        )

    def _set_tempo(self, tempo: int) -> None:
        merge = f"tempo {self._level} {self._place}"
        self._change(say("Tempo of a level"), lambda one: replace(one, tempo=tempo if tempo >= SLOWEST else 0), merge)

    def _change(self, label: str, change: Callable[[Requirement], Requirement], merge_key: str = "") -> None:
        level, place = self._level, self._place
        if self._is_showing or place < 0:
            return
        old = self._levels.curriculum.levels[level].requirements[place]
        self._tell(
            self._levels.attempt(label, lambda one: set_requirement(one, level, place, change(old)), merge_key)
        )  # fmt: skip

    def _add_first(self) -> None:
        skill, first = self._skill, self.first.currentData()
        if skill is not None and first:
            one = Skill.parse(first)
            label = say("{first} before {skill}", first=say(one.words), skill=say(skill.words))
            self.loop.setText(self._levels.attempt(label, lambda before: add_before(before, one, skill)))
            self.loop.setVisible(bool(self.loop.text()))

    def _remove_first(self, first: Skill) -> None:
        skill = self._skill
        if skill is not None:
            label = say("{first} not before {skill}", first=say(first.words), skill=say(skill.words))
            self.loop.setText(self._levels.attempt(label, lambda before: remove_before(before, first, skill)))

    def _tell(self, reason: str) -> None:
        self.reason.setText(reason)
        self.reason.setVisible(bool(reason))


class PlanLine(QWidget):
    """Words with a button behind them."""

    def __init__(self, words: str, on_button: str, name: str, call: Callable[[], None]) -> None:
        super().__init__()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        label = quiet_label(words)
        label.setWordWrap(True)
        row.addWidget(label, 1)
        self.button = button(on_button, name, call)
        row.addWidget(self.button)


def _skill_chooser(name: str) -> QComboBox:
    chooser = QComboBox()
    chooser.setAccessibleName(name)
    chooser.setEditable(True)
    chooser.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
    chooser.setMaxVisibleItems(16)
    chooser.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    chooser.setMinimumContentsLength(8)
    completer = chooser.completer()
    assert completer is not None
    completer.setFilterMode(Qt.MatchFlag.MatchContains)
    completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
    chooser.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    return chooser
