"""`booklet bind`: one binder of all projects in a folder.

In: a folder. Out: a PDF with cover, contents, the section of every project that passes, indexes and
a log; the list of those that do not pass is in it and on stderr. Sections are made by as many
processes as there are processors, and kept beside the binder: only what changed is made anew.
"""

from __future__ import annotations

import os
import sys
from collections import Counter
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from booklet.command.bind_cache import Settings, facts_of, key_of, section_bytes, store, tidy
from booklet.command.check import status
from booklet.command.make import date_given
from booklet.command.show import harmless, why
from booklet.draw.typeface import Faces, load_faces
from booklet.limits import Limits
from booklet.pages.binder import project_pages
from booklet.pages.binder_front import Entry, Facts, back_pages, front_pages, furniture
from booklet.pages.grid import PAPERS
from booklet.pages.page import About, Document, Page
from booklet.pdf.canvas import pages_and_tree
from booklet.pdf.join import Bookmark, Joiner
from booklet.pdf.section import Section, from_bytes, section_of, to_bytes
from booklet.pdf.write import must_take_a_pdf, whole_file
from booklet.stages import Asked, Model, check_file
from booklet.stock.instruction import counted, sheet_name

PLAIN_DATE = datetime(2000, 1, 1, tzinfo=UTC)
"""A section's own date: it is in no binder."""
CACHE = ".booklet-sections"


@dataclass(frozen=True)
class Bound:
    """A project of the folder: its file, its name below the folder, its entry in the cache."""

    file: Path
    name: str
    key: str


def bind(folder: str, out: str | None, settings: Settings, jobs: int | None = None) -> int:
    """Bind a folder; prints what was written."""
    root = Path(folder)
    date = date_given()
    if date is None:
        return _told("SOURCE_DATE_EPOCH is no count of seconds")
    if not root.is_dir():
        return _told(f"{folder} is no folder")
    units = f"-{settings.units}" if settings.units else ""
    target = Path(out) if out else root
    if target.is_dir():
        target = target / f"binder{units}-{settings.paper}.pdf"
    try:
        must_take_a_pdf(target)
        files = project_files(root)
        if not files:
            return _told(f"{folder} holds no project")
        most = Limits().bound_projects
        if len(files) > most:
            return _told(
                f"{folder} holds {len(files):,} project files, more than the {most:,} of a binder: "
                "bind the folders in it one by one"
            )
        kept = target.parent / CACHE
        if kept.is_symlink():
            # In a folder from a stranger it could lead anywhere, and entries are taken away there.
            return _told(f"{kept} is a link: take it away, parts of a binder are kept in a folder")
        kept.mkdir(parents=True, exist_ok=True)
        found, failed = _keyed(root, files, settings)
        missing = [one for one in found if facts_of(kept, one.key) is None]
        _make(missing, kept, settings, jobs)
        code = _write(root, found, failed, kept, settings, target, date)
        tidy(kept, {one.key for one in found})
    except BrokenProcessPool:
        return _told("a process was stopped from outside: try --jobs 1")
    except OSError as error:
        return _told(f"{error.filename or target} cannot be read or written: {why(error)}")
    return code


def _told(words: str) -> int:
    print(f"booklet: {harmless(words)}", file=sys.stderr)
    return 2


def project_files(root: Path) -> list[Path]:
    """The project files below a folder, hidden folders left out, in the order of their names."""
    paths = sorted(path for path in root.rglob("*.toml") if path.is_file())
    return [
        path
        for path in paths
        if not any(part.startswith(".") for part in path.relative_to(root).parts)
    ]


def _keyed(
    root: Path, files: Sequence[Path], settings: Settings
) -> tuple[list[Bound], list[tuple[str, str]]]:
    """The projects with their names in the cache, and files that cannot be read with the reason."""
    found, failed = [], []
    for file in files:
        # Half characters of a name that is no UTF-8 cannot stand on a page or in a PDF's data.
        name = harmless(file.relative_to(root).as_posix())
        try:
            found.append(Bound(file, name, key_of(file, settings)))
        except OSError as error:
            failed.append((name, f"it cannot be read: {error.strerror}"))
    return found, failed


def _make(missing: Sequence[Bound], kept: Path, settings: Settings, jobs: int | None) -> None:
    """Makes the sections that are not in the cache."""
    workers = min(jobs or os.cpu_count() or 1, len(missing))
    if workers <= 1:
        for one in missing:
            make_section(one, kept, settings)
        return
    with ProcessPoolExecutor(workers) as pool:
        for _ in pool.map(make_section, missing, [kept] * len(missing), [settings] * len(missing)):
            pass


@cache
def _faces() -> Faces:
    """The faces, read once in each process."""
    return load_faces()


def make_section(one: Bound, kept: Path, settings: Settings) -> None:
    """Checks one project and puts its section, or the reason why it has none, into the cache."""
    model, problems = check_file(one.file, Asked(units=settings.units, ruler=settings.ruler))
    if model is None or not model.patterns or status(problems, strict=False):
        wrong = [problem for problem in problems if problem.severity == "error"]
        store(kept, one.key, wrong[0].message if wrong else "it has no piece", b"")
        return
    pages = project_pages(model, PAPERS[settings.paper], _faces())
    section = _section(pages, settings.grey, model.project.look.accent)
    store(kept, one.key, _facts(model, pages), to_bytes(section))


def _section(pages: Sequence[Page], grey: bool, accent: str = "#2f6f73") -> Section:
    document = Document(
        "", "", "", "en", accent, tuple(replace(p, bookmark=None, further=()) for p in pages)
    )
    return section_of(*pages_and_tree(document, _faces(), date=PLAIN_DATE, grey=grey))


def _facts(model: Model, pages: Sequence[Page]) -> Facts:
    project = model.project
    forms = [piece.form.value for piece in project.pieces if piece.form is not None]
    sizes = [(stock, model.sheets.get(stock.id.value)) for stock in project.stocks]
    return Facts(
        title=project.project.title,
        designer=project.project.designer,
        language=project.project.language,
        pages=len(pages),
        forms=tuple(form.replace("_", " ") for form in forms) or ("own shape",),
        holds=tuple(contents.name for contents in project.contents),
        stocks=tuple(stock.name for stock in project.stocks),
        sheets=tuple(
            sheet_name(stock, size, model.printer) for stock, size in sizes if size is not None
        ),
        bookmarks=tuple(
            (words, at)
            for at, page in enumerate(pages)
            if page.bookmark_level == 0
            for words in page.bookmarks
        ),
    )


def _entries(passed: Iterable[tuple[Bound, Facts]]) -> list[tuple[Bound, Entry]]:
    """The projects in the order of their names; equal titles are told apart by their files."""
    listed = list(passed)
    titles = Counter(facts.title.casefold() for _, facts in listed)
    named = [
        (one, f"{facts.title} ({one.name})" if titles[facts.title.casefold()] > 1 else facts.title)
        for one, facts in listed
    ]
    order = sorted(
        zip(named, (facts for _, facts in listed), strict=True),
        key=lambda both: (both[0][1].casefold(), both[0][0].name),
    )
    entries, first = [], 1
    for (one, label), facts in order:
        entries.append((one, Entry(label, first, facts)))
        first += facts.pages
    return entries


def _write(
    root: Path,
    found: Sequence[Bound],
    unread: Sequence[tuple[str, str]],
    kept: Path,
    settings: Settings,
    target: Path,
    date: datetime,
) -> int:
    told = [(one, facts_of(kept, one.key)) for one in found]
    failed = [(one.name, reason) for one, reason in told if isinstance(reason, str)]
    failed = sorted([*failed, *unread])
    for name, reason in failed:
        print(f"{harmless(name)}: not bound: {harmless(reason)}", file=sys.stderr)
    entries = _entries((one, facts) for one, facts in told if isinstance(facts, Facts))
    if not entries:
        print("booklet: no project passed, no binder written", file=sys.stderr)
        return 1
    listed = [entry for _, entry in entries]
    letters = list(dict.fromkeys(entry.letter for entry in listed))
    paper, faces = PAPERS[settings.paper], _faces()
    folder = harmless(root.resolve().name)
    title = folder.replace("-", " ").replace("_", " ").capitalize() or "Projects"
    bookmarks: list[Bookmark] = []
    with whole_file(target) as file:
        joiner = Joiner(file)
        front = front_pages(title, listed, failed, paper, faces)
        _add(joiner, front, settings, bookmarks)
        for one, entry in entries:
            start = joiner.pages
            bookmarks.append(Bookmark(entry.label, 0, start))
            marks = entry.facts.bookmarks[1:]
            bookmarks += [Bookmark(words, 1, start + at) for words, at in marks]
            over = _section(furniture(entry, letters, paper, faces), settings.grey)
            section = from_bytes(section_bytes(kept, one.key))
            joiner.add(section, over, entry.facts.language, deeper=1)
        last = listed[-1].first + listed[-1].facts.pages
        back = back_pages(title, listed, last, paper, faces)
        _add(joiner, back, settings, bookmarks, deeper=1)
        about = About(title, "", "", "en", edition="binder of projects")
        joiner.finish(about, date, bookmarks)
    held = counted(len(entries), "project")
    print(f"{harmless(str(target))} ({held}, {joiner.pages} pages)")
    return 1 if failed else 0


def _add(
    joiner: Joiner,
    pages: Sequence[Page],
    settings: Settings,
    bookmarks: list[Bookmark],
    deeper: int = 0,
) -> None:
    """Pages of the binder itself, with nothing drawn over them."""
    start = joiner.pages
    bookmarks += [
        Bookmark(words, 0, start + at) for at, page in enumerate(pages) for words in page.bookmarks
    ]
    bare = [Page(page.width, page.height, ()) for page in pages]
    joiner.add(_section(pages, settings.grey), _section(bare, settings.grey), "en", deeper)
