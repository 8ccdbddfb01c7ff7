"""The README's table of measurements: `python -m tests.bench.table [--rounds N] [--projects N]`.

In: the demos. Out: two tables in Markdown. Each demo's `make` is compared with `bare_reportlab.py`
(what that is says `make_floor.py`); then come the other commands, and how the fold and plan stages,
`bind` and `stamp` grow. Seconds are of processors and medians; only `bind` is told by the clock as
well. What else ran on the machine shows in the load, printed above the tables.

A child's peak of memory is never below that of the process that starts it, so nothing large is
loaded here before the last child is measured.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import os
import sys
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from tests.bench.make_floor import (
    BOOKLET,
    DEMOS,
    HERE,
    Run,
    by_turns,
    environment_in,
    pages_of,
    recipe_of,
)


def main() -> int:
    """Prints the tables."""
    parser = argparse.ArgumentParser(prog="table")
    parser.add_argument("--rounds", type=int, default=7)
    parser.add_argument("--projects", type=int, default=30, help="to bind")
    asked = parser.parse_args()
    begun = os.getloadavg()[0]
    with tempfile.TemporaryDirectory(prefix="bench-") as name:
        folder = Path(name)
        environment = environment_in(folder)
        # What runs in this process and what it starts keep their bytecode in the same place.
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        os.environ["PYTHONPYCACHEPREFIX"] = environment["PYTHONPYCACHEPREFIX"]
        measured = demos(folder, environment, asked.rounds)
        checked = list(commands(environment, asked.rounds))
        lines = [
            *compared(measured),
            "",
            "| What | Time |",
            "| --- | --- |",
            *checked,
            *stages(),
            *many(folder, asked.projects),
        ]
    print(f"{os.cpu_count()} cores, load {begun:.1f} to {os.getloadavg()[0]:.1f}\n")
    print("\n".join(lines))
    return 0


def demos(folder: Path, environment: Mapping[str, str], rounds: int) -> list[tuple[Path, Run, Run]]:
    """`make` of each demo, and its floor: the recipe, then both runs."""
    found = []
    for project in DEMOS:
        recipe = recipe_of(project, folder, environment)
        ours = (*BOOKLET, "make", str(project), "--out", str(folder / "made"))
        bare = (sys.executable, str(HERE / "bare_reportlab.py"), str(recipe))
        floor = (*bare, str(folder / "bare.pdf"))
        made, drawn = by_turns((ours, floor), rounds, environment)
        found.append((recipe, made, drawn))
    return found


def compared(found: Sequence[tuple[Path, Run, Run]]) -> Iterator[str]:
    """The first table."""
    yield "| `make` | Pages | Time | Bare | Ratio | Memory | Bare | Ratio |"
    yield "| --- | --: | --: | --: | --: | --: | --: | --: |"
    for recipe, ours, bare in found:
        yield (
            f"| {recipe.parent.name} | {len(pages_of(recipe))} | {ours.seconds:.2f} s "
            f"| {bare.seconds:.2f} s | {ours.seconds / bare.seconds:.1f} "
            f"| {ours.peak:.0f} MB | {bare.peak:.0f} MB | {ours.peak / bare.peak:.1f} |"
        )


def commands(environment: Mapping[str, str], rounds: int) -> Iterator[str]:
    """Commands that write nothing."""
    for project in DEMOS:
        checked = by_turns([(*BOOKLET, "check", str(project))], rounds, environment)[0]
        yield f"| `check` {project.stem} | {checked.seconds:.2f} s, {checked.peak:.0f} MB |"
    ours, bare = by_turns(
        [(*BOOKLET, "--help"), (sys.executable, "-c", "pass")], rounds, environment
    )
    yield f"| `--help` ({bare.seconds * 1000:.0f} ms for `pass`) | {ours.seconds * 1000:.0f} ms |"


def stages() -> Iterator[str]:
    """How proof of folds and planning of sheets grow."""
    from tests.bench import fold_scaling, guillotine

    for wanted in fold_scaling.PANELS:
        panels, (_, proof, _, _) = fold_scaling.measured(wanted)
        yield f"| proof of the folds of {panels} panels | {proof:.0f} ms |"
    for name, *_ in guillotine.CLASSES:
        plan, seconds = guillotine.class_plan(name)
        state = "proved" if plan.proved else f"gap {plan.gap}"
        yield f"| plan, {name}: {plan.needed} sheets, {state} | {seconds * 1000:.0f} ms |"


def many(folder: Path, projects: int) -> Iterator[str]:
    """One binder of many projects, and many copies of one pattern."""
    from tests.bench import binder

    binder.fill(folder / "projects", projects)
    clocks: list[float] = []
    for jobs in (1, 2):
        clock, busy, _ = binder.run(folder / "projects", folder / f"bound-{jobs}", jobs)
        clocks.append(clock)
        times = f", {clocks[0] / clock:.2f} times as fast" if jobs > 1 else ""
        kind = f"{jobs} process{'es' if jobs > 1 else ''}"
        yield (
            f"| `bind` of {projects} projects, {kind} "
            f"| {busy:.1f} s ({clock:.1f} s by the clock{times}) |"
        )
    (folder / "stamped").mkdir()
    quiet = io.StringIO()
    with contextlib.redirect_stdout(quiet), contextlib.redirect_stderr(quiet):
        _, busy, _ = binder.stamp(folder / "stamped")
    yield f"| 100 stamped copies | {busy:.2f} s |"


if __name__ == "__main__":
    sys.exit(main())
