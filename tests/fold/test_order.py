"""Printed orders that work and that do not; orders found where none is printed."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from typing import Any

from booklet.fold.group import wishes
from booklet.fold.order import Collision, printed_steps
from booklet.fold.prove import Folded
from booklet.problem import Problem
from tests.folding import proved

STEP = """
[[step]]
fold = [{names}]
"""


def steps(*groups: str) -> str:
    """[[step]] tables that fold these panels, names parted by blanks."""
    return "".join(
        STEP.format(names=", ".join(f'"{name}"' for name in group.split())) for group in groups
    )


def run(flat: Callable[[str], Any], text: str) -> tuple[Folded, list[Problem]]:
    """Prove a project of one piece."""
    folded, found = proved(flat(text))
    return next(iter(folded.values())), found


LID = """
[[piece]]
id = "box"
stock = "card"
columns = [40]
rows = [{lid}, {top}, 60, 20, 60]
map = ["lid", "top", "back", "base", "front"]
root = "back"
"""


def test_a_lid_that_goes_outside_its_front_is_clean(flat: Callable[[str], Any]) -> None:
    """A top deeper than the base lets the lid pass in front of the front."""
    box, found = run(flat, LID.format(lid=30, top=25) + steps("base", "front", "top", "lid"))
    assert box.order.proved and not found


def test_a_lid_behind_its_front_collides(flat: Callable[[str], Any]) -> None:
    """A top shallower than the base: the lid would have to pass through the front."""
    box, found = run(flat, LID.format(lid=30, top=12) + steps("base", "front", "top", "lid"))
    assert [problem.code for problem in found] == ["panels-collide"]
    [hit] = box.order.collisions
    assert hit.panels == ("lid", "front") and hit.step == 4
    assert 0 < hit.angle < 90
    assert found[0].place is not None and found[0].place.line > 20


FLANGE = """
[[piece]]
id = "box"
stock = "card"
columns = [40, 30, 60, 30, 20]
rows = [50]
map = ["rim wall floor inner flap"]
root = "floor"
[piece.folds]
flap = 0
inner = 150
"""


def test_a_return_folded_before_what_it_must_let_pass(flat: Callable[[str], Any]) -> None:
    """The rim roofs the floor over; a flap that leans in under it has to be folded before it."""
    box, found = run(flat, FLANGE + steps("inner", "wall", "rim"))
    assert box.order.proved and not found
    box, found = run(flat, FLANGE + steps("wall", "rim", "inner"))
    assert [problem.code for problem in found] == ["panels-collide"]
    assert box.order.collisions[0].panels == ("flap", "rim")


def test_names_twice_and_missed(flat: Callable[[str], Any]) -> None:
    """Both are told with the panel and the line."""
    _, found = run(flat, LID.format(lid=30, top=25) + steps("base", "front base", "top"))
    assert [problem.code for problem in found] == ["order-names-twice", "order-misses-panel"]
    assert '"base"' in found[0].message and '"lid"' in found[1].message
    assert all(problem.place is not None for problem in found)


TAB = """
[[piece]]
id = "tray"
stock = "card"
columns = [20, 60]
rows = [20, 50]
map = ["tab back", "left floor"]
cuts = ["tab|back"]
root = "floor"
[[piece.join]]
tab = "tab"
to = "back"
"""


def test_a_tab_glued_too_early(flat: Callable[[str], Any]) -> None:
    """The back wall is still down when the tab is to be glued to it."""
    early = TAB + steps("left", "tab") + '[[step]]\njoin = ["tab"]\n' + steps("back")
    _, found = run(flat, early)
    assert [problem.code for problem in found] == ["join-too-early"]
    assert '"back"' in found[0].help
    _, found = run(flat, TAB + steps("left", "tab", "back") + '[[step]]\njoin = ["tab"]\n')
    assert not found


def test_joins_and_closes_fold_what_no_fold_names(flat: Callable[[str], Any]) -> None:
    """A lid that is only closed folds in the step that closes it."""
    text = LID.format(lid=30, top=25) + steps("base", "front", "top")
    box, found = run(flat, text + '[[step]]\nclose = ["lid"]\n')
    assert box.order.steps[-1] == ("lid",) and not found


OVERLAP = """
[[piece]]
id = "folder"
stock = "card"
columns = [40, 60, 40]
rows = [50]
map = ["left middle right"]
root = "middle"
[piece.folds]
left = 180
right = 180
"""


def test_two_flaps_cannot_lie_in_one_layer(flat: Callable[[str], Any]) -> None:
    """Flaps of 40 on a panel of 60 overlap: one after the other they go, together they do not."""
    folder, found = run(flat, OVERLAP)
    assert not found
    assert folder.order.steps in ((("left",), ("right",)), (("right",), ("left",)))
    assert sorted(folder.layers.values()) == [0, 1, 2]
    assert folder.layers["middle"] == 0


BACKTRACK = """
[[piece]]
id = "box"
stock = "card"
columns = [40, 30, 60, 20, 45]
rows = [50]
map = ["rim wall floor post long"]
root = "floor"
[piece.folds]
long = 80
"""

RING = """
[[piece]]
id = "sheet"
stock = "card"
columns = [40, 40]
rows = [30, 30]
map = ["a b", "c d"]
root = "a"
"""


def test_a_ring_that_does_not_close_is_told(flat: Callable[[str], Any]) -> None:
    """Four right-angled panels cannot all stand at 90 degrees to each other."""
    sheet, found = run(flat, RING)
    assert [problem.code for problem in found if problem.severity == "error"] == [
        "ring-does-not-close"
    ]
    assert sheet.rings[0].residual > 1


def test_the_search_goes_back_where_it_was_too_quick(flat: Callable[[str], Any]) -> None:
    """The rim folds cleanly at first, but then roofs over what still has to come in."""
    box, found = run(flat, BACKTRACK)
    assert box.order.proved and not found
    at = {name: i for i, step in enumerate(box.order.steps) for name in step}
    assert at["long"] < at["rim"]
    assert set(at) == {"rim", "wall", "post", "long"}


CROSSED = """
[[piece]]
id = "cross"
stock = "card"
columns = [70, 30, 60, 70]
rows = [50]
map = ["roof wall floor post"]
root = "floor"
[piece.folds]
roof = 90
"""


def test_when_no_order_exists_it_says_why(flat: Callable[[str], Any]) -> None:
    """A roof that ends beyond a post as tall as a house has no order at all."""
    cross, found = run(flat, CROSSED)
    assert [problem.code for problem in found] == ["no-fold-order"]
    assert '"roof"' in found[0].message and '"post"' in found[0].message
    assert not cross.order.proved
    assert isinstance(cross.order.collisions[0], Collision)


BARE = """
[[piece]]
id = "body"
stock = "card"
columns = [12, 12, 80, 12, 12]
rows = [44, 12, 66, 12, 44]
map = [
  ".       .      lid    .      .      ",
  ".       .      top    .      .      ",
  "wrap_l  side_l back   side_r wrap_r ",
  ".       tab_l  base   tab_r  .      ",
  ".       .      front  .      .      ",
]
cuts = ["tab_l|base", "base|tab_r"]
root = "back"
"""


def test_mirror_images_fold_together_without_joins(flat: Callable[[str], Any]) -> None:
    """A flip-lid box with nothing but its map: lid and front are mirror images that collide.

    Their being in each other's way must not part the others: four steps, sides together, wraps
    and tabs together, and what carries a panel before it.
    """
    box, found = run(flat, BARE)
    assert not found and box.order.proved
    assert len(box.order.steps) <= 4
    at = {name: i for i, step in enumerate(box.order.steps) for name in step}
    for left, right in (("side_l", "side_r"), ("wrap_l", "wrap_r"), ("tab_l", "tab_r")):
        assert at[left] == at[right]
    assert at["lid"] != at["front"]
    assert at["side_l"] < at["wrap_l"] and at["base"] < at["front"] and at["top"] < at["lid"]


def test_the_larger_of_two_equals_folds_first(flat: Callable[[str], Any]) -> None:
    """Nothing else tells them apart: the tall wall is folded before the low one."""
    text = """
[[piece]]
id = "stand"
stock = "card"
columns = [10, 60]
rows = [40, 50]
map = [". tall", "low base"]
root = "base"
[piece.folds]
low = -60
tall = 60
"""
    stand, found = run(flat, text)
    assert not found and [name for step in stand.order.steps for name in step] == ["tall", "low"]


def test_what_closes_is_not_folded_with_what_it_closes_on(flat: Callable[[str], Any]) -> None:
    """Flaps of 25 on a panel of 60 may fold together, but one that is held shut folds last."""
    text = OVERLAP.replace("40, 60, 40", "25, 60, 25")
    folder, _ = run(flat, text)
    assert folder.order.steps == (("left", "right"),)
    shut = '[[closure]]\nkind = "ribbon"\non = "folder.left"\nmeets = "folder.right"\n'
    folder, _ = run(flat, text + shut)
    assert folder.order.steps == (("right",), ("left",))


def test_the_names_of_many_steps_are_looked_up_in_time(flat: Callable[[str], Any]) -> None:
    """Each piece looks for its own among them, and not through all panels for each."""
    wide = [f"a{k}" for k in range(1, 20)]
    text = "".join(
        f'[[piece]]\nid = "p{p}"\nstock = "card"\ncolumns = {[10] * 20}\nrows = [30]\n'
        f'map = ["base {" ".join(wide)}"]\nroot = "base"\n'
        for p in range(40)
    )
    text += steps(*(" ".join(f"p{p}.{name}" for name in wide) for p in range(40)))
    made = flat(text)
    start = time.process_time()
    found: list[Problem] = []
    told = [printed_steps(made.project, made.patterns, one, found) for one in made.patterns]
    assert time.process_time() - start < 1.0
    assert not found
    assert all(own is not None and own[0].panels == tuple(wide) for own in told)


def hexagon() -> str:
    """Six walls of 30 on sides of 40, each with a tab at one end that meets the next wall."""
    apothem = 20 * math.sqrt(3)
    ends = ((0, -20), (30, -20), (30, 20), (28, 30), (6, 30), (0, 20))
    outline, scores, panels, joins = "M", "", "base = [0, 0]\n", ""
    for k in range(6):

        def at(out: float, along: float, turn: float = math.radians(60 * k)) -> tuple[float, float]:
            x, y = apothem + out, along
            cos, sin = math.cos(turn), math.sin(turn)
            return round(x * cos - y * sin, 4), round(x * sin + y * cos, 4)

        outline += " ".join(f" {x} {y}" for x, y in (at(*end) for end in ends))
        low, foot, top = at(*ends[0]), at(*ends[5]), at(*ends[2])
        scores += f"M {low[0]} {low[1]} L {foot[0]} {foot[1]} L {top[0]} {top[1]} "
        panels += f"wall_{k} = {list(at(15, 0))}\ntab_{k} = {list(at(15, 25))}\n"
        joins += f'[[piece.join]]\ntab = "tab_{k}"\nto = "wall_{(k + 1) % 6}"\n'
    folds = "".join(f"tab_{k} = 60\n" for k in range(6))
    return (
        f'[[piece]]\nid = "bowl"\nstock = "card"\noutline = "{outline} Z"\n'
        f'scores = ["{scores}"]\nroot = "base"\n[piece.panels]\n{panels}'
        f"[piece.folds]\n{folds}{joins}"
    )


def test_tabs_of_walls_round_a_base_fold_together(flat: Callable[[str], Any]) -> None:
    """Each hangs on a wall of its own, and they are no mirror images: still one step folds most."""
    bowl, found = run(flat, hexagon())
    assert not found and bowl.order.proved
    counts = [sum(name.startswith("tab_") for name in step) for step in bowl.order.steps]
    assert max(counts) >= 5 and len(bowl.order.steps) <= 5


def test_a_free_flap_is_folded_over_what_is_glued_flat(flat: Callable[[str], Any]) -> None:
    """First, it would lie inside the pouch."""
    text = """
[[piece]]
id = "pouch"
stock = "card"
columns = [12, 80, 12]
rows = [35, 60, 60]
map = [". flap .", "tab_l back tab_r", ". front ."]
root = "back"
folds = { flap = 180, front = 180, tab_l = 180, tab_r = 180 }
[[piece.join]]
tab = "tab_l"
to = "front"
[[piece.join]]
tab = "tab_r"
to = "front"
"""
    pouch, found = run(flat, text)
    assert not [problem for problem in found if problem.severity == "error"]
    assert pouch.order.steps == (("tab_l", "tab_r"), ("front",), ("flap",))
    turned, _ = run(flat, text.replace('"back"', '"front"').replace("front = 180", "back = 180"))
    assert turned.order.steps[-1] == ("flap",)


def test_tabs_of_a_pocket_are_laid_inside_before_it_and_it_before_the_spine(
    flat: Callable[[str], Any],
) -> None:
    """Round the outside of their cover the glue on them would face away from the reader."""
    text = """
[[piece]]
id = "folder"
stock = "card"
columns = [12, 110, 12]
rows = [80, 4, 80, 72]
map = [". cover .", ". spine .", ". back .", "tab_l pocket tab_r"]
root = "back"
folds = { pocket = 180, tab_l = 180, tab_r = 180 }
[[piece.join]]
tab = "tab_l"
to = "back"
[[piece.join]]
tab = "tab_r"
to = "back"
"""
    folder, _ = run(flat, text)
    assert folder.order.steps == (("tab_l", "tab_r"), ("pocket",), ("spine",), ("cover",))
    assert folder.order.proved


def test_wishes_of_a_long_chain_stay_few(flat: Callable[[str], Any]) -> None:
    """Two hundred panels in a row, each with a tab: not each waits for all that carry it."""
    count = 200
    names = [f"p{k}" for k in range(count)]
    tabs = " ".join(f"t{k}" if k % 2 else "." for k in range(count))
    folds = "".join(f"p{k} = {180 if k % 2 else -180}\n" for k in range(1, count))
    folds += "".join(f"t{k} = 180\n" for k in range(1, count, 2))
    joins = "".join(f'[[piece.join]]\ntab = "t{k}"\nto = "p{k - 1}"\n' for k in range(1, count, 2))
    made = flat(
        f'[[piece]]\nid = "strip"\nstock = "card"\ncolumns = {[12] * count}\nrows = [30, 10]\n'
        f'map = ["{" ".join(names)}", "{tabs}"]\nroot = "p0"\n[piece.folds]\n{folds}{joins}'
    )
    (pattern,) = made.patterns
    assert len(wishes(pattern, ())) < 30 * count
