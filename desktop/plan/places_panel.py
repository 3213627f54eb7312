"""What is behind a cell of the grid: how often, where first and last, every drill of it, and what would fill a gap."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QListWidget, QListWidgetItem, QVBoxLayout

from desktop.forms.row import quiet_label
from desktop.plan.panel_parts import button
from desktop.plan.wording import place_words, short_day, title_of
from desktop.spoken import spoken
from desktop.words import english, say
from lessonkit.curriculum.coverage import Place
from lessonkit.curriculum.proposals import Fits, Proposal
from lessonkit.lesson.lesson import Lesson

_PLACE = Qt.ItemDataRole.UserRole
WIDTH = 304

MOST_LISTED = 100
"""So many drills are listed; of more it is told."""

_FITS = {
    Fits.FIRST: english("the first in which the skill is known and nothing is harder than what came before."),
    Fits.HARDEST: english("the last, since it is harder than anything before."),
    Fits.TOO_EARLY: english("the last, since not everything has come that should come first."),
}
"""Why a drill is proposed for its week."""


class PlacesPanel(QFrame):
    """Shows the places of one cell."""

    opened = Signal(Place)
    """A place is to be opened in the lessons room."""

    fill_asked = Signal()
    """A drill for the gap is wanted."""

    put_in_asked = Signal(Proposal)
    """The proposed drill is wanted in its lesson."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("sidePanel")
        self.setFixedWidth(WIDTH)
        self.title = quiet_label("")
        self.title.setObjectName("panelTitle")
        self.title.setWordWrap(True)
        self.said = quiet_label("")
        self.said.setObjectName("quiet")
        self.said.setWordWrap(True)
        self.list = QListWidget()
        self.list.setObjectName("lines")
        self.list.setAccessibleName(say("Drills of the chosen cell"))
        self.list.setAccessibleDescription(say("Enter opens the drill in the lessons room."))
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.itemActivated.connect(self._open)
        self.fill = button(say("Propose a drill"), say("Propose a drill that fills this gap"), self.fill_asked.emit)
        self.why = quiet_label("")
        self.why.setWordWrap(True)
        self.put_in = button(say("Put it into the lesson"), say("Put the proposed drill into its lesson"), self._put_in)
        self._proposal: Proposal | None = None
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 8, 24, 16)
        layout.setSpacing(8)
        for widget in (self.title, self.said, self.fill, self.why, self.put_in):
            layout.addWidget(widget)
        layout.addWidget(self.list, 1)
        layout.addStretch(0)

    def show_cell(self, words: str, places: Sequence[Place], lessons: Mapping[str, Lesson]) -> None:
        """Show a cell."""
        self.title.setText(words)
        self.why.hide()
        self.put_in.hide()
        self.list.clear()
        self.list.setVisible(bool(places))
        self.fill.setVisible(bool(words) and not places)
        self.fill.setEnabled(True)
        if not places:
            self.said.setText(say("A gap: no drill has it.") if words else "")
            return
        count = say("One drill") if len(places) == 1 else say("{n} drills", n=len(places))
        first, last = _when(places[0], lessons), _when(places[-1], lessons)
        self.said.setText(
            say("{count}, in {first}.", count=count, first=first)
            if first == last
            else say("{count}: first in {first}, last in {last}.", count=count, first=first, last=last)
        )
        for place in places[:MOST_LISTED]:
            lesson = lessons.get(place.lesson)
            told = [spoken(one, lesson.setting) for one in lesson.blocks if one.id == place.block_id] if lesson else []
            item = QListWidgetItem("\n".join([place_words(place, lessons), *told]))
            item.setData(_PLACE, place)
            self.list.addItem(item)

        if len(places) > MOST_LISTED:
            item = QListWidgetItem(say("… and {n} more", n=len(places) - MOST_LISTED))
            item.setFlags(Qt.ItemFlag.NoItemFlags)
            self.list.addItem(item)

    def show_waiting(self) -> None:
        """A proposal is being worked out."""
        self.fill.setEnabled(False)
        self.why.setText(say("Looking for a drill …"))
        self.why.show()

    def show_proposal(self, proposal: Proposal | None, lessons: Mapping[str, Lesson]) -> None:
        """Show what would fill the gap."""
        self._proposal = proposal
        self.fill.setEnabled(True)
        if proposal is None:
            self.why.setText(say("No drill at hand can be changed so that it fills this gap. Write one yourself."))
        else:
            self.why.setText(_why(proposal, lessons))
        self.why.show()
        self.put_in.setVisible(proposal is not None)

    def _open(self, item: QListWidgetItem) -> None:
        self.opened.emit(item.data(_PLACE))

    def _put_in(self) -> None:
        if self._proposal is not None:
            self.put_in_asked.emit(self._proposal)


def _why(proposal: Proposal, lessons: Mapping[str, Lesson]) -> str:
    """What is proposed, a sentence a line."""
    drill = say(proposal.drill.title)
    if proposal.like:
        told = [say("{drill}, made of the one in “{title}”.", drill=drill, title=title_of(proposal.like, lessons))]
    else:
        told = [say("{drill}, as it usually is.", drill=drill)]
    if proposal.level:
        told.append(say("{level} asks for it.", level=proposal.level))
    title = title_of(proposal.lesson, lessons)
    where = say("Week {week}, “{title}”:", week=proposal.week, title=title) if proposal.week else f"“{title}”:"
    return "\n".join([*told, f"{where} {say(_FITS[proposal.fits])}"])


def _when(place: Place, lessons: Mapping[str, Lesson]) -> str:
    day = f" ({short_day(place.day)})" if place.day is not None else ""
    if place.week:
        return say("week {week}{day}", week=place.week, day=day)
    return f"“{title_of(place.lesson, lessons)}”"
