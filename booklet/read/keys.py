"""The whole language as data: which tables a file may have, and which keys each table.

In: the kinds of the table files. Out: `FILE`, the kind of the file itself, and `TABLES`, the keys
of every table by its name, from which the language reference can be checked.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Any, Final

from booklet.read.closure import CLOSURE
from booklet.read.contents import CONTENTS
from booklet.read.course import COURSE
from booklet.read.limit import LIMIT
from booklet.read.look import LOOK
from booklet.read.mat import MAT
from booklet.read.nest import NEST
from booklet.read.number import length
from booklet.read.piece import CUTOUT, JOIN, PANEL, PIECE
from booklet.read.project import PROJECT
from booklet.read.safety import SAFETY
from booklet.read.size import SIZE
from booklet.read.step import STEP
from booklet.read.stock import STOCK
from booklet.read.supply import SUPPLY
from booklet.read.table import Key, Kind, by_name, table, tables

PROJECT_TABLE: Final = Key("project", "a table with a title", table(PROJECT), required=True)
MEASURES: Final = Key(
    "measures",
    "lengths by name",
    by_name(length, 'wide = "3 3/8" below [measures]', lambda limits: limits.tables),
)
LIMITS: Final = Key("limit", "bounds of measures, with their reasons", tables(LIMIT))
CONTENTS_TABLES: Final = Key("contents", "what goes inside", tables(CONTENTS))
STOCKS: Final = Key("stock", "the papers", tables(STOCK))
PIECES: Final = Key("piece", "the pieces", tables(PIECE))
MATS: Final = Key("mat", "the mats", tables(MAT))
CLOSURES: Final = Key("closure", "the closures", tables(CLOSURE))
NESTS: Final = Key("nest", "pieces inside pieces", tables(NEST))
SUPPLIES: Final = Key("supply", "the supplies", tables(SUPPLY))
STEPS: Final = Key("step", "the steps", tables(STEP))
COURSE_TABLE: Final = Key("class", "a class", table(COURSE))
SAFETY_TABLE: Final = Key("safety", "audience and notes", table(SAFETY))
SIZES: Final = Key("size", "other sizes", tables(SIZE, lambda limits: limits.sizes))
LOOK_TABLE: Final = Key("look", "colour and page size", table(LOOK))

FILE_KEYS: Final[tuple[Key[Any], ...]] = (
    PROJECT_TABLE,
    MEASURES,
    LIMITS,
    CONTENTS_TABLES,
    STOCKS,
    PIECES,
    MATS,
    CLOSURES,
    NESTS,
    SUPPLIES,
    STEPS,
    COURSE_TABLE,
    SAFETY_TABLE,
    SIZES,
    LOOK_TABLE,
)

KINDS: Final[tuple[Kind[Any], ...]] = (
    PROJECT,
    LIMIT,
    CONTENTS,
    STOCK,
    PIECE,
    PANEL,
    CUTOUT,
    JOIN,
    MAT,
    CLOSURE,
    NEST,
    SUPPLY,
    STEP,
    COURSE,
    SAFETY,
    SIZE,
    LOOK,
)

# A table whose keys the maker chooses has no known keys; "" is the file itself.
TABLES: Final = MappingProxyType(
    {
        "": FILE_KEYS,
        **{kind.name: kind.keys for kind in KINDS},
        "measures": (),
        "piece.folds": (),
        "piece.inputs": (),
        "piece.panels": (),
        "size.measures": (),
        "size.contents": (),
    }
)
