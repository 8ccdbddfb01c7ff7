"""Time from a save to the new PDF: `python tests/bench/watch_latency.py [--rounds N] [PROJECT]`.

In: a project (without one, the demo tea carton). Out: the median and the worst of N saves of a
copy, from the write to the moment in which the PDF is another; status 1 where the median is over
the aim. `booklet watch` runs in a process of its own.
"""

from __future__ import annotations

import argparse
import os
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
AIM = 1.0
"""Seconds."""


def main() -> int:
    """Runs the rounds and prints the table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("project", nargs="?", type=Path)
    parser.add_argument("--rounds", type=int, default=10)
    asked = parser.parse_args()
    project: Path = asked.project or ROOT / "projects" / "tea-carton" / "tea-carton.toml"
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(shutil.copytree(project.parent, Path(folder) / "project")) / project.name
        words = [sys.executable, "-m", "booklet", "watch", str(copy), "--out", folder]
        environment = os.environ | {"PYTHONPATH": str(ROOT)}
        watching = subprocess.Popen(words, stdout=subprocess.DEVNULL, env=environment)
        try:
            times = _rounds(copy, Path(folder), asked.rounds)
        finally:
            watching.send_signal(signal.SIGINT)
            watching.wait()
    median = statistics.median(times)
    print(f"{project.stem}: median {median:.2f} s, worst {max(times):.2f} s of {len(times)} saves")
    return int(median > AIM)


def _rounds(project: Path, folder: Path, rounds: int) -> list[float]:
    text = project.read_text("utf-8")
    while not list(folder.glob("*.pdf")):
        time.sleep(0.05)
    pdf = next(folder.glob("*.pdf"))
    times = []
    for count in range(rounds):
        time.sleep(0.3)
        before = pdf.stat()
        start = time.perf_counter()
        project.write_text(f"{text}\n# save {count}\n", "utf-8")
        while (now := pdf.stat()).st_ino == before.st_ino and now.st_mtime_ns == before.st_mtime_ns:
            time.sleep(0.005)
        times.append(time.perf_counter() - start)
    return times


if __name__ == "__main__":
    sys.exit(main())
