"""What a PDF says of itself in XMP: its title, author and language, and that it is made for every reader (PDF/UA-1)."""

from __future__ import annotations

from typing import Any
from xml.sax.saxutils import escape

from reportlab.pdfbase import pdfdoc

_PACKET = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">
<pdfuaid:part>1</pdfuaid:part>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
{author}<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
<xmp:CreatorTool>lessonkit</xmp:CreatorTool>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""
"""ISO 16684-1 for the packet, ISO 14289-1 clause 5 for the part."""


def metadata_of(title: str, author: str, language: str) -> Any:
    """The stream of metadata of a document, readable without unpacking."""
    creator = f"<dc:creator><rdf:Seq><rdf:li>{escape(author)}</rdf:li></rdf:Seq></dc:creator>\n" if author else ""
    packet = _PACKET.format(title=escape(title), author=creator, language=escape(language))
    kind = {"Type": pdfdoc.PDFName("Metadata"), "Subtype": pdfdoc.PDFName("XML")}
    return pdfdoc.PDFStream(pdfdoc.PDFDictionary(kind), packet.encode("utf-8"), filters=[])
