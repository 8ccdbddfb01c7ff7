"""Panels in words: their labels, told apart by where the reader sees them, and how they fold.

In: a model and panels. Out: phrases and sentences. Left, right, top and bottom are those of the
picture: work that is turned over sideways swaps left and right.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import combinations

from booklet.flat.own_label import own_labels, sides
from booklet.flat.pattern import Hinge, Panel, Pattern
from booklet.flat.reference import Reference
from booklet.measure.rounding import degrees_text
from booklet.measure.tolerance import ANGLE_DEG
from booklet.pages.across import size_name
from booklet.stages import Model

QUARTERS = ("north", "east", "south", "west")
SIDES = ("left", "right", "upper", "lower", "inner", "outer", *QUARTERS)
"""Labels that are adjectives."""
PLACES = ("front", "back", "top", "bottom", *SIDES)
"""Words before a label that tell which one."""
LETTERS = tuple("abcdefgh")
"""Letters behind a name that count panels."""
_SIGN = re.compile(r"[A-Za-z]|[0-9]+")
"""Labels that are no words."""
MANY = 12
"""Panels of one label up to which they are told apart by their place."""


def listed(words: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c"; repeats are named once."""
    unique = list(dict.fromkeys(words))
    if len(unique) <= 1:
        return "".join(unique)
    return ", ".join(unique[:-1]) + " and " + unique[-1]


def pattern_of(model: Model, piece: str) -> Pattern:
    """The piece of that id; StopIteration if there is none."""
    return next(p for p in model.patterns if p.id == piece)


def panel_label(model: Model, panel: Reference, turned: bool = False) -> str:
    """The label of one panel, with its place or number where others of the piece share it."""
    return own_labels(pattern_of(model, panel[0]), turned)[panel[1]]


def panel_labels(model: Model, panels: Sequence[Reference], turned: bool = False) -> dict[str, str]:
    """The words for each of these panels by its name, as callouts of one picture give them.

    Where all panels of one label are meant nobody has to tell them apart: the label does.
    """
    called: dict[str, str] = {}
    for piece, name in panels:
        pattern = pattern_of(model, piece)
        label = pattern.panel(name).label
        like = {(piece, panel.name) for panel in pattern.panels if panel.label == label}
        whole = like <= set(panels)
        called[name] = label if whole else panel_label(model, (piece, name), turned)
    return called


def spoken_label(model: Model, panel: Reference, turned: bool = False) -> str:
    """The label of one panel as it stands in a sentence: what only tells a side needs a noun."""
    return with_noun(lowered(panel_label(model, panel, turned)))


def with_noun(label: str) -> str:
    """ "left panel" for "left", "panel b" for "b"; "front" and "top" are nouns of their own."""
    if _SIGN.fullmatch(label):
        return f"panel {label}"
    return f"{label} panel" if label.lower() in SIDES else label


def _spoken(panel: Panel) -> str:
    return with_noun(lowered(panel.label))


def labels(model: Model, panels: Sequence[Reference], turned: bool = False) -> str:
    """The labels of panels as a list in words; equal labels become a plural.

    Where only some of those with one label are meant, their place is told too: one place for all
    of them if there is one, else each by its own.
    """
    groups: dict[tuple[str, str], list[str]] = {}
    for piece, name in panels:
        label = _spoken(pattern_of(model, piece).panel(name))
        groups.setdefault((piece, label), []).append(name)
    words: list[str] = []
    for (piece, label), names in groups.items():
        unique = list(dict.fromkeys(names))
        pattern = pattern_of(model, piece)
        like = [panel for panel in pattern.panels if _spoken(panel) == label]
        place = _place(like, unique, turned)
        if len(unique) == len(like):
            words.append(label if len(unique) == 1 else plural(label))
        elif len(unique) > 1 and place:
            words.append(plural(f"{place} {label}"))
        elif len(unique) == 1:
            words.append(spoken_label(model, (piece, unique[0]), turned))
        else:
            own = [lowered(panel_label(model, (piece, n), turned)) for n in unique]
            words += _several(label, own)
    return listed(_by_number(_by_side(words)))


def _by_side(words: Sequence[str]) -> list[str]:
    """ "left tab", "right tab" become "left and right tabs"; other words stay where they are."""
    places: dict[str, list[str]] = {}
    for word in words:
        place, noun = _placed(word)
        if place and not noun.endswith("s"):
            places.setdefault(noun, []).append(place)
    told: list[str] = []
    for word in words:
        place, noun = _placed(word)
        several = places.get(noun, [])
        if len(several) < 2 or place not in several:
            told.append(word)
        elif place == several[0]:
            told.append(f"{listed(several)} {plural(noun)}")
    return told


def _placed(word: str) -> tuple[str, str]:
    """The words of a label that tell which one, and the noun: "top left", "flap"."""
    parts = word.split(" ")
    count = next((at for at, part in enumerate(parts) if part not in PLACES), len(parts))
    count = min(count, len(parts) - 1)
    return " ".join(parts[:count]), " ".join(parts[count:])


def _by_number(words: Sequence[str]) -> list[str]:
    """ "tab 4", "tab 2", "lid" become "lid", "tabs 2 and 4"; what has no number comes first.

    So do "tab a" and "tab b"; an l or r behind a name tells a side, and counts nothing.
    """
    found: dict[tuple[str, bool], list[int]] = {}
    plain: list[str] = []
    for word in words:
        name, _, number = word.rpartition(" ")
        if name and number.isdecimal() and str(int(number)) == number:
            found.setdefault((name, False), []).append(int(number))
        elif name and number in LETTERS:
            found.setdefault((name, True), []).append(LETTERS.index(number))
        else:
            plain.append(word)
    for (name, lettered), numbers in found.items():
        told = _counted(sorted(numbers), LETTERS if lettered else None)
        plain.append(f"{name if len(numbers) == 1 else plural(name)} {told}")
    return plain


def _counted(numbers: Sequence[int], letters: Sequence[str] | None) -> str:
    """ "2", "2 and 4", "2 to 6"; the same with letters."""
    told = [letters[number] if letters else str(number) for number in numbers]
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"{told[0]} to {told[-1]}"
    return listed(told)


def the(words: str) -> str:
    """A list of panels with its article, which "page 2", "tabs 1, 3 and 4", "tab a" go without."""
    first = re.split(", | and | to ", words, maxsplit=1)[0]
    return words if re.search("( ([0-9]+|[a-h])|panel [A-Za-z])$", first) else f"the {words}"


def capital(words: str) -> str:
    """The words as a sentence begins with them."""
    return words[:1].upper() + words[1:]


def lowered(name: str) -> str:
    """A name of the project within a sentence: "Lid" becomes "lid"; "LED" and "A" stay."""
    return name[:1].lower() + name[1:] if name[1:2].islower() else name


def in_sentence(name: str) -> str:
    """What a list calls "Buttons, 18 mm" is "buttons" in a sentence."""
    return lowered(name.partition(",")[0].strip() or name)


def _several(label: str, own: Sequence[str]) -> list[str]:
    """ "top left and bottom right tabs", or "tab 1", "tab 3": some that share a label.

    `own` are the labels that tell them apart, with a place before or a number behind.
    """
    if all(one.rpartition(" ")[2].isdecimal() for one in own):
        return list(own)
    places = [one.rpartition(f" {_bare(label)}")[0] for one in own]
    return [f"{listed(places)} {plural(label)}"]


def _bare(label: str) -> str:
    """The label without the noun that a sentence adds to it."""
    if _SIGN.fullmatch(label.removeprefix("panel ")):
        return label.removeprefix("panel ")
    return label.removesuffix(" panel") if label.removesuffix(" panel").lower() in SIDES else label


def plural(word: str) -> str:
    """The plural of a label, by the common rules of English."""
    if re.search(r"\bfoot$", word):
        return f"{word[:-4]}feet"
    if word.endswith(("s", "x", "ch", "sh")):
        return f"{word}es"
    if word.endswith("y") and word[-2:-1] not in "aeiou":
        return f"{word[:-1]}ies"
    return f"{word}s"


def _place(like: Sequence[Panel], names: Sequence[str], turned: bool) -> str:
    """ "left", "top right" ... where that tells these panels from others of the same label."""
    if not 1 < len(like) <= MANY:
        return ""
    there = sides(like, turned)
    wanted = set(names)
    for side in ("left", "right", "top", "bottom"):
        if there[side] == wanted:
            return side
    for first, second in combinations(("top", "bottom", "left", "right"), 2):
        if there[first] & there[second] == wanted:
            return f"{first} {second}"
    return ""


def fold_sentence(folds: Sequence[Reference], model: Model, turned: bool = False) -> str:
    """ "Fold the sides up to 90°, then turn the returns in to 90°."

    Panels of one angle go together; what hangs on panels that fold too comes after them. As the
    reader sees it a valley comes up and a mountain goes back; turned over it is the other way. What
    hangs on a folded panel lies any way round: it is turned in or out.
    """
    ranks: dict[tuple[int, tuple[float, ...], bool], list[Reference]] = {}
    for piece, name in folds:
        hinges = {hinge.panel: hinge for hinge in pattern_of(model, piece).hinges}
        moving = {panel for owner, panel in folds if owner == piece}
        angles = tuple(_angle(one, piece, name) for one in model.sizes)
        inward = is_carried(pattern_of(model, piece), name)
        rank = _carried(name, moving, hinges), angles, inward
        ranks.setdefault(rank, []).append((piece, name))
    sentences: list[str] = []
    for (depth, angles, inward), panels in sorted(ranks.items(), key=lambda item: item[0][0]):
        what = the(labels(model, panels, turned))
        if depth and sentences:
            sentences[-1] += f", then turn {what} {_turns(angles, model, turned, True)}"
        else:
            sentences.append(f"Fold {what} {_turns(angles, model, turned, inward)}")
    return " ".join(f"{sentence}." for sentence in sentences)


def is_carried(pattern: Pattern, name: str) -> bool:
    """Whether a panel hangs on one that is folded in the end, by way of others or not."""
    hinges = {hinge.panel: hinge for hinge in pattern.hinges}
    name = hinges[name].parent if name in hinges else ""
    while name in hinges:
        if hinges[name].folds:
            return True
        name = hinges[name].parent
    return False


def _carried(name: str, moving: set[str], hinges: dict[str, Hinge]) -> int:
    """How many of the moving panels carry this one along."""
    depth = 0
    while name in hinges:
        name = hinges[name].parent
        depth += name in moving
    return depth


def _angle(model: Model, piece: str, panel: str) -> float:
    """How far a panel folds in one size: an angle may follow from measures."""
    pattern = next((p for p in model.patterns if p.id == piece), None)
    hinges = () if pattern is None else pattern.hinges
    return next((hinge.angle for hinge in hinges if hinge.panel == panel), 90.0)


def _turns(angles: Sequence[float], model: Model, turned: bool, inward: bool = False) -> str:
    """How far panels fold, size by size where that differs."""
    if len(set(angles)) == 1:
        return _turn(angles[0], turned, inward)
    return ", ".join(
        f"{size_name(one)} {_turn(angle, turned, inward)}"
        for one, angle in zip(model.sizes, angles, strict=True)
    )


def swing(pattern: Pattern, name: str, angle: float, turned: bool = False) -> str:
    """ "up to 90°", "over, flat": how far and to which side a panel moves."""
    return _turn(angle, turned, is_carried(pattern, name))


def _turn(angle: float, turned: bool, inward: bool = False) -> str:
    toward = (angle >= 0) != turned
    if abs(angle) >= 180 - ANGLE_DEG:
        return "over, flat" if toward else "behind, flat"
    if inward:
        return f"{'in' if angle >= 0 else 'out'} to {degrees_text(angle)}"
    return f"{'up' if toward else 'back'} to {degrees_text(angle)}"
