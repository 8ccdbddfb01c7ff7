"""Every edition of the demo projects, each made once for all checks of the PDF standards.

In: a folder. Out: paths of files, and a file opened by pikepdf with the parts that are drawn on it.
"""

from __future__ import annotations

import fcntl
import functools
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

import pikepdf

from booklet.command.bind import bind
from booklet.command.bind_cache import Settings
from booklet.command.make import EARLIEST, Options, target_of, write_edition
from booklet.command.stamp import stamp
from booklet.draw.typeface import Faces, load_faces
from booklet.stages import Model, check_file

PROJECTS = Path(__file__).resolve().parents[1] / "projects"
NAMES = sorted(path.parent.name for path in PROJECTS.glob("*/*.toml"))
EDITIONS: Final = {
    "handout": Options(),
    "grey plain": Options(grey=True, plain=True),
    "large": Options(large=True),
    "folded": Options(fold=True),
    "pattern": Options(edition="pattern"),
    "binder": Options(edition="binder"),
}
"""What is made of every project, by a name of our own."""


@functools.cache
def _faces() -> Faces:
    return load_faces()


class Workshop:
    """Makes editions in a folder, each when it is first asked for, whichever process asks."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._models: dict[str, Model] = {}
        folder.mkdir(exist_ok=True)

    def files(self, project: str, edition: str, paper: str | None = None) -> list[Path]:
        """The PDFs of one edition of one project, by name."""

        # A pattern is made on every paper at once.
        named = paper if edition == "pattern" else paper or self._model(project).project.look.paper

        def make(out: Path) -> None:
            source = PROJECTS / project / f"{project}.toml"
            options = replace(EDITIONS[edition], paper=named)
            target = target_of(source, self._model(project), out, options)
            write_edition(self._model(project), _faces(), target, options, EARLIEST)

        out = self._once("-".join((project, edition, named or "")).replace(" ", "-"), make)
        return sorted(out.rglob("*.pdf"))

    def bound(self) -> Path:
        """All projects in one binder."""

        def make(out: Path) -> None:
            settings = Settings("letter", grey=False)
            assert bind(str(PROJECTS), str(out / "bound.pdf"), settings, jobs=1) == 0

        return self._once("bound", make) / "bound.pdf"

    def stamped(self, original: Path) -> Path:
        """A personal copy."""

        def make(out: Path) -> None:
            words = (str(original), "Ada Lind", "17", "2027-03-06", str(out / original.name))
            assert stamp(*words) == 0

        return self._once(f"copy-{original.stem}", make) / original.name

    def _once(self, name: str, make: Callable[[Path], None]) -> Path:
        """The folder of that name, filled by `make` if no process has filled it yet."""
        out, done = self._folder / name, self._folder / f"{name}.done"
        with (self._folder / f"{name}.lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not done.exists():
                out.mkdir(exist_ok=True)
                make(out)
                done.touch()
        return out

    def _model(self, project: str) -> Model:
        if project not in self._models:
            model, _ = check_file(PROJECTS / project / f"{project}.toml")
            assert model is not None
            self._models[project] = model
        return self._models[project]


@dataclass(frozen=True)
class Wanted:
    """A file to look at: project and edition, how its name ends, whether a copy of it is taken."""

    project: str
    edition: str
    end: str = ".pdf"
    paper: str | None = None
    copy: bool = False

    def __str__(self) -> str:
        words = (self.project, self.edition, self.paper or "", self.end.removesuffix(".pdf"))
        return " ".join(word for word in (*words, "copy" * self.copy) if word)

    def path(self, workshop: Workshop) -> Path:
        """The file, made."""
        if self.edition == "bound":
            return workshop.bound()
        files = workshop.files(self.project, self.edition, self.paper)
        (path,) = (path for path in files if path.name.endswith(self.end))
        return workshop.stamped(path) if self.copy else path


WANTED: Final = [
    *(Wanted(name, "handout") for name in NAMES),
    Wanted("seed-box", "large", paper="a4"),
    Wanted("seed-box", "folded", "letter.pdf"),
    Wanted("tea-carton", "folded", "a4.pdf", "a4"),
    Wanted("harvest-tray", "folded", "templates.pdf"),
    Wanted("harvest-tray", "folded", "teacher.pdf"),
    Wanted("soap-pouch", "pattern", "pouch-a4.pdf"),
    Wanted("seed-box", "pattern", "grey-letter.pdf"),
    Wanted("seed-box", "pattern", "box-letter.pdf", copy=True),
    Wanted("tea-pyramid", "binder"),
    Wanted("", "bound"),
]
"""Files that say they keep both standards: every kind of file once, every demo at least once."""


@dataclass(frozen=True)
class Made:
    """One file, open."""

    path: Path
    pdf: Any

    @property
    def title(self) -> str:
        """The title in the information dictionary."""
        return str(self.pdf.docinfo["/Title"])

    @property
    def xmp(self) -> Any:
        """The metadata packet, for reading."""
        return self.pdf.open_metadata()

    def drawn(self) -> Iterator[Any]:
        """All that has a drawing: pages, and the forms on them."""
        for page in self.pdf.pages:
            yield page
            forms = page.Resources.get("/XObject", {}).values()
            yield from (form for form in forms if form.Subtype == "/Form")

    def fonts(self) -> Iterator[Any]:
        """The fonts of all that has a drawing."""
        for drawn in self.drawn():
            yield from drawn.Resources.get("/Font", {}).values()


def opened(path: Path) -> Made:
    """The file, open."""
    return Made(path, pikepdf.open(path))
