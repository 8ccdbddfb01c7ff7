"""Default labels: what a panel is called that has no label of its own, from its name.

In: a piece and its panels. Out: the panels, labelled. "side_l" and "side_r" are two sides:
where they lie tells them apart, as of any panels that share a label (`own_label.py`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from booklet.flat.pattern import Panel
from booklet.read.piece import Piece

HANDS = {"l": "left", "left": "left", "r": "right", "right": "right"}
ENDS = {"front": "front", "back": "back", "top": "top", "bottom": "bottom"}
WHERE = HANDS | ENDS


def labelled(piece: Piece, panels: Sequence[Panel]) -> tuple[Panel, ...]:
    """The panels with the labels that the piece gives them, or those that their names make."""
    labels = default_labels(piece, [panel.name for panel in panels])
    return tuple(replace(panel, label=labels[panel.name]) for panel in panels)


def default_labels(piece: Piece, names: Iterable[str]) -> dict[str, str]:
    """The label of each panel by its name: its own, or the words of its name."""
    labels = {name: _own(piece, name) or name.replace("_", " ") for name in names}
    plain = {name: parted for name in labels if not _own(piece, name) and (parted := _parted(name))}
    taken = {label for name, label in labels.items() if name not in plain}
    kin: dict[str, set[str]] = {}
    for stem, where in plain.values():
        kin.setdefault(stem, set()).add(where)
    for name, (stem, where) in plain.items():
        by_hand = where in HANDS.values()
        if by_hand and kin[stem] >= {"left", "right"} and stem not in taken:
            labels[name] = stem
        elif by_hand or len(kin[stem]) > 1:
            labels[name] = f"{where} {stem}"
    return labels


def _own(piece: Piece, name: str) -> str | None:
    table = piece.panels.get(name)
    return table.label if table else None


def _parted(name: str) -> tuple[str, str] | None:
    """ "tab_l" and "left_tab" are ("tab", "left")."""
    stem, _, last = name.rpartition("_")
    if stem and last in WHERE:
        return stem.replace("_", " "), WHERE[last]
    first, _, rest = name.partition("_")
    if rest and first in ("left", "right"):
        return rest.replace("_", " "), first
    return None
