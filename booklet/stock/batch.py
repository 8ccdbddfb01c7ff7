"""For how many a project is made: one maker, or a class.

In: the [class] table, if there is one. Out: a `Batch` that planner, supplies and cost count with.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.read.course import Course


@dataclass(frozen=True)
class Batch:
    """`makers` sit at the tables, `kits` are cut: one for each maker, and the spare ones."""

    makers: int = 1
    kits: int = 1


def batch_of(course: Course | None) -> Batch:
    """The batch of a class; without one a single maker."""
    if course is None:
        return Batch()
    return Batch(course.students, course.students + course.spare)
