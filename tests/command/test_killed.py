"""A full disk and a killed run: the earlier output stays whole, and nothing stays beside it."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest

from booklet.command.line import main
from tests.command.test_bad_input import TRAY

KILLED = """
import os, signal, sys
from booklet.command.line import main
for words in {commands!r}:
    child = os.fork()
    if not child:
        os.fsync = lambda _: os.kill(os.getpid(), signal.SIGKILL)
        main(words)
        os._exit(0)
    print(os.WTERMSIG(os.waitpid(child, 0)[1]))
"""
"""Runs each command in a process that is killed as its first file is written but not yet moved."""


@pytest.fixture(scope="module")
def commands(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[str]]:
    """Every command that writes, its output made once already; by the name of its folder."""
    root = tmp_path_factory.mktemp("written")
    tray = root / "in" / "tray.toml"
    tray.parent.mkdir()
    tray.write_text(TRAY, "utf-8")
    found = {}
    for name, words in {
        "handout": [],
        "folded": ["--booklet"],
        "binder": ["--for", "binder"],
        "pattern": ["--for", "pattern"],
    }.items():
        found[name] = ["make", str(tray), "--paper", "a4", *words, "--out", str(root / name)]
    found["bind"] = ["bind", str(tray.parent), "--out", str(root / "bind" / "all.pdf")]
    found["bind"] += ["--jobs", "1"]
    original = root / "handout" / "tray-a4.pdf"
    found["stamp"] = ["stamp", str(original), "--for", "Ana", "--date", "2027-03-06"]
    found["stamp"] += ["--out", str(root / "stamp" / "ana.pdf")]
    for words in found.values():
        assert main(words) == 0
    return found


def content(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def root_of(commands: dict[str, list[str]]) -> Path:
    """The folder that holds the outputs of all commands."""
    return Path(commands["handout"][1]).parents[1]


def test_a_full_disk_keeps_every_earlier_output(
    commands: dict[str, list[str]], capsys: pytest.CaptureFixture[str]
) -> None:
    """The system refuses to let a file grow beyond 2,000 bytes: status 2 and a sentence."""
    root = root_of(commands)
    before = content(root)
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    for name, words in commands.items():
        resource.setrlimit(resource.RLIMIT_FSIZE, (2000, hard))
        try:
            code = main(words)
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        told = capsys.readouterr().err
        assert (name, code) == (name, 2)
        assert "Traceback" not in told and "cannot be" in told
        assert content(root) == before


def test_a_full_disk_leaves_no_half_of_a_new_project(tmp_path: Path) -> None:
    """`start` writes all of it or nothing."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (300, hard))
    try:
        code = main(["start", str(tmp_path / "box"), "--form", "tray", "--inside", "3x2x1"])
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert (code, list(tmp_path.iterdir())) == (2, [])


def test_a_killed_run_leaves_every_earlier_output(commands: dict[str, list[str]]) -> None:
    """Nothing but hidden leftovers is beside it, and the next run takes those away."""
    root = root_of(commands)
    before = content(root)
    start = ["start", str(root / "box"), "--form", "tray", "--inside", "3x2x1"]
    script = KILLED.format(commands=[*commands.values(), start])
    run = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=False
    )
    assert (run.stdout.split(), run.stderr) == (["9"] * (len(commands) + 1), "")
    after = content(root)
    assert {name: after.get(name) for name in before} == before
    left = [path for path in root.rglob("*") if path.name.endswith(".part")]
    assert len(left) == len(commands) + 1
    assert all(path.name.startswith(".") for path in left)
    assert len([name for name in after if name not in before]) == len(left)
    for path in left:
        # A minute later: what is young may be another run's.
        os.utime(path, (path.stat().st_atime, path.stat().st_mtime - 100))
    for words in [*commands.values(), start]:
        assert main(words) == 0
    assert content(root).keys() == {*before, "box.toml"}


def test_a_file_that_another_run_holds_is_left_alone(tmp_path: Path) -> None:
    """Held by a lock, however old it looks; a link or a pipe of such a name too."""
    import fcntl

    held = tmp_path / ".booklet-1.part"
    held.write_bytes(b"half")
    os.utime(held, (0, 0))
    os.mkfifo(tmp_path / ".booklet-2.part")
    (tmp_path / ".booklet-3.part").symlink_to(held)
    words = ["start", str(tmp_path / "box"), "--form", "tray", "--inside", "3x2x1"]
    with held.open("rb") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        assert main(words) == 0
    assert len(list(tmp_path.iterdir())) == 4
