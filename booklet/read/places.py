"""Where every key and value of a TOML text stands, which `tomllib` does not tell.

In: the text of a project file. Out: `Scan` with the index `Places` from key path to line and
column, and the point at which the scan had to stop, if any. The scan only finds places: it takes
a little more than TOML 1.0 allows and leaves judging to `tomllib`, which runs after it. It runs
first because it is what bounds depth and number of values: a key of many thousand parts would
cost `tomllib` time with their square.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field

from booklet.limits import Limits
from booklet.problem import Place

Path = tuple[str | int, ...]

# TOML 1.0, sections "Comment", "Keys", "String"; possessive so that no text can make them slow.
_SPACE = re.compile(r"[ \t]*+")
# Groups repeat without "+" at their end: in early releases of Python 3.11 a possessive group of
# alternatives may stop too early. As no two alternatives begin alike, nothing is tried twice.
_SPACE_LINES = re.compile(r"(?:[ \t\n]++|#[^\n]*+)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]++")
_STRINGS = (
    re.compile(r'"""(?:[^"\\]++|\\[\s\S]|"(?!""))*"""("{0,2})'),
    re.compile(r"'''(?:[^']++|'(?!''))*'''('{0,2})"),
    re.compile(r'"(?!"")(?:[^"\\\n]++|\\.)*"'),
    re.compile(r"'(?!'')[^'\n]*+'"),
)
_BARE_VALUE = re.compile(r"\d{4}-\d\d-\d\d \d\d:[^\s,\]}#]*+|[^\s,\]}#]++")


@dataclass(frozen=True)
class Places:
    """The place of each key path; a path has names for keys and numbers for list elements."""

    file: str
    starts: tuple[int, ...]
    keys: Mapping[Path, int]
    values: Mapping[Path, int]
    text: str = ""

    def key(self, path: Path) -> Place:
        """Where the key stands (for a list element, where the element starts)."""
        return self.at(self._nearest(self.keys, path))

    def value(self, path: Path) -> Place:
        """Where the value starts; for a table with a header, its opening bracket."""
        return self.at(self._nearest(self.values, path))

    def at(self, offset: int) -> Place:
        """The place of a character of the text."""
        line = bisect_right(self.starts, offset)
        return Place(self.file, line, offset - self.starts[line - 1] + 1)

    def opening(self, path: Path) -> str:
        """The first letters of a value, which tell how a text is quoted."""
        offset = self._nearest(self.values, path)
        return self.text[offset : offset + 4]

    @staticmethod
    def _nearest(index: Mapping[Path, int], path: Path) -> int:
        """The offset of the path, else that of the nearest path round it, else the start."""
        while path and path not in index:
            path = path[:-1]
        return index.get(path, 0)


@dataclass(frozen=True)
class Stop:
    """Why and where the scan ended early: "too-deep", "too-many", "number-out-of-range" or
    "syntax"."""

    reason: str
    offset: int


@dataclass(frozen=True)
class Scan:
    """The index, the early end if there was one, and the first key that is written twice."""

    places: Places
    stop: Stop | None
    repeated: tuple[Path, int] | None


def scan(text: str, file: str, limits: Limits) -> Scan:
    """Index a text whose line ends are newlines. Never raises."""
    scanner = _Scanner(text, limits)
    stop = None
    try:
        scanner.document()
    except _Halt as halt:
        stop = Stop(halt.reason, halt.offset)
    starts = (0, *(match.end() for match in re.finditer("\n", text)))
    places = Places(file, starts, scanner.keys, scanner.values, text)
    return Scan(places, stop, scanner.repeated)


class _Halt(Exception):
    """Ends a scan."""

    def __init__(self, reason: str, offset: int) -> None:
        super().__init__(reason, offset)
        self.reason = reason
        self.offset = offset


@dataclass
class _Scanner:
    """The state of one walk through a text; lives only inside `scan`."""

    text: str
    limits: Limits
    pos: int = 0
    keys: dict[Path, int] = field(default_factory=dict)
    values: dict[Path, int] = field(default_factory=dict)
    lengths: dict[Path, int] = field(default_factory=dict)  # [[name]] -> elements so far
    repeated: tuple[Path, int] | None = None

    def document(self) -> None:
        """Walk through all statements."""
        table: Path = ()
        self._skip(_SPACE_LINES)
        while self.pos < len(self.text):
            if self.text[self.pos] == "[":
                table = self._header()
            else:
                self._pair(table)
            self._skip(_SPACE)
            if self.pos < len(self.text) and self.text[self.pos] not in "#\n":
                raise _Halt("syntax", self.pos)
            self._skip(_SPACE_LINES)

    def _header(self) -> Path:
        """Read [name] or [[name]]; returns the path of the table that it opens."""
        start = self.pos
        double = self.text.startswith("[[", start)
        self.pos += 2 if double else 1
        parts = self._key()
        self._expect("]]" if double else "]", start)
        path: Path = ()
        for number, (name, offset) in enumerate(parts, 1):
            path += (name,)
            self._record(path, offset, offset, keep=True)
            if double and number == len(parts):
                element = self.lengths.get(path, 0)
                self.lengths[path] = element + 1
                path += (element,)
            elif path in self.lengths:
                path += (self.lengths[path] - 1,)
        # The header itself is the place of the table, even if [name.part] came before it.
        self._record(path, parts[-1][1], start)
        return path

    def _pair(self, table: Path) -> None:
        """Read `key = value` into the table at this path."""
        parts = self._key()
        self._expect("=", self.pos)
        self._skip(_SPACE)
        path = table
        for name, offset in parts[:-1]:
            path += (name,)
            self._record(path, offset, offset, keep=True)
        name, offset = parts[-1]
        path += (name,)
        if path in self.values and self.repeated is None:
            self.repeated = (path, offset)
        self._record(path, offset, self.pos)
        self._value(path)

    def _key(self) -> list[tuple[str, int]]:
        """Read a key of one or more parts with dots; each part with its offset."""
        parts: list[tuple[str, int]] = []
        while True:
            self._skip(_SPACE)
            start = self.pos
            if len(parts) >= self.limits.depth:
                raise _Halt("too-deep", start)
            parts.append((self._key_part(), start))
            self._skip(_SPACE)
            if not self.text.startswith(".", self.pos):
                return parts
            self.pos += 1

    def _key_part(self) -> str:
        """Read one part of a key, bare or in quotes."""
        match = _BARE_KEY.match(self.text, self.pos)
        if match is not None:
            self.pos = match.end()
            return match.group()
        for pattern in _STRINGS[2:]:
            match = pattern.match(self.text, self.pos)
            if match is not None:
                self.pos = match.end()
                return self._plain(match.group(), match.start())
        raise _Halt("syntax", self.pos)

    def _plain(self, quoted: str, start: int) -> str:
        """The text of a quoted key; escapes are left to `tomllib`."""
        if "\\" not in quoted or quoted.startswith("'"):
            return quoted[1:-1]
        try:
            return str(tomllib.loads(f"key = {quoted}")["key"])
        except ValueError as error:
            raise _Halt("syntax", start) from error

    def _value(self, path: Path) -> None:
        """Read a value; lists and inline tables record what is in them."""
        start = self.pos
        if self.text.startswith("[", start):
            self._list(path)
            return
        if self.text.startswith("{", start):
            self._inline_table(path)
            return
        for pattern in _STRINGS:
            match = pattern.match(self.text, start)
            if match is not None:
                self.pos = match.end()
                return
        match = _BARE_VALUE.match(self.text, start)
        if match is None or self.text[start] in "\"'":
            raise _Halt("syntax", start)
        if match.end() - start > self.limits.bare_value:
            raise _Halt("number-out-of-range", start)
        self.pos = match.end()

    def _list(self, path: Path) -> None:
        """Read [a, b, ...], which may run over lines and hold comments."""
        start = self.pos
        self.pos += 1
        element = 0
        while True:
            self._skip(_SPACE_LINES)
            if self.text.startswith("]", self.pos):
                self.pos += 1
                return
            inner = (*path, element)
            self._record(inner, self.pos, self.pos)
            self._value(inner)
            element += 1
            self._skip(_SPACE_LINES)
            if self.text.startswith(",", self.pos):
                self.pos += 1
            elif not self.text.startswith("]", self.pos):
                raise _Halt("syntax", start if self.pos >= len(self.text) else self.pos)

    def _inline_table(self, path: Path) -> None:
        """Read {a = 1, ...}."""
        start = self.pos
        self.pos += 1
        while True:
            self._skip(_SPACE_LINES)
            if self.text.startswith("}", self.pos):
                self.pos += 1
                return
            if self.pos >= len(self.text):
                raise _Halt("syntax", start)
            self._pair(path)
            self._skip(_SPACE_LINES)
            if self.text.startswith(",", self.pos):
                self.pos += 1
            elif not self.text.startswith("}", self.pos):
                raise _Halt("syntax", start if self.pos >= len(self.text) else self.pos)

    def _record(self, path: Path, key: int, value: int, keep: bool = False) -> None:
        """Note a path; `keep` leaves an earlier note as it is."""
        if len(path) > self.limits.depth:
            raise _Halt("too-deep", key)
        if len(self.keys) >= self.limits.values:
            raise _Halt("too-many", key)
        if not (keep and path in self.keys):
            self.keys[path] = key
            self.values[path] = value

    def _skip(self, pattern: re.Pattern[str]) -> None:
        match = pattern.match(self.text, self.pos)
        if match is not None:
            self.pos = match.end()

    def _expect(self, wanted: str, blamed: int) -> None:
        """Step over `wanted`; where it is missing, blame the offset of what it belongs to."""
        self._skip(_SPACE)
        if not self.text.startswith(wanted, self.pos):
            raise _Halt("syntax", blamed)
        self.pos += len(wanted)
