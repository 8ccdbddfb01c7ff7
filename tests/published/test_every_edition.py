"""Every file of every edition of every demo, opened by general programs."""

from __future__ import annotations

import subprocess
from pathlib import Path
from shutil import which

import pikepdf
import pytest

from booklet.command.line import main
from tests.made import EDITIONS, NAMES, PROJECTS, Workshop

COUNTS = {"pattern": 4, "folded": 2}
"""How many PDFs an edition has where it is not one; with a class a folded one has one more."""


def checked(path: Path, tagged: bool) -> None:
    """Whole for qpdf; read in its structure by poppler if it is tagged, which it says truly."""
    if which("qpdf") is not None:
        run = subprocess.run(["qpdf", "--check", path], capture_output=True)
        assert run.returncode == 0, run.stderr
    if which("pdfinfo") is not None:
        run = subprocess.run(["pdfinfo", "-struct", path], capture_output=True, check=True)
        assert run.stdout.startswith(b"Document") == tagged
        assert run.stderr == b""
    with pikepdf.open(path) as pdf:
        words = pdf.Root.Metadata.read_bytes() if "/Metadata" in pdf.Root else b""
        assert ("/StructTreeRoot" in pdf.Root) == tagged
        assert (b"<pdfuaid:part>1<" in words) == (b"<pdfaid:part>2<" in words) == tagged


@pytest.mark.parametrize("project", NAMES)
@pytest.mark.parametrize("edition", EDITIONS)
def test_every_file_is_sound_and_says_truly_what_it_keeps(
    project: str, edition: str, workshop: Workshop
) -> None:
    """qpdf --check and pdfinfo -struct find no fault; no file claims tags that it lacks."""
    files = workshop.files(project, edition)
    names = [path.name for path in files]
    teacher = sum(name.endswith("-teacher.pdf") for name in names)
    assert len(files) == COUNTS.get(edition, 1) + teacher, names
    for path in files:
        checked(path, tagged=not EDITIONS[edition].plain)
    if edition == "pattern":
        checked(workshop.stamped(files[0]), tagged=True)


def test_plain_sheets_to_fold_claim_nothing(tmp_path: Path) -> None:
    """Neither the sheets nor what lies beside them."""
    source = str(PROJECTS / "seed-box" / "seed-box.toml")
    assert main(["make", source, "--booklet", "--plain", "--out", str(tmp_path)]) == 0
    for path in tmp_path.glob("*.pdf"):
        checked(path, tagged=False)


def test_a_bound_binder_is_sound(workshop: Workshop) -> None:
    """All demos in one file."""
    checked(workshop.bound(), tagged=True)


@pytest.mark.skipif(which("pdfinfo") is None, reason="poppler is not installed")
def test_sheets_to_fold_are_read_in_the_order_of_pages(workshop: Workshop) -> None:
    """Whatever sheet a page lies on: the steps come in order, and the cover's title is first."""
    (sheets,) = (f for f in workshop.files("seed-box", "folded") if f.name.endswith("letter.pdf"))
    run = subprocess.run(["pdfinfo", "-struct-text", sheets], capture_output=True, check=True)
    words = run.stdout.decode("utf-8")
    wanted = ["Seed packet box", "What you need", "Before you start: safety"]
    wanted += ["Score chart: box body", "Step by step", "Fold order: box body"]
    wanted += ["About this booklet"]
    places = [words.index(f'"{heading}') for heading in wanted]
    assert places == sorted(places)
