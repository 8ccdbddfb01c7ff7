"""[[limit]]: how large or small a measure may be, and why.

In: one raw table. Out: the frozen value `Limit`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place, Written
from booklet.read.number import length
from booklet.read.raw import Length
from booklet.read.table import Key, Kind, Table
from booklet.read.text import name, title


@dataclass(frozen=True, kw_only=True)
class Limit:
    """The measure `of` is at least `least` and at most `most`, for a reason that a maker sees.

    `asked` names the measure as the maker knows it, where a form brought the limit.
    """

    of: Written[str]
    least: Length | None = None
    most: Length | None = None
    reason: str
    asked: str = ""
    place: Place


OF = Key("of", "the measure that is bounded", name, required=True)
LEAST = Key("least", "the smallest that it may be", length)
MOST = Key("most", "the largest that it may be", length)
REASON = Key("reason", "why, as a maker is told who goes beyond", title, required=True)


def _build(table: Table) -> Limit:
    if not {LEAST.name, MOST.name} & table.written:
        table.spot.report(
            "missing-key", '[limit] has neither "least" nor "most"', 'Add most = "3/4", say.'
        )
    of = table.need(OF)
    return Limit(
        of=of,
        least=table.get(LEAST),
        most=table.get(MOST),
        reason=table.need(REASON).rstrip("."),
        asked=of.value,
        place=table.place,
    )


LIMIT = Kind("limit", (OF, LEAST, MOST, REASON), _build)
