"""[class]: a class in which the project is taught.

In: one raw table. Out: the frozen value `Course` (`class` is no name that a module can have).
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from booklet.problem import Place, Written
from booklet.read.number import date, money, whole
from booklet.read.table import Key, Kind, Table
from booklet.read.text import title


@dataclass(frozen=True, kw_only=True)
class Course:
    """A class: `students` kits and `spare` ones more; `fee` is per student."""

    title: str | None = None
    students: int
    spare: int = 0
    date: datetime.date | None = None
    teacher: str | None = None
    fee: Written[Decimal] | None = None
    place: Place


TITLE = Key("title", "what the class is called", title)
STUDENTS = Key(
    "students", "how many take part", whole(1, lambda limits: limits.makers), required=True
)
SPARE = Key("spare", "how many kits more to cut", whole(0, lambda limits: limits.count))
DATE = Key("date", "the day of the class", date)
TEACHER = Key("teacher", "who teaches", title)
FEE = Key("fee", "what a student pays", money)


def _build(table: Table) -> Course:
    return Course(
        title=table.get(TITLE) or None,
        students=table.need(STUDENTS),
        spare=table.get_or(SPARE, 0),
        date=table.get(DATE),
        teacher=table.get(TEACHER) or None,
        fee=table.get(FEE),
        place=table.place,
    )


COURSE = Kind("class", (TITLE, STUDENTS, SPARE, DATE, TEACHER, FEE), _build)
