"""A workpiece: all that pictures of one piece need to know, worked out once.

In: a model and a pattern. Out: its pose at rest, its turns, layers, looks and contents.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from shapely.geometry import Polygon

from booklet.draw.folded import Landed, skins
from booklet.draw.skin import Skin
from booklet.draw.state_face import inward_layers
from booklet.flat.pattern import MatLayer, Pattern
from booklet.fold.fastening import Fastening
from booklet.fold.join import landing
from booklet.fold.nest import is_lid
from booklet.fold.pose import Posed, pose_piece
from booklet.fold.prove import Folded
from booklet.fold.touch import Touch, at_angles, touch
from booklet.fold.winding import Wrap
from booklet.pages.fastened import discs, tied, wraps
from booklet.pages.lying import Lot, lots
from booklet.stages import Model

BUT_BEHIND = (True, True, True, False, True, True)
"""The walls of a room that is open toward the back of the table: see `Cavity.walls`."""


@dataclass(frozen=True, eq=False)
class Workpiece:
    """One piece of a model; `folded` is None where it was not proved."""

    model: Model
    pattern: Pattern
    folded: Folded | None

    @cached_property
    def rest(self) -> Posed:
        """The piece in some pose: the tree of hinges for all others."""
        return pose_piece(self.pattern, 0.0) if self.folded is None else self.folded.posed

    @cached_property
    def turns(self) -> Mapping[str, int]:
        """In which round of the proved order each panel folds."""
        steps = () if self.folded is None else self.folded.order.steps
        return {name: turn for turn, names in enumerate(steps) for name in names}

    @cached_property
    def joined(self) -> Mapping[str, str]:
        """The panel that each tab of this piece is glued to, where that is in this piece too."""
        own = self.pattern.id
        return {j.tab[1]: j.to[1] for j in self.pattern.joins if j.tab[0] == j.to[0] == own}

    @cached_property
    def touches(self) -> Mapping[str, Touch]:
        """How each of these tabs lies on its panel."""
        return {tab: touch(self.rest, tab, to, self.turns) for tab, to in self.joined.items()}

    @cached_property
    def lands(self) -> Mapping[str, Landed]:
        """Where each of these tabs lies when all is folded."""
        whole = at_angles(self.rest, {h.panel: h.angle for h in self.pattern.hinges})
        found: dict[str, Landed] = {}
        for tab, to in self.joined.items():
            shape = landing(whole, tab, to).shape.intersection(self.pattern.panel(to).shape)
            if isinstance(shape, Polygon) and not shape.is_empty:
                found[tab] = Landed(to, self.touches[tab].to, shape)
        return found

    @property
    def off(self) -> tuple[float, float, float] | None:
        """In which direction it is drawn off the piece that it is glued to, if it is."""
        place = self.folded.placement if self.folded is not None else None
        return None if place is None or place.length else place.off or (0.0, 0.0, 1.0)

    @cached_property
    def is_lid(self) -> bool:
        """Whether it closes over a piece that lies in it."""
        return self.folded is not None and any(map(is_lid, self.folded.nests))

    @cached_property
    def layers(self) -> Mapping[str, int]:
        """Which panel lies over which, as proved, told along each panel's own inside."""
        if self.folded is None:
            return {}
        return inward_layers(self.folded.posed, self.folded.layers)

    @cached_property
    def mats(self) -> tuple[MatLayer, ...]:
        """The mats that go onto it."""
        return tuple(mat for mat in self.model.mats if mat.piece == self.pattern.id)

    @cached_property
    def discs(self) -> tuple[Fastening, ...]:
        """The dots, magnets and buttons that go onto it."""
        return () if self.folded is None else discs(self.model, self.folded, self.turns)

    @cached_property
    def wraps(self) -> Mapping[str, Wrap]:
        """What goes round it when it is shut, by the panel that this keeps shut."""
        return {} if self.folded is None else wraps(self.model, self.folded, self.discs)

    @property
    def tied(self) -> list[str]:
        """What goes round it, in words."""
        return [] if self.folded is None else tied(self.model, self.folded, self.wraps)

    @property
    def opens_behind(self) -> bool:
        """Whether its room is open toward the back of the table alone."""
        cavity = self.folded.cavity if self.folded is not None else None
        return cavity is not None and cavity.walls == BUT_BEHIND

    @cached_property
    def looks(self) -> Mapping[str, Skin]:
        """The colours of the stocks."""
        stocks = {stock.id.value: stock.colour for stock in self.model.project.stocks}
        own = {mat.id: stocks.get(mat.stock or "") for mat in self.mats}
        return skins(stocks.get(self.pattern.stock or ""), own)

    @cached_property
    def lots(self) -> tuple[Lot, ...]:
        """The contents that are known to fit it."""
        return lots(self.model, self.pattern.id)


def workpieces(model: Model) -> dict[str, Workpiece]:
    """Every piece of the model by its id."""
    folded = {piece.piece: piece for piece in model.folded}
    return {p.id: Workpiece(model, p, folded.get(p.id)) for p in model.patterns}
