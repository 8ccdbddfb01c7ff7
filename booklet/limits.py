"""Bounds against hostile or mistaken files: how much of what one project may hold.

In: nothing. Out: the frozen value `Limits`, handed to the stages as an argument so that a test can
set its own. Every bound is far above what a paper project needs and far below what would exhaust
memory or time.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Limits:
    """Each bound with its reason; counts are inclusive."""

    # A long project with every table is about 20 KB; 1 MiB still reads in well under a second.
    file_bytes: int = 1024 * 1024
    # The deepest key of the language has 4 parts (piece, number, panel, name); parsers recurse.
    depth: int = 16
    # Keys and list elements of a file: a rich project has about 2,000, and each costs memory.
    values: int = 100_000
    # Letters of one bare value (number, date); exact arithmetic grows with them.
    bare_value: int = 100
    # Nobody mends more in one go, and a broken machine-made file must not print a book.
    problems: int = 100
    # Problems of one code that are shown singly; a lattice has a thousand alike.
    same: int = 25
    # Columns or rows of a map: a page of accordion folds has about 40.
    lines: int = 200
    # Panels of one piece: a lattice of 30 by 30 still fits.
    panels: int = 1000
    # Entries of a list that is no map (cuts, scores, notes, names in a step).
    items: int = 1000
    # Tables of one kind, such as [[piece]] or [[step]], and names in [measures].
    tables: int = 500
    # Mats on one panel: a stack of more than ten layers no longer folds or lies flat.
    layers: int = 24
    # Pieces nested one in another: a set of nested boxes seldom has more than eight.
    nested: int = 12
    # Sizes of one project: each is proved and printed for itself.
    sizes: int = 24
    # One text that is printed: about a full page.
    text: int = 2000
    # A title or name must fit on a line or two of a page.
    title: int = 200
    # A formula, an id or a name of something; longer ones cannot be read.
    formula: int = 200
    name: int = 64
    # One line of a map: 200 columns of names with their spaces.
    map_line: int = 8000
    # Path data of one outline: about a thousand curves.
    path_data: int = 50_000
    # Lines and curves of one free piece: they are compared with one another.
    segments: int = 2000
    # Pages that the templates of a project take: 500 small pieces, or one of 4 m by 4 m.
    template_pages: int = 600
    # Copies of a piece, items in a box, sheets in a pack.
    count: int = 10_000
    # Students: the planner's work does not grow with them, its numbers stay in 64 bits.
    makers: int = 100_000
    # How often contents are folded along one direction.
    folded: int = 64
    # Minutes of work: a little over a week.
    minutes: int = 10_000
    # A bare number in a length; in millimetres that is a kilometre.
    number: int = 1_000_000
    # Digits of a number as written: exact arithmetic grows with them.
    digits: int = 30
    # Price of a pack or fee of a class, in any currency.
    money: int = 1_000_000_000
    # Pixels of a picture: a large camera's; 150 MB when unpacked.
    picture_pixels: int = 50_000_000
    # Pixels of all pictures of a project: forty photos of a camera; some ten seconds of reading.
    all_pixels: int = 1_000_000_000
    # A photo as a camera stores it.
    picture_bytes: int = 30_000_000
    # A PDF to stamp: templates of hundreds of pages take a few megabytes.
    pdf_bytes: int = 100_000_000
    # Project files of one binder; its paper is 20 cm high by then.
    bound_projects: int = 2000
