"""Every problem code is shown by a wrong case, or by a direct test that is named here."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from booklet.problem import catalogue

TESTS = Path(__file__).resolve().parents[1]
CASES = sorted((TESTS / "cases" / "wrong").glob("*.toml"))
DIRECT = {
    # No line to blame, or a file too large to keep: the test that shows the code.
    "file-unreadable": "read/test_toml_file.py::test_what_is_no_readable_file_is_a_problem",
    "file-too-large": "read/test_toml_file.py::test_a_file_beyond_the_size_limit_is_refused",
    "picture-too-large": "read/test_pictures.py::test_bytes_and_pixels_are_bounded",
}
NOT_RUN = frozenset(
    # What the folded model finds, which `booklet check` does not run yet.
    [
        "ring-does-not-close",
        "join-not-flat",
        "join-never-meets",
        "join-other-piece",
        "join-too-early",
        "tab-sticks-out",
        "tab-lands-partly",
        "tab-runs-on",
        "closure-never-meets",
        "closure-too-big",
        "no-cavity",
        "contents-no-size",
        "contents-do-not-fit",
        "contents-turned",
        "panels-collide",
        "order-names-twice",
        "order-misses-panel",
        "no-fold-order",
        "order-not-searched",
        "ring-sweep-not-proved",
    ]
)


def shown() -> set[str]:
    """Codes that some wrong case expects."""
    lines = [line for path in CASES for line in path.read_text("utf-8", "replace").splitlines()]
    found = (re.search(r"# expect: ([a-z0-9 -]+)$", line) for line in lines)
    return {code for match in found if match for code in match.group(1).split()}


def test_every_code_has_a_wrong_case_or_a_direct_test() -> None:
    """No code without a file or test that brings it about, and no code that does not exist."""
    assert shown() | set(DIRECT) | NOT_RUN == set(catalogue()) | NOT_RUN
    assert not shown() & set(DIRECT), "a code with a wrong case needs no direct test here"


@pytest.mark.parametrize("code", DIRECT)
def test_a_direct_test_exists_and_names_its_code(code: str) -> None:
    """The test that stands for a wrong case is there and expects the code."""
    file, _, name = DIRECT[code].partition("::")
    text = (TESTS / file).read_text("utf-8")
    _, found, body = text.partition(f"def {name}(")
    assert found
    assert f'"{code}"' in body.split("\ndef ")[0]
