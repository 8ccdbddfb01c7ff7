"""Layouts that are of no use beside others.

In: a pool of layouts by what they hold, and those that a plan uses. Out: the pool without the
layouts that another one holds too.
"""

from __future__ import annotations

from collections.abc import Container

import numpy as np

from booklet.stock.master import Counts
from booklet.stock.part import Part


def drop_contained(pool: dict[Counts, Part], plan: Container[Counts], most: int) -> None:
    """Forget layouts whose blanks another layout holds too, unless the plan uses them.

    A pool of more than `most` is left as it is.
    """
    rows = list(pool)
    if len(rows) > most:
        return
    table = np.array(rows, dtype=np.int32)
    order = np.lexsort((*table.T, -table.sum(axis=1)))
    kept = np.zeros_like(table)
    size = 0
    for index in order.tolist():
        if (kept[:size] >= table[index]).all(axis=1).any():
            if rows[index] not in plan:
                del pool[rows[index]]
            continue
        kept[size] = table[index]
        size += 1
