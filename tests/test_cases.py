"""Every wrong case is blamed where it says it should be.

In: tests/cases/wrong/*.toml, in which `# expect: code` (or several codes) ends each line that
must be blamed. A case passes when exactly these errors and warnings are found on these lines;
notes count only where they are expected.
"""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest

from booklet.problem import Problem, catalogue
from booklet.stages import check_file

WRONG = sorted((Path(__file__).parent / "cases" / "wrong").glob("*.toml"))
_EXPECT = re.compile(r"# expect: ([a-z0-9 -]+)$")

Blame = tuple[int, str]


def expected(path: Path) -> Counter[Blame]:
    """Line and code of each problem that the case announces."""
    lines = path.read_text("utf-8", errors="replace").split("\n")
    return Counter(
        (number, code)
        for number, line in enumerate(lines, 1)
        if (match := _EXPECT.search(line)) is not None
        for code in match.group(1).split()
    )


def blamed(problems: list[Problem], announced: Counter[Blame]) -> Counter[Blame]:
    """Line and code of each problem found, without notes that nobody announced."""
    found = [
        (problem.severity, (problem.place.line if problem.place else 0, problem.code))
        for problem in problems
    ]
    return Counter(blame for severity, blame in found if severity != "note" or blame in announced)


@pytest.mark.parametrize("path", WRONG, ids=lambda path: path.stem)
def test_a_wrong_case_is_blamed_where_it_says(path: Path) -> None:
    """Codes and lines are those that the case announces, and each problem helps."""
    announced = expected(path)
    assert announced, "a wrong case must announce a problem"
    _, problems = check_file(path)
    assert blamed(problems, announced) == announced
    for problem in problems:
        assert problem.code in catalogue()
        assert problem.message
        assert problem.help
        assert problem.place is not None and problem.place.column >= 1


def test_there_are_wrong_cases() -> None:
    """The glob finds the cases."""
    assert len(WRONG) > 20
