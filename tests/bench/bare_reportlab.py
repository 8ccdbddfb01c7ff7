"""The floor of `make_floor.py`: the least work that puts the same ink on the same pages.

In: a recipe (JSON: font files, then pages with their paths and texts, in points) and the path of
the PDF to write. Out: that PDF. Nothing here imports the program, and nothing is laid out.
"""

from __future__ import annotations

import json
import sys

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas


def main(recipe: str, target: str) -> None:
    """Draws every path and text of the recipe."""
    with open(recipe, encoding="utf-8") as file:  # noqa: PTH123 (pathlib is part of what is paid)
        asked = json.load(file)
    # The program spells streams in binary as well; in ASCII the floor would be higher.
    rl_config.useA85 = 0
    for name, path in asked["fonts"].items():
        pdfmetrics.registerFont(TTFont(name, path))
    canvas = Canvas(target, pageCompression=1)
    for page in asked["pages"]:
        canvas.setPageSize(page["size"])
        for stroked, filled, commands in page["paths"]:
            path = canvas.beginPath()
            for kind, *at in commands:
                if kind == "M":
                    path.moveTo(*at)
                elif kind == "L":
                    path.lineTo(*at)
                elif kind == "C":
                    path.curveTo(*at)
                else:
                    path.close()
            canvas.drawPath(path, stroke=stroked, fill=filled)
        for font, size, x, y, text in page["texts"]:
            canvas.setFont(font, size)
            canvas.drawString(x, y, text)
        canvas.showPage()
    canvas.save()


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
