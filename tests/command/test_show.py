"""Problems as text with a caret."""

from __future__ import annotations

from pathlib import Path

from booklet.command.show import display_width, show, show_problem
from booklet.problem import Place, Problem


def problem(line: int, column: int, message: str = "What is this?") -> Problem:
    """A problem at a place of tag.toml."""
    return Problem("unknown-key", message, Place("tag.toml", line, column), "Delete it.")


def test_an_excerpt_points_at_the_column() -> None:
    """Place, severity, message and code; the line; the caret; the way out."""
    assert show_problem(problem(2, 3), ("[a]", "b wrong = 1")) == (
        "tag.toml:2:3: error: What is this? [unknown-key]\n"
        "    2 | b wrong = 1\n"
        "      |   ^\n"
        "  help: Delete it.\n"
    )


def test_the_caret_counts_display_columns() -> None:
    """Wide letters take two columns, combining marks none, a tab four."""
    line = "\tx纸e\u0301 = 1"
    shown = show_problem(problem(1, line.index("=") + 1), (line,)).split("\n")
    assert shown[2] == "      | " + " " * (4 + 1 + 2 + 1 + 1) + "^"
    assert display_width("纸e\u0301") == 3


def test_nothing_in_a_file_can_steer_the_terminal() -> None:
    """Control characters of message, line and help are replaced."""
    shown = show_problem(problem(1, 1, "\x1b[2J"), ("\x1b]0;title\x07 \u202e",))
    assert not set("\x1b\x07\u202e") & set(shown)


def test_a_long_line_is_cut_round_the_caret() -> None:
    """What is blamed stays visible."""
    shown = show_problem(problem(1, 501), ("x" * 500 + "HERE" + "y" * 500,)).split("\n")
    assert len(shown[1]) < 140
    assert shown[1].index("HERE") == shown[2].index("^")


def test_a_problem_without_a_place_is_one_line_and_its_help() -> None:
    """No excerpt where no line can be blamed."""
    shown = show([Problem("file-unreadable", "No such file", None, "Check the name.")])
    assert shown == "error: No such file [file-unreadable]\n  help: Check the name.\n"


def test_the_source_is_read_from_the_file_whatever_its_bytes(tmp_path: Path) -> None:
    """A file with a byte order mark and broken bytes is still shown; a vanished one is not."""
    path = tmp_path / "tag.toml"
    path.write_bytes(b"\xef\xbb\xbfa = '\xe9'\r\n")
    blamed = Problem("not-utf8", "Broken", Place(str(path), 1, 6), "Mend it.")
    assert "    1 | a = '\ufffd'\n      |      ^\n" in show([blamed])
    path.unlink()
    assert " | " not in show([blamed])
