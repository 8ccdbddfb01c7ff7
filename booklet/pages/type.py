"""The type scale: few sizes, clear jumps. Every page takes its type from here.

In: nothing. Out: named type styles (points). Nothing that a reader needs is under 8 pt.
"""

from __future__ import annotations

from typing import Final

from booklet.draw.label import LABEL
from booklet.draw.typeface import TypeStyle

TEXT: Final = TypeStyle("text", "text", 10.0, 14.0)
STRONG: Final = TypeStyle("strong", "bold", 10.0, 14.0)
SOFT: Final = TypeStyle("soft", "italic", 10.0, 14.0, 0.25)
SMALL: Final = TypeStyle("small", "text", 8.5, 10.5, 0.25)
SMALL_STRONG: Final = TypeStyle("small_strong", "bold", 8.5, 10.5)
LEAD: Final = TypeStyle("lead", "text", 12.0, 17.5)
HEADING: Final = TypeStyle("heading", "bold", 15.0, 21.0)
NUMBER: Final = TypeStyle("number", "title", 22.0, 24.0)
NARROW_TITLE: Final = TypeStyle("narrow_title", "title", 20.0, 24.0)
TITLE: Final = TypeStyle("title", "title", 30.0, 35.0)
COVER: Final = TypeStyle("cover", "title", 44.0, 49.0)

STYLES: Final = {
    style.name: style
    for style in (
        LABEL, TEXT, STRONG, SOFT, SMALL, SMALL_STRONG, LEAD, HEADING, NUMBER, NARROW_TITLE,
        TITLE, COVER,
    )
}  # fmt: skip
"""Every style by the name that labels of drawings use."""
