"""The language of the window: the computer's where we have it, or the one chosen, from the next start on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QLocale, QTranslator

from desktop.words import LANGUAGES, choose_language, english, say

if TYPE_CHECKING:
    from PySide6.QtWidgets import QMenu

    from desktop.memory import Memory
    from desktop.message_bar import MessageBar

SYSTEM = "system"
"""What is remembered of who wants the computer's language."""

NEXT_TIME = english("The language changes when the notebook is opened again.")


def speak(chosen: str) -> None:
    """Say everything in the chosen language from now on, Qt's own words too; before any of the window is there."""
    code = language_of(chosen)
    choose_language(code)
    application = QCoreApplication.instance()
    if code != next(iter(LANGUAGES)) and application is not None:
        own = QTranslator(application)
        if own.load(f"qtbase_{code}", QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)):
            application.installTranslator(own)


def language_of(chosen: str) -> str:
    """The code of the language that is spoken where this one is chosen."""
    code = QLocale.system().name()[:2] if chosen == SYSTEM else chosen
    return code if code in LANGUAGES else next(iter(LANGUAGES))


def fill_languages(menu: QMenu, memory: Memory, messages: MessageBar) -> None:
    """The languages to choose from, each in its own name."""
    for code, words in {SYSTEM: say("As the computer"), **LANGUAGES}.items():
        action = menu.addAction(words)
        action.setCheckable(True)
        action.setChecked(memory.language == code)
        action.triggered.connect(lambda checked=False, code=code: _choose(code, memory, messages))


def _choose(code: str, memory: Memory, messages: MessageBar) -> None:
    if memory.language != code:
        memory.language = code
        messages.tell(say(NEXT_TIME))
