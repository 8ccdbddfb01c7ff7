"""Mutated project files by the thousand: `python -m tests.bench.fuzz --count 20000`.

In: the demos, the cases of tests/cases, a project of each form, and projects made up. Out: a table
of what happened, and each file that did what it must not: a traceback, an exit status other than 0,
1 or 2, too much of the processor's time or of memory, a file written elsewhere, an earlier booklet
changed by a run that failed. Exit status 1 if there is one.

The same seed gives the same files. `check` runs on each; `make` on every `--make`-th that passes.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import multiprocessing
import random
import resource
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

from booklet.command.line import main
from booklet.read.form import form_names
from tests.bench.invent import invented

ROOT = Path(__file__).resolve().parents[2]
NASTY = (
    *("0", "-1", "1e308", "nan", "inf", "-inf", "1e-300", "99999999999999999999", "0x7f", "1_0"),
    *(
        '""',
        '"0"',
        '"-1"',
        '"1/0"',
        '"1e9 in"',
        '"wide"',
        '"wide / wide"',
        '"sqrt(-1)"',
        '"0.001 mm"',
    ),
    *(
        '"((((((((((1))))))))))"',
        '"up(nearest(down(1/3)))"',
        '"tan(90)"',
        '"9999999 in"',
        '"\\u0000"',
    ),
    *("[]", "{}", "[[]]", "true", "2027-03-06", "[1, 2, 3]", '["a", "a"]', "{ a = 1 }", "07:00:00"),
    *(
        '"../../etc/passwd"',
        '"/dev/zero"',
        '"<b>&amp;"',
        '"javascript:0"',
        '"a.b"',
        '"a|b"',
        '"🂡日本"',
    ),
)
STRUCTURE = (
    *(
        "[piece.panel.lid]",
        "[[piece.join]]",
        "[[mat]]",
        "[[closure]]",
        "[[nest]]",
        "[[size]]",
        "[class]",
    ),
    *(
        "[piece.folds]",
        "[[step]]",
        "[[contents]]",
        "[look]",
        "[safety]",
        "[measures]",
        "[[piece.cutout]]",
    ),
    *(
        "count = 9999",
        'form = "tray"',
        "inside = [1, 1, 1]",
        'outline = "M0 0H9V9z"',
        'turn = "over"',
    ),
)

INVENTED = 4
"""Every so many files are made up."""
UNITS = ((), (), (), ("--units", "mm"), ("--units", "in"))
"""What every fifth file is asked for besides."""


class OutOfTime(BaseException):
    """The run took longer than it may; no handler of the program catches it."""


@dataclass(frozen=True)
class Fault:
    """A file that did what it must not."""

    number: int
    kind: str
    detail: str


@dataclass(frozen=True)
class Job:
    """A share of the work: the numbers of the files, and the bounds."""

    numbers: range
    seed: int
    seconds: float
    make_every: int


def seeds() -> list[bytes]:
    """The files that are mutated."""
    folders = (ROOT / "projects", ROOT / "tests" / "cases")
    found = [path.read_bytes() for folder in folders for path in sorted(folder.rglob("*.toml"))]
    # The demos are few and rich, the wrong cases many and small.
    demos = [path.read_bytes() for path in sorted(folders[0].rglob("*.toml"))]
    return found + demos * 12 + _formed() * 3


def _formed() -> list[bytes]:
    """A project of each form; half of them in several sizes."""
    head = (ROOT / "tests" / "cases" / "wrong" / "form_inputs.toml").read_text("utf-8")
    start = head[: head.index("[[piece]]")]
    made = []
    for index, form in enumerate(form_names()):
        deep = "1/50" if form in ("envelope", "card_folder", "accordion_book", "tag") else "1"
        text = f'{start}[measures]\nbreadth = "3"\n\n[[piece]]\nid = "box"\nform = "{form}"\n'
        text += f'inside = ["breadth", "2", "{deep}"]\nstock = "card"\n'
        if index % 2:
            text += '\n[[size]]\nid = "large"\nname = "Large"\nmeasures = { breadth = "4" }\n'
        made.append(text.encode())
    return made


def mutated(number: int, seed: int, sources: Sequence[bytes]) -> bytes:
    """The file of that number: a made-up project, or one source after one to six changes."""
    dice = random.Random(f"{seed} {number}")
    if number % INVENTED == 0:
        return invented(dice)
    data = dice.choice(sources)
    if dice.random() < 0.5:
        # Half of the files stay whole and only differ in size, so that later stages are reached.
        for _ in range(dice.randint(1, 4)):
            data = _digit(data, dice, sources)
        return data
    changes = (_bytes, _value, _value, _number, _number, _lines, _lines, _splice)
    for change in dice.choices(changes, k=dice.randint(1, 6)):
        data = change(data, dice, sources)
    return data


def _bytes(data: bytes, dice: random.Random, _: Sequence[bytes]) -> bytes:
    changed = bytearray(data)
    for kind in dice.choices(range(3), k=dice.randint(1, 4)):
        at = dice.randrange(len(changed) + 1)
        if kind == 0:
            changed[at:at] = bytes([dice.randrange(256)])
        elif kind == 1:
            del changed[at : at + dice.randint(1, 8)]
        else:
            changed[at : at + 1] = bytes([dice.randrange(256)])
    return bytes(changed)


def _value(data: bytes, dice: random.Random, _: Sequence[bytes]) -> bytes:
    lines = data.split(b"\n")
    keyed = [index for index, line in enumerate(lines) if b"=" in line]
    if not keyed:
        return data
    at = dice.choice(keyed)
    key = lines[at].split(b"=", 1)[0]
    lines[at] = key + b"= " + dice.choice(NASTY).encode()
    return b"\n".join(lines)


def _number(data: bytes, dice: random.Random, _: Sequence[bytes]) -> bytes:
    places = [index for index, byte in enumerate(data) if chr(byte).isdigit()]
    if not places:
        return data
    at = dice.choice(places)
    new = dice.choice((b"0", b"9", b"-1", b"1000", b"1/3", b"1 1/16", b"0.5", b"7e5", b"12345678"))
    return data[:at] + new + data[at + 1 :]


def _digit(data: bytes, dice: random.Random, _: Sequence[bytes]) -> bytes:
    places = [index for index, byte in enumerate(data) if chr(byte).isdigit()]
    if not places:
        return data
    at = dice.choice(places)
    return data[:at] + str(dice.randint(1, 9)).encode() + data[at + 1 :]


def _lines(data: bytes, dice: random.Random, _: Sequence[bytes]) -> bytes:
    lines = data.split(b"\n")
    at, other = dice.randrange(len(lines)), dice.randrange(len(lines))
    kind = dice.randrange(5)
    if kind == 0:
        del lines[at]
    elif kind == 1:
        lines[at:at] = lines[other : other + dice.randint(1, 12)]
    elif kind == 2:
        lines[at], lines[other] = lines[other], lines[at]
    elif kind == 3:
        lines[at:at] = [dice.choice(STRUCTURE).encode()]
    else:
        lines[at] = lines[at].replace(b"_", b"", 1)
    return b"\n".join(lines)


def _splice(data: bytes, dice: random.Random, sources: Sequence[bytes]) -> bytes:
    other = dice.choice(sources).split(b"\n")
    lines = data.split(b"\n")
    at, start = dice.randrange(len(lines)), dice.randrange(len(other))
    return b"\n".join([*lines[:at], *other[start : start + dice.randint(1, 40)], *lines[at:]])


@contextlib.contextmanager
def bounded(seconds: float) -> Iterator[None]:
    """Raises OutOfTime when the block takes more of the processor's time."""

    def ring(_: int, __: FrameType | None) -> None:
        raise OutOfTime

    signal.signal(signal.SIGPROF, ring)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)


def attempt(words: Sequence[str], seconds: float) -> tuple[int | None, str]:
    """Runs the program; its exit status, or None and what went wrong."""
    told = io.StringIO()
    try:
        with bounded(seconds), contextlib.redirect_stdout(told), contextlib.redirect_stderr(told):
            status = main(list(words))
    except OutOfTime:
        return None, f"more than {seconds:g} s"
    except MemoryError:
        return None, "more memory than it may"
    except BaseException:
        return None, traceback.format_exc(limit=-4)
    if "Traceback" in told.getvalue():
        return None, told.getvalue()[-600:]
    return (status, "") if status in (0, 1, 2) else (None, f"exit status {status}")


def work(job: Job) -> tuple[Counter[str], list[Fault], float]:
    """Runs one share; counts of outcomes, faults, and the longest time of a file in seconds."""
    resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30))
    sources, counts, faults, longest = seeds(), Counter[str](), list[Fault](), 0.0
    with tempfile.TemporaryDirectory() as name:
        place = Path(name) / "in"
        made = Path(name) / "out"
        place.mkdir()
        file = place / "project.toml"
        for number in job.numbers:
            file.write_bytes(mutated(number, job.seed, sources))
            began = time.process_time()
            unit = UNITS[number % len(UNITS)]
            status, wrong = attempt(["check", "--json", *unit, str(file)], job.seconds)
            counts[f"check {status}"] += 1
            passed = status == 0
            if not wrong and passed and number % job.make_every == 0:
                status, wrong = _make(file, made, job.seconds * 2)
                counts[f"make {status}"] += 1
            longest = max(longest, time.process_time() - began)
            if not wrong and sorted(p.name for p in place.iterdir()) != ["project.toml"]:
                wrong = f"wrote {sorted(p.name for p in place.iterdir())}"
            if wrong:
                faults.append(Fault(number, "make" if passed else "check", wrong))
    return counts, faults, longest


def _make(file: Path, made: Path, seconds: float) -> tuple[int | None, str]:
    made.mkdir(exist_ok=True)
    earlier = [made / f"project-{paper}.pdf" for paper in ("letter", "a4")]
    for path in earlier:
        path.write_bytes(b"earlier")
    status, wrong = attempt(["make", str(file), "--out", str(made)], seconds)
    if not wrong and {path.name for path in made.iterdir()} != {path.name for path in earlier}:
        wrong = f"wrote {sorted(path.name for path in made.iterdir())}"
    kept = [path.read_bytes() == b"earlier" for path in earlier]
    if not wrong and kept.count(True) != (1 if status == 0 else 2):
        wrong = f"exit status {status}, {kept.count(False)} earlier files changed"
    return status, wrong


def run() -> int:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=20_000)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=20.0, help="bound of one check")
    parser.add_argument("--make", type=int, default=10, help="make every n-th file that passes")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--write", metavar="DIR", help="where to put the files at fault")
    words = parser.parse_args()
    size = 50
    ends = range(words.first, words.first + words.count, size)
    stop = words.first + words.count
    jobs = [
        Job(range(at, min(at + size, stop)), words.seed, words.seconds, words.make) for at in ends
    ]
    counts, faults, longest = Counter[str](), list[Fault](), 0.0
    with multiprocessing.get_context("spawn").Pool(words.workers, maxtasksperchild=10) as pool:
        for some, wrong, slowest in pool.imap_unordered(work, jobs):
            counts += some
            faults += wrong
            longest = max(longest, slowest)
            for fault in wrong:
                print(f"file {fault.number}: {fault.kind}: {fault.detail}", flush=True)
                if words.write:
                    Path(words.write).mkdir(parents=True, exist_ok=True)
                    data = mutated(fault.number, words.seed, seeds())
                    (Path(words.write) / f"{fault.number}.toml").write_bytes(data)
    print(f"{words.count} files, seed {words.seed}; the slowest took {longest:.1f} s")
    for outcome, count in sorted(counts.items()):
        print(f"  {outcome:12} {count:6}")
    print(f"  at fault     {len(faults):6}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(run())
