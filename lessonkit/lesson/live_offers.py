"""What can stand between the braces of a live word that is being typed, with what each comes to in the lesson's key."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from functools import lru_cache

from lessonkit.drills.setting import Setting
from lessonkit.lesson import prose
from lessonkit.theory.roman import diatonic_chord, recognise
from lessonkit.theory.scale import SCALES
from lessonkit.values import dataclass

_SEVENTHS, _TRIADS, _NINTHS = 7, 3, 9
_NUMBERS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh")


@dataclass(frozen=True, slots=True)
class LiveOffer:
    """One live word: what stands between its braces, what it prints as, what it is in plain words.

    ``comes_first`` says that it is offered before anything is typed; all of them would make too long a list.
    """

    inside: str
    result: str
    about: str
    comes_first: bool = True

    @property
    def source(self) -> str:
        """The live word as it is typed."""
        return f"{{{self.inside}}}"


def live_offers(typed: str, setting: Setting) -> tuple[LiveOffer, ...]:
    """What can follow an open brace after which this was typed.

    Live words that begin so come first, numerals in their own case before others; then those whose result or
    description has a word that begins so, as ``Ab`` or ``fourth``.
    """
    offers = _all(setting)
    if not typed.strip():
        return tuple(offer for offer in offers if offer.comes_first)
    wanted = typed.lstrip()
    exact = [offer for offer in offers if offer.inside.startswith(wanted)]
    near = [offer for offer in offers if offer.inside.lower().startswith(wanted.lower())]
    if near and " " in wanted:
        return tuple(dict.fromkeys((*exact, *near)))
    words = [offer for offer in offers if _answers(offer, wanted)]
    return tuple(dict.fromkeys((*exact, *near, *words)))


def typed_brace(line: str, caret: int) -> str | None:
    """What was typed since the brace that is open at a place of a line; None where none is."""
    before = line[:caret]
    opened = before.rfind("{")
    if opened < 0 or "}" in before[opened:] or (opened > 0 and _is_plain_brace(before, opened)):
        return None
    return before[opened + 1 :]


def _is_plain_brace(text: str, at: int) -> bool:
    """Whether a brace is the second of two, which print one."""
    count = 0
    while at - count >= 0 and text[at - count] == "{":
        count += 1
    return count % 2 == 0


def _answers(offer: LiveOffer, wanted: str) -> bool:
    plain = wanted.lower().strip()
    shown = f" {_ascii(offer.result)} {offer.about.lower()} {offer.inside.lower()}"
    return all(f" {word}" in shown for word in plain.split())


def _ascii(text: str) -> str:
    return text.replace("♭", "b").replace("♯", "#").lower()


@lru_cache(maxsize=64)
def _all(setting: Setting) -> tuple[LiveOffer, ...]:
    return tuple(_choices(setting))


def _choices(setting: Setting) -> Iterator[LiveOffer]:
    sevenths, triads, ninths = (_numerals(setting, size) for size in (_SEVENTHS, _TRIADS, _NINTHS))

    def offer(inside: str, about: str, comes_first: bool = True) -> LiveOffer:
        spans = prose.read_line(f"{{{inside}}}", setting)
        return LiveOffer(inside, prose.plain_line(spans, setting.label_style), about, comes_first)

    for number, numeral in sevenths:
        yield offer(numeral, f"chord on the {number} degree")
    for number, numeral in triads:
        yield offer(numeral, f"triad on the {number} degree", comes_first=False)
    for number, numeral in ninths:
        yield offer(numeral, f"ninth chord on the {number} degree", comes_first=False)
    for number, numeral in sevenths:
        yield offer(f"notes {numeral}", f"notes of the chord on the {number} degree")
    for number, numeral in triads:
        yield offer(f"notes {numeral}", f"notes of the triad on the {number} degree", comes_first=False)
    yield offer("scale", "scale of the key")
    for degree, number in enumerate(_NUMBERS, 1):
        yield offer(f"degree {degree}", f"note on the {number} degree")
    yield offer("key", "the key")
    yield offer("tonic", "the key's tonic")
    yield offer("signature", "the key's signature in words")
    yield offer("tempo", "the lesson's tempo")
    for number, numeral in sevenths:
        yield offer(f"roman {numeral}", f"numeral of the {number} degree", comes_first=False)
    for degree, number in enumerate(_NUMBERS, 1):
        with suppress(ValueError):
            chord = diatonic_chord(setting.key, degree, _SEVENTHS)
            yield offer(f"chord {chord.ascii}", f"chord of the {number} degree, the same in every key", False)
    for name in SCALES:
        yield offer(f"scale {name}", f"{name} scale on the tonic", comes_first=False)


def _numerals(setting: Setting, size: int) -> list[tuple[str, str]]:
    """The numerals of the key's chords of a size, each with its degree in words; unnamed chords are left out."""
    found = []
    for degree, number in enumerate(_NUMBERS, 1):
        with suppress(ValueError):
            found.append((number, recognise(diatonic_chord(setting.key, degree, size), setting.key).ascii))
    return found
