"""The picture at the head of a lesson's first page: a PNG or JPEG file that was looked through before it was taken.

What is taken can be printed: its parts are whole, and it is no larger than a page needs. Nothing in it is carried out.
"""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Iterator
from functools import lru_cache

from lessonkit.values import dataclass

MOST_BYTES = 512 * 1024
"""The largest file that is taken."""

MOST_PIXELS = 8_000_000
"""The most pixels: a page's width at 600 dots an inch, and a sixth of its height."""

_PNG, _JPEG = b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff"
_SIZES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
"""The markers of a JPEG file behind which its size stands (ITU-T T.81, table B.1; from memory)."""


@dataclass(frozen=True, slots=True)
class Letterhead:
    """The bytes of the picture. Raises ValueError with a sentence for what is no picture or too large."""

    content: bytes

    def __post_init__(self) -> None:
        if len(self.content) > MOST_BYTES:
            raise ValueError(f"the picture is larger than {MOST_BYTES // 1024} kB; save it smaller")
        _size_of(self.content)

    def __repr__(self) -> str:
        width, height = self.size
        return f"<Letterhead {width} by {height}, {hashlib.sha256(self.content).hexdigest()[:16]}>"

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return _size_of(self.content)


@lru_cache(maxsize=64)
def _size_of(content: bytes) -> tuple[int, int]:
    if content.startswith(_PNG):
        width, height = _size_of_png(content)
    elif content.startswith(_JPEG):
        width, height = _size_of_jpeg(content)
    else:
        raise ValueError("this is neither a PNG nor a JPEG picture; save it as one of them")
    if not width or not height or width * height > MOST_PIXELS:
        raise ValueError(f"the picture has {width} by {height} pixels, which is too large; save it smaller")
    if not 1 / 20 <= width / height <= 40:
        raise ValueError(f"a picture of {width} by {height} pixels is too narrow to be printed")
    return width, height


def _size_of_png(content: bytes) -> tuple[int, int]:
    """The size, once every part of the file is seen to be whole."""
    parts = list(_png_parts(content))
    if not parts or parts[0][0] != b"IHDR" or len(parts[0][1]) != 13 or parts[-1][0] != b"IEND":
        raise ValueError("the picture is not whole; save it again")
    width, height = int.from_bytes(parts[0][1][:4], "big"), int.from_bytes(parts[0][1][4:8], "big")
    if not 0 < width * height <= MOST_PIXELS:
        return width, height
    # Never more is unpacked than a picture of this size can hold: four colours of sixteen bits, and a filter a line.
    left = width * height * 8 + height * 8
    packed = zlib.decompressobj()
    try:
        for kind, part in parts:
            if kind == b"IDAT":
                left -= len(packed.decompress(part, left + 1))
                if left < 0 or packed.unconsumed_tail:
                    raise ValueError("the picture holds more than its size; save it again")
    except zlib.error:
        raise ValueError("the picture is damaged; save it again") from None
    if not packed.eof:
        raise ValueError("the picture is not whole; save it again")
    return width, height


def _png_parts(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    place = len(_PNG)
    while place + 12 <= len(content):
        length = int.from_bytes(content[place : place + 4], "big")
        kind, end = content[place + 4 : place + 8], place + 8 + length
        if end + 4 > len(content) or zlib.crc32(content[place + 4 : end]) != int.from_bytes(
            content[end : end + 4], "big"
        ):
            raise ValueError("the picture is damaged; save it again")
        yield kind, content[place + 8 : end]
        if kind == b"IEND":
            return
        place = end + 4


def _size_of_jpeg(content: bytes) -> tuple[int, int]:
    place = 2
    while place + 9 <= len(content) and content[place] == 0xFF:
        marker = content[place + 1]
        if marker == 0xFF:
            place += 1
            continue
        if marker in _SIZES:
            if not content.rstrip(b"\x00").endswith(b"\xff\xd9"):
                raise ValueError("the picture is not whole; save it again")
            height = int.from_bytes(content[place + 5 : place + 7], "big")
            return int.from_bytes(content[place + 7 : place + 9], "big"), height
        place += 2 + max(2, int.from_bytes(content[place + 2 : place + 4], "big"))
    raise ValueError("the picture is damaged; save it again")
