"""The sizes of a project: which there are, and their problems told together.

In: a project as read. Out: its sizes, the project as written first, each as a project of its own;
and one list of the problems that the stages found in them, saying which size has each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from booklet.problem import Place, Problem
from booklet.read.nearest import did_you_mean
from booklet.read.project import Project
from booklet.read.size import Size, base_size


def sizes_of(project: Project, found: list[Problem]) -> tuple[Size, ...]:
    """The size as written, then those of [[size]]; empty where there is no [[size]]."""
    if not project.sizes:
        return ()
    base = base_size(project.project.size_name, project.project.place)
    for size in project.sizes:
        if size.id.value == base.id.value:
            message = f'A [[size]] has the id "{base.id.value}", as the size as written has'
            help_ = "Give it another id, or [project] another size_name for the size as written."
            found.append(Problem("duplicate-id", message, size.id.place, help_))
    return (base, *project.sizes)


def one_size(sizes: Sequence[Size], wanted: str, file: str, found: list[Problem]) -> Size | None:
    """The size of that id; None with a problem that names the sizes there are."""
    known = [size.id.value for size in sizes]
    if wanted in known:
        return sizes[known.index(wanted)]
    message = f'{file} has no size "{wanted}"'
    way_out = f"Its sizes are {', '.join(known)}." if known else "It has no [[size]] table."
    found.append(Problem("unknown-size", message, None, did_you_mean(wanted, known, way_out)))
    return None


def of_size(project: Project, size: Size, found: list[Problem]) -> Project:
    """The project with what goes inside in this size; measures are `resolve`'s to replace."""
    known = {item.id.value for item in project.contents}
    for name, count in size.contents.items():
        if name not in known:
            message = f'the size "{size.id.value}" counts "{name}", which no [[contents]] has as id'
            way_out = did_you_mean(name, known, "Add a [[contents]] table.")
            found.append(Problem("unknown-contents", message, count.place, way_out))
    counts = {name: count.value for name, count in size.contents.items()}
    contents = tuple(
        replace(item, count=counts.get(item.id.value, item.count)) for item in project.contents
    )
    return replace(project, contents=contents)


def told_together(found: Sequence[tuple[Size, Sequence[Problem]]]) -> list[Problem]:
    """Problems that every size has as they are; the others say in which sizes they are found.

    A problem on a line of a size's own table says so by its place.
    """
    owners: dict[Problem, list[Size]] = {}
    for size, problems in found:
        for problem in dict.fromkeys(problems):
            owners.setdefault(problem, []).append(size)
    own = {place for size, _ in found for place in _places(size)}
    shared: list[Problem] = []
    partly: list[Problem] = []
    for problem, sizes in owners.items():
        if len(sizes) == len(found) or problem.place in own:
            shared.append(problem)
        else:
            names = " and ".join(f'"{size.name}"' for size in sizes)
            word = "size" if len(sizes) == 1 else "sizes"
            partly.append(replace(problem, message=f"in the {word} {names}: {problem.message}"))
    return [*shared, *partly]


def _places(size: Size) -> list[Place]:
    return [value.place for value in (*size.measures.values(), *size.contents.values())]
