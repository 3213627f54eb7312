"""Another language than English: Qt's translation of each text, and of the sentences that the engine has put together.

The engine knows no window and writes English. A sentence of its is looked up as it stands; where it holds a name or a
number, the pattern that it was written with is found, its parts are said one by one and put into the translation.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QTranslator

CONTEXT = "window"
"""The name under which all texts stand in the files of translations."""

MOST_KEPT = 20_000
"""So many texts are remembered with what became of them."""

_PLACE = re.compile(r"\{(\w*)(?:![rsa])?(?::[^{}]*)?\}")
_WORD = re.compile(r"[^\W\d_]{2,}")
_JOINTS = ("\n", "; ", ". ", ": ", ", ", " · ", "  ", " in ")
"""Where sentences and lists are put together; what stands between is said part by part."""


class Translated:
    """The texts in one language, out of a file of Qt's and the patterns of the engine's sentences."""

    def __init__(self, translations: Path, patterns: Path) -> None:
        self._translator = QTranslator()
        self._translator.load(str(translations))
        application = QCoreApplication.instance()
        if application is not None:
            application.installTranslator(self._translator)
        self._patterns = Patterns(json.loads(patterns.read_text(encoding="utf-8")))
        self._kept: dict[tuple[str, int | None], str] = {}

    def said(self, text: str, number: int | None) -> str:
        """A text in this language; as it is where nobody knows it."""
        found = self._kept.get((text, number))
        if found is None:
            found = self._exactly(text, number) or self._in_parts(text) or text
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            self._kept[text, number] = found
            # What has been said is not said once more.
            self._kept.setdefault((found, None), found)
        return found

    def _exactly(self, text: str, number: int | None = None) -> str | None:
        given = self._translator.translate(CONTEXT, text, "", -1 if number is None else number)
        return given or None

    def _in_parts(self, text: str) -> str | None:
        if not _WORD.search(text):
            return None
        return self._capitalised(text) or self._of_pattern(text) or self._joined(text)

    def _capitalised(self, text: str) -> str | None:
        """A text that the window has begun with a capital, or ended with a full stop."""
        for stem, end in ((text, ""), (text.removesuffix("."), ".")):
            if end and stem == text:
                continue
            found = self._exactly(stem) if end else None
            if found is None and stem[:1].isupper():
                found = self._exactly(stem[:1].lower() + stem[1:])
                found = found and found[:1].upper() + found[1:]
            if found is not None:
                return found + end
        return None

    def _of_pattern(self, text: str) -> str | None:
        for pattern, parts in self._patterns.fitting(text):
            given = self._exactly(pattern)
            if given is not None:
                said = {name: part if is_quoted else self.said(part, None) for name, part, is_quoted in parts}
                return _PLACE.sub(lambda place, said=said: said.get(place[1], place[0]), given)  # type: ignore[misc]
        return None

    def _joined(self, text: str) -> str | None:
        for joint in _JOINTS:
            if joint in text:
                parts = text.split(joint)
                said = [self.said(part, None) for part in parts]
                if said != parts:
                    return joint.join(said)
        return None


class Patterns:
    """Texts with ``{places}``, found by the longest word that always stands in them; made ready when first needed."""

    def __init__(self, patterns: Sequence[str]) -> None:
        self._by_word: dict[str, list[str]] = {}
        for pattern in patterns:
            words = _WORD.findall(_PLACE.sub("\n", pattern))
            if words:
                self._by_word.setdefault(max(words, key=len), []).append(pattern)
        self._ready: dict[str, re.Pattern[str]] = {}

    def fitting(self, text: str) -> Iterator[tuple[str, list[tuple[str, str, bool]]]]:
        """The patterns that a text may be made of, the most telling first, each with its parts.

        A part is the name of its place, what stands there, and whether it is quoted, which is never translated.
        """
        words = dict.fromkeys(_WORD.findall(text))
        found = [pattern for word in words for pattern in self._by_word.get(word, ())]
        for pattern in sorted(found, key=lambda one: -len(_PLACE.sub("", one))):
            match = self._made_ready(pattern).fullmatch(text)
            if match is not None:
                yield pattern, list(self._parts(pattern, match))

    def _made_ready(self, pattern: str) -> re.Pattern[str]:
        ready = self._ready.get(pattern)
        if ready is None:
            fixed = _PLACE.split(pattern)[::2]
            ready = self._ready[pattern] = re.compile("(.+?)".join(map(re.escape, fixed)), re.DOTALL)
        return ready

    def _parts(self, pattern: str, match: re.Match[str]) -> Iterator[tuple[str, str, bool]]:
        for number, place in enumerate(_PLACE.finditer(pattern), 1):
            before = pattern[: place.start()]
            yield place[1], match[number], "!r" in place[0] or before.endswith(("“", '"', "'"))
