"""Layers: what a viewer can switch off on a full-size template.

In: marks with the names of their layers. Out: optional content groups as ISO 32000-1, 8.11 has
them: marked content on the page, properties in the page's resources, and the list of groups in
the catalogue, every group shown at first. A file without full-size templates has none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Any

from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFString
from reportlab.pdfgen.canvas import Canvas

from booklet.draw.mark import LAYERS, Clip, Mark
from booklet.pdf.metadata import add_to_catalogue


def runs(marks: Iterable[Mark]) -> Iterator[tuple[str | None, Sequence[Mark]]]:
    """Neighbouring marks of one layer together, in drawing order; None: no switchable layer."""
    for layer, group in groupby(marks, key=_layer):
        yield layer, tuple(group)


def _layer(mark: Mark) -> str | None:
    # The marks inside a clip have layers of their own.
    if isinstance(mark, Clip) or mark.layer not in LAYERS:
        return None
    return mark.layer


class Layers:
    """The groups of one file; `used` gathers those of the page being drawn."""

    def __init__(self, canvas: Canvas) -> None:
        self._canvas = canvas
        self._groups: dict[str, Any] = {}
        self._used: set[str] = set()

    def begin(self, layer: str) -> None:
        """What is drawn from here on belongs to the layer."""
        self._used.add(layer)
        self._canvas._code.append(f"/OC /{layer} BDC")  # type: ignore[attr-defined]

    def end(self) -> None:
        """The layer that began last ends."""
        self._canvas._code.append("EMC")  # type: ignore[attr-defined]

    def end_page(self) -> None:
        """Names the layers of the page just shown in its resources."""
        if not self._used:
            return
        properties = {name: self._group(name) for name in LAYERS if name in self._used}
        page: Any = self._canvas._doc.Pages.pages[-1]  # type: ignore[attr-defined]
        with_fonts = page.check_format

        def with_layers(document: Any) -> None:
            # The library makes a page's resources only when it writes the page.
            with_fonts(document)
            page.Resources.Properties = properties

        page.check_format = with_layers
        self._used = set()

    def end_file(self) -> None:
        """Lists the groups in the catalogue: PDF viewers offer them in this order."""
        if not self._groups:
            return
        groups = [self._groups[name] for name in LAYERS if name in self._groups]
        shown = PDFDictionary(
            {
                "Name": PDFString("Template layers"),
                "BaseState": PDFName("ON"),
                "ON": PDFArray(groups),
                "Order": PDFArray(groups),
            }
        )
        listed = PDFDictionary({"OCGs": PDFArray(groups), "D": shown})
        add_to_catalogue(self._canvas, "OCProperties", listed)

    def _group(self, name: str) -> Any:
        if name not in self._groups:
            entry = PDFDictionary({"Type": PDFName("OCG"), "Name": PDFString(LAYERS[name])})
            document: Any = self._canvas._doc  # type: ignore[attr-defined]
            self._groups[name] = document.Reference(entry, f"layer.{name}")
        return self._groups[name]
