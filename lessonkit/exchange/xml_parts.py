"""Elements of XML, added one below another."""

from __future__ import annotations

import re
from xml.etree.ElementTree import Element, SubElement

_NO_PLACE_IN_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def add(parent: Element, tag: str, text: object = None, **attributes: object) -> Element:
    """A new last child; an attribute's underscores are written as dashes, and one that is None is left out."""
    element = SubElement(parent, tag, {
        name.replace("_", "-"): allowed(str(value)) for name, value in attributes.items() if value is not None
    })  # fmt: skip
    if text is not None:
        element.text = allowed(str(text))
    return element


def allowed(text: str) -> str:
    """The text without the signs that XML has no place for."""
    return _NO_PLACE_IN_XML.sub("", text)
