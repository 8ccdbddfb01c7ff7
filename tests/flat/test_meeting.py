"""Which folds bring a tab to its panel."""

from __future__ import annotations

from pathlib import Path

from booklet.flat.pattern import meeting_of
from tests.folding import model_of

HEM = """
[[piece]]
id = "cover"
stock = "card"
columns = [12, 80, 12]
rows = [40, 60]
map = ["tab_a pocket tab_b", ". back ."]
root = "back"
folds = { pocket = 180, tab_a = 180, tab_b = 180 }
"""


def test_a_tab_lies_on_what_carries_it_once_all_between_are_folded(tmp_path: Path) -> None:
    """Wherever that stands; on any other panel once both are folded."""
    (pattern,) = model_of(HEM, tmp_path, warnings=False).patterns
    assert meeting_of(pattern, "tab_a", "back") == {"tab_a", "pocket"}
    assert meeting_of(pattern, "pocket", "back") == {"pocket"}
    assert meeting_of(pattern, "tab_a", "tab_b") == {"tab_a", "tab_b"}
