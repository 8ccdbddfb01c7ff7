"""The index of places against `tomllib`: the same key paths, and the right line and column."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator

from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.limits import Limits
from booklet.read.places import Path, Scan, scan

BARE = st.text("abcAB01_-", min_size=1, max_size=4)
ANY_KEY = st.one_of(
    BARE,
    st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=4).map(
        lambda word: '"' + word.replace("\\", "\\\\").replace('"', '\\"') + '"'
    ),
    st.sampled_from(["'a.b'", '"a\\u0062"', '""', "''", '"#"', "'['", '"="', '" "']),
)
DOTTED = st.lists(ANY_KEY, min_size=1, max_size=3).flatmap(
    lambda parts: st.sampled_from([".", " . ", ". "]).map(lambda dot: dot.join(parts))
)
SCALAR = st.sampled_from(
    [
        "1",
        "-2_000",
        "0xff",
        "1.5e3",
        "inf",
        "nan",
        "true",
        '"text"',
        '""',
        "''",
        "'lit # eral'",
        '"a \\" ] } b"',
        '"""\nmany\nlines # no comment\n"""',
        '""" one quote " two quotes "" end"""""',
        "'''\nraw ' '' text'''''",
        '""""""',
        "''''''",
        '"""a\\\n   b"""',
        '"""\\""""',
        "2027-03-06",
        "2027-03-06 10:00:00",
        "2027-03-06T10:00:00Z",
        "07:32:00",
        '"wide ünïcode 纸"',
    ]
)
GAP = st.sampled_from(["", " ", "\t", "\n", " # remark ] }\n  "])


def _list(item: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    inner = st.lists(st.tuples(GAP, item, GAP), max_size=3)
    return st.tuples(inner, st.booleans(), GAP).map(
        lambda drawn: (
            "["
            + ",".join("".join(parts) for parts in drawn[0])
            + ("," if drawn[0] and drawn[1] else "")
            + drawn[2]
            + "]"
        )
    )


def _inline(item: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    pairs = st.lists(st.tuples(DOTTED, item), max_size=3)
    return pairs.map(lambda drawn: "{ " + ", ".join(f"{k} = {v}" for k, v in drawn) + " }")


VALUE = st.recursive(SCALAR, lambda item: st.one_of(_list(item), _inline(item)), max_leaves=6)
PAIR = st.tuples(DOTTED, st.sampled_from([" = ", "=", "\t= "]), VALUE).map("".join)
HEADER = st.one_of(DOTTED.map("[{}]".format), DOTTED.map("[[ {} ]]".format))
LINE = st.tuples(
    st.sampled_from(["", "  ", "\t"]),
    st.one_of(PAIR, PAIR, HEADER),
    st.sampled_from(["", "  ", " # remark"]),
).map("".join)
TEXT = st.lists(st.one_of(LINE, LINE, st.just(""), st.just("# [remark]")), max_size=8).map(
    "\n".join
)


def paths(data: object, path: Path = ()) -> Iterator[tuple[Path, object]]:
    """Every key path of a parsed text, with its value."""
    if path:
        yield path, data
    if isinstance(data, dict):
        for name, value in data.items():
            yield from paths(value, (*path, name))
    elif isinstance(data, list):
        for number, value in enumerate(data):
            yield from paths(value, (*path, number))


def scanned(text: str, limits: Limits | None = None) -> Scan:
    """The scan of a text."""
    return scan(text, "tag.toml", limits or Limits())


@settings(max_examples=400, deadline=None)
@given(TEXT)
def test_the_key_paths_are_those_of_tomllib(text: str) -> None:
    """A text that `tomllib` takes is walked to its end, and gives the same key paths."""
    try:
        data = tomllib.loads(text)
    except ValueError:
        scanned(text)  # must not raise
        return
    found = scanned(text)
    assert found.stop is None
    assert found.repeated is None
    assert set(found.places.keys) == {path for path, _ in paths(data)}


@settings(max_examples=200, deadline=None)
@given(TEXT)
def test_a_value_can_be_read_again_at_its_place(text: str) -> None:
    """What stands at the place of a text, number or list is that value."""
    try:
        data = tomllib.loads(text)
    except ValueError:
        return
    found = scanned(text)
    for path, value in paths(data):
        start = found.places.values[path]
        if text[start] == "[" and isinstance(value, dict):
            continue  # a header
        if isinstance(value, str):
            assert text[start] in "\"'"
        if isinstance(value, bool | int):
            assert text[start].isalnum() or text[start] in "+-"
        if isinstance(value, list) and not all(isinstance(item, dict) for item in value):
            assert text[start] == "["


@settings(max_examples=200, deadline=None)
@given(st.text("ab=.[]{}\"'#,\n \\1", max_size=30))
def test_no_text_makes_the_scan_raise(text: str) -> None:
    """Any letters at all: where `tomllib` takes them, so does the scan."""
    found = scanned(text)
    try:
        data = tomllib.loads(text)
    except ValueError:
        return
    assert found.stop is None
    assert set(found.places.keys) == {path for path, _ in paths(data)}


def at(text: str, path: Path) -> tuple[tuple[int, int], tuple[int, int]]:
    """Line and column of the key and of the value."""
    places = scanned(text).places
    key, value = places.key(path), places.value(path)
    return (key.line, key.column), (value.line, value.column)


def test_places_of_tables_keys_and_values() -> None:
    """Each [[table]] has its own place, and a key in it that of its own line."""
    text = '[[piece]]\nid = "a"\n\n  [[piece]]\n  id = "b"\n[piece.panel.lid]\nround = 2\n'
    assert at(text, ("piece", 0)) == ((1, 3), (1, 1))
    assert at(text, ("piece", 1)) == ((4, 5), (4, 3))
    assert at(text, ("piece", 1, "id")) == ((5, 3), (5, 8))
    assert at(text, ("piece", 1, "panel", "lid")) == ((6, 14), (6, 1))
    assert at(text, ("piece", 1, "panel", "lid", "round")) == ((7, 1), (7, 9))


def test_places_of_the_lines_of_a_map() -> None:
    """A list over several lines gives each element its own line."""
    text = 'map = [ # the panels\n  ". lid",\n  "a  b",\n]\n'
    assert at(text, ("map",)) == ((1, 1), (1, 7))
    assert at(text, ("map", 0)) == ((2, 3), (2, 3))
    assert at(text, ("map", 1)) == ((3, 3), (3, 3))


def test_places_of_dotted_keys_and_inline_tables() -> None:
    """Each part of a dotted key has its place, and so has each pair of an inline table."""
    text = 'a."b c".d = { e = 1, f.g = [2, 3] }\n'
    assert at(text, ("a",)) == ((1, 1), (1, 1))
    assert at(text, ("a", "b c")) == ((1, 3), (1, 3))
    assert at(text, ("a", "b c", "d")) == ((1, 9), (1, 13))
    assert at(text, ("a", "b c", "d", "e")) == ((1, 15), (1, 19))
    assert at(text, ("a", "b c", "d", "f", "g", 1)) == ((1, 32), (1, 32))


def test_the_place_after_a_text_of_many_lines() -> None:
    """A text over several lines stands where it starts, and what follows is not moved."""
    text = 'say = """one\ntwo = 2\n"""\nturn = "over"\n'
    assert at(text, ("say",)) == ((1, 1), (1, 7))
    assert at(text, ("turn",)) == ((4, 1), (4, 8))


def test_an_explicit_header_is_the_place_of_a_table_opened_before() -> None:
    """[a] is the place of a, even below [a.b]."""
    text = "[a.b]\nx = 1\n[a]\ny = 2\n"
    assert at(text, ("a",)) == ((3, 2), (3, 1))


def test_an_unknown_path_has_the_place_of_what_surrounds_it() -> None:
    """A path that is not in the text gets the nearest place round it."""
    assert at("[a]\nb = 1\n", ("a", "c", 3)) == ((1, 2), (1, 1))
    assert at("", ("a",)) == ((1, 1), (1, 1))


def test_a_key_written_twice_is_found() -> None:
    """The second of two equal keys is remembered with its path."""
    found = scanned("[a]\nb = 1\nb = 2\n")
    assert found.repeated == (("a", "b"), 10)


def test_depth_and_number_of_values_are_bounded() -> None:
    """The scan ends with a reason where a text goes beyond the limits."""
    deep = scanned("a = " + "[" * 40)
    assert deep.stop is not None and deep.stop.reason == "too-deep"
    dots = scanned(".".join("a" * 40) + " = 1")
    assert dots.stop is not None and dots.stop.reason == "too-deep"
    many = scanned("a = [" + "1," * 50 + "]", Limits(values=20))
    assert many.stop is not None and many.stop.reason == "too-many"
