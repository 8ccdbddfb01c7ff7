"""The results of the stages as the report of `booklet check --json`.

In: a model and the problems found. Out: plain dictionaries and lists, millimetres and degrees.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from shapely.geometry import Polygon

from booklet.flat.build import outline_points
from booklet.flat.chart import score_chart
from booklet.flat.flatten import points_of
from booklet.flat.path import Path
from booklet.flat.pattern import Panel, Pattern
from booklet.fold.bend import CurvedScore
from booklet.fold.bent_collide import is_swept
from booklet.fold.company import Placement
from booklet.fold.curved import MODEL
from booklet.fold.prove import Folded, contents_of
from booklet.problem import Problem
from booklet.stages import Model
from booklet.stock.cost import Cost, CostLine
from booklet.stock.plan_value import StockPlan
from booklet.stock.supply import SupplyLine


def report(model: Model | None, problems: Sequence[Problem]) -> dict[str, Any]:
    """The whole report; a project that could not be read has its problems only."""
    result: dict[str, Any] = {"problems": [problem_entry(problem) for problem in problems]}
    if model is None:
        empty: dict[str, Any] = {"measures": {}, "pieces": [], "folded": {}, "contents": []}
        empty |= {"nests": [], "mats": [], "stock": [], "supplies": [], "cost": None, "sizes": []}
        return result | empty
    result |= _results(model)
    result["sizes"] = [
        {"id": one.size.id.value, "name": one.size.name, **_results(one)}
        for one in model.sizes
        if one.size is not None
    ]
    return result


def _results(model: Model) -> dict[str, Any]:
    """What the stages made of a project, or of one of its sizes."""
    scope = model.scope
    result: dict[str, Any] = {
        "units": {"written": scope.facts.units, "printed": scope.units, "ruler": _mm(scope.ruler)}
    }
    result["measures"] = {name: _mm(value) for name, value in model.scope.measures.items()}
    result["pieces"] = [_piece(pattern) for pattern in model.patterns]
    result["folded"] = {piece.piece: _folded(piece) for piece in model.folded}
    result["contents"] = [
        {
            "id": fit.id,
            "fits": fit.fits,
            "spare": [_mm(value) for value in fit.spare],
            "inside": fit.piece,
            "size": [_mm(value) for value in fit.size],
        }
        for fit in contents_of(model.folded)
    ]
    result["nests"] = [
        {
            "inner": fit.inner,
            "outer": fit.outer,
            "fits": fit.fits,
            "spare": [_mm(value) for value in fit.spare],
            "opening": None if fit.opening is None else "xyz"[fit.opening],
            "matrix": _points(fit.placement.matrix.tolist()),
        }
        for piece in model.folded
        for fit in piece.nests
    ]
    result["mats"] = [
        {
            "id": mat.id,
            "name": mat.name,
            "on": f"{mat.piece}.{mat.panel}",
            "stock": mat.stock,
            "size": _pair(mat.size),
            "reveal": _mm(mat.reveal),
            "outline": _points(list(mat.shape.exterior.coords)[:-1]),
        }
        for mat in model.mats
    ]
    result["stock"] = [_stock(plan) for plan in model.stock_plans]
    result["supplies"] = [_supply(line) for line in model.supplies]
    result["cost"] = _cost(model.cost)
    return result


def _cost(cost: Cost) -> dict[str, Any]:
    """Prices as exact as JSON numbers are, shares to a millionth; nothing is rounded to coins."""
    return {
        "currency": cost.currency,
        "per_project": _mm(cost.per_project),
        "class": _number(cost.bought),
        "makers": cost.batch.makers,
        "kits": cost.batch.kits,
        "fee": _number(cost.fee),
        "income": _number(cost.income),
        "margin": _number(cost.margin),
        "complete": not cost.missing,
        "missing": [
            {"id": name, "name": words, "reason": why} for name, words, why in cost.missing
        ],
        "lines": [_cost_line(line) for line in cost.lines],
        "tools": [_cost_line(line) for line in cost.tools],
    }


def _cost_line(line: CostLine) -> dict[str, Any]:
    return {
        "id": line.id,
        "name": line.name,
        "kind": line.kind,
        "price": _number(line.price),
        "pack": line.holds,
        "share": None if line.share is None else _mm(line.share),
        "to_buy": line.to_buy,
        "total": _number(line.whole),
    }


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _supply(line: SupplyLine) -> dict[str, Any]:
    return {
        "id": line.id,
        "name": line.name,
        "kind": line.kind,
        "amount": None if line.amount is None else _mm(line.amount),
        "unit": line.unit,
        "total": None if line.total is None else _mm(line.total),
        "share": line.share,
        "to_buy": line.to_buy,
        "computed": line.computed,
    }


def _mm(value: Fraction | float) -> float:
    """Rounded to a millionth of a millimetre, so that 85.725 reads as 85.725."""
    return round(float(value), 6)


def _pair(size: tuple[Fraction, Fraction]) -> list[float]:
    return [_mm(size[0]), _mm(size[1])]


def _points(points: Sequence[tuple[float, ...]]) -> list[list[float]]:
    return [[_mm(value) for value in point] for point in points]


def problem_entry(problem: Problem) -> dict[str, Any]:
    """One problem as the report has it."""
    place = problem.place
    return {
        "code": problem.code,
        "severity": problem.severity,
        "message": problem.message,
        "file": place.file if place else None,
        "line": place.line if place else None,
        "column": place.column if place else None,
        "help": problem.help,
    }


def _piece(pattern: Pattern) -> dict[str, Any]:
    chart = score_chart(pattern)
    return {
        "id": pattern.id,
        "name": pattern.name,
        "stock": pattern.stock,
        "count": pattern.count,
        "blank": _pair(pattern.blank),
        "root": pattern.root,
        "panels": {panel.name: _panel(panel) for panel in pattern.panels},
        "scores": [
            {
                "from": _points([score.start])[0],
                "to": _points([score.end])[0],
                "between": list(score.between),
                "angle": score.angle,
            }
            | ({} if score.curve is None else {"path": _line(score.curve)})
            for score in pattern.scores
        ],
        "cuts": [_line(path) for path in (*pattern.slits, *pattern.cuts)],
        "score_chart": {
            "from_left": [_mm(row.position) for row in chart.from_left],
            "from_top": [_mm(row.position) for row in chart.from_top],
        },
    }


def _panel(panel: Panel) -> dict[str, Any]:
    shape: Polygon = panel.shape
    return {
        "label": panel.label,
        "size": _pair(panel.size),
        "area": _mm(shape.area),
        "outline": _points(outline_points(panel)),
        "holes": [_points(points_of(hole)) for hole in panel.holes],
        "free_edges": [_line(edge.path) for edge in panel.edges if edge.kind != "score"],
    }


def _stock(plan: StockPlan) -> dict[str, Any]:
    return {
        "id": plan.stock,
        "sheet": _pair(plan.sheet),
        "kits": plan.kits,
        "per_sheet": plan.per_sheet,
        "wanted": plan.wanted,
        "needed": plan.needed,
        "bound": plan.bound,
        "proved": plan.proved,
        "gap": plan.gap,
        "unplaced": list(plan.unplaced),
        "note": plan.note,
        "layouts": [
            {
                "sheets": layout.sheets,
                "placements": [
                    {
                        "piece": one.piece,
                        "x": _mm(one.x),
                        "y": _mm(one.y),
                        "w": _mm(one.w),
                        "h": _mm(one.h),
                        "turned": one.turned,
                    }
                    for one in layout.placements
                ],
                "cuts": [
                    {
                        "number": cut.number,
                        "stack": cut.stack,
                        "size": _pair(cut.size),
                        "upright": cut.upright,
                        "turn": cut.turn,
                        "fence": _mm(cut.fence),
                        "times": cut.times,
                        "parts": cut.parts,
                        "gives": cut.gives,
                        "rest": cut.rest,
                    }
                    for cut in layout.cuts
                ],
                "leftovers": [
                    {"x": _mm(one.x), "y": _mm(one.y), "w": _mm(one.w), "h": _mm(one.h)}
                    for one in layout.leftovers
                ],
            }
            for layout in plan.layouts
        ],
    }


def _folded(piece: Folded) -> dict[str, Any]:
    cavity = None if piece.cavity is None else [_mm(value) for value in piece.cavity.inside]
    return {
        "panels": {name: _points(points) for name, points in piece.panels.items()},
        "cavity": cavity,
        "joins": [
            {
                "tab": join.tab,
                "to": join.to,
                "gap": _mm(join.gap),
                "overlap": _mm(join.overlap),
                "share": _mm(join.share),
                "sticks_out": _mm(join.sticks_out),
            }
            for join in piece.joins
        ],
        "closures": [
            {
                "kind": fit.kind,
                "on": fit.on,
                "meets": fit.meets,
                "overlap": [_mm(value) for value in fit.overlap],
                "fits": fit.fits,
            }
            for fit in piece.closures
        ],
        "rings": [
            {"between": list(ring.between), "residual": _mm(ring.residual), "closes": ring.closes}
            for ring in piece.rings
        ],
        "seams": [
            {"between": list(seam.between), "gap": _mm(seam.gap), "length": _mm(seam.length)}
            for seam in piece.seams
        ],
        "placement": _placement(piece.placement),
        "order": [list(step) for step in piece.order.steps],
        "curved": []
        if piece.bent is None
        else [_curved(piece, score) for score in piece.bent.scores],
        "order_proved": piece.order.proved,
        "collisions": [
            {"panels": list(c.panels), "step": c.step, "angle": _mm(c.angle)}
            for c in piece.order.collisions
        ],
    }


def _placement(place: Placement | None) -> dict[str, Any] | None:
    """Where a piece lies in another one's frame; the matrix is 4 rows of 4."""
    if place is None:
        return None
    matrix = _points(place.matrix.tolist())
    off = None if place.off is None else [_mm(one) for one in place.off]
    near = {"within": place.within, "matrix": matrix, "residual": _mm(place.residual)}
    return {**near, "drawn_off": off}


def _curved(piece: Folded, curved: CurvedScore) -> dict[str, Any]:
    """A curved score; how far its flap would slip on the way is None where that is not proved."""
    proved = piece.order.proved and piece.bent is not None and is_swept(piece.bent)
    slips = piece.order.gives.get(curved.hinge.panel, 0.0)
    return {
        "score": list(curved.score.between),
        "angle": _mm(curved.angle),
        "model": MODEL,
        "bow_mm": _mm(curved.bow),
        "error_mm": _mm(curved.error),
        "slips_mm": _mm(slips) if proved else None,
    }


def _line(path: Path) -> list[list[float]]:
    points = points_of(path)
    if path.commands[-1][0] == "Z":
        points.append(points[0])
    return _points(points)
