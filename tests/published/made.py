"""Booklets of the demo projects, made once for the checks of the PDF standards.

In: nothing. Out: what to build (a project, a paper, an edition), and the file opened by pikepdf.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pikepdf

from booklet.command.line import main

PROJECTS = Path(__file__).resolve().parents[2] / "projects"


@dataclass(frozen=True)
class Made:
    """One PDF to make: the words after `booklet make FILE`, and after `build` the open file."""

    project: str
    words: tuple[str, ...]
    path: Path = Path()
    title: str = ""
    pdf: Any = None

    def __str__(self) -> str:
        return f"{self.project} {' '.join(self.words)}".strip()

    def build(self, folder: Path) -> Made:
        """The same, with its file made and opened."""
        source = PROJECTS / self.project / f"{self.project}.toml"
        assert main(["make", str(source), "--out", str(folder), *self.words]) == 0
        (path,) = folder.glob("*.pdf")
        pdf = pikepdf.open(path)
        return Made(self.project, self.words, path, str(pdf.docinfo["/Title"]), pdf)


def made_pdfs() -> list[Made]:
    """Each demo on the paper that it asks for, one of them also on A4 in grey."""
    names = sorted(path.parent.name for path in PROJECTS.glob("*/*.toml"))
    return [*(Made(name, ()) for name in names), Made("card-wallet", ("--paper", "a4", "--grey"))]
