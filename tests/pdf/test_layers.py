"""Layers of the full-size templates, read back and rendered by other libraries."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any

import pikepdf
import pypdf
import pytest
from PIL import Image, ImageChops

from booklet.command.line import main
from tests.readback import operations

SEED = Path(__file__).resolve().parents[2] / "projects" / "seed-box" / "seed-box.toml"
TRAY = SEED.parents[1] / "harvest-tray" / "harvest-tray.toml"
NAMES = ["Cut", "Score", "Glue", "Labels"]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The seed box's booklet."""
    folder = tmp_path_factory.mktemp("layers")
    assert main(["make", str(SEED), "--out", str(folder)]) == 0
    return folder / "seed-box-letter.pdf"


def test_the_groups_are_listed_and_shown(made: Path) -> None:
    """ISO 32000-1, 8.11.4: groups in the catalogue, all on, all in the viewer's order; no /AS."""
    root: Any = pypdf.PdfReader(made).root_object
    listed = root["/OCProperties"]
    groups = [entry.get_object() for entry in listed["/OCGs"]]
    assert [group["/Name"] for group in groups] == NAMES
    assert all(group["/Type"] == "/OCG" for group in groups)
    shown = listed["/D"]
    assert (shown["/BaseState"], bool(shown["/Name"])) == ("/ON", True)
    assert [entry.get_object()["/Name"] for entry in shown["/Order"]] == NAMES
    assert "/AS" not in shown and "/OFF" not in shown


def test_marked_content_is_balanced_and_named(made: Path) -> None:
    """Every mark of a layer names a group of the page's resources; every one ends."""
    layered = 0
    with pikepdf.open(made) as pdf:
        for page in pdf.pages:
            names: set[str] = set()
            held: list[str] = []
            for operands, operator in operations(page):
                if operator in ("BDC", "BMC"):
                    held.append(str(operands[0]))
                    if held[-1] == "/OC":
                        names.add(str(operands[1]))
                elif operator == "EMC":
                    held.pop()
                assert held.count("/OC") <= 1
            assert held == []
            known: Any = page.Resources.get("/Properties", {})
            assert names == set(known.keys())
            assert all(known[name].Type == "/OCG" for name in names)
            layered += bool(names)
        words = [str(page.Resources.get("/Properties", "")) for page in pdf.pages]
        assert layered == 4, words  # one body's template, the mats, the deep body's two tiles


def rendered(pdf: Path, page: int) -> Image.Image:
    """A page as poppler draws it, in greys."""
    run = subprocess.run(
        ["pdftoppm", "-r", "60", "-gray", "-f", str(page), "-l", str(page), str(pdf)],
        check=True,
        capture_output=True,
    )
    target = pdf.with_name(f"{pdf.stem}-{page}.pgm")
    target.write_bytes(run.stdout)
    return Image.open(target)


@pytest.mark.parametrize("project", [SEED, TRAY], ids=lambda path: path.stem)
def test_a_layer_that_is_off_is_not_drawn(project: Path, tmp_path: Path) -> None:
    """Each layer switched off takes ink away, and only there where it drew; tiles too."""
    assert main(["make", str(project), "--paper", "letter", "--out", str(tmp_path)]) == 0
    made = next(tmp_path.glob("*.pdf"))
    with pikepdf.open(made) as pdf:
        used = [len(page.Resources.get("/Properties", {})) for page in pdf.pages]
        number = used.index(max(used)) + 1
        names = {group.Name: group for group in pdf.Root.OCProperties.OCGs}
        whole = rendered(made, number)
        ink = {}
        for name, group in names.items():
            pdf.Root.OCProperties.D.ON = [g for n, g in names.items() if n != name]
            pdf.Root.OCProperties.D.OFF = [group]
            off = tmp_path / f"without-{name}.pdf"
            pdf.save(off)
            lost = ImageChops.subtract(rendered(off, number), whole)
            gained = ImageChops.subtract(whole, rendered(off, number))
            assert gained.getbbox() is None
            ink[str(name)] = sum(lost.histogram()[16:])
    assert all(count > 50 for count in ink.values()), ink
