"""Files that mean harm or are broken: each is refused with one sentence, quickly, and nothing else happens."""

from __future__ import annotations

import io
import random
import zipfile
from pathlib import Path

import pytest

from lessonkit.exchange.apart import parsed_apart
from lessonkit.exchange.excerpt import read_excerpt
from lessonkit.exchange.guarding import Guarded, Kind, UnreadableExcerpt, guarded

SCORE = """<score-partwise version="3.1"><part-list>
<score-part id="P1"><part-name>x</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions>
<time><beats>4</beats><beat-type>4</beat-type></time></attributes>
<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration><type>whole</type></note>
</measure></part></score-partwise>"""


def packed(member: str, data: bytes, container: str | None = None) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        pointing = container or f'<container><rootfile full-path="{member}"/></container>'
        archive.writestr("META-INF/container.xml", pointing)
        archive.writestr(member, data)
    return out.getvalue()


BOMB = """<?xml version="1.0"?><!DOCTYPE lolz [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>"""
OUTSIDE = """<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY x SYSTEM "file:///etc/passwd">]>"""
HOSTILE = {
    "entities": (BOMB + SCORE).encode(),
    "an outside entity": (OUTSIDE + SCORE.replace("x</part-name>", "&x;</part-name>")).encode(),
    "entities in another encoding": (OUTSIDE + SCORE).encode("utf-16"),
    "a huge metre": SCORE.replace("<beats>4<", "<beats>10000<").encode(),
    "a strange unit": SCORE.replace("<beat-type>4<", "<beat-type>512<").encode(),
    "a huge duration": SCORE.replace("<duration>4<", "<duration>999999999<").encode(),
    "too many notes": SCORE.replace("</measure>", "<note/>" * 4000 + "</measure>").encode(),
    "too many bars": SCORE.replace("</measure>", "</measure>" + "<measure/>" * 4000).encode(),
    "a packed bomb": packed("score.xml", b" " * 300_000_000),
    "a path out of the archive": packed("score.xml", b"", '<container><rootfile full-path="../x"/></container>'),
    "no container": packed("score.xml", SCORE.encode(), "<container/>"),
    "a torn archive": packed("score.xml", SCORE.encode())[:180],
    "too large": b"<score-partwise>" + b" " * 5_000_000,
    "no text": b"\x00\x01\x02" * 100,
    "nothing": b"",
    "no music": b"<html><body>K: nothing</body></html>",
    "an abc metre": b"X:1\nM:999999999/4\nK:C\nC D E F|\n",
    "an abc metre within": b"X:1\nM:4/4\nK:C\nC D [M:64/4] E F|\n",
    "an abc length": b"X:1\nL:1/999999\nK:C\nC D E F|\n",
    "an abc multiplier": b"X:1\nK:C\nC99999999 D|\n",
    "abc too long": b"X:1\nK:C\n" + b"CDEF|" * 5000,
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_with_a_sentence_before_it_is_parsed(tmp_path: Path, name: str) -> None:
    """The other library would take minutes or gigabytes over some of these; they never reach it."""
    path = tmp_path / "excerpt.xml"
    path.write_bytes(HOSTILE[name])
    with pytest.raises(UnreadableExcerpt) as caught:
        guarded(path)
    sentence = str(caught.value)
    assert sentence.startswith("excerpt.xml ")
    assert 20 < len(sentence) < 250
    assert "\n" not in sentence


def test_the_plain_score_that_the_others_are_made_from_is_read(tmp_path: Path) -> None:
    """Otherwise the refusals above would prove nothing. An ordinary document type is let pass."""
    path = tmp_path / "excerpt.xml"
    doctype = (
        '<?xml version="1.0"?><!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 3.1 Partwise//EN" "x.dtd">'
    )
    path.write_text(doctype + SCORE, encoding="utf-8")
    assert read_excerpt(path).phrase.ascii == "in C | 1 C4"


def test_parsing_that_takes_too_long_is_stopped() -> None:
    """The window must come back whatever a file does."""
    with pytest.raises(UnreadableExcerpt, match="took too long"):
        parsed_apart(Guarded(Kind.ABC, "X:1\nK:C\nCDEF|"), seconds=0.01)


def test_what_would_eat_all_memory_is_stopped() -> None:
    """Past the guard, as if it had not seen it: a metre of a billion quarters."""
    with pytest.raises(UnreadableExcerpt):
        parsed_apart(Guarded(Kind.ABC, "X:1\nM:999999999/4\nL:1/8\nK:C\nCDEF|GABc|\n"), seconds=10)


@pytest.mark.parametrize("seed", range(12))
def test_broken_files_are_a_sentence_or_a_phrase(tmp_path: Path, seed: int) -> None:
    """Bytes changed, cut out or doubled anywhere: no exception of another kind comes out."""
    chance = random.Random(seed)
    source = SCORE if seed % 2 else 'X:1\nM:4/4\nL:1/8\nK:Eb\n"Fm7" zc BA (3GFE D2 | E4- E2 {F}G2 | [FAc]2 z6 |]\n'
    data = bytearray(source.encode())
    for _ in range(chance.randrange(1, 6)):
        at, to = chance.randrange(len(data)), chance.randrange(1, 20)
        # A byte changed, some cut out, or some doubled.
        kind = chance.randrange(3)
        data[at : at + (1 if kind == 0 else to)] = [bytes([chance.randrange(256)]), b"", data[at : at + to] * 2][kind]
    path = tmp_path / "excerpt"
    path.write_bytes(bytes(data))
    refused = ""
    try:
        read_excerpt(path)
    except UnreadableExcerpt as error:
        refused = str(error)
    assert "\n" not in refused
    assert len(refused) < 300
