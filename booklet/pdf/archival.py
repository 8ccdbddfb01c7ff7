"""What an archive asks of a PDF: metadata as XMP, an output intent, streams that close properly.

In: a canvas whose pages are all closed. Out: entries in its catalogue, and streams
wrapped so that each `endstream` stands on a line of its own.

Source of the rules: ISO 19005-2 (PDF/A-2), 6.1.7 (streams), 6.2.3 (output intent), 6.6.2 (XMP) and
6.6.2.3 (extension schemas), by their clause numbers as published rule files give them.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime
from html import escape
from typing import Any, Final

from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFDictionary,
    PDFName,
    PDFObject,
    PDFPage,
    PDFStream,
    PDFString,
)
from reportlab.pdfgen.canvas import Canvas

from booklet.pages.page import About
from booklet.pdf.colour_profile import NAME, srgb_profile
from booklet.pdf.metadata import add_to_catalogue

END: Final = b"endstream\n"
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


class Closed(PDFObject):
    """A stream object written with a line end before its `endstream` (clause 6.1.7.1)."""

    __RefOnly__ = 1

    def __init__(self, inner: Any) -> None:
        self._inner = inner

    def format(self, document: Any) -> bytes:
        """The object's bytes."""
        data: bytes = self._inner.format(document)
        return data[: -len(END)] + b"\n" + END if data.endswith(END) else data


class Plain(PDFObject):
    """A stream without a filter: what it says can be read in the file as it stands."""

    __RefOnly__ = 1

    def __init__(self, entries: dict[str, object], content: bytes) -> None:
        self._entries = entries
        self._content = content

    def format(self, document: Any) -> bytes:
        """The object's bytes."""
        entries = PDFDictionary({**self._entries, "Length": len(self._content)})
        head: bytes = entries.format(document)
        return head + b"\nstream\n" + self._content + b"\n" + END


def make_archival(canvas: Canvas, words: About, date: datetime, producer: str) -> None:
    """Adds metadata and output intent, and closes the streams; the last thing before writing."""
    document: Any = canvas._doc  # type: ignore[attr-defined]
    catalog = document.Catalog
    packet = xmp(words, date, producer)
    catalog.Metadata = Plain({"Type": PDFName("Metadata"), "Subtype": PDFName("XML")}, packet)
    intent = {
        "Type": PDFName("OutputIntent"),
        "S": PDFName("GTS_PDFA1"),
        "OutputConditionIdentifier": PDFString(NAME),
        "Info": PDFString(NAME),
        "DestOutputProfile": document.Reference(Plain({"N": 3}, srgb_profile())),
    }
    add_to_catalogue(canvas, "OutputIntents", PDFArray([PDFDictionary(intent)]))
    close_streams(canvas)


def close_streams(canvas: Canvas) -> None:
    """Wraps the streams so that each closes properly, and mends the fonts' maps to Unicode."""
    document: Any = canvas._doc  # type: ignore[attr-defined]
    for font in document.delayedFonts:
        font.addObjects(document)
    document.delayedFonts = []
    objects: dict[str, Any] = document.idToObject
    for name, item in list(objects.items()):
        if isinstance(item, PDFPage):
            content = PDFStream(content=item.stream)
            item.Contents = Closed(content)
        elif not isinstance(item, (Plain, Closed)) and _is_stream(item):
            if name.startswith("toUnicodeCMap:"):
                item.content = _without_nothing(item.content)
            objects[name] = Closed(item)


def _without_nothing(cmap: str) -> str:
    """A map to Unicode without its line for the missing glyph, which no text uses.

    Clause 6.2.11.7.2 of level U: no code leads to U+0000.
    """
    shorter = cmap.replace("<00> <0000>\n", "", 1)
    if shorter == cmap:
        return cmap
    return re.sub(r"(\d+) beginbfchar", lambda m: f"{int(m[1]) - 1} beginbfchar", shorter, count=1)


def _is_stream(item: Any) -> bool:
    return isinstance(item, PDFStream) or hasattr(item, "streamContent")


def xmp(words: About, date: datetime, producer: str) -> bytes:
    """The metadata packet: what the information dictionary says, the standards, and their schema.

    PDF/A knows no property of PDF/UA, so the packet describes that schema (clause 6.6.2.3).
    """
    when = date.astimezone(UTC) if date.tzinfo else date
    stamp = when.strftime("%Y-%m-%dT%H:%M:%SZ")
    fields = _FIELDS.format(
        title=_xml(words.title),
        author=_xml(words.designer),
        subject=_xml(words.subject),
        language=_xml(words.language),
        date=stamp,
        producer=_xml(producer),
    )
    text = _PACKET.format(fields=fields, schema=_SCHEMA)
    return text.encode("utf-8", "replace")


def _xml(text: str) -> str:
    return escape(_NOT_XML.sub("", text), quote=False)


_FIELDS: Final = """\
  <rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">
   <dc:format>application/pdf</dc:format>
   <dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
   <dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
   <dc:description>
    <rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt>
   </dc:description>
   <dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
  </rdf:Description>
  <rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/">
   <xmp:CreateDate>{date}</xmp:CreateDate>
   <xmp:ModifyDate>{date}</xmp:ModifyDate>
   <xmp:CreatorTool>{producer}</xmp:CreatorTool>
  </rdf:Description>
  <rdf:Description rdf:about="" xmlns:pdf="http://ns.adobe.com/pdf/1.3/">
   <pdf:Producer>{producer}</pdf:Producer>
  </rdf:Description>
  <rdf:Description rdf:about="" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">
   <pdfaid:part>2</pdfaid:part>
   <pdfaid:conformance>U</pdfaid:conformance>
  </rdf:Description>
  <rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
   <pdfuaid:part>1</pdfuaid:part>
  </rdf:Description>
"""

_SCHEMA: Final = """\
  <rdf:Description rdf:about=""
    xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
    xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"
    xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
   <pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
    <pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>
    <pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
    <pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
    <pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
     <pdfaProperty:name>part</pdfaProperty:name>
     <pdfaProperty:valueType>Integer</pdfaProperty:valueType>
     <pdfaProperty:category>internal</pdfaProperty:category>
     <pdfaProperty:description>The part of ISO 14289 that the file keeps</pdfaProperty:description>
    </rdf:li></rdf:Seq></pdfaSchema:property>
   </rdf:li></rdf:Bag></pdfaExtension:schemas>
  </rdf:Description>
"""

_PACKET: Final = """\
<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
 <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
{fields}{schema} </rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""
