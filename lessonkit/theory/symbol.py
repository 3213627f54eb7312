"""Chord qualities read from what teachers type, and written in each style. All that is written can be read again."""

from __future__ import annotations

import re
from functools import lru_cache

from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.quality import Quality

LONGEST_SYMBOL = 40
"""The longest chord symbol that is read, in characters."""

# Signs that look alike or mean the same become one; brackets, commas and spaces say nothing.
_SIGNS = str.maketrans("♭♯−–—‑△∆^Ø∅º˚⁄", "b#----ΔΔΔøø°°/", "()[], ")

# Each pattern with what it stands for, or None where it stands for itself. The first that fits at a place counts, so
# longer words stand before shorter ones.
_TOKENS = tuple(
    (re.compile(pattern), meaning)
    for pattern, meaning in (
        (r"ø9", "m9b5"),
        (r"half-?dim(?:inished)?7?|hdim7?|ø7?", "m7b5"),
        (r"diminished|[Dd]im|DIM|°", "°"),
        (r"augmented|[Aa]ug|AUG", "+"),
        (r"suspended|[Ss]us|SUS", "sus"),
        (r"dominant|[Dd]om", ""),
        (r"altered|[Aa]lt|ALT", "alt"),
        (r"[Aa]dd|ADD", "add"),
        (r"no3(?:rd)?|omit3", "no3"),
        (r"Δ(?=6|7|9|13)", "M"),
        (r"Δ", "M7"),
        (r"major|Major|[Mm]aj|MAJ|[Mm]a(?!dd|lt|ug)|MA(?!DD|LT|UG)|j(?=7)", "M"),
        (r"minor|Minor|[Mm]in|MIN|[Mm]i|MI|m", "m"),
        (r"M", "M"),
        (r"flat", "b"),
        (r"sharp", "#"),
        (r"13|11|2|4|5|6|7|9|b|#", None),
    )
)

# Qualities by the canonical form that reading arrives at: M major, m minor, ° diminished, + augmented.
_READ = {
    "maj": "M", "m": "m", "dim": "° mb5", "aug": "+ #5 M#5 +5", "sus2": "sus2", "sus4": "sus4 sus", "5": "5 no3",
    "6": "6 M6 add6", "m6": "m6 madd6", "maj7": "M7", "7": "7", "m7": "m7", "m7b5": "m7b5 °m7", "dim7": "°7",
    "m(maj7)": "mM7 m#7", "maj7#5": "M7#5 +M7 M7+", "7#5": "7#5 +7 7+", "7sus4": "7sus4 7sus sus7 sus47", "7b5": "7b5",
    "7b9": "7b9", "7#9": "7#9", "7#11": "7#11", "7b13": "7b13", "7b9b13": "7b9b13", "7alt": "7alt alt",
    "add9": "add9 add2", "m(add9)": "madd9 madd2", "6/9": "69 6add9 M69", "m6/9": "m69 m6add9",
    "9": "9", "maj9": "M9", "m9": "m9", "9sus4": "9sus4 9sus sus9", "maj7#11": "M7#11",
    "11": "11", "m11": "m11", "13": "13", "maj13": "M13", "m13": "m13",
    "m7b9": "m7b9", "m7b5b9": "m7b5b9", "m9b5": "m9b5", "m(maj9)": "mM9", "maj9#5": "M9#5 +M9", "maj7#9": "M7#9",
    "dim7b9": "°7b9", "13#11": "13#11", "13b9": "13b9", "13b9#11": "13b9#11", "7b9#11": "7b9#11", "7#9#11": "7#9#11",
}  # fmt: skip
_QUALITY_OF = {form: Quality.named(key) for key, forms in _READ.items() for form in forms.split()}
_QUALITY_OF[""] = Quality.named("maj")


@lru_cache(maxsize=4096)
def read_quality(suffix: str) -> Quality | None:
    """The quality that the text after a chord's root names (``maj7``, ``-7b5``, ``Δ``), or None where it names none."""
    if len(suffix) > LONGEST_SYMBOL:
        return None
    form = _canonical(suffix)
    return None if form is None else _QUALITY_OF.get(form)


def _canonical(suffix: str) -> str | None:
    text = suffix.translate(_SIGNS).replace("6/9", "69")
    text = re.sub(r"^(m|mi|min)/(?=[Mm]a|M7|Δ)", r"\1", text)
    form, at = "", 0
    while at < len(text):
        sign, is_first = text[at], at == 0
        if sign == "-" and is_first:
            form, at = "m", 1
        elif sign == "+" and is_first:
            form, at = "+", 1
        elif sign in "-+" and re.match(r"5|9|11|13", text[at + 1 :]):
            # After a figure, minus and plus stand for flat and sharp: 7-5, 7+9.
            form, at = form + ("b" if sign == "-" else "#"), at + 1
        elif sign == "+" and at == len(text) - 1:
            form, at = form + "+", at + 1
        elif sign == "o" and is_first:
            form, at = "°", 1
        else:
            for pattern, meaning in _TOKENS:
                match = pattern.match(text, at)
                if match:
                    form, at = form + (match.group() if meaning is None else meaning), match.end()
                    break
            else:
                return None
    return form


_HALF_DIMINISHED = {"m7b5": "ø7", "m9b5": "ø9", "m7b5b9": "ø7(♭9)"}
_IN_BRACKETS = {
    "m7b5b9": "m7(b5b9)", "dim7b9": "dim7(b9)", "7b9b13": "7(b9b13)", "13#11": "13(#11)", "13b9": "13(b9)",
    "13b9#11": "13(b9#11)", "7b9#11": "7(b9#11)", "7#9#11": "7(#9#11)",
}  # fmt: skip


@lru_cache(maxsize=4096)
def written_quality(quality: Quality, style: LabelStyle) -> str:
    """What is printed after a chord's root in a style: ``maj7``, ``Δ7``, ``m7♭5``, ``°7``; nothing for a major triad.

    A single alteration stands bare after its figure (``7♯9``); two, and what would be misread, stand in brackets, as in
    ``m(maj7)`` and ``m7(♭5♭9)``. Common practice, no source.
    """
    key = quality.suffix
    if key in _HALF_DIMINISHED and style.half_diminished == "ø7":
        return _HALF_DIMINISHED[key]
    key = _IN_BRACKETS.get(key, key)
    if key.startswith("dim"):
        key = style.diminished + key[3:]
    if key == "aug":
        return "+"
    if style.major_seventh == "Δ7":
        key = key.replace("maj", "Δ")
    if quality.is_minor and key.startswith("m"):
        key = style.minor + key[1:]
    return key.replace("b", "♭").replace("#", "♯")


def written_after_small(quality: Quality, style: LabelStyle) -> str:
    """What is printed after a small numeral, whose case has said the minor third: ``7``, ``ø7``, ``(maj7)``, ``°``."""
    half_diminished = _HALF_DIMINISHED.get(quality.suffix)
    return half_diminished or written_quality(quality, style).removeprefix(style.minor)
