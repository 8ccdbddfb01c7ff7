"""Pictures that a step names."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from booklet.limits import Limits
from booklet.problem import Problem
from booklet.read.toml_file import read_project


def problems(folder: Path, photo: str, limits: Limits | None = None) -> list[str]:
    """Codes for a project in `folder` with one photo."""
    path = folder / "tag.toml"
    path.write_text(f"[project]\ntitle = 'Tag'\n[[step]]\nphoto = '{photo}'\n")
    found: list[Problem] = []
    assert read_project(path, found, limits) is not None
    return [problem.code for problem in found if problem.code != "photo-coarse"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A project's folder with a picture in it and one outside."""
    inside = tmp_path / "project"
    (inside / "photos").mkdir(parents=True)
    for path in (inside / "photos" / "a.png", inside / "b.jpg", tmp_path / "out.png"):
        Image.new("RGB", (40, 30), "white").save(path)
    return inside


def test_a_picture_beside_the_project_is_taken(folder: Path) -> None:
    """Also in a folder below, and by a way that leads back inside."""
    assert problems(folder, "b.jpg") == []
    assert problems(folder, "photos/a.png") == []
    assert problems(folder, "photos/../b.jpg") == []


def test_a_link_must_not_lead_outside(folder: Path) -> None:
    """A link to a file or folder elsewhere is refused, one inside the folder is not."""
    (folder / "out.png").symlink_to(folder.parent / "out.png")
    (folder / "up").symlink_to(folder.parent)
    (folder / "same.png").symlink_to(folder / "photos" / "a.png")
    (folder / "loop.png").symlink_to(folder / "loop.png")
    assert problems(folder, "out.png") == ["picture-outside"]
    assert problems(folder, "up/out.png") == ["picture-outside"]
    assert problems(folder, str(folder / "b.jpg")) == ["picture-outside"]
    assert problems(folder, "same.png") == []
    assert problems(folder, "loop.png") == ["picture-missing"]


def test_bytes_and_pixels_are_bounded(folder: Path) -> None:
    """A picture beyond either bound is refused before it is unpacked."""
    assert problems(folder, "b.jpg", Limits(picture_pixels=1200)) == []
    assert problems(folder, "b.jpg", Limits(picture_pixels=1199)) == ["picture-too-large"]
    assert problems(folder, "b.jpg", Limits(picture_bytes=10)) == ["picture-too-large"]


def test_a_picture_of_absurd_size_is_refused(folder: Path) -> None:
    """A small file that claims billions of pixels is not unpacked."""
    content = bytearray((folder / "photos" / "a.png").read_bytes())
    content[16:24] = (100_000).to_bytes(4, "big") * 2  # width and height in the PNG header
    import zlib

    content[29:33] = zlib.crc32(bytes(content[12:29])).to_bytes(4, "big")
    (folder / "huge.png").write_bytes(content)
    assert problems(folder, "huge.png") == ["picture-too-large"]


def test_half_a_picture_is_no_picture(folder: Path) -> None:
    """A file that ends early is found now, not when it is printed."""
    for name in ("b.jpg", "photos/a.png"):
        content = (folder / name).read_bytes()
        (folder / name).write_bytes(content[: len(content) * 2 // 3])
        assert problems(folder, name) == ["picture-unreadable"]


def test_pillow_is_loaded_only_for_a_picture(tmp_path: Path) -> None:
    """Reading a project without pictures does not import it."""
    path = tmp_path / "tag.toml"
    path.write_text("[project]\ntitle = 'Tag'\n")
    program = (
        "import sys, pathlib; from booklet.read.toml_file import read_project; "
        f"read_project(pathlib.Path({str(path)!r}), []); sys.exit('PIL' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0
