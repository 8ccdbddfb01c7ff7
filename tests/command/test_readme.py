"""The project that the README shows builds as it stands."""

from __future__ import annotations

import re
from pathlib import Path

from booklet.command.line import main

README = (Path(__file__).resolve().parents[2] / "README.md").read_text("utf-8")


def test_the_example_builds(tmp_path: Path) -> None:
    """Copied from the page, saved, made."""
    example = re.search(r"```toml\n(.*?)```", README, re.DOTALL)
    assert example is not None
    project = tmp_path / "tray.toml"
    project.write_text(example[1], "utf-8")
    assert main(["make", str(project), "--strict"]) == 0
    assert (tmp_path / "tray-letter.pdf").stat().st_size > 10_000
