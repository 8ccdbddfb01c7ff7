"""The last picture: from behind only where one looks into the piece from there."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.pages.shot import Folded
from tests.folding import model_in, stage_of, started


@pytest.mark.parametrize(
    ("form", "inside", "behind"),
    [("gusseted_bag", "60x80x30mm", True), ("envelope", "100x70x1mm", False)],
)
def test_a_piece_is_turned_at_the_end_only_to_look_into_it(
    form: str, inside: str, behind: bool, tmp_path: Path
) -> None:
    """A bag stays open at the back; over an envelope's pocket lies its flap."""
    started(tmp_path, "--form", form, "--inside", inside)
    stage = stage_of(model_in(tmp_path / "new.toml"))
    end, last = stage.finished[0], stage.steps[-1]
    assert isinstance(last, Folded)
    sides = [picture.seen.sight.view.toward[1] > 0 for picture in (last, end)]
    assert sides == [False, behind]
    seen = end.seen.sight.seen
    inner = sum(one.region.area for one in seen if one.side == "front")
    assert (inner > 0.05 * sum(one.region.area for one in seen)) == behind
