"""Speed and memory against a floor: `python tests/bench/make_floor.py [--rounds N] [PROJECT]`.

In: a project (without one, the demo with the most pages). Out: a table of medians and ratios.
`booklet make` is compared with `bare_reportlab.py`, which draws the paths and texts that are read
back from the booklet's PDF (`recipe.py`), with the same font files; `booklet --help` with
`python -c pass`. The processor time of whole processes counts, run by turns, so that a busy machine
slows all alike. The peak memory is that of each child (`wait4`). Bytecode is kept in a temporary
folder, and one round that does not count fills it: that is how an installed copy runs.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).resolve().parent
DEMOS = sorted((ROOT / "projects").glob("*/*.toml"))
BOOKLET = (sys.executable, "-m", "booklet")
# getrusage(2) counts in KiB on Linux, in bytes on macOS.
PEAK_UNIT = 1 if sys.platform == "darwin" else 1024


@dataclass(frozen=True)
class Run:
    """One process: seconds of processors, its peak of resident memory in MB (10^6 bytes)."""

    seconds: float
    peak: float


@dataclass(frozen=True)
class Pair:
    """What is compared, with the ratios aimed at (None where none is)."""

    name: str
    ours: tuple[str, ...]
    floor: tuple[str, ...]
    time_aim: float
    peak_aim: float | None


def main() -> int:
    """Prints the table; exit status 1 where an aim is missed."""
    parser = argparse.ArgumentParser(prog="make_floor")
    parser.add_argument("project", type=Path, nargs="?")
    parser.add_argument("--rounds", type=int, default=15)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="bench-") as name:
        folder = Path(name)
        environment = environment_in(folder)
        projects = [asked.project] if asked.project else DEMOS
        project, recipe = max(
            ((project, recipe_of(project, folder, environment)) for project in projects),
            key=lambda made: len(pages_of(made[1])),
        )
        print(_told(project, pages_of(recipe)))
        bare = (sys.executable, str(HERE / "bare_reportlab.py"))
        pairs = (
            Pair(
                "make",
                (*BOOKLET, "make", str(project), "--out", str(folder / "made")),
                (*bare, str(recipe), str(folder / "bare.pdf")),
                2.0,
                1.5,
            ),
            Pair("--help", (*BOOKLET, "--help"), (sys.executable, "-c", "pass"), 5.0, None),
        )
        missed = False
        for pair in pairs:
            line, kept = _compared(pair, asked.rounds, environment)
            print(line)
            missed = missed or not kept
    return int(missed)


def environment_in(folder: Path) -> Mapping[str, str]:
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return kept | {"PYTHONPYCACHEPREFIX": str(folder / "bytecode"), "PYTHONPATH": str(ROOT)}


def recipe_of(project: Path, folder: Path, environment: Mapping[str, str]) -> Path:
    """The booklet of the project, read back into a recipe."""
    out = folder / "read" / project.stem
    words = [*BOOKLET, "make", str(project), "--out", str(out)]
    subprocess.run(words, env=environment, check=True, capture_output=True)
    recipe = out / "recipe.json"
    words = [sys.executable, str(HERE / "recipe.py"), str(next(out.glob("*.pdf"))), str(recipe)]
    subprocess.run(words, env=environment, check=True)
    return recipe


def pages_of(recipe: Path) -> list[dict[str, Any]]:
    pages: list[dict[str, Any]] = json.loads(recipe.read_text("utf-8"))["pages"]
    return pages


def _told(project: Path, pages: Sequence[Mapping[str, Any]]) -> str:
    paths, texts = (sum(len(page[kind]) for page in pages) for kind in ("paths", "texts"))
    head = f"{'':8}{'time':>15}{'ratio':>7}{'':9}{'memory':>18}{'ratio':>6}"
    return f"{project.name}: {len(pages)} pages, {paths} paths, {texts} texts\n{head}"


def _compared(pair: Pair, rounds: int, environment: Mapping[str, str]) -> tuple[str, bool]:
    """A line of the table, and whether the ratios keep to the aims."""
    both = by_turns((pair.ours, pair.floor), rounds, environment)
    times, peaks = [one.seconds * 1000 for one in both], [one.peak for one in both]
    slow, big = times[0] / times[1], peaks[0] / peaks[1]
    line = f"{pair.name:8}{times[0]:6.0f} /{times[1]:5.0f} ms{slow:6.2f} (<= {pair.time_aim})"
    if pair.peak_aim is None:
        # A process this small has the peak of the one that started it.
        return line, slow <= pair.time_aim
    line += f"{peaks[0]:8.1f} /{peaks[1]:6.1f} MB{big:6.2f} (<= {pair.peak_aim})"
    return line, slow <= pair.time_aim and big <= pair.peak_aim


def by_turns(
    commands: Sequence[Sequence[str]], rounds: int, environment: Mapping[str, str]
) -> list[Run]:
    """The medians of each command; one round more comes first, and does not count."""
    runs: list[list[Run]] = [[] for _ in commands]
    for number in range(rounds + 1):
        for words, found in zip(commands, runs, strict=True):
            one = run(words, environment)
            if number:
                found.append(one)
    return [
        Run(
            statistics.median(one.seconds for one in found),
            statistics.median(one.peak for one in found),
        )
        for found in runs
    ]


def run(words: Sequence[str], environment: Mapping[str, str]) -> Run:
    """Runs one process to its end. Raises RuntimeError where it fails."""
    quiet = [(os.POSIX_SPAWN_OPEN, fd, os.devnull, os.O_WRONLY, 0) for fd in (1, 2)]
    child = os.posix_spawn(words[0], list(words), environment, file_actions=quiet)
    _, status, usage = os.wait4(child, 0)
    seconds = usage.ru_utime + usage.ru_stime
    if status:
        raise RuntimeError(f"{' '.join(words)} ended with status {status}")
    return Run(seconds, usage.ru_maxrss * PEAK_UNIT / 1e6)


if __name__ == "__main__":
    sys.exit(main())
