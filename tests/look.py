"""Look at pages: `python -m tests.look PROJECT [PAGE ...] [--paper a4] [--dpi 100] [--grey]`.

In: a project file and page numbers (all without). Out: pictures `page-N.png` in a new folder under
the system's temporary one, whose path is printed. For people who change pages or drawings.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

import pypdfium2  # type: ignore[import-untyped]

from booklet.draw.typeface import load_faces
from booklet.pages.grid import PAPERS
from booklet.pages.handout import handout
from booklet.pdf.canvas import pdf_bytes
from booklet.stages import check_file


def main() -> int:
    """Draws the pages that the command line names."""
    parser = argparse.ArgumentParser(prog="tests.look")
    parser.add_argument("project", type=Path)
    parser.add_argument("page", type=int, nargs="*")
    parser.add_argument("--paper", choices=tuple(PAPERS), default="letter")
    parser.add_argument("--dpi", type=float, default=100.0)
    parser.add_argument("--grey", action="store_true")
    asked = parser.parse_args()
    model, problems = check_file(asked.project)
    if model is None:
        print(*(problem.message for problem in problems), sep="\n", file=sys.stderr)
        return 1
    faces = load_faces()
    document = handout(model, PAPERS[asked.paper], faces)
    data = pdf_bytes(document, faces, date=datetime(2000, 1, 1, tzinfo=UTC), grey=asked.grey)
    folder = Path(tempfile.mkdtemp(prefix="look-"))
    pdf = pypdfium2.PdfDocument(data)
    for number in asked.page or range(1, len(pdf) + 1):
        picture = pdf[number - 1].render(scale=asked.dpi / 72).to_pil()
        picture.save(folder / f"page-{number}.png")
    print(folder)
    return 0


if __name__ == "__main__":
    sys.exit(main())
