"""Free pieces that are odd, large or hostile: problems and no tracebacks, in bounded time."""

from __future__ import annotations

import math
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from booklet.stages import check_file
from tests.folding import HEAD

COMMANDS = "MLHVCSQTAZmlhvcsqtaz"
COUNTS = {"m": 2, "l": 2, "h": 1, "v": 1, "c": 6, "s": 4, "q": 4, "t": 2, "z": 0}


@st.composite
def wild_paths(draw: st.DrawFn) -> str:
    """Path data that can be read, of any sense or none."""
    text = "M 0 0"
    for letter in draw(st.text(COMMANDS, min_size=1, max_size=7)):
        if letter in "aA":
            values = [*draw(st.tuples(*[st.integers(0, 30)] * 3)), draw(st.integers(0, 1)), 1]
            values += draw(st.tuples(st.integers(-40, 40), st.integers(-40, 40)))
        else:
            count = COUNTS[letter.lower()]
            values = list(draw(st.tuples(*[st.integers(-40, 40)] * count)))
        text += f" {letter} " + " ".join(map(str, values))
    return text


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=120, deadline=None
)
@given(outline=wild_paths(), score=wild_paths(), square=st.booleans())
def test_wild_paths_give_a_piece_or_problems(
    tmp_path: Path, outline: str, score: str, square: bool
) -> None:
    """Whatever the lines are: problems with a place, or a pattern whose areas fill the outline."""
    if square:
        outline = "M 0 0 H 50 V 60 H 0 Z"
    path = tmp_path / "wild.toml"
    path.write_text(
        f'{HEAD}\n[[piece]]\nid = "wild"\nstock = "card"\noutline = "{outline}"\n'
        f'scores = ["{score}"]\n[piece.panels]\na = [3, 3]\nb = [30, 40]\n'
    )
    _, problems = check_file(path)
    for problem in problems:
        assert problem.message
        assert problem.place is not None


@pytest.mark.parametrize("count", [100, 400])
def test_a_comb_of_scores_is_divided_in_bounded_time(tmp_path: Path, count: int) -> None:
    """Hundreds of scores side by side: hundreds of panels, in a few seconds of processor time."""
    path = tmp_path / "comb.toml"
    scores = ", ".join(f'"M {k} 0 V 50"' for k in range(1, count))
    points = "\n".join(f"p{k} = [{k}.5, 25]" for k in range(count))
    path.write_text(
        f'{HEAD.replace("0.3 mm", "0.1 mm")}\n[[piece]]\nid = "comb"\nstock = "card"\n'
        f'outline = "M 0 0 H {count} V 50 H 0 Z"\nscores = [{scores}]\n'
        f"[piece.panels]\n{points}\n[piece.folds]\n"
        + "\n".join(f"p{k} = 0" for k in range(1, count))
    )
    start = time.process_time()
    model, problems = check_file(path)
    assert time.process_time() - start < 20
    assert model is not None
    assert {p.code for p in problems} <= {"fold-of-root", "blank-larger-than-sheet"}


def test_a_window_of_a_thousand_corners_is_a_hole(tmp_path: Path) -> None:
    """Many lines in one ring stay one hole of one panel."""
    ring = " L ".join(
        f"{25 + 10 * math.cos(turn):.5f} {25 + 10 * math.sin(turn):.5f}"
        for turn in (math.tau * k / 1000 for k in range(1000))
    )
    path = tmp_path / "ring.toml"
    path.write_text(
        f'{HEAD}\n[[piece]]\nid = "ring"\noutline = "M 0 0 H 50 V 50 H 0 Z M {ring} Z"\n'
        "[piece.panels]\nonly = [2, 2]\n"
    )
    model, problems = check_file(path)
    assert not problems
    assert model is not None
    panel = model.patterns[0].panel("only")
    assert len(panel.holes) == 1
    assert panel.shape.area == pytest.approx(2500 - math.pi * 100, rel=1e-4)
