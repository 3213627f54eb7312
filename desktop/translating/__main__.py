"""Brings the files of translations up to date with the code: ``python -m desktop.translating``."""

from __future__ import annotations

import sys

from desktop.translating.collected import collected
from desktop.translating.files import compile_translations, read_translations, write_patterns, write_translations
from desktop.words import FOLDER, LANGUAGES


def run() -> int:
    """Write every file anew and say how much is left to translate."""
    texts = collected()
    write_patterns(FOLDER / "sentences.json", texts)
    for code in list(LANGUAGES)[1:]:
        path = FOLDER / f"lessonkit_{code}.ts"
        write_translations(path, code, texts, read_translations(path))
        known = read_translations(path)
        missing = sum(not known.forms.get(text.english) for text in texts)
        compile_translations(path)
        print(f"{LANGUAGES[code]}: {len(texts)} texts, {missing} to translate, {len(known.vanished)} vanished")
    return 0


if __name__ == "__main__":
    sys.exit(run())
