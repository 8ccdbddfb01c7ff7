"""Tabs that end flat inside, between the panel that carries them and the one they are glued to.

In: a pattern and its joins. Out: the names of such tabs. Folded after their carrier they would go
round the outside of the panel that they are glued to, where no reader sees the glue.
"""

from __future__ import annotations

from collections.abc import Collection

from booklet.flat.pattern import Pattern


def laid_inside(pattern: Pattern, glued: Collection[tuple[str, str]]) -> list[str]:
    """Tabs laid flat onto what carries them, which is laid flat in its turn, as in a pouch.

    `glued` are pairs (tab, to).
    """
    flat = {hinge.panel: hinge for hinge in pattern.hinges if hinge.lies_flat}
    return [
        tab
        for tab, to in dict(glued).items()
        if tab in flat
        and (carrier := flat.get(flat[tab].parent)) is not None
        and carrier.panel != to
        and flat[tab].angle * carrier.angle > 0
    ]
