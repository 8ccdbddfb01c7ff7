"""[class]: a class in which the project is taught.

In: one raw table. Out: the frozen value `Course` (`class` is no name that a module can have).
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from booklet.problem import Place


@dataclass(frozen=True, kw_only=True)
class Course:
    """A class: `students` kits and `spare` ones more; `fee` is per student."""

    title: str | None = None
    students: int
    spare: int = 0
    date: datetime.date | None = None
    teacher: str | None = None
    fee: Decimal | None = None
    place: Place
