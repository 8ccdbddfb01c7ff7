"""Joins in words: what is glued when, and what is brought onto it."""

from __future__ import annotations

import re
from pathlib import Path

from booklet.pages.wording import planned_steps
from tests.fold.test_order import hexagon
from tests.folding import model_of

HOLDER = """
[[piece]]
id = "holder"
stock = "card"
columns = [12, 10, 100, 10, 12]
rows = [38, 10, 70, 10, 70]
map = [
  ". . flap . .", ". . top . .", "tab_l side_l back side_r tab_r", ". . base . .", ". . front . .",
]
root = "back"
[[piece.join]]
tab = "tab_l"
to = "front"
[[piece.join]]
tab = "tab_r"
to = "front"
[[closure]]
kind = "ribbon"
on = "flap"
"""


def test_a_front_is_glued_once_the_base_that_carries_it_stands(tmp_path: Path) -> None:
    """Base and top are mirror images, but the top waits for all that is glued before it closes."""
    steps = [step for step in planned_steps(model_of(HOLDER, tmp_path)) if not step.crease]
    folded: set[str] = set()
    for step in steps:
        folded |= {name for _, name in step.fold}
        if step.join:
            break
    assert step.text == "Put adhesive on the tabs. Fold the front onto them and press."
    assert folded == {"side_l", "side_r", "tab_l", "tab_r", "base", "front"}


def test_no_tab_is_glued_before_what_carries_it_stands(tmp_path: Path) -> None:
    """In a bowl of six walls, each with a tab for the next: some come down on a tab, some bring it.

    Each tab is glued in the step that folds the second of its two walls.
    """
    steps = [s for s in planned_steps(model_of(hexagon(), tmp_path)) if not s.crease]
    there: set[str] = set()
    glued: dict[str, int] = {}
    meets: dict[str, int] = {}
    for number, step in enumerate(steps):
        there |= {name for _, name in step.fold}
        glued |= {name: number for _, name in step.join}
        for k in range(6):
            if {f"tab_{k}", f"wall_{k}", f"wall_{(k + 1) % 6}"} <= there:
                meets.setdefault(f"tab_{k}", number)
    assert len(glued) == 6 and glued == meets
    last = next(step for step in reversed(steps) if step.join)
    assert re.search("^Put adhesive on .* Fold .* and press each tab onto the panel", last.text)
