"""What is offered between braces: it begins as typed, it prints what it says, and it fits the key."""

from __future__ import annotations

import pytest

from lessonkit.drills.setting import Setting
from lessonkit.lesson import prose
from lessonkit.lesson.live_offers import live_offers, typed_brace
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key

E_FLAT = Setting(Key.parse("Eb"))


def test_an_open_brace_offers_the_chords_of_the_key_by_degree() -> None:
    """The seventh chords of E flat major (common practice, no source)."""
    offers = live_offers("", E_FLAT)[:7]
    assert [offer.inside for offer in offers] == ["Imaj7", "iim7", "iiim7", "IVmaj7", "V7", "vim7", "viim7b5"]
    assert [offer.result for offer in offers] == ["E♭maj7", "Fm7", "Gm7", "A♭maj7", "B♭7", "Cm7", "Dm7♭5"]


@pytest.mark.parametrize(
    ("typed", "first", "result"),
    [
        ("IV", "IVmaj7", "A♭maj7"),
        ("ii", "iim7", "Fm7"),
        ("notes V", "notes V7", "B♭ D F A♭"),
        ("scale dor", "scale dorian", "E♭ F G♭ A♭ B♭ C D♭"),
        ("degree 6", "degree 6", "C"),
        ("Ab", "IVmaj7", "A♭maj7"),
        ("fourth", "IVmaj7", "A♭maj7"),
        ("sig", "signature", "three flats"),
    ],
)
def test_what_is_typed_narrows_the_offers(typed: str, first: str, result: str) -> None:
    """By the live word's own beginning, by what it comes to, or by plain words."""
    offer = live_offers(typed, E_FLAT)[0]
    assert (offer.inside, offer.result) == (first, result)


def test_what_nothing_answers_offers_nothing() -> None:
    """A list that shows something anyway would be put in by Enter."""
    assert live_offers("xyz", E_FLAT) == ()


@pytest.mark.parametrize("key", [*MAJOR_KEYS, *MINOR_KEYS], ids=str)
def test_every_offer_prints_what_it_says(key: Key) -> None:
    """An offer that was not understood would be printed as it is typed."""
    setting = Setting(key)
    for typed in ("", "i", "notes ", "scale ", "chord ", "roman "):
        for offer in live_offers(typed, setting):
            paragraphs = prose.read(offer.source, setting)
            assert not prose.problems(paragraphs), offer
            assert prose.plain_text(paragraphs, setting.label_style) == offer.result


@pytest.mark.parametrize(
    ("line", "typed"),
    [("It is {IV", "IV"), ("It is {", ""), ("It is {IV} and", None), ("a {{", None), ("{{{V", "V"), ("plain", None)],
)
def test_an_open_brace_is_found_before_the_caret(line: str, typed: str | None) -> None:
    """Two braces print one and open nothing."""
    assert typed_brace(line, len(line)) == typed
