"""Every problem code is shown by a wrong case, or by a direct test that is named here."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from booklet.problem import catalogue

TESTS = Path(__file__).resolve().parents[1]
BOOKLET = TESTS.parent / "booklet"
CASES = sorted((TESTS / "cases" / "wrong").glob("*.toml"))
DIRECT = {
    # No line to blame, or a file too large to keep: the test that shows the code.
    "file-unreadable": "read/test_toml_file.py::test_what_is_no_readable_file_is_a_problem",
    "file-too-large": "read/test_toml_file.py::test_a_file_beyond_the_size_limit_is_refused",
    # Only the faces, which the stages never load, know what they lack.
    "glyph-missing": "command/test_glyphs.py::test_a_character_that_no_face_has_is_told",
    "unknown-size": "command/test_sizes.py::test_an_unknown_size_is_wrong_usage",
    "photo-coarse": "pdf/test_photo.py::test_a_coarse_photo_is_warned_of",
    "option-unusable": "command/test_units.py::test_an_unusable_ruler_is_wrong_usage",
    "units-not-proved": "command/test_units.py::test_what_no_rounding_proves_is_told",
    "size-other-order": "command/test_sizes.py::test_sizes_without_one_order_are_refused",
    "picture-too-large": "read/test_pictures.py::test_bytes_and_pixels_are_bounded",
}


def of_the_fold() -> set[str]:
    """Codes of the folded model alone: its own tests in tests/fold bring them about."""
    sources = {path: path.read_text("utf-8") for path in BOOKLET.rglob("*.py")}
    flat = [text for path, text in sources.items() if path.parent.name != "fold"]
    return {code for code in catalogue() if not any(f'"{code}"' in text for text in flat)}


def shown() -> set[str]:
    """Codes that some wrong case expects."""
    lines = [line for path in CASES for line in path.read_text("utf-8", "replace").splitlines()]
    found = (re.search(r"# expect: ([a-z0-9 -]+)$", line) for line in lines)
    return {code for match in found if match for code in match.group(1).split()}


def test_every_code_has_a_wrong_case_or_a_direct_test() -> None:
    """No code without a file or test that brings it about, and no code that does not exist."""
    assert shown() | set(DIRECT) | of_the_fold() == set(catalogue())
    assert not shown() & set(DIRECT), "a code with a wrong case needs no direct test here"


@pytest.mark.parametrize("code", DIRECT)
def test_a_direct_test_exists_and_names_its_code(code: str) -> None:
    """The test that stands for a wrong case is there and expects the code."""
    file, _, name = DIRECT[code].partition("::")
    text = (TESTS / file).read_text("utf-8")
    _, found, body = text.partition(f"def {name}(")
    assert found
    assert f'"{code}"' in body.split("\ndef ")[0]
