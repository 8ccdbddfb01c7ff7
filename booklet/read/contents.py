"""[[contents]]: what goes inside a piece.

In: one raw table. Out: the frozen value `Contents`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from booklet.problem import Place, Written
from booklet.read.listed import pair, triple
from booklet.read.number import length, whole
from booklet.read.raw import Length
from booklet.read.spot import Spot
from booklet.read.table import Key, Kind, Table
from booklet.read.text import choice, name, new_id, spoken, title

SIDES: Final = ("wide", "tall", "deep")


@dataclass(frozen=True, kw_only=True)
class Contents:
    """Things that lie in a piece's cavity; `size` is wide, tall, deep of one, unfolded.

    `grid` of them lie side by side along the piece's wide and tall, the others on them along its
    deep. `lies` names the side of one that lies along the piece's wide, tall and deep.
    """

    id: Written[str]
    name: str
    size: tuple[Length, Length, Length] | None = None
    standard: Written[str] | None = None
    count: int = 1
    grid: tuple[int, int] = (1, 1)
    lies: tuple[str, str, str] = SIDES
    folded: tuple[int, int, int] | None = None
    ease: Length | None = None
    inside: Written[str] | None = None
    place: Place


ID = Key("id", "a name for it in the file", new_id, required=True)
NAME = Key("name", "what they are called in print, in the plural if there are several", title)
SIZE = Key("size", "wide, tall and deep of one", triple(length, '["3 1/4", "4 3/8", "1/2"]'))
STANDARD = Key("standard", "a standard size, instead of size", name)
COUNT = Key("count", "how many are stacked along deep", whole(1, lambda limits: limits.count))
GRID = Key(
    "grid",
    "how many lie side by side along wide and along tall before more lie on them",
    pair(whole(1, lambda limits: limits.count), "[4, 3]"),
)


def _turn(spot: Spot, raw: object) -> tuple[str, str, str] | None:
    found = triple(choice(*SIDES), _LIES)(spot, raw)
    if found is not None and len(set(found)) < 3:
        message = f"{spot.label} names a side twice: {', '.join(found)}"
        spot.report("bad-form", message, f"Write each side once, such as {_LIES}.")
        return None
    return found


_LIES = '["wide", "deep", "tall"]'
LIES = Key("lies", "which of its sides lies along the piece's wide, tall and deep", _turn)
FOLDED = Key(
    "folded",
    "into how many parts each is folded along wide, tall and deep",
    triple(whole(1, lambda limits: limits.folded), "[2, 1, 1]"),
)
EASE = Key("ease", "the room wanted in each direction", length)
INSIDE = Key("inside", "the piece that holds them", name)


def _build(table: Table) -> Contents:
    if not {SIZE.name, STANDARD.name} & table.written:
        table.spot.report(
            "missing-key",
            '[contents] has neither "size" nor "standard"',
            'Add size = [wide, tall, deep], or the name of a standard size such as "id-1".',
        )
    table.only_one_of(SIZE, STANDARD)
    identifier = table.need(ID)
    return Contents(
        id=identifier,
        name=table.get(NAME) or spoken(identifier.value),
        size=table.get(SIZE),
        standard=table.get(STANDARD),
        count=table.get_or(COUNT, 1),
        grid=table.get_or(GRID, (1, 1)),
        lies=table.get_or(LIES, SIDES),
        folded=table.get(FOLDED),
        ease=table.get(EASE),
        inside=table.get(INSIDE),
        place=table.place,
    )


CONTENTS = Kind(
    "contents", (ID, NAME, SIZE, STANDARD, COUNT, GRID, LIES, FOLDED, EASE, INSIDE), _build
)
