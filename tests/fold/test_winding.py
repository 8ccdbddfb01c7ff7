"""What goes round a closed piece, half on its way: ends that stand up, a band slid on."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from booklet.fold.face import Face, turned_about
from booklet.fold.pose import Posed, pose_piece
from booklet.fold.winding import ON, WAY, Wrap, wound
from booklet.fold.wrapping import corners, ring_round, wrap_axis
from tests.fold.test_wrapping import BOX
from tests.folding import flat_project


@pytest.fixture
def box(tmp_path: Path) -> Posed:
    """A box of 40 x 60 x 10 mm that is shut by its lid, which lies up."""
    return pose_piece(flat_project(BOX, tmp_path).pattern, 0.3)


def wrapped(box: Posed, kind: str, width: float = 8.0) -> Wrap:
    """What goes round the box."""
    return wound(ring_round(box, wrap_axis(box, ["lid"]), "lid", width), kind)


def area(wrap: Wrap, free: bool) -> float:
    """Of what moves, or of the rest."""
    loops = [loop for n, loop in enumerate(wrap.going) if (n in wrap.free) == free]
    return sum(Face("strip", loop).area for loop in loops)


@pytest.mark.parametrize("kind", ["ribbon", "tie"])
def test_both_ends_of_a_ribbon_stand_up_and_fall_on_the_lid(kind: str, box: Posed) -> None:
    """It lies round the three other sides: 60 and twice 10 mm of 8 mm; each arrow ends on top."""
    wrap = wrapped(box, kind)
    assert area(wrap, free=False) == pytest.approx(80 * 8.0)
    assert len(wrap.free) == len(wrap.swings) == 2
    top = corners(box)[:, 2].max()
    middle = corners(box).mean(axis=0)
    for swing in wrap.swings:
        end = turned_about(swing.start, *swing.hinge, swing.angle)
        assert swing.start[2] > top + 10.0
        assert end[2] == pytest.approx(top + 0.3)
        # It falls inward, toward the other end.
        assert abs(end[1] - middle[1]) < 30.0


def test_a_string_is_tied_at_its_button_and_has_one_free_end(box: Posed) -> None:
    """Half of the lid's side is wound already."""
    wrap = wrapped(box, "button", 1.0)
    assert area(wrap, free=False) == pytest.approx(80.0 + 30.0)
    assert len(wrap.free) == len(wrap.swings) == 1


def test_a_band_is_slid_on_from_an_end(box: Posed) -> None:
    """Half of its width is on; the arrow leads most of the way to where it lies."""
    wrap = wrapped(box, "belly_band", 12.0)
    assert not wrap.swings and wrap.slide is not None
    now, then = (
        np.concatenate([np.array(one) for one in loops])[:, 0].mean()
        for loops in (wrap.going, wrap.there)
    )
    right = corners(box)[:, 0].max()
    low = min(x for loop in wrap.going for x, _, _ in loop)
    assert right - low == pytest.approx(ON * 12.0)
    start, end = (point[0] for point in wrap.slide)
    assert start == pytest.approx(now)
    assert end == pytest.approx(now + WAY * (then - now))


def test_nothing_goes_round_what_has_no_size() -> None:
    """No ring, no strips."""
    assert wound(None, "ribbon") == Wrap(())
