"""[[size]]: another size of the same project, as overrides of measures.

In: one raw table. Out: the frozen value `Size`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from booklet.problem import Place, Written
from booklet.read.number import length
from booklet.read.raw import Length
from booklet.read.table import Key, Kind, Table, by_name
from booklet.read.text import new_id, spoken, title


@dataclass(frozen=True, kw_only=True)
class Size:
    """A size and the measures that it replaces, by name."""

    id: Written[str]
    name: str
    measures: dict[str, Length] = field(default_factory=dict)
    place: Place


ID = Key("id", "a name for it in the file", new_id, required=True)
NAME = Key("name", "what the size is called in print", title)
MEASURES = Key(
    "measures",
    "the measures that differ, as { name = length }",
    by_name(length, '{ tall = "6" }', lambda limits: limits.tables),
)


def _build(table: Table) -> Size:
    identifier = table.need(ID)
    return Size(
        id=identifier,
        name=table.get(NAME) or spoken(identifier.value),
        measures=table.get_or(MEASURES, {}),
        place=table.place,
    )


SIZE = Kind("size", (ID, NAME, MEASURES), _build)
