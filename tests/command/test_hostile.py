"""Project files from strangers: texts stay texts, paths stay in the folder, work stays bounded."""

from __future__ import annotations

import hashlib
import io
import os
import struct
import subprocess
import sys
import time
import zlib
from pathlib import Path

import pikepdf
import pytest

from booklet.command.bind_cache import Settings, key_of
from booklet.command.line import main
from booklet.stages import check_file
from tests.readback import read_pages

Captured = pytest.CaptureFixture[str]

MARKUP = '<a href=\\"javascript:x()\\">b</a> &amp; <b>x</b> https://x.invalid/ file:///etc %s'
HEAD = """[project]
title = "{text}"
designer = "{text}"
summary = "{text}"
licence = "{text}"
version = "{text}"
units = "mm"
ruler = "1"
currency = "EUR"

[[stock]]
id = "card"
name = "{text}"
kind = "{text}"
sheet = [400, 400]
thickness = 0.3
"""
TRAY = """
[[piece]]
id = "tray"
name = "{text}"
stock = "card"
columns = [20, 80, 20]
rows = [60]
map = ["left base right"]
root = "base"

[piece.panel.base]
label = "{text}"

[[supply]]
id = "tape"
name = "{text}"
kind = "tool"

[[step]]
title = "{text}"
say = "{text}"
fold = ["left", "right"]

[class]
title = "{text}"
teacher = "{text}"
students = 3

[safety]
notes = ["{text}"]
"""
PLAIN = (HEAD + TRAY).replace("{text}", "Tray")


def written(folder: Path, text: str, name: str = "tray.toml") -> Path:
    """A project file in a folder of its own."""
    folder.mkdir(exist_ok=True)
    path = folder / name
    path.write_text(text, "utf-8")
    return path


def codes(path: Path) -> set[str]:
    """The codes of a file's errors."""
    return {problem.code for problem in check_file(path)[1] if problem.severity == "error"}


def test_markup_and_addresses_are_printed_as_they_stand(tmp_path: Path) -> None:
    """In every text of a file; no page has a link but within the file, and nothing runs."""
    path = written(tmp_path / "in", (HEAD + TRAY).replace("{text}", MARKUP))
    for edition in ("handout", "binder"):
        words = ["make", str(path), "--paper", "a4", "--for", edition, "--out", str(tmp_path)]
        assert main(words) == 0
    for made in sorted(tmp_path.glob("*.pdf")):
        data = made.read_bytes()
        shown = " ".join(word.text for page in read_pages(made) for word in page.words)
        for part in ('<a href="javascript:x()">b</a>', "&amp;", "<b>x</b>", "https://x.invalid/"):
            assert part.replace(" ", "") in shown.replace(" ", "")
        assert b"/JavaScript" not in data and b"/Launch" not in data and b"/URI" not in data
        with pikepdf.open(made) as pdf:
            assert "/OpenAction" not in pdf.Root and "/AA" not in pdf.Root
            for page in pdf.pages:
                for note in page.get("/Annots", []):
                    assert note.Subtype == "/Link"
                    assert "/A" not in note or note.A.S == "/GoTo"


def test_markup_in_a_drawing_is_text(tmp_path: Path) -> None:
    """The SVG files of a pattern hold the words and no element more."""
    plain, marked = (
        written(tmp_path / name, (HEAD + TRAY).replace("{text}", text))
        for name, text in (("plain", "Tray"), ("marked", "<script>x</script>"))
    )
    found = []
    for path in (plain, marked):
        assert main(["make", str(path), "--for", "pattern", "--out", str(path.parent)]) == 0
        svg = (path.parent / "tray-pattern" / "svg" / "tray.svg").read_text("utf-8")
        assert "<script" not in svg and "href" not in svg and "onload" not in svg
        found.append(svg.count("<g"))
    assert found[0] == found[1]


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("../secret.png", "picture-outside"),
        ("/etc/hostname", "picture-outside"),
        ("/dev/zero", "picture-outside"),
        ("a/../../secret.png", "picture-outside"),
        ("out.png", "picture-outside"),
        ("circle.png", "picture-missing"),
        ("pipe.png", "picture-missing"),
        ("folder", "picture-missing"),
        ("a" * 190 + ".png", "picture-missing"),
        ("file:///etc/hostname", "picture-missing"),
        ("https://x.invalid/a.png", "picture-missing"),
        ("page.png", "picture-unreadable"),
        ("bomb.png", "picture-too-large"),
        ("empty.png", "picture-unreadable"),
    ],
)
def test_a_picture_is_an_ordinary_picture_in_the_folder(
    name: str, code: str, tmp_path: Path
) -> None:
    """Paths that lead out, links, devices, pipes, files that lie about what they are."""
    (tmp_path / "secret.png").write_bytes(png(4, 4))
    folder = tmp_path / "in"
    path = written(folder, PLAIN.replace("say =", f'photo = "{name}"\nsay ='))
    (folder / "out.png").symlink_to(tmp_path / "secret.png")
    (folder / "circle.png").symlink_to(folder / "circle.png")
    (folder / "folder").mkdir()
    os.mkfifo(folder / "pipe.png")
    (folder / "page.png").write_text("%!PS\n(x) show <svg onload='x()'/>", "utf-8")
    (folder / "bomb.png").write_bytes(png(100_000, 100_000))
    (folder / "empty.png").write_bytes(b"")
    cover = written(folder, PLAIN + f'[look]\ncover = "{name}"\n', "cover.toml")
    began = time.process_time()
    assert codes(path) == codes(cover) == {code}
    assert time.process_time() - began < 2


def test_a_changed_picture_makes_a_section_anew(tmp_path: Path) -> None:
    """What is kept of a binder goes by the cover's and the steps' pictures, and by no others."""
    folder = tmp_path / "in"
    text = PLAIN.replace("say =", 'photo = "a.png"\nsay =') + '[look]\ncover = "b.png"\n'
    path = written(folder, text)
    for name in ("a.png", "b.png", "c.png"):
        (folder / name).write_bytes(b"1")
    settings = Settings("a4", grey=False)
    keys = [key_of(path, settings)]
    for name in ("a.png", "b.png", "c.png"):
        (folder / name).write_bytes(b"2")
        keys.append(key_of(path, settings))
    assert len(set(keys)) == 3 and keys[-1] == keys[-2]


def png(width: int, height: int) -> bytes:
    """A picture of one bit a pixel that says it has this size, with at most 1,000 rows in it."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    rows = (b"\0" + bytes(-(-width // 8))) * min(height, 1000)
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(rows, 9))
        + chunk(b"IEND", b"")
    )


def test_all_pictures_of_a_project_are_bounded_together(tmp_path: Path) -> None:
    """Each within its bound and all too large; the same one named often is read once."""
    path = written(tmp_path / "in", PLAIN)
    step = '[[step]]\ntitle = "Look"\nphoto = "{name}"\n'
    for number in range(24):
        Path(path.parent / f"{number}.png").write_bytes(png(49_000, 1000))
    often = "".join(step.replace("{name}", "0.png") for _ in range(200))
    path.write_text(PLAIN + often, "utf-8")
    began = time.process_time()
    assert codes(path) == set()
    path.write_text(PLAIN + "".join(step.replace("{name}", f"{n}.png") for n in range(24)), "utf-8")
    assert codes(path) == {"picture-too-large"}
    assert time.process_time() - began < 20


@pytest.mark.parametrize(
    ("measures", "code"),
    [
        ("".join(f'm{n} = "m{n - 1} * (m{n - 1} / 1 mm)"\n' for n in range(1, 400)), "length"),
        ("".join(f'm{n} = "m{n - 1} + m{n - 1}"\n' for n in range(1, 400)), "length"),
        ("".join(f'm{n} = "m{n - 1} * 6/7 + 1/7"\n' for n in range(1, 400)), "number"),
        ("".join(f'm{n} = "sqrt(m{n - 1} * m{n - 1})"\n' for n in range(1, 400)), None),
        ("".join(f'm{n} = "m{n + 1}"\n' for n in range(1, 400)) + 'm400 = "m1"\n', "cycle"),
        (f'm1 = "{"(" * 99}m0{")" * 99}"\n', "formula"),
        (f'm1 = "{"-" * 190}m0"\n', "formula"),
        (f'm1 = "{"9" * 190}"\n', "number"),
        ('m1 = "1/3 * 1/99999999999999999999999999999"\n', "number"),
        (f'm1 = "{"sqrt(" * 30}m0{")" * 30}"\n', "formula"),
        (f'm1 = "{" * ".join(["9999999"] * 20)}"\n', "length"),
    ],
)
def test_formulas_built_to_explode(measures: str, code: str | None, tmp_path: Path) -> None:
    """Nesting, growth by squares and doubling, long chains: told, or reckoned, in time."""
    path = written(tmp_path / "in", PLAIN + '\n[measures]\nm0 = "3"\n' + measures)
    began = time.process_time()
    found = codes(path)
    assert time.process_time() - began < 3
    assert (code is None and found == set()) or any(code in one for one in found if code)


def test_things_without_number_are_told_in_time(tmp_path: Path) -> None:
    """Maps, tables, texts, counts, sizes and outlines beyond every bound."""
    row = " ".join(f"p{n}" for n in range(201))
    arcs = "M 0 0 " + "A 1 1 0 0 0 1 1 " * 3000 + "Z"
    size = '[[size]]\nid = "s{}"\nname = "S"\n'
    for old, new in (
        ("[20, 80, 20]", str([1] * 201)),
        ('"left base right"', f'"{row}"'),
        ("students = 3", "students = 999999999999"),
        ("[safety]", '[[step]]\nsay = "x"\n' * 501 + "[safety]"),
        ('notes = ["Tray"]', f"notes = {['x' * 20] * 1001}".replace("'", '"')),
        ("[[supply]]", f'[[piece]]\nid = "o"\nstock = "card"\noutline = "{arcs}"\n[[supply]]'),
        ("[class]", "".join(size.format(n) for n in range(30)) + "[class]"),
        ("fold =", f"fold = {['left'] * 1001}\nclose =".replace("'", '"')),
        ("[class]", "a" + ".a" * 20_000 + " = 1\n[class]"),
        ("[class]", "x = " + "[" * 50_000 + "]" * 50_000 + "\n[class]"),
        ("[class]", "x = 1" + "0" * 100_000 + "\n[class]"),
    ):
        assert old in PLAIN
        path = written(tmp_path / "in", PLAIN.replace(old, new, 1))
        began = time.process_time()
        assert main(["check", str(path)]) == 1
        assert time.process_time() - began < 3


def test_a_binder_of_a_folder_from_a_stranger(tmp_path: Path, capsys: Captured) -> None:
    """Circles of links, names with line ends, links that lead out, pipes, keys nested deep."""
    root = tmp_path / "in"
    written(root, PLAIN, "tray.toml")
    written(root, PLAIN.replace("Tray", "Other"), "new\nline\x1b[31m.toml")
    written(root, "a" + ".a" * 5000 + ' = "x.png"\n', "deep.toml")
    written(root, "x = " + "[" * 5000 + '"x.png"' + "]" * 5000, "lists.toml")
    (root / "circle").symlink_to(root)
    (root / "self.toml").symlink_to(root / "self.toml")
    (root / "folder.toml").mkdir()
    os.mkfifo(root / "pipe.toml")
    (root / "zero.toml").symlink_to("/dev/zero")
    out = tmp_path / "out" / "all.pdf"
    assert main(["bind", str(root), "--out", str(out), "--jobs", "1"]) == 1
    told = capsys.readouterr()
    assert "2 projects" in told.out and "\x1b" not in told.out + told.err
    assert {line.partition(":")[0] for line in told.err.splitlines()} == {
        "deep.toml", "lists.toml",
    }  # fmt: skip
    assert sorted(path.name for path in out.parent.iterdir()) == [".booklet-sections", "all.pdf"]


def test_parts_of_a_binder_are_kept_in_no_folder_elsewhere(
    tmp_path: Path, capsys: Captured
) -> None:
    """A link of that name in a folder from a stranger is told; nothing changes where it leads."""
    root = written(tmp_path / "in", PLAIN).parent
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "letters.section").write_text("mine", "utf-8")
    (root / ".booklet-sections").symlink_to(elsewhere)
    assert main(["bind", str(root), "--jobs", "1"]) == 2
    assert "is a link" in capsys.readouterr().err
    assert [path.name for path in elsewhere.iterdir()] == ["letters.section"]
    assert not (root / "binder-letter.pdf").exists()


@pytest.mark.parametrize("facts", ["[]", "{}", "5", '{"forms": 5}', '{"bookmarks": [[1]]}'])
def test_a_part_with_a_right_sum_and_odd_facts_counts_as_missing(
    facts: str, tmp_path: Path
) -> None:
    """It is made anew: another program may have written it."""
    root = written(tmp_path / "in", PLAIN).parent
    words = ["bind", str(root), "--jobs", "1"]
    assert main(words) == 0
    first = (root / "binder-letter.pdf").read_bytes()
    (entry,) = (root / ".booklet-sections").iterdir()
    body = facts.encode() + b"\n"
    entry.write_bytes(hashlib.sha256(body).hexdigest().encode() + b"\n" + body)
    assert main(words) == 0
    assert (root / "binder-letter.pdf").read_bytes() == first


@pytest.mark.parametrize(
    "name",
    ["", ".", "..", "/", "a/b/c", "\0", ".hidden", "x" * 300, "\ud800", "/dev/null/x",
     'a"]\ntitle = "x', "a\x1b[31m", "a\u202eb"],
)  # fmt: skip
def test_start_refuses_what_is_no_name(name: str, tmp_path: Path, capsys: Captured) -> None:
    """Status 2, and nothing is written."""
    words = ["start", f"{tmp_path}/{name}" if name[:1] != "/" else name, "--form", "tray"]
    assert main([*words, "--inside", "3x2x1"]) == 2
    told = capsys.readouterr()
    assert "Traceback" not in told.err and "\x1b" not in told.err
    assert list(tmp_path.iterdir()) == []


def test_start_takes_quotes_for_text(tmp_path: Path) -> None:
    """In the name of the file; an input that is no length is refused."""
    name = 'a"] # \\u0041 {x}'
    assert main(["start", str(tmp_path / name), "--form", "tray", "--inside", "3x2x1"]) == 0
    (path,) = tmp_path.iterdir()
    assert codes(path) == set()
    words = ["start", str(tmp_path / "b"), "--form", "tray", "--inside", "3x2x1"]
    assert main([*words, "--set", 'tab=1"\n[safety]\nnotes = ["x"]']) == 2


@pytest.mark.parametrize(
    "spoken",
    ["", "x", "6 x", "6 x 8 x 9", "1e999 x 1", "-1 x 4", "nan x 2", "9" * 500 + " x 1", "0 x 0",
     "\x1b[31m 6 x 8", "6 x 8 in " + "w " * 5000, "1/0 x 2", "(" * 5000],
)  # fmt: skip
def test_a_leftover_in_hostile_words(spoken: str, tmp_path: Path, capsys: Captured) -> None:
    """Status 2 and a sentence without the control characters."""
    path = written(tmp_path / "in", PLAIN)
    began = time.process_time()
    assert main(["plan", str(path), "--leftover", spoken]) == 2
    told = capsys.readouterr()
    assert "\x1b" not in told.err + told.out and "\0" not in told.err
    assert time.process_time() - began < 3


def test_output_names_steer_no_terminal(tmp_path: Path, capsys: Captured) -> None:
    """A project file's own name is printed harmlessly, built or not."""
    path = written(tmp_path / "in", PLAIN, "a\x1b[31mb.toml")
    assert main(["make", str(path)]) == 0
    assert main(["make", str(path), str(path)]) == 2
    path.write_text("x", "utf-8")
    assert main(["make", str(path)]) == 1
    told = capsys.readouterr()
    assert "\x1b" not in told.out + told.err


def test_nothing_takes_the_place_of_a_device(tmp_path: Path) -> None:
    """An output that is a pipe is refused, and so is a PDF to stamp; nobody waits."""
    pipe = tmp_path / "pipe.pdf"
    os.mkfifo(pipe)
    path = written(tmp_path / "in", PLAIN)
    assert main(["bind", str(path.parent), "--out", str(pipe), "--jobs", "1"]) == 2
    assert main(["stamp", str(pipe), "--for", "Ana"]) == 2
    assert main(["make", str(path), "--out", str(tmp_path), "--paper", "a4"]) == 0
    made = tmp_path / "tray-a4.pdf"
    assert main(["stamp", str(made), "--for", "Ana", "--out", str(pipe)]) == 2
    assert pipe.is_fifo()


def test_a_file_that_is_no_project_is_a_sentence_in_a_shell(tmp_path: Path) -> None:
    """As a user runs it: a name that is no text, without a traceback."""
    name = os.fsencode(str(tmp_path)) + b"/\xff\xfe.toml"
    Path(os.fsdecode(name)).write_text("x", "utf-8")
    command = [os.fsencode(sys.executable), b"-m", b"booklet", b"check", name]
    run = subprocess.run(command, capture_output=True, check=False)
    assert run.returncode == 1 and b"Traceback" not in run.stderr
    assert io.BytesIO(run.stderr).readline().startswith(os.fsencode(str(tmp_path)))
