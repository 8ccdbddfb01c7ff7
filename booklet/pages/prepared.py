"""What a maker reads before the first cut: cautions, sizes, score charts.

In: a model and a composer, perhaps with other sections on it. Out: the composer's pages.
"""

from __future__ import annotations

from booklet.pages.chart import charts
from booklet.pages.flow import Composer
from booklet.pages.safety import safety
from booklet.pages.sizes import size_table
from booklet.stages import Model


def prepared(model: Model, sheet: Composer) -> None:
    """The sections in this order, each below the one before where it fits."""
    safety(model, sheet)
    size_table(model, sheet)
    charts(model, sheet)
