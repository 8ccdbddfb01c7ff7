"""Arguments and exit status.

In: the words of the command line. Out: 0 done, 1 the project has errors, 2 wrong usage or a file
that cannot be read or written. The commands are loaded only when they are called.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import os
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

from booklet import __version__

if TYPE_CHECKING:
    from booklet.stages import Asked


def parser() -> argparse.ArgumentParser:
    """The commands and their options."""
    top = argparse.ArgumentParser(
        prog="booklet", description="From one description of a paper project to its booklet."
    )
    top.add_argument("--version", action="version", version=f"booklet {__version__}")
    commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    make = commands.add_parser("make", help="write the PDF of each project")
    make.add_argument("files", nargs="+", metavar="FILE")
    _making(make)
    watch = commands.add_parser("watch", help="make it again whenever the file changes")
    watch.add_argument("file", metavar="FILE")
    _making(watch)
    check = commands.add_parser("check", help="prove what can be proved, write nothing")
    check.add_argument("files", nargs="+", metavar="FILE")
    _asking(check)
    check.add_argument("--json", action="store_true", help="print the report as JSON")
    check.add_argument("--strict", action="store_true", help="a warning counts as an error")
    plan = commands.add_parser("plan", help="cutting plan, supplies and cost in the terminal")
    plan.add_argument("file", metavar="FILE", help="with --leftover also a folder")
    _asking(plan)
    plan.add_argument("--json", action="store_true", help="print stock, supplies and cost as JSON")
    plan.add_argument(
        "--leftover", metavar="SIZE", help='what comes out of it, as in "6 x 8 in card"'
    )
    bind = commands.add_parser("bind", help="one binder of all projects in a folder")
    bind.add_argument("folder", metavar="FOLDER")
    bind.add_argument(
        "--out", metavar="FILE", help="or a folder; default: binder-PAPER.pdf beside the projects"
    )
    bind.add_argument("--paper", choices=["letter", "a4"], help="default: letter")
    bind.add_argument("--grey", action="store_true", help="greys only")
    _rounding(bind)
    bind.add_argument("--size", help=argparse.SUPPRESS)
    bind.add_argument("--measured", help=argparse.SUPPRESS)
    bind.add_argument("--jobs", type=int, metavar="N", help="processes; default: one a processor")
    stamp = commands.add_parser("stamp", help="write a personal copy of a pattern's PDF")
    stamp.add_argument("file", metavar="PDF")
    stamp.add_argument("--for", dest="name", required=True, metavar="NAME", help="whose copy it is")
    stamp.add_argument("--order", metavar="NUMBER", help="the number of the order")
    stamp.add_argument("--date", metavar="DAY", help="such as 2027-03-06; default: today")
    stamp.add_argument("--out", metavar="FILE", help="default: beside the original")
    for command in (make, watch, plan):
        command.add_argument(
            "--class", dest="students", metavar="N", type=students, help="for a class of N"
        )
    start = commands.add_parser("start", help="write a new project from a ready form")
    start.add_argument("name", metavar="NAME", help="NAME.toml is written")
    start.add_argument("--form", required=True, metavar="FORM", help="`booklet forms` lists them")
    size = start.add_mutually_exclusive_group(required=True)
    size.add_argument("--inside", metavar="WxTxD", help="such as 3.5x2x1 or 90x60x25mm")
    size.add_argument("--holds", metavar="THING", help='a standard size, such as "id-1 card x 3"')
    start.add_argument("--set", action="append", default=[], metavar="INPUT=VALUE", dest="inputs")
    start.add_argument("--units", choices=["in", "mm"], help="default: mm if the inside says so")
    start.add_argument("--paper", choices=["letter", "a4"])
    forms = commands.add_parser("forms", help="list the ready forms, or print a gallery of them")
    forms.add_argument("--out", metavar="PDF", help="write a gallery with pictures")
    forms.add_argument("--paper", choices=["letter", "a4"], help="a4: sizes in millimetres")
    return top


def _making(command: argparse.ArgumentParser) -> None:
    """The options of make, which watch has too."""
    editions = ["handout", "pattern", "binder"]
    command.add_argument("--for", dest="edition", choices=editions, default=editions[0])
    _asking(command)
    command.add_argument("--paper", choices=["letter", "a4"], help="default: what [look] says")
    command.add_argument("--out", metavar="DIR", help="default: beside the project file")
    command.add_argument("--grey", action="store_true", help="greys only")
    command.add_argument(
        "--plain", action="store_true", help="without tags for screen readers and archive metadata"
    )
    command.add_argument("--large-print", action="store_true", help="a handout with text of 18 pt")
    command.add_argument(
        "--booklet", action="store_true", help="a handout to fold and staple, templates apart"
    )
    command.add_argument(
        "--leaf",
        type=leaf,
        default=0.1,
        metavar="MM",
        help="thickness of the booklet's paper in mm; default: 0.1",
    )
    command.add_argument("--strict", action="store_true", help="a warning counts as an error")
    command.add_argument(
        "--measured",
        type=printed,
        default=100.0,
        metavar="LENGTH",
        help="what the 100 mm check (or the 4 in check) measured on your printer, as in 98.2mm",
    )


def printed(word: str) -> float:
    """What a printer makes of 100 mm; raises ArgumentTypeError with words."""
    from booklet.command.measured import measured

    return measured(word)


def students(word: str) -> int:
    """A number of students within the limits; raises ArgumentTypeError with words."""
    from booklet.limits import Limits

    most = Limits().makers
    if word.isascii() and word.isdigit() and len(word) < 20 and 1 <= int(word) <= most:
        return int(word)
    raise argparse.ArgumentTypeError(f"{word!r} is no class: give a number from 1 to {most:,}")


def leaf(text: str) -> float:
    """A thickness that paper can have, in mm; raises ValueError or ArgumentTypeError."""
    value = float(text.removesuffix("mm"))
    if not 0 <= value <= 1:
        raise argparse.ArgumentTypeError("paper is 0 to 1 mm thick")
    return value


def _asking(command: argparse.ArgumentParser) -> None:
    """The options that choose what of a project is built."""
    command.add_argument("--size", metavar="ID", help="one size only; default: all in one booklet")
    _rounding(command)


def _rounding(command: argparse.ArgumentParser) -> None:
    """The options that turn a project into one of another unit."""
    command.add_argument(
        "--units", choices=["in", "mm", "cm"], help="round the project to this unit's ruler"
    )
    command.add_argument("--ruler", metavar="MARK", help='smallest mark to round to, as in "5 mm"')


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status."""
    _open_streams()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal or pipe without, say, fractions gets \\u and digits instead of a failure.
            stream.reconfigure(errors="backslashreplace")
    try:
        words = parser().parse_args(arguments)
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else 2
    # The arithmetic library under numpy starts a thread for each processor as it is loaded, which
    # takes longer than all that a booklet asks of it: its matrices have a few rows.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        code = _run(words)
        sys.stdout.flush()
        return code
    except KeyboardInterrupt:
        print("booklet: stopped", file=sys.stderr)
        return 2
    except BrokenPipeError:
        sys.stderr.close()
        return 2
    except OSError as error:
        # A file's own trouble is told where it is read or written; this is the terminal's.
        _last_words(f"the output cannot be written: {_trouble(error)}")
        return 2


def run() -> int:
    """`main` for a terminal: a fault of the program is told in a line, with exit status 2."""
    try:
        return main()
    except Exception as fault:
        at = fault.__traceback__
        while at is not None and at.tb_next is not None:
            at = at.tb_next
        place = "" if at is None else at.tb_frame.f_globals.get("__name__", "")
        _last_words(
            "a fault of the program, not of your file, stopped it: "
            f"{type(fault).__name__} in {place}, line {0 if at is None else at.tb_lineno}\n"
            "  help: please send the project file and this line to those who keep booklet"
        )
        return 2


def _open_streams() -> None:
    """Gives a stream that was closed before the program began something to write to.

    Without it there is no stream at all, and the next file that is opened takes its number.
    """
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, io.TextIOWrapper(io.FileIO(os.devnull, "w"), "utf-8"))


def _last_words(words: str) -> None:
    """Tells what ended the run, unless that cannot be written either."""
    with contextlib.suppress(OSError):
        print(f"booklet: {words}", file=sys.stderr)


def _trouble(error: OSError) -> str:
    """Why; where the folder of the run is gone nothing else is to blame."""
    from pathlib import Path

    try:
        Path.cwd()
    except OSError:
        return "the folder that booklet was started in is gone"
    return error.strerror or str(error)


def _asked(words: argparse.Namespace) -> Asked:
    from booklet.stages import Asked

    return Asked(words.size, words.units, words.ruler, getattr(words, "students", None))


def _make(words: argparse.Namespace) -> int:
    from booklet.command.make import Options, make

    fold, large = words.booklet, words.large_print
    if (fold or large) and words.edition != "handout":
        print("booklet: only a handout folds or comes in large print", file=sys.stderr)
        return 2
    if fold and large:
        print("booklet: large print does not fit a folded booklet", file=sys.stderr)
        return 2
    if words.measured != 100 and words.edition != "handout":
        print("booklet: only a handout is for one printer: --measured", file=sys.stderr)
        return 2
    options = Options(
        words.paper, words.out, words.grey, words.plain, words.strict, _asked(words),
        words.edition, large, fold, words.leaf, words.measured,
    )  # fmt: skip
    if words.command == "watch":
        from booklet.command.watch import watch

        return watch(words.file, options)
    return make(words.files, options)


def _bind(words: argparse.Namespace) -> int:
    refused = {"--size": words.size, "--measured": words.measured}
    reasons = {
        "--size": "a binder holds all sizes of its projects: `make --for binder --size` makes one",
        "--measured": "a binder is for any printer: `make --measured` is for one",
    }
    for option, value in refused.items():
        if value is not None:
            print(f"booklet: {reasons[option]}", file=sys.stderr)
            return 2
    from booklet.command.bind import bind
    from booklet.command.bind_cache import Settings

    settings = Settings(words.paper or "letter", words.grey, words.units, words.ruler)
    return bind(words.folder, words.out, settings, words.jobs)


def _run(words: argparse.Namespace) -> int:
    if words.command in ("make", "watch"):
        return _make(words)
    if words.command == "bind":
        return _bind(words)
    if words.command == "stamp":
        from booklet.command.stamp import stamp

        return stamp(words.file, words.name, words.order, words.date, words.out)
    if words.command == "plan":
        if words.leftover is not None:
            from booklet.command.leftover import leftover

            return leftover(words.file, words.leftover, words.json)
        from booklet.command.plan import plan

        return plan(words.file, _asked(words), words.json)
    if words.command == "forms":
        from booklet.command.forms import forms

        return forms(words.out, words.paper)
    if words.command == "start":
        from booklet.command.start import Wish, start

        return start(
            Wish(
                words.name,
                words.form,
                words.inside,
                words.holds,
                words.units,
                words.paper,
                words.inputs,
            )
        )
    from booklet.command.check import check

    return check(words.files, words.json, words.strict, _asked(words))
