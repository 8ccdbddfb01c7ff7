"""Type styles and faces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

FaceName = Literal["text", "bold", "italic", "title"]


@dataclass(frozen=True)
class TypeStyle:
    """A named size of type: its face, size and leading in points, grey from 0 black to 1 white."""

    name: str
    face: FaceName
    size_pt: float
    leading_pt: float
    grey: float = 0.0
