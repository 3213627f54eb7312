"""Qt's files of translations: read with what is translated, written anew with what the code says today."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterable, Mapping
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from desktop.translated import CONTEXT
from desktop.translating.collected import Text
from lessonkit.values import dataclass

Forms = tuple[str, ...]
"""A translation: one form, or where a number is counted as many as the language has; empty while there is none."""

_NUMBER = re.compile(r"\{n(?:[:!][^{}]*)?\}")
_SIGNS = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")


@dataclass(frozen=True, slots=True)
class Translations:
    """What a file holds: the forms of every text, and those of texts that the code no longer has."""

    forms: Mapping[str, Forms]
    vanished: Mapping[str, Forms]


def is_counted(english: str) -> bool:
    """Whether a text has the place of a number by which it changes."""
    return _NUMBER.search(english) is not None


def read_translations(path: Path) -> Translations:
    """The translations of a file; none where there is no file."""
    forms: dict[str, Forms] = {}
    vanished: dict[str, Forms] = {}
    if path.exists():
        for message in ElementTree.parse(path).getroot().iter("message"):
            english = message.findtext("source") or ""
            translation = message.find("translation")
            if translation is None:
                continue
            several = [one.text or "" for one in translation.iter("numerusform")]
            found = tuple(several or [translation.text or ""])
            where = vanished if translation.get("type") in ("vanished", "obsolete") else forms
            where[english] = found if any(found) else ()
    return Translations(forms, vanished)


def write_translations(path: Path, language: str, texts: Iterable[Text], known: Translations) -> None:
    """Write a file anew: what is translated stays, what vanished is marked and kept, what is new is unfinished."""
    old = {**known.vanished, **known.forms}
    lines = ['<?xml version="1.0" encoding="utf-8"?>', "<!DOCTYPE TS>", f'<TS version="2.1" language="{language}">']
    lines += ["<context>", f"    <name>{CONTEXT}</name>"]
    listed = list(texts)
    for text in listed:
        lines += _message(text.english, text.files, old.get(text.english, ()), "unfinished")
    for english in sorted(old.keys() - {text.english for text in listed}):
        if old[english]:
            lines += _message(english, (), old[english], "vanished", is_vanished=True)
    lines += ["</context>", "</TS>", ""]
    path.write_text("\n".join(lines), encoding="utf-8")


def _message(english: str, files: Iterable[str], forms: Forms, kind: str, is_vanished: bool = False) -> list[str]:
    counted = is_counted(english)
    mark = f" type={quoteattr(kind)}" if is_vanished or not forms else ""
    lines = ['    <message numerus="yes">' if counted else "    <message>"]
    lines += [f"        <location filename={quoteattr('../../' + file)}/>" for file in files]
    lines.append(f"        <source>{_text(english)}</source>")
    if counted:
        lines.append(f"        <translation{mark}>")
        # The languages at hand have one form for one and another for several.
        both = forms if len(forms) == 2 else (forms * 2 or ("", ""))
        lines += [f"            <numerusform>{_text(form)}</numerusform>" for form in both]
        lines.append("        </translation>")
    else:
        lines.append(f"        <translation{mark}>{_text(forms[0]) if forms else ''}</translation>")
    return [*lines, "    </message>"]


def _text(words: str) -> str:
    return _SIGNS.sub("", escape(words))


def write_patterns(path: Path, texts: Iterable[Text]) -> None:
    """Write down the texts that the engine fills in itself, by which its sentences are recognised."""
    patterns = [text.english for text in texts if text.is_pattern]
    path.write_text(json.dumps(patterns, ensure_ascii=False, indent=0) + "\n", encoding="utf-8")


def compile_translations(path: Path) -> None:
    """Make what Qt reads out of a file of translations, by the tool that comes with PySide6."""
    name = "pyside6-lrelease" + (".exe" if os.name == "nt" else "")
    subprocess.run(
        [Path(sys.executable).with_name(name), "-silent", path, "-qm", path.with_suffix(".qm")],
        check=True,
    )
