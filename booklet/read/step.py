"""[[step]]: one step of the instructions in the maker's own words.

In: one raw table. Out: the frozen value `Step`.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place, Written
from booklet.read.listed import listed
from booklet.read.photo import STEP_BOX, Photo, photo, shown_as
from booklet.read.table import Key, Kind, Table
from booklet.read.text import choice, name, paragraph, title, words


@dataclass(frozen=True, kw_only=True)
class Step:
    """A step: its words and which panels, tabs, mats, closures or contents it acts on."""

    title: str | None = None
    say: Written[str] | None = None
    fold: tuple[Written[str], ...] = ()
    crease: tuple[Written[str], ...] = ()
    score: tuple[Written[str], ...] = ()
    cut: tuple[Written[str], ...] = ()
    glue: tuple[Written[str], ...] = ()
    join: tuple[Written[str], ...] = ()
    attach: tuple[Written[str], ...] = ()
    close: tuple[Written[str], ...] = ()
    fill: tuple[Written[str], ...] = ()
    turn: str | None = None
    photo: Photo | None = None
    begins: str = ""  # the piece whose steps begin here: that of a form
    place: Place


_names = listed(name, '["side_l", "side_r"]')

TITLE = Key("title", "the step in a few words", title)
SAY = Key("say", "what to do; {name} prints a measure", words)
FOLD = Key("fold", "the panels to fold", _names)
CREASE = Key("crease", "the pieces or panels to fold along their scores and open again", _names)
SCORE = Key("score", "the pieces or panels to score", _names)
CUT = Key("cut", "the pieces or panels to cut", _names)
GLUE = Key("glue", "the tabs to put adhesive on", _names)
JOIN = Key("join", "the tabs to join", _names)
ATTACH = Key("attach", "the mats to glue on", _names)
CLOSE = Key("close", "the panels to close", _names)
FILL = Key("fill", "the contents to put in, or a piece: all that it holds", _names)
TURN = Key("turn", "how to turn the work", choice("over"))
PHOTO = Key("photo", "a picture file beside the project", photo(STEP_BOX))
ALT = Key("alt", "what the photo shows, for those who cannot see it", paragraph)

ACTIONS = (FOLD, CREASE, SCORE, CUT, GLUE, JOIN, ATTACH, CLOSE, FILL)
KEYS = (TITLE, SAY, *ACTIONS, TURN, PHOTO, ALT)


def _build(table: Table) -> Step:
    if not table.written & {key.name for key in KEYS}:
        table.spot.report(
            "missing-key",
            "[step] says nothing and does nothing",
            'Add say = "...", or an action such as fold = [...].',
        )
    for other in (FOLD, JOIN, CLOSE):
        table.only_one_of(CREASE, other)
    table.needs_too(ALT, PHOTO)
    return Step(
        title=table.get(TITLE) or None,
        say=table.get(SAY),
        fold=table.get_or(FOLD, ()),
        crease=table.get_or(CREASE, ()),
        score=table.get_or(SCORE, ()),
        cut=table.get_or(CUT, ()),
        glue=table.get_or(GLUE, ()),
        join=table.get_or(JOIN, ()),
        attach=table.get_or(ATTACH, ()),
        close=table.get_or(CLOSE, ()),
        fill=table.get_or(FILL, ()),
        turn=table.get(TURN),
        photo=shown_as(table.get(PHOTO), table.get(ALT)),
        place=table.place,
    )


STEP = Kind("step", KEYS, _build)
