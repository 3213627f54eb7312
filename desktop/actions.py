"""Everything the menus offer: a table of words, keys, what is called and when it can be. Nothing is done here."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar, QWidget

from desktop.rooms import LESSONS, TITLES
from desktop.theme import LARGER
from desktop.words import say
from lessonkit.lesson.lesson import Drill
from lessonkit.values import dataclass

if TYPE_CHECKING:
    from desktop.desk import Desk

Keys = QKeySequence.StandardKey
Call = Callable[["Desk"], Callable[[], None]]
Test = Callable[["Desk"], bool]


@dataclass(frozen=True, slots=True)
class Row:
    """One entry of a menu.

    ``short`` are the words on a button where the menu's own are too long; ``is_everywhere`` is for what can be done in
    every room. ``is_on`` makes the entry one that is
    switched, and says whether it is on; ``text_of`` gives words that change.
    """

    name: str
    text: str
    call: Call
    keys: Keys | str = ""
    is_possible: Test | None = None
    is_on: Test | None = None
    text_of: Callable[[Desk], str] | None = None
    short: str = ""
    choice: str = ""
    is_everywhere: bool = False


@dataclass(frozen=True, slots=True)
class Filled:
    """A menu within a menu that is filled when it opens."""

    text: str
    fill: Callable[[Desk, QMenu], None]


def _has_selection(desk: Desk) -> bool:
    return bool(desk.selection.ids)


def _has_drill(desk: Desk) -> bool:
    return isinstance(desk.selection.only, Drill)


def _play_text(desk: Desk) -> str:
    return say("&Stop\tSpace") if desk.listening.is_playing else say("&Play\tSpace")


def undo_text(label: str) -> str:
    """What undoing is called, with what it would undo."""
    return say("&Undo: {label}", label=label) if label else say("&Undo")


def redo_text(label: str) -> str:
    """What redoing is called, with what it would redo."""
    return say("&Redo: {label}", label=label) if label else say("&Redo")


Menu = tuple[str, tuple[Row | Filled | None, ...]]

MENUS: tuple[Menu, ...] = (
    ("&Lesson", (
        Row("new", "&New", lambda desk: desk.files.new, Keys.New),
        Filled("New &from", lambda desk, menu: desk.choice.fill_starts(menu)),
        Row("open", "&Open …", lambda desk: desk.files.open, Keys.Open),
        Row("folder", "Lessons of the fol&der …", lambda desk: desk.choice.show_folder, "Ctrl+Shift+O"),
        Filled("Open &recent", lambda desk, menu: desk.fill_recent(menu)),
        None,
        Row("save", "&Save", lambda desk: desk.save, Keys.Save),
        Row("save_as", "Save &as …", lambda desk: desk.save_as, "Ctrl+Shift+S"),
        Row("start", "&Keep as a start for others", lambda desk: desk.choice.keep_as_start),
        Row("compare", "Co&mpare with …", lambda desk: desk.choice.compare),
        Row("keep_for_student", "Keep for the st&udent …", lambda desk: desk.keep_for_student,
            is_possible=lambda desk: desk.looks_at_student),
        Row("carry_over", "Carry the impro&ved original over …", lambda desk: desk.carry_over,
            is_possible=lambda desk: desk.has_own_lesson),
        Row("copies", "&Copy into other keys …", lambda desk: desk.choice.copy),
        Row("house_style", "Br&ing into house style", lambda desk: desk.choice.bring_into_house_style),
        None,
        Row("see_printed", "See &how it will be printed", lambda desk: desk.see_printed, "Ctrl+E",
            is_possible=lambda desk: not desk.looks_at_student, is_on=lambda desk: desk.sees_printed,
            short="As printed"),
        Row("print", "&Print handout to PDF …", lambda desk: desk.files.print_handout, Keys.Print),
        Row("print_answers", "Print with ans&wers …", lambda desk: desk.files.print_with_answers, "Ctrl+Shift+P"),
        Row("print_for", "Print &for students …", lambda desk: desk.print_for, "Ctrl+Alt+P"),
        Row("sound_files", "Save sound f&iles …", lambda desk: desk.sound_files.save),
        Row("sound_files_wav", "Save sound files without &loss …", lambda desk: desk.sound_files.save_uncompressed),
        None,
        Row("export_lesson", "Save for other pro&grams …", lambda desk: desk.exporting.save_lesson),
        Row("export_page", "Save this pa&ge for other programs …", lambda desk: desk.exporting.save_page),
        Row("export_blocks", "Save the &blocks for other programs …", lambda desk: desk.exporting.save_blocks,
            is_possible=_has_selection),
        None,
        Row("quit", "&Quit", lambda desk: desk.close, "Ctrl+Q", is_everywhere=True),
    )),
    ("&Edit", (
        Row("undo", "&Undo", lambda desk: desk.open_lesson.undo, Keys.Undo,
            lambda desk: bool(desk.open_lesson.undo_label),
            text_of=lambda desk: undo_text(desk.open_lesson.undo_label)),
        Row("redo", "&Redo", lambda desk: desk.open_lesson.redo, "Ctrl+Shift+Z",
            lambda desk: bool(desk.open_lesson.redo_label),
            text_of=lambda desk: redo_text(desk.open_lesson.redo_label)),
        Row("steps", "Show all &steps …", lambda desk: desk.looking.steps, "Ctrl+H",
            lambda desk: bool(desk.open_lesson.steps)),
        None,
        Row("cut", "Cu&t", lambda desk: desk.commands.cut, Keys.Cut, _has_selection),
        Row("copy", "&Copy", lambda desk: desk.commands.copy, Keys.Copy, _has_selection),
        Row("copy_picture", "Copy as p&icture", lambda desk: desk.commands.copy_picture, "Ctrl+Shift+C",
            _has_selection),
        Row("copy_notes", "Copy as &notes (MusicXML)", lambda desk: desk.commands.copy_notes,
            is_possible=_has_selection),
        Row("paste", "&Paste", lambda desk: desk.commands.paste, Keys.Paste),
        Row("duplicate", "&Duplicate", lambda desk: desk.commands.duplicate, "Ctrl+D", _has_selection),
        Row("page_around", "Make a &handout page of it", lambda desk: desk.commands.page_around, "", _has_drill),
        Row("for_class", "Make parts for a class of it", lambda desk: desk.choice.for_class, "", _has_drill),
        Row("delete", "De&lete", lambda desk: desk.commands.delete, Keys.Delete, _has_selection),
        Row("select_all", "Select &all", lambda desk: desk.commands.select_all, Keys.SelectAll),
        None,
        Row("move_up", "Move &up", lambda desk: desk.commands.move_up, "Alt+Up", _has_selection, short="Up"),
        Row("move_down", "Move do&wn", lambda desk: desk.commands.move_down, "Alt+Down", _has_selection, short="Down"),
        None,
        Row("find_words", "&Find and replace words …", lambda desk: desk.looking.find, Keys.Find),
        Row("go_to", "&Go to …", lambda desk: desk.looking.go_to, "Ctrl+G"),
        None,
        Row("write", "&Write in the block", lambda desk: desk.write, "F2", _has_selection),
        Row("reset", "Reset all se&ttings of the block", lambda desk: desk.commands.reset,
            is_possible=lambda desk: desk.commands.departs, short="Reset"),
        Row("fingers", "Edit &fingers", lambda desk: desk.edit_fingers, "F4", _has_drill),
    )),
    ("&Insert", (
        Row("put_in", "&Put in here …", lambda desk: desk.put_in, "Ctrl+Return"),
        Row("find_insert", "&Find on the shelf", lambda desk: desk.find_on_shelf, "Ctrl+Shift+I"),
        None,
        Filled("Words and &room", lambda desk, menu: desk.fill_insert(menu, ("Words", "Room"))),
        Filled("&Drills", lambda desk, menu: desk.fill_insert(menu, ("Drills",))),
        Filled("My &presets", lambda desk, menu: desk.fill_insert(menu, ("My presets",))),
        None,
        Row("open_excerpt", "&Excerpt of MusicXML or ABC as a lick …", lambda desk: desk.excerpts.open),
        Row("keep_preset", "&Keep the block as a preset", lambda desk: desk.keep_preset,
            is_possible=lambda desk: desk.selection.only is not None),
    )),
    ("&Listen", (
        Row("play", "&Play\tSpace", lambda desk: desk.listening.play_or_stop, text_of=_play_text),
        Row("play_from_note", "Play from the &note clicked last\tShift+Space",
            lambda desk: desk.listening.play_from_note, is_possible=lambda desk: desk.listening.can_start_at_note),
        Row("play_page", "Play the pa&ge", lambda desk: desk.listening.play_page, "Ctrl+Space"),
        None,
        Row("slower", "S&lower", lambda desk: desk.listening.slower, "Ctrl+,"),
        Row("faster", "&Faster", lambda desk: desk.listening.faster, "Ctrl+."),
        None,
        Row("loops", "&Again and again", lambda desk: lambda: desk.listening.toggle("loops"),
            is_on=lambda desk: desk.listening.choices.loops),
        Row("counts_in", "&Count in", lambda desk: lambda: desk.listening.toggle("counts_in"),
            is_on=lambda desk: desk.listening.choices.counts_in),
        Row("clicks", "Clic&k on each beat", lambda desk: lambda: desk.listening.toggle("clicks"),
            is_on=lambda desk: desk.listening.choices.clicks),
        None,
        Row("hear_drill", "&Hear the drill played on a keyboard", lambda desk: desk.playing_in.hear_drill,
            is_possible=_has_drill),
        Row("take_mark", "Write the proposed &mark down, or take it back", lambda desk: desk.proposed_mark.take,
            "Ctrl+M", lambda desk: desk.proposed_mark.is_possible),
        Row("write_lick", "&Write down a lick played on a keyboard", lambda desk: desk.playing_in.write_lick),
        None,
        Row("keep_player", "&Keep the controls in sight", lambda desk: desk.keep_player, "F7",
            is_on=lambda desk: desk.keeps_player),
    )),
    ("&View", (
        *(Row(f"{name}_room", f"&{number} {title}", lambda desk, name=name: lambda: desk.enter(name),  # type: ignore[misc]
              f"Ctrl+{number}", is_on=lambda desk, name=name: desk.room == name, choice="room",  # type: ignore[misc]
              text_of=lambda desk, number=number, title=title: f"&{number} {say(title)}",  # type: ignore[misc]
              is_everywhere=True) for number, (name, title) in enumerate(TITLES.items(), 1)),
        None,
        Row("zoom_in", "Zoom &in", lambda desk: desk.view_in_sight.zoom_in, Keys.ZoomIn, short="Larger"),
        Row("zoom_out", "Zoom &out", lambda desk: desk.view_in_sight.zoom_out, Keys.ZoomOut, short="Smaller"),
        Row("zoom_paper", "&Paper's own size", lambda desk: desk.view_in_sight.zoom_to_paper, "Ctrl+0"),
        Row("fit_width", "&Fit the window", lambda desk: desk.view_in_sight.fit_width, "Ctrl+9", short="Fit"),
        Row("pairs", "&Two pages side by side", lambda desk: desk.pair_pages, "Ctrl+8",
            is_on=lambda desk: desk.view.shows_pairs),
        None,
        Row("answers", "Show &answers", lambda desk: desk.show_answers, "F8",
            is_on=lambda desk: desk.drawn.shows_answers),
        Row("shelf", "&Shelf", lambda desk: desk.fold_shelf, "F9", is_on=lambda desk: desk.shows_shelf),
        Row("keyboard", "&Keyboard", lambda desk: desk.fold_keyboard, "F10", is_on=lambda desk: desk.shows_keyboard),
        Row("step_on", "Step &on", lambda desk: lambda: desk.keyboard.step(1), "Alt+Right", _has_drill),
        Row("step_back", "Step &back", lambda desk: lambda: desk.keyboard.step(-1), "Alt+Left", _has_drill),
        None,
        Filled("Lan&guage", lambda desk, menu: desk.fill_languages(menu)),
        None,
        Row("system", "As the &computer", lambda desk: lambda: desk.dress("system"),
            is_on=lambda desk: desk.appearance == "system", choice="appearance", is_everywhere=True),
        Row("light", "&Light", lambda desk: lambda: desk.dress("light"),
            is_on=lambda desk: desk.appearance == "light", choice="appearance", is_everywhere=True),
        Row("dark", "&Dark", lambda desk: lambda: desk.dress("dark"),
            is_on=lambda desk: desk.appearance == "dark", choice="appearance", is_everywhere=True),
        None,
        *(Row(f"words_{round(size * 100)}", f"Words of the window at {round(size * 100)} %",
              lambda desk, size=size: lambda: desk.enlarge(size),  # type: ignore[misc]
              is_on=lambda desk, size=size: desk.larger == size, choice="words",  # type: ignore[misc]
              text_of=lambda desk, size=size: say(  # type: ignore[misc]
                  "Words of the window at {percent} %", percent=round(size * 100)))
          for size in LARGER),
        None,
        Row("next_pane", "&Next pane", lambda desk: desk.next_pane, "F6"),
        Row("last_pane", "&Last pane", lambda desk: desk.last_pane, "Shift+F6"),
        Row("key", "Choose the &key", lambda desk: desk.choose_key, "Ctrl+K"),
    )),
    ("&Help", (
        Row("help", "&Help on what is selected", lambda desk: desk.helping.explain, Keys.HelpContents,
            is_everywhere=True),
        Row("all_actions", "&All actions and their keys", lambda desk: desk.helping.list_actions, "Shift+F1",
            is_everywhere=True),
        Row("whats_new", "What is &new", lambda desk: desk.helping.tell_news, is_everywhere=True),
    )),
)  # fmt: skip
"""The menus in order; None parts groups."""


class Actions:
    """The table made into Qt's actions, kept true to what is possible now."""

    def __init__(self, desk: Desk, owner: QWidget, menus: Sequence[Menu] = MENUS, room: str = LESSONS) -> None:
        self._desk = desk
        self._table = menus
        self._room = room
        self._rows: dict[str, Row] = {}
        self.by_name: dict[str, QAction] = {}
        self._choices: dict[str, QActionGroup] = {}
        self.menus: list[QMenu] = []
        for row in (row for _, rows in menus for row in rows if isinstance(row, Row)):
            self._rows[row.name] = row
            self.by_name[row.name] = self._action(row, owner)
        self.refresh()

    def __getitem__(self, name: str) -> QAction:
        return self.by_name[name]

    def fill(self, bar: QMenuBar, before: QAction | None = None) -> None:
        """Build the menus, at the end of the bar or before one of its menus."""
        for title, rows in self._table:
            menu = QMenu(say(title), bar)
            bar.insertMenu(before, menu)
            menu.setToolTipsVisible(True)
            self.menus.append(menu)
            for row in rows:
                if row is None:
                    menu.addSeparator()
                elif isinstance(row, Row):
                    menu.addAction(self.by_name[row.name])
                else:
                    self._add_filled(menu, row)
        self.refresh()

    def refresh(self) -> None:
        """Bring words and possibilities up to date; in another room only what can be done everywhere is there."""
        is_here = self._desk.room == self._room
        for name, row in self._rows.items():
            action = self.by_name[name]
            action.setVisible((is_here or row.is_everywhere) and self._desk.has_room(name))
            if row.is_possible is not None or not row.is_everywhere:
                is_possible = row.is_possible is None or row.is_possible(self._desk)
                action.setEnabled(is_possible and (is_here or row.is_everywhere))
            if row.is_on is not None:
                action.setChecked(row.is_on(self._desk))
            if row.text_of is not None:
                action.setText(row.text_of(self._desk))
        for menu, (_, rows) in zip(self.menus, self._table, strict=False):
            is_of_all = any(isinstance(row, Row) and row.is_everywhere and row.name != "quit" for row in rows)
            menu.menuAction().setVisible(is_here or is_of_all)

    def _action(self, row: Row, owner: QWidget) -> QAction:
        action = QAction(say(row.text), owner)
        action.setObjectName(row.name)
        if row.keys:
            action.setShortcuts(shortcuts(row.keys))
        if row.short:
            action.setIconText(say(row.short))
        if row.is_on is not None:
            action.setCheckable(True)
        if row.choice:
            group = self._choices.setdefault(row.choice, QActionGroup(owner))
            group.addAction(action)
        action.triggered.connect(lambda: self._call(row))
        owner.addAction(action)
        return action

    def _call(self, row: Row) -> None:
        row.call(self._desk)()
        self.refresh()

    def _add_filled(self, menu: QMenu, row: Filled) -> None:
        inner = menu.addMenu(say(row.text))

        def fill() -> None:
            inner.clear()
            row.fill(self._desk, inner)
            if inner.isEmpty():
                inner.addAction(say("Nothing yet")).setEnabled(False)

        inner.aboutToShow.connect(fill)


def shortcuts(keys: Keys | str) -> list[QKeySequence]:
    """The keys of an action, of which a computer may know several."""
    if isinstance(keys, str):
        return [QKeySequence(keys)]
    found = QKeySequence.keyBindings(keys)
    if keys is Keys.ZoomIn:
        # The plus sign lies on the key of the equals sign on many keyboards.
        found.append(QKeySequence("Ctrl+="))
    return found
