"""Names of panels across pieces, joins and mats.

In: the patterns of a project and the tables that name panels. Out: patterns with their joins, mat
layers, or problems that name the nearest panel.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from shapely.geometry import Polygon

from booklet.flat.pattern import JoinPair, MatLayer, Panel, Pattern
from booklet.limits import Limits
from booklet.measure.resolve import Scope
from booklet.problem import Problem, Written
from booklet.read.mat import Mat
from booklet.read.nearest import did_you_mean
from booklet.read.piece import Piece

Reference = tuple[str, str]


def find_panel(
    written: Written[str],
    patterns: Sequence[Pattern],
    found: list[Problem],
    home: str | None = None,
) -> Reference | None:
    """`piece.panel`, or `panel` alone where the home piece or only one piece has it."""
    piece, dot, name = written.value.rpartition(".")
    owners = [p.id for p in patterns if name in p.by_name]
    if dot:
        if piece in owners:
            return piece, name
    elif home in owners:
        return home or "", name
    elif len(owners) == 1:
        return owners[0], name
    elif owners:
        found.append(
            Problem(
                "ambiguous-panel",
                f'more than one piece has a panel "{name}": {", ".join(owners)}',
                written.place,
                f'write the piece too: "{owners[0]}.{name}"',
            )
        )
        return None
    known = [f"{p.id}.{panel.name}" for p in patterns for panel in p.panels]
    if not dot:
        known = [entry.partition(".")[2] for entry in known]
    found.append(
        Problem(
            "unknown-panel",
            f'there is no panel "{written.value}"',
            written.place,
            did_you_mean(written.value, known),
        )
    )
    return None


def with_joins(
    patterns: Sequence[Pattern], pieces: Sequence[Piece], found: list[Problem]
) -> tuple[Pattern, ...]:
    """The patterns with the joins of their pieces looked up."""
    by_id = {piece.id.value: piece for piece in pieces}
    result: list[Pattern] = []
    for pattern in patterns:
        joins: list[JoinPair] = []
        for join in by_id[pattern.id].joins:
            tab = find_panel(join.tab, patterns, found, pattern.id)
            to = find_panel(join.to, patterns, found, pattern.id)
            if tab is None or to is None:
                continue
            if tab == to:
                found.append(
                    Problem(
                        "join-to-itself",
                        f'"{join.tab.value}" is glued to itself',
                        join.to.place,
                        "name the panel that the tab lands on",
                    )
                )
                continue
            supply = join.supply.value if join.supply else None
            joins.append(JoinPair(tab, to, supply, join.place))
        result.append(replace(pattern, joins=tuple(joins)))
    return tuple(result)


def mat_layers(
    mats: Sequence[Mat],
    patterns: Sequence[Pattern],
    scope: Scope,
    found: list[Problem],
    complete: bool = True,
) -> tuple[MatLayer, ...]:
    """All mats that have room on their panels, as many on one as a project may have.

    Unless the patterns are `complete`, panels that are not there are not told: they may belong to
    a piece that could not be built.
    """
    most = Limits().layers
    on: Counter[tuple[str, str]] = Counter()
    result: list[MatLayer] = []
    for mat in mats:
        there = find_panel(mat.on, patterns, found if complete else [])
        layer = None if there is None else mat_layer(mat, there, patterns, scope, found)
        if layer is None:
            continue
        on[layer.piece, layer.panel] += 1
        if on[layer.piece, layer.panel] <= most:
            result.append(layer)
        elif on[layer.piece, layer.panel] == most + 1:
            found.append(
                Problem(
                    "too-many",
                    f'more than {most} mats lie on "{mat.on.value}"',
                    mat.on.place,
                    "put some of them on other panels, or make one mat of several",
                )
            )
    return tuple(result)


def mat_layer(
    mat: Mat,
    where: Reference,
    patterns: Sequence[Pattern],
    scope: Scope,
    found: list[Problem],
) -> MatLayer | None:
    """A mat's size from its panel and reveal; None (with a problem) when nothing is left of it."""
    reveal = Fraction(0) if mat.reveal is None else scope.length(mat.reveal, found)
    if reveal is None:
        return None
    pattern = next(p for p in patterns if p.id == where[0])
    panel = pattern.panel(where[1])
    shape = _inset(panel, reveal)
    if reveal < 0 or shape is None:
        assert mat.reveal is not None or shape is None
        found.append(
            Problem(
                "mat-no-room",
                f'a reveal of {float(reveal):.2f} mm leaves no mat on "{mat.on.value}"',
                mat.reveal.place if mat.reveal else mat.place,
                "the reveal is 0 or more and less than half of the panel's shorter side",
            )
        )
        return None
    return MatLayer(
        id=mat.id.value,
        name=mat.name or mat.id.value.replace("_", " "),
        piece=where[0],
        panel=where[1],
        stock=mat.stock.value if mat.stock else None,
        reveal=reveal,
        size=_mat_size(panel, shape, reveal),
        shape=shape,
        count=pattern.count,
        place=mat.place,
    )


def _inset(panel: Panel, reveal: Fraction) -> Polygon | None:
    if reveal <= 0:
        return panel.shape
    inset = panel.shape.buffer(-float(reveal), join_style="mitre", mitre_limit=10.0)
    return inset if isinstance(inset, Polygon) and not inset.is_empty else None


def _mat_size(panel: Panel, shape: Polygon, reveal: Fraction) -> tuple[Fraction, Fraction]:
    """Exact where the panel fills its box (corners rounded or not), else the shape's own extent."""
    exact = panel.size[0] - 2 * reveal, panel.size[1] - 2 * reveal
    x0, y0, x1, y1 = shape.bounds
    extent = x1 - x0, y1 - y0
    fills = all(abs(float(e) - m) < 0.005 for e, m in zip(exact, extent, strict=True))
    return exact if fills else (Fraction(extent[0]), Fraction(extent[1]))
