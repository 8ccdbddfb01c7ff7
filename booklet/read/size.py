"""[[size]]: another size of the same project, as overrides of measures and of what goes inside.

In: one raw table. Out: the frozen value `Size`, lengths as written.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from booklet.problem import Place, Written
from booklet.read.number import length, whole
from booklet.read.raw import Length
from booklet.read.spot import Spot
from booklet.read.table import Key, Kind, Table, by_name
from booklet.read.text import is_id, new_id, spoken, title


@dataclass(frozen=True, kw_only=True)
class Size:
    """A size, the measures that it replaces by name, and how many contents it holds by id."""

    id: Written[str]
    name: str
    measures: dict[str, Length] = field(default_factory=dict)
    contents: dict[str, Written[int]] = field(default_factory=dict)
    place: Place


def base_size(name: str, place: Place) -> Size:
    """The project as it is written, as a size that replaces nothing.

    Its id follows from its name ("Half pint" is half_pint); where none follows it is "regular".
    """
    named = re.sub(r"[^a-z0-9]+", "_", name.casefold()).strip("_")
    identifier = named if is_id(named, 64) else "regular"
    return Size(id=Written(identifier, place), name=name or "Regular", place=place)


def _count(spot: Spot, raw: object) -> Written[int] | None:
    count = whole(1, lambda limits: limits.count)(spot, raw)
    return None if count is None else Written(count, spot.place)


ID = Key("id", "a name for it in the file", new_id, required=True)
NAME = Key("name", "what the size is called in print", title)
MEASURES = Key(
    "measures",
    "the measures that differ, as { name = length }",
    by_name(length, '{ tall = "6" }', lambda limits: limits.tables),
)
CONTENTS = Key(
    "contents",
    "how many go inside where that differs, as { id = number }",
    by_name(_count, "{ cards = 12 }", lambda limits: limits.tables),
)


def _build(table: Table) -> Size:
    identifier = table.need(ID)
    return Size(
        id=identifier,
        name=table.get(NAME) or spoken(identifier.value),
        measures=table.get_or(MEASURES, {}),
        contents=table.get_or(CONTENTS, {}),
        place=table.place,
    )


SIZE = Kind("size", (ID, NAME, MEASURES, CONTENTS), _build)
