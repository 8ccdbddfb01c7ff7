"""Alternative texts say what moves where, from the model."""

from __future__ import annotations

from pathlib import Path

from booklet.pages.shot import Flat, Folded
from tests.folding import model_of, stage_of

TRAY = """
[[contents]]
id = "beans"
name = "beans"
size = [20, 10, 10]
[[piece]]
id = "tray"
name = "Tray"
stock = "card"
columns = [20, 40, 20]
rows = [20, 30, 20]
map = ["tab_a back tab_b", "left base right", ". front ."]
cuts = ["tab_a|left", "tab_b|right"]
root = "base"
[piece.panel]
tab_a.label = "tab"
tab_b.label = "tab"
[[piece.join]]
tab = "tab_a"
to = "left"
[[piece.join]]
tab = "tab_b"
to = "right"
[[mat]]
id = "label"
name = "Label"
on = "tray.front"
reveal = 2
stock = "card"
"""
STEPS = (
    'score = ["tray"]',
    'cut = ["tray"]',
    'crease = ["tray"]',
    'attach = ["label"]',
    'fold = ["back", "tab_a", "tab_b"]',
    'fold = ["left", "right"]\njoin = ["tab_a", "tab_b"]',
    'fold = ["front"]',
    'fill = ["beans"]',
)


def test_every_picture_tells_what_its_step_does(tmp_path: Path) -> None:
    """Scores, slits, creases, mats, folds, adhesive and contents, with sides and angles."""
    model = model_of(TRAY + "".join(f"[[step]]\n{step}\n" for step in STEPS), tmp_path)
    steps = stage_of(model).steps
    told = [one.alt.partition(". ")[2] for one in steps if isinstance(one, Flat | Folded)]
    assert told == [
        "The blank of the tray with its scores heavy: 6 to fold toward the reader.",
        "The outline of the tray to cut along is heavy, with 2 slits.",
        "Arrows with two heads say to fold the back, front, left and right panels and tabs and "
        "to open them again.",
        "The outside is up. Held over their hatched places: the label over the front.",
        "The back swings about the edge of the base up to 90°. "
        "The tabs swing about the edge of the back in to 90°.",
        "The left and right panels swing about the edge of the base up to 90°. "
        "Hatching shows adhesive on the outside of the left tab, to meet the left panel. "
        "Hatching shows adhesive on the outside of the right tab, to meet the right panel.",
        "The front swings about the edge of the base up to 90°.",
        "An arrow brings the beans in from above.",
    ]


def test_what_no_picture_shows_leaves_no_gap_in_the_words(tmp_path: Path) -> None:
    """Of contents too many for their room the largest is drawn; no arrow brings the others."""
    more = '[[contents]]\nid = "{0}"\nname = "{0}"\nsize = [39, 29, {1}]\n'
    steps = "".join(f'[[step]]\nfill = ["{name}"]\n' for name in ("rice", "peas"))
    text = more.format("rice", 18) + more.format("peas", 17) + TRAY + steps
    rice, peas = stage_of(model_of(text, tmp_path)).steps[-2:]
    assert isinstance(rice, Folded) and isinstance(peas, Folded)
    assert rice.alt == "Fill it. An arrow brings the rice in from above."
    assert peas.alt == "Fill it."
