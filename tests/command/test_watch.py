"""`booklet watch`: builds when what it watches changes, and only then."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import pytest
from PIL import Image

from booklet.command.line import main
from booklet.command.make import Options
from booklet.command.watch import MOST_PICTURES, PATIENCE, watch

TRAY = """[project]
title = "Tray"
units = "mm"

[[piece]]
id = "tray"
columns = [20, 80, 20]
rows = [60]
map = ["left base right"]
"""


@pytest.fixture
def tray(tmp_path: Path) -> Path:
    """A small project."""
    path = tmp_path / "tray.toml"
    path.write_text(TRAY, "utf-8")
    return path


def builds(project: Path, script: Sequence[Callable[[], object]]) -> list[str]:
    """What the project holds at each build, when before each look one thing of the script is done.

    When the script is done the watch is interrupted, as by Ctrl-C.
    """
    seen: list[str] = []
    steps: Iterator[Callable[[], object]] = iter(script)

    def pause(seconds: float) -> None:
        if seconds:
            step = next(steps, None)
            if step is None:
                raise KeyboardInterrupt
            step()

    def build(files: list[str], _: Options) -> int:
        seen.append(Path(files[0]).read_text("utf-8"))
        return 0

    assert watch(str(project), Options(), build, pause) == 0
    return seen


def nothing() -> None:
    """Time goes by."""


def test_it_builds_at_once_and_after_a_change(tray: Path) -> None:
    """Once each; nothing is built while nothing changes."""
    change = [lambda: tray.write_text("a"), nothing, nothing, nothing]
    assert builds(tray, [nothing, nothing, *change]) == [TRAY, "a"]


def test_a_save_of_the_same_bytes_builds_nothing(tray: Path) -> None:
    """Time and number of the file change, its content does not."""

    def save() -> None:
        aside = tray.with_name("aside")
        aside.write_text(TRAY, "utf-8")
        aside.replace(tray)

    assert builds(tray, [nothing, save, nothing, nothing]) == [TRAY]


def test_a_file_that_is_half_written_is_waited_for(tray: Path) -> None:
    """While it still grows it is not built."""
    grow = [lambda: tray.write_text("a"), lambda: tray.write_text("ab"),
            lambda: tray.write_text("abc"), nothing, nothing]  # fmt: skip
    assert builds(tray, grow) == [TRAY, "abc"]


def test_a_file_may_be_away_for_a_moment(tray: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Some editors take the old file away before the new one is there; for long, it is told."""
    away: list[Callable[[], object]] = [
        tray.unlink,
        nothing,
        lambda: tray.write_text("b"),
        nothing,
        nothing,
    ]
    assert builds(tray, away) == [TRAY, "b"]
    assert "is away" not in capsys.readouterr().out
    long_away: list[Callable[[], object]] = [
        tray.unlink,
        *[nothing] * PATIENCE * 3,
        lambda: tray.write_text("c"),
        nothing,
    ]
    assert builds(tray, [*long_away, nothing]) == ["b", "c"]
    assert capsys.readouterr().out.count("is away") == 1


def test_pictures_are_watched(tray: Path) -> None:
    """One beside the project, one in a folder below that it names, and one that comes later."""
    below = tray.with_name("shots")
    below.mkdir()
    text = TRAY + '[[step]]\nphoto = "shots/a.png"\n'
    tray.write_text(text, "utf-8")

    def picture(path: Path, colour: str) -> Callable[[], object]:
        return lambda: Image.new("RGB", (40, 30), colour).save(path)

    beside = tray.with_name("b.jpg")
    script = [
        nothing, picture(below / "a.png", "red"), nothing, nothing,
        picture(below / "a.png", "blue"), nothing, nothing,
        picture(beside, "red"), nothing, nothing, beside.unlink, nothing, nothing,
    ]  # fmt: skip
    assert builds(tray, script) == [text] * 5


def test_what_is_no_file_is_waited_for(tray: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder, then a pipe in the project's place; a pipe with a picture's name beside it."""
    os.mkfifo(tray.with_name("pipe.jpg"))

    def folder() -> None:
        tray.unlink()
        tray.mkdir()

    def pipe() -> None:
        tray.rmdir()
        os.mkfifo(tray)

    def file() -> None:
        tray.unlink()
        tray.write_text("b")

    waiting = [nothing] * (PATIENCE + 1)
    assert builds(tray, [nothing, folder, *waiting, pipe, nothing, file, nothing, nothing]) == [
        TRAY,
        "b",
    ]
    assert capsys.readouterr().out.count("is away") == 1


def test_the_pictures_that_it_names_are_watched_among_thousands(tray: Path) -> None:
    """More lie in the folder than are looked at; the one that counts is last by name."""
    shot = tray.with_name("zebra.jpg")
    for path in [*(tray.with_name(f"a{count}.jpg") for count in range(MOST_PICTURES + 50)), shot]:
        path.touch()
    text = TRAY + '[[step]]\nphoto = "zebra.jpg"\n'
    tray.write_text(text, "utf-8")
    assert builds(tray, [nothing, lambda: shot.write_bytes(b"x"), nothing, nothing]) == [text] * 2


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_is_told(
    tray: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The last good booklet stays, and the next save that can be read is made."""
    steps = iter([lambda: tray.chmod(0), nothing, nothing, lambda: tray.chmod(0o644), nothing])

    def pause(seconds: float) -> None:
        if seconds:
            step = next(steps, None)
            if step is None:
                raise KeyboardInterrupt
            step()

    assert watch(str(tray), Options(), pause=pause) == 0
    told = capsys.readouterr()
    assert "cannot be read" in told.err and "the last good booklet stays" in told.out


def test_an_error_keeps_the_last_good_booklet(
    tray: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The problem is shown; the PDF stays until the project is good again."""
    pdf = tray.with_name("tray-letter.pdf")
    good: list[bytes] = []
    steps: Iterator[Callable[[], object]] = iter(
        [
            lambda: good.append(pdf.read_bytes()),
            lambda: tray.write_text(TRAY.replace("left base right", "left base"), "utf-8"),
            nothing,
            nothing,
            lambda: good.append(pdf.read_bytes()),
            lambda: tray.write_text(TRAY.replace("80", "90"), "utf-8"),
            nothing,
            nothing,
            lambda: good.append(pdf.read_bytes()),
        ]
    )

    def pause(seconds: float) -> None:
        if seconds:
            step = next(steps, None)
            if step is None:
                raise KeyboardInterrupt
            step()

    assert watch(str(tray), Options(), pause=pause) == 0
    told = capsys.readouterr()
    assert "map-column-count" in told.err and "the last good booklet stays" in told.out
    assert good[0] == good[1] != good[2]


def test_a_file_that_is_not_there_is_wrong_usage(capsys: pytest.CaptureFixture[str]) -> None:
    """To begin with there has to be one."""
    assert main(["watch", "nowhere.toml"]) == 2
    assert "nowhere.toml" in capsys.readouterr().err


def test_ctrl_c_ends_it_well(tray: Path) -> None:
    """The whole command in a process of its own: builds after a save, ends with status 0."""
    words = [sys.executable, "-m", "booklet", "watch", str(tray), "--paper", "a4"]
    environment = os.environ | {"PYTHONPATH": str(Path(__file__).resolve().parents[2])}
    # What runs in the background of a shell ignores the signal, and hands that down.
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    process = subprocess.Popen(words, stdout=subprocess.PIPE, env=environment, text=True)
    signal.signal(signal.SIGINT, before)
    pdf = tray.with_name("tray-a4.pdf")
    patience = threading.Timer(60, process.kill)
    patience.start()
    try:
        # What it prints is waited for: a signal between a PDF and its line would lose the line.
        _line(process, "made (")
        first = pdf.read_bytes()
        tray.write_text(TRAY.replace("80", "90"), "utf-8")
        _line(process, "made (")
        assert pdf.read_bytes() != first
        process.send_signal(signal.SIGINT)
        _line(process, "stopped")
        assert process.wait() == 0
    finally:
        patience.cancel()
        process.kill()
        process.communicate()


def _line(process: subprocess.Popen[str], words: str) -> str:
    """The next line that a process prints with these words."""
    assert process.stdout is not None
    found = next((line for line in process.stdout if words in line), None)
    assert found is not None, f"it ended without {words!r}"
    return found
