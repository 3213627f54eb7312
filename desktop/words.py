"""Every text of the window passes here on its way to the screen: English in the code, said in the chosen language.

``say`` is called where a text is shown, never when a module is loaded. A text in a table stays English there;
``english`` marks it for those who translate, and ``say`` is called where the table is shown.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, Protocol

FOLDER = Path(__file__).resolve().parent.parent / "resources" / "translations"
"""The translations: a file for each language, and what Qt reads of it."""

LANGUAGES = {"en": "English", "de": "Deutsch"}
"""The languages of the window, each in its own name; texts are written in the first."""


class Language(Protocol):
    """A language into which the window's texts are translated."""

    def said(self, text: str, number: int | None) -> str:
        """A text as the code has it, or as the engine wrote it, in this language; as it is where nobody knows it."""


_language: Language | None = None
_code = ""


def say(text: str, /, **places: Any) -> str:
    """A text in the language of the window, its ``{places}`` filled; ``n`` is the place of a number that is counted.

    A text with signs in braces of its own has no places, so nothing is filled in.
    """
    if _language is not None:
        text = _language.said(text, places.get("n"))
        # What the engine could not do it says in English.
        places = {name: say(str(value)) if isinstance(value, Exception) else value for name, value in places.items()}
    return text.format(**places) if places else text


def english(text: str, /) -> str:
    """Mark a text that is kept in a table and said where the table is shown; answers it as it is."""
    return text


def within(words: str) -> str:
    """A name as it stands within a sentence: begun small in English, and as it is where nouns have their capitals."""
    return words.lower() if _language is None else words


def language_code(english_code: str) -> str:
    """The code of the language that is spoken; for English the one given."""
    return _code or english_code


def choose_language(code: str) -> None:
    """From now on say everything in this language; the code is one of ``LANGUAGES``."""
    global _language, _code
    if code == next(iter(LANGUAGES)):
        _language, _code = None, ""
        return
    from desktop.translated import Translated

    _code = code
    _language = Translated(FOLDER / f"lessonkit_{code}.qm", FOLDER / "sentences.json")
