"""The nearest known name for one that is not known.

In: a word and the known words. Out: the nearest, or the sentence of help that names it.
"""

from __future__ import annotations

import difflib
from collections.abc import Collection

# Longer words are cut: the comparison takes time with the product of the lengths.
_LONGEST = 64
# More names than this would be no help, only noise.
_LISTED = 12


def nearest(word: str, known: Collection[str]) -> str | None:
    """The known word most like `word`, or None where none is near."""
    lowered = {name.lower(): name for name in known}
    found = difflib.get_close_matches(word[:_LONGEST].lower(), lowered, n=1, cutoff=0.5)
    return lowered[found[0]] if found else None


def did_you_mean(word: str, known: Collection[str], nothing: str = "") -> str:
    """Help for an unknown word: the nearest known one, else the known ones, else `nothing`."""
    near = nearest(word, known)
    if near is not None:
        return f'Did you mean "{near}"?'
    if not known:
        return nothing
    listed = ", ".join(sorted(known)[:_LISTED]) + (", ..." if len(known) > _LISTED else "")
    return f"Known here: {listed}."
