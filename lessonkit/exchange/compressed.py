"""MusicXML packed into one small file, as the standard describes its ``.mxl`` files."""

from __future__ import annotations

import io
import zipfile

MEDIA_TYPE = "application/vnd.recordare.musicxml"
CONTAINER = "META-INF/container.xml"
_LONG_AGO = (1980, 1, 1, 0, 0, 0)
"""A fixed date, so that the same score always makes the same file."""


def to_mxl(score: bytes, name: str = "score.musicxml") -> bytes:
    """A MusicXML score, compressed; ``name`` is what its file is called inside.

    Source: MusicXML 4.0, "Compressed .MXL files": the media type comes first and uncompressed, then the container,
    which names the score as its first root file.
    """
    container = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<container><rootfiles><rootfile full-path="{name}" media-type="{MEDIA_TYPE}+xml"/></rootfiles></container>\n'
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for member, content, packing in (
            ("mimetype", MEDIA_TYPE.encode(), zipfile.ZIP_STORED),
            (CONTAINER, container.encode(), zipfile.ZIP_DEFLATED),
            (name, score, zipfile.ZIP_DEFLATED),
        ):
            archive.writestr(zipfile.ZipInfo(member, _LONG_AGO), content, packing)
    return out.getvalue()
