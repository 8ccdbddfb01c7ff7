"""`booklet watch`: make the booklet again whenever its project or a picture beside it changes.

In: a project file and the options of make. Out: what make prints, after every change; status 0 when
it is stopped. Files are looked at twenty times a second: that needs no help from the system, and
works on shared folders. A change counts when the bytes differ and have settled, so that a file that
is half written or away for a moment builds nothing. Make leaves the last good PDF in place.
"""

from __future__ import annotations

import hashlib
import pathlib
import re
import stat
import sys
import time
from collections.abc import Callable, Mapping
from typing import Final, TypeAlias

from booklet.command.make import Options, make
from booklet.command.show import harmless
from booklet.limits import Limits

LOOK: Final = 0.05
"""Seconds between two looks; a change is built when two looks in a row find it the same."""
PATIENCE: Final = 40
"""Looks that find no project file before that is told: saving takes it away for a moment."""
SUFFIXES: Final = frozenset({".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".gif", ".bmp"})
MOST_PICTURES: Final = 500
"""Pictures of a folder that are looked at."""
_NAMED: Final = re.compile(r"""(?:photo|cover)\s*=\s*["']([^"'\n]{1,200})["']""")

Stamp: TypeAlias = tuple[int, int, int]
Stamps: TypeAlias = dict[pathlib.Path, Stamp | None]


def watch(
    name: str,
    options: Options,
    build: Callable[[list[str], Options], int] = make,
    pause: Callable[[float], None] = time.sleep,
) -> int:
    """Builds at once and after every change until it is interrupted.

    Status 2 where there is no such file to begin with. `build` and `pause` are for tests.
    """
    project = pathlib.Path(name)
    if not project.is_file():
        print(f"booklet: {harmless(name)} is no file that can be read", file=sys.stderr)
        return 2
    print(f"watching {harmless(name)}; stop with Ctrl-C", flush=True)
    try:
        _loop(project, options, build, pause)
    except KeyboardInterrupt:
        print("stopped", flush=True)
    return 0


def _loop(
    project: pathlib.Path,
    options: Options,
    build: Callable[[list[str], Options], int],
    pause: Callable[[float], None],
) -> None:
    built: Mapping[pathlib.Path, bytes] | None = None
    settled: Stamps = {}
    before: Stamps = stamps(project)
    away = 0
    while True:
        away = away + 1 if before[project] is None else 0
        if away == PATIENCE:
            print(f"{harmless(str(project))} is away: waiting for it", flush=True)
        if before != settled or built is None:
            pause(0 if built is None else LOOK)
            now = stamps(project)
            if now == before and now[project] is not None:
                settled = now
                found = contents(now)
                if found != built:
                    built = found
                    _build(project, options, build)
            before = now
        else:
            pause(LOOK)
            before = stamps(project)


def _build(
    project: pathlib.Path, options: Options, build: Callable[[list[str], Options], int]
) -> None:
    start = time.perf_counter()
    code = build([str(project)], options)
    took = time.perf_counter() - start
    state = "made" if code == 0 else "not made, the last good booklet stays"
    print(f"{state} ({took:.2f} s)", flush=True)


def stamps(project: pathlib.Path) -> Stamps:
    """Time, size and number of the project and of each picture; None for one that is not there."""
    found = {project: _stamp(project)}
    named, beside = _pictures(project)
    # Those that it names come first: of a folder full of pictures only some are looked at.
    pictures = [*sorted(named), *sorted(beside - named)]
    return found | {path: _stamp(path) for path in pictures[:MOST_PICTURES]}


def contents(stamped: Stamps) -> dict[pathlib.Path, bytes]:
    """A digest of the bytes of each file; of one beyond what is read, of its stamp."""
    return {path: _digest(path, stamp) for path, stamp in stamped.items()}


def _digest(path: pathlib.Path, stamp: Stamp | None) -> bytes:
    if stamp is None:
        return b""
    try:
        if stamp[1] > Limits().picture_bytes:
            return repr(stamp).encode()
        return hashlib.blake2b(path.read_bytes()).digest()
    except OSError:
        return b""


def _stamp(path: pathlib.Path) -> Stamp | None:
    try:
        status = path.stat()
    except (OSError, ValueError):
        return None
    if not stat.S_ISREG(status.st_mode):
        # A folder in its place has nothing to read, and reading a pipe would never end.
        return None
    return status.st_mtime_ns, status.st_size, status.st_ino


def _pictures(project: pathlib.Path) -> tuple[set[pathlib.Path], set[pathlib.Path]]:
    """The pictures that the project names, and those beside it."""
    folder = project.parent
    try:
        beside = {path for path in folder.iterdir() if path.suffix.lower() in SUFFIXES}
        if _stamp(project) is None:
            return set(), beside
        with project.open("rb") as file:
            text = file.read(Limits().file_bytes).decode("utf-8", "replace")
    except OSError:
        return set(), set()
    return {folder / name for name in _NAMED.findall(text) if "\0" not in name}, beside
