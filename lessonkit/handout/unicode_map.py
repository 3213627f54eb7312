"""The table in a PDF font that says which sign each of its codes is, so that text can be searched and copied."""

from __future__ import annotations

from collections.abc import Sequence

_LARGEST_BLOCK = 100
"""The most entries that one block may have (PDF 32000-1:2008, 9.10.3 with Adobe Technical Note 5014)."""


def unicode_map(fontname: str, subset: Sequence[int]) -> str:
    """The table for a font whose codes 0, 1, 2 … show the code points of ``subset``."""
    entries = [f"<{code:02X}> <{_utf_16(sign)}>" for code, sign in enumerate(subset)]
    blocks = [entries[start : start + _LARGEST_BLOCK] for start in range(0, len(entries), _LARGEST_BLOCK)]
    lines = [
        "/CIDInit /ProcSet findresource begin", "12 dict begin", "begincmap",
        f"/CIDSystemInfo << /Registry ({fontname}) /Ordering ({fontname}) /Supplement 0 >> def",
        f"/CMapName /{fontname} def", "/CMapType 2 def",
        "1 begincodespacerange", "<00> <FF>", "endcodespacerange",
    ]  # fmt: skip
    for block in blocks:
        lines += [f"{len(block)} beginbfchar", *block, "endbfchar"]
    lines += ["endcmap", "CMapName currentdict /CMap defineresource pop", "end", "end"]
    return "\n".join(lines)


def _utf_16(sign: int) -> str:
    return chr(sign).encode("utf-16-be").hex().upper()
