"""How binding and stamping scale: `python tests/bench/binder.py [--projects 200]`.

Makes that many projects from the demos, then times `booklet bind` in processes of its own: cold
with one and two processes, again, and after one change; with half as many for the memory. Then 100
personal copies of one PDF. Prints a table; no part of the tests.
"""

from __future__ import annotations

import argparse
import datetime
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DEMOS = sorted((ROOT / "projects").glob("*/*.toml"))


def main() -> int:
    """Runs everything in a new folder."""
    parser = argparse.ArgumentParser(prog="binder")
    parser.add_argument("--projects", type=int, default=200)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        work = Path(name)
        for count in (asked.projects // 2, asked.projects):
            folder = work / f"projects-{count}"
            fill(folder, count)
            one = run(folder, work / f"one-{count}", 1)
            if count < asked.projects:
                print(f"{count} projects, cold, 1 process: {told(one)}")
                continue
            two = run(folder, work / "two", 2)
            again = run(folder, work / "two", 2)
            change(folder / "p0000.toml")
            changed = run(folder, work / "two", 2)
            print(f"{count} projects, cold, 1 process: {told(one)}")
            print(f"{count} projects, cold, 2 processes: {told(two)}, {one[0] / two[0]:.2f} times")
            print(f"nothing changed: {told(again)}")
            print(f"one changed: {told(changed)}")
        print(f"100 copies stamped: {told(stamp(work))}")
    return 0


def fill(folder: Path, count: int) -> None:
    """Copies of the demos with titles of their own."""
    folder.mkdir()
    for index in range(count):
        demo = DEMOS[index % len(DEMOS)]
        text = demo.read_text("utf-8")
        text = text.replace('title = "', f'title = "{chr(65 + index % 26)}{index} ', 1)
        (folder / f"p{index:04}.toml").write_text(text, "utf-8")


def change(project: Path) -> None:
    """Another summary."""
    text = project.read_text("utf-8")
    project.write_text(text.replace('summary = "', 'summary = "Changed. ', 1), "utf-8")


def run(folder: Path, out: Path, jobs: int) -> tuple[float, float, float]:
    """Seconds by the clock and of processors, and the most memory (MB) of one process."""
    out.mkdir(exist_ok=True)
    code = (
        "import sys, resource; from booklet.command.line import main; main(sys.argv[1:]);"
        "print(max(resource.getrusage(w).ru_maxrss for w in "
        "(resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)))"
    )
    words = ["bind", str(folder), "--out", str(out / "binder.pdf"), "--jobs", str(jobs)]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", code, *words],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    spent = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    busy = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return spent, busy, int(done.stdout.split()[-1]) / 1024


def told(measured: tuple[float, float, float]) -> str:
    """Time and memory in words."""
    spent, busy, memory = measured
    return f"{spent:.1f} s ({busy:.1f} s of processors), {memory:.0f} MB"


def stamp(work: Path) -> tuple[float, float, float]:
    """100 copies of one PDF in this process: time and memory as `run` has them."""
    sys.path.insert(0, str(ROOT))
    from booklet.command.line import main as booklet
    from booklet.draw.typeface import load_faces
    from booklet.pdf.stamp import Copy, stamped

    shutil.copy(DEMOS[-1], work)
    booklet(["make", str(work / DEMOS[-1].name), "--out", str(work)])
    data = next(work.glob("*.pdf")).read_bytes()
    faces, day = load_faces(), datetime.date(2027, 3, 6)
    start, begun = time.perf_counter(), time.process_time()
    for index in range(100):
        stamped(data, Copy(f"Customer {index}", f"A-{index}", day), faces)
    spent = time.perf_counter() - start
    busy = time.process_time() - begun
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return spent, busy, memory


if __name__ == "__main__":
    sys.exit(main())
