"""Live words: what each prints in a key, and what happens to what is no live word."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as some

from lessonkit.drills.setting import Setting
from lessonkit.lesson import live
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.label_style import LabelStyle


def printed(text: str, key: str = "Eb", is_friendly: bool = False) -> str:
    """A text with its live words written out in the plain style."""
    setting = Setting(Key.parse(key), LabelStyle(), is_friendly=is_friendly)
    words = []
    for part in live.read(text, setting):
        match part:
            case live.LiveText(text=plain):
                words.append(plain)
            case live.LiveChord(chord=chord):
                words.append(chord.symbol())
            case live.LiveDegree(degree=degree):
                words.append(degree.text())
    return "".join(words)


def reasons(text: str, key: str = "Eb") -> list[str]:
    """Why the tokens of a text were not understood."""
    parts = live.read(text, Setting(Key.parse(key)))
    return [part.problem for part in parts if isinstance(part, live.LiveText) and part.problem]


@pytest.mark.parametrize(
    ("text", "key", "expected"),
    [
        # The diatonic sevenths of the major keys: Harmony and Musicianship with Solfège, "Diatonic seventh chords".
        ("{IVmaj7}", "Eb", "A♭maj7"),
        ("{notes IVmaj7}", "Eb", "A♭ C E♭ G"),
        ("{notes IVmaj7}", "Gb", "C♭ E♭ G♭ B♭"),
        ("{notes viim7b5}", "F#", "E♯ G♯ B D♯"),
        ("{V7} wants {Imaj7}", "B", "F♯7 wants Bmaj7"),
        ("{iim7}", "Cb", "D♭m7"),
        # Signatures, scales and degrees: common practice, no source.
        ("{key}", "Eb", "E♭ major"),
        ("{key}", "F#m", "F♯ minor"),
        ("{tonic}", "Ab", "A♭"),
        ("{signature}", "Eb", "three flats"),
        ("{signature}", "G", "one sharp"),
        ("{signature}", "Am", "no sharps or flats"),
        ("{tempo}", "C", "72"),
        ("{scale}", "Eb", "E♭ F G A♭ B♭ C D"),
        ("{scale}", "Cm", "C D E♭ F G A♭ B♭"),
        ("{scale dorian}", "C", "C D E♭ F G A B♭"),
        ("{scale whole tone}", "C", "C D E F♯ G♯ B♭"),
        ("{Scale Harmonic Minor}", "A", "A B C D E F G♯"),
        ("{degree 3}", "Eb", "G"),
        ("{degree 7}", "F#", "E♯"),
        ("{degree b6}", "C", "A♭"),
        ("{degree 9}", "C", "D"),
        ("{roman IVmaj7}", "Eb", "IVmaj7"),
        ("{chord Abmaj7}", "C", "A♭maj7"),
        ("{notes Abmaj7}", "C", "A♭ C E♭ G"),
        ("{notes V7/3}", "C", "B D F G"),
        ("{notes C/D}", "C", "D C E G"),
        ("{ IVmaj7 }", "Eb", "A♭maj7"),
    ],
)
def test_a_live_word_follows_the_key(text: str, key: str, expected: str) -> None:
    """The key is changed once and no sentence stays behind in the old one."""
    assert reasons(text, key) == []
    assert printed(text, key) == expected


def test_the_house_can_ask_for_friendly_spelling() -> None:
    """A♭7♭9 has B𝄫 strictly and A as players print it (common practice, no source)."""
    assert printed("{notes Ab7b9}", "C") == "A♭ C E♭ G♭ B𝄫"
    assert printed("{notes Ab7b9}", "C", is_friendly=True) == "A♭ C E♭ G♭ A"


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("{hello}", "is not a live word"),
        ("{}", "nothing stands between"),
        ("{IVmaj8}", "IVmaj8"),
        ("{VIIII}", "VIIII"),
        ("{degree 99}", "not the number of a degree"),
        ("{degree}", "not the number of a degree"),
        ("{scale of joy}", "the scales are"),
        ("{key of G}", "stands alone"),
        ("{notes}", "no chord is named"),
        ("{notes H7}", "H7"),
        ("{chord iv}", "iv"),
        ("{chord}", "no chord is named"),
        ("{roman}", "no degree is named"),
        ("{roman Abmaj7}", "Abmaj7"),
        ("{" + "I" * 61 + "}", "too many"),
        ("{IV", "never closed"),
        ("{notes #########V7}", "more than an accidental can say"),
    ],
)
def test_what_is_not_understood_prints_as_typed_with_the_reason(text: str, reason: str) -> None:
    """A teacher finds the slip by reading her own words, and the editor says what is wrong with them."""
    assert printed(f"so {text} it is") == f"so {text} it is"
    (found,) = reasons(f"so {text} it is")
    assert reason in found


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("{{IV}}", "{IV}"),
        ("{{", "{"),
        ("a }} b", "a } b"),
        ("}", "}"),
        ("{{{V7}}}", "{B♭7}"),
        ("plain", "plain"),
        ("", ""),
    ],
)
def test_a_doubled_brace_is_a_brace(text: str, expected: str) -> None:
    """Somebody will want to write about braces."""
    assert reasons(text) == []
    assert printed(text) == expected


TOKENS = some.text(alphabet=some.sampled_from("{} IViv7b#maj/°ø ♭scaledgrnoth3😀"), max_size=80)


@given(TOKENS, some.sampled_from((*MAJOR_KEYS, *MINOR_KEYS)))
def test_any_text_is_read_and_its_sources_are_the_text(text: str, key: Key) -> None:
    """The editor marks places in what was typed by adding up the sources."""
    parts = live.read(text, Setting(key))
    assert "".join(part.source for part in parts) == text
    for part in parts:
        if isinstance(part, live.LiveChord):
            assert part.chord.symbol()
            assert part.chord.tones


def test_every_degree_prints_in_every_key() -> None:
    """A note that was written in C must not break when the lesson goes to C flat."""
    text = "{Imaj7}{ii}{iiim7b5}{IV9}{V7alt}{bVI}{viidim7}{subV7/ii}{#ivdim7}{notes bIIImaj7}"
    for key in (*MAJOR_KEYS, *MINOR_KEYS):
        assert reasons(text, key.ascii) == [], key
