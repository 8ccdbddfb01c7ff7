"""A tab that ends flat between two panels is folded before the panel that carries it."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.pages.fold_order import fold_rounds
from booklet.pages.staging import set_stage
from booklet.pages.wording import planned_steps
from tests.folding import model_of

WALLET = """
[[piece]]
id = "wallet"
stock = "card"
columns = [60, 60, 10]
rows = [90]
map = ["front back tab"]
root = "front"
[piece.folds]
back = 180
tab = 180
[[piece.join]]
tab = "tab"
to = "front"
with = "tape"
[[supply]]
id = "tape"
name = "Tape"
kind = "adhesive"
amount = "auto"
[[step]]
fold = ["back", "tab"]
[[step]]
join = ["tab"]
"""


@pytest.mark.parametrize("named", ['"back", "tab"', '"tab", "back"'])
def test_a_tab_is_laid_inside_before_its_panel_closes_over_it(named: str, tmp_path: Path) -> None:
    """Folded after it, the tab would go round the outside of the panel that it is glued into."""
    model = model_of(WALLET.replace('"back", "tab"', named), tmp_path)
    steps = planned_steps(model)
    stage = set_stage(model, steps)
    parts = [shot.part for shots in stage.shots for shot in shots if shot.part is not None]
    moved = [[name for _, name in part.fold] for part in parts if part.fold]
    assert moved == [["tab"], ["back"]]
    assert fold_rounds(model.patterns[0], parts) == [["tab"], ["back"]]


def test_the_words_of_such_a_fold_part_flat_from_press(tmp_path: Path) -> None:
    """Without steps of its own the wallet is folded as booklet finds it."""
    model = model_of(WALLET[: WALLET.index("[[step]]")], tmp_path)
    [said] = [step.text for step in planned_steps(model) if step.join]
    assert said.endswith("Fold the back over, flat, and press the tab onto the front.")
