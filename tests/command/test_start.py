"""`booklet start`: from a form and an inside to a project that builds."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.command.holding import standard_things
from booklet.command.line import main
from booklet.read.form import form_names, read_fragment
from booklet.stages import check_file
from tests.forms.builds import all_variants, tried_deep

Captured = pytest.CaptureFixture[str]


@pytest.mark.parametrize(("form", "words"), all_variants(), ids=str)
@pytest.mark.parametrize("units", ["in", "mm"])
def test_a_new_project_passes_its_strict_check(
    form: str, words: dict[str, str], units: str, tmp_path: Path
) -> None:
    """Every form in every variant, in inches and millimetres."""
    deep = f"{tried_deep(form):g}"
    inside = f"3 in x 4 in x {deep} mm" if units == "in" else f"90x60x{deep}mm"
    options = [f"--set={key}={word}" for key, word in words.items()]
    wish = ["--form", form, "--inside", inside, "--units", units, *options]
    assert main(["start", str(tmp_path / "new"), *wish]) == 0
    model, problems = check_file(tmp_path / "new.toml")
    assert model is not None
    assert [problem.code for problem in problems if problem.severity != "note"] == []
    assert model.scope.units == units
    assert all(piece.form is None for piece in model.project.pieces)


@pytest.mark.parametrize("form", form_names())
def test_a_form_is_sized_by_a_standard_thing(form: str, tmp_path: Path) -> None:
    """Three bank cards of ISO/IEC 7810 ID-1: 85.60 by 53.98 by 0.76 mm."""
    name = str(tmp_path / "cards")
    assert main(["start", name, "--form", form, "--holds", "id-1 cards x 3"]) == 0
    model, problems = check_file(tmp_path / "cards.toml")
    assert model is not None
    assert [problem.code for problem in problems if problem.severity != "note"] == []
    fits = [fit for piece in model.folded for fit in piece.contents]
    for fit in fits:
        assert fit.fits and fit.size == pytest.approx((85.60, 53.98, 3 * 0.76))
    assert fits or read_fragment(form).holds == "nothing"


BOXES = [form for form in form_names() if read_fragment(form).holds == "box"]


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("form", BOXES)
def test_solid_things_go_into_every_box(form: str, units: str, tmp_path: Path) -> None:
    """Four candles stand on their base, four cells lie or stand; each box builds and holds them."""
    for number, holds in enumerate(("4 tealights", "aa x 4", "tealight")):
        name = str(tmp_path / f"new{number}")
        assert main(["start", name, "--form", form, "--holds", holds, "--units", units]) == 0
        model, problems = check_file(Path(f"{name}.toml"))
        assert model is not None
        assert [problem.code for problem in problems if problem.severity != "note"] == []
        (fit,) = [fit for piece in model.folded for fit in piece.contents]
        # The way that the file states is the way that they lie: none has to be turned.
        assert fit.fits and fit.turned == (0, 1, 2)


def test_a_dozen_candles_stand_in_rows(tmp_path: Path) -> None:
    """Four by three in one layer, 16 mm high: the box is as low as a candle."""
    name = str(tmp_path / "new")
    assert main(["start", name, "--form", "tray_with_lid", "--holds", "tealight x 12"]) == 0
    model, _ = check_file(tmp_path / "new.toml")
    assert model is not None
    (fit,) = [fit for piece in model.folded for fit in piece.contents]
    assert fit.size == pytest.approx((4 * 38, 3 * 38, 16))
    assert model.scope.measures["deep"] < 20
    text = (tmp_path / "new.toml").read_text("utf-8")
    assert 'name = "tealights"' in text and "grid = [4, 3]" in text


@pytest.mark.parametrize(
    ("holds", "name", "count"),
    [
        ("3 tealights", "tealights", 3),
        ("3 x tealight", "tealights", 3),
        ("tealight", "tealight", 1),
        ("5 euro note", "5 euro note", 1),
        ("5 euro note x 20", "5 euro notes", 20),
        ("12 euro-100", "100 euro notes, second series", 12),
        ("4 tea bags", "tea bags in their envelopes", 4),
        ("usd x 2", "US bank notes", 2),
    ],
)
def test_things_are_counted_as_people_say_it(holds: str, name: str, count: int) -> None:
    """The number before or after; one thing or several."""
    things = standard_things(holds)
    assert (things.name, things.count) == (name, count)


def test_the_measures_stand_at_the_top_with_their_words(tmp_path: Path) -> None:
    """As a person writes them: fractions of an inch, and what each does."""
    assert main(["start", str(tmp_path / "card-box"), "--form", "tray", "--inside", "3.5x2x1"]) == 0
    text = (tmp_path / "card-box.toml").read_text("utf-8")
    assert 'title = "Card box"' in text
    assert 'wide = "3 1/2"   # inside width' in text
    assert text.index("[measures]") < text.index("[[piece]]") < text.index("[[limit]]")
    assert "when = " not in text


@pytest.mark.parametrize(
    ("form", "word", "says"),
    [
        ("accordion_book", "foot=plain", "A strip of pages folded to and fro like a fan."),
        ("accordion_book", "foot=pocket", "with a pocket along the foot."),
        ("envelope", "flap_shape=round", "with a round flap"),
    ],
)
def test_a_new_project_says_what_it_is_and_not_what_its_form_may_be(
    form: str, word: str, says: str, tmp_path: Path
) -> None:
    """The form's own sentence tells of every choice; that of a project tells of the one made."""
    wish = ["--form", form, "--inside", "80x100x0mm", "--set", word]
    assert main(["start", str(tmp_path / "new"), *wish]) == 0
    model, _ = check_file(tmp_path / "new.toml")
    assert model is not None
    summary = model.project.project.summary
    assert summary is not None and says in summary and "if wanted" not in summary
    assert "choice" not in summary


def test_a_changed_measure_still_builds_or_says_why(tmp_path: Path) -> None:
    """The written project has the form's limits with their reasons."""
    path = tmp_path / "box.toml"
    assert main(["start", str(path), "--form", "tray", "--inside", "3x2x1"]) == 0
    text = path.read_text("utf-8")
    path.write_text(text.replace('deep = "1" ', 'deep = "2" '), "utf-8")
    assert [p for p in check_file(path)[1] if p.severity != "note"] == []
    path.write_text(text.replace('tab = "1/2"', 'tab = "1 3/4"'), "utf-8")
    assert {problem.code for problem in check_file(path)[1]} == {"limit-passed"}


def test_a_start_says_what_comes_next(tmp_path: Path, capsys: Captured) -> None:
    """The command that makes the booklet, with the file that was written."""
    name = tmp_path / "new"
    assert main(["start", str(name), "--form", "tag", "--inside", "2x3x0"]) == 0
    assert f"booklet make {name}.toml" in capsys.readouterr().out


def test_no_file_is_overwritten(tmp_path: Path, capsys: Captured) -> None:
    """Exit status 2, and the file as it was."""
    path = tmp_path / "box.toml"
    path.write_text("mine", "utf-8")
    assert main(["start", str(tmp_path / "box"), "--form", "tray", "--inside", "3x2x1"]) == 2
    assert path.read_text("utf-8") == "mine"
    assert "exists already" in capsys.readouterr().err


WRONG = [
    (["--form", "trya", "--inside", "3x2x1"], '"tray"'),
    (["--form", "tray", "--inside", "3x2"], "wide, tall and deep"),
    (["--form", "tray", "--inside", "3x2x0"], "must be at least"),
    (["--form", "tray", "--inside", "3x-2x1"], "must be at least"),
    (["--form", "tray", "--inside", "axbxc"], "no measure"),
    (["--form", "tray", "--inside", "3x2x1/0"], "divides by zero"),
    (["--form", "tray", "--inside", "9000x2x1"], "longer than"),
    (["--form", "tray", "--inside", "60x40x5"], "larger than a board"),
    (["--form", "tray", "--inside", "1e9x2x1"], "cannot be read"),
    (["--form", "tray", "--holds", "id-9 card"], '"id-1"'),
    (["--form", "tray", "--holds", "id-1 x 0"], "count"),
    (["--form", "tray", "--inside", "3x3x1", "--set", "tab=1 1/8"], "run past the end of the wall"),
    (["--form", "sleeve_and_drawer", "--holds", "aa x 4", "--set", "notch=2"], "--set"),
    (["--form", "envelope", "--holds", "aa x 4"], "start from another form: tray"),
    (["--form", "tray", "--holds", "tealight x 10000"], "hold fewer"),
    (["--form", "tray", "--holds", "qqqq"], "among others, id-1"),
    (["--form", "tray", "--inside", "3x2x1", "--set", "tob=2"], '"tab"'),
    (["--form", "tray", "--inside", "3x2x1", "--set", "tab"], "NAME=VALUE"),
    (["--form", "tray_with_lid", "--inside", "3x2x1", "--set", "ease=-1/8"], "do not go together"),
    (["--form", "tuck_carton", "--inside", "3x2x1", "--set", "tuck=sideways"], "straight"),
    (["--form", "tray", "--inside", "\x00x2x1"], "has a character"),
    (["--form", "tray", "--inside", "3x2x1" + "1" * 5000], "digits"),
]


@pytest.mark.parametrize(("options", "told"), WRONG, ids=lambda value: str(value)[:40])
def test_what_cannot_be_made_is_refused_with_a_reason(
    options: list[str], told: str, tmp_path: Path, capsys: Captured
) -> None:
    """Exit status 2, a reason, a way out, and nothing written."""
    assert main(["start", str(tmp_path / "new"), *options]) == 2
    error = capsys.readouterr().err
    assert told in error
    assert "help: " in error and "Traceback" not in error
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["", ".", "missing/box", "..toml", "\x00"])
def test_a_name_that_is_none_is_refused(name: str, tmp_path: Path, capsys: Captured) -> None:
    """No hidden file, no missing folder."""
    target = f"{tmp_path}/{name}"
    assert main(["start", target, "--form", "tray", "--inside", "3x2x1"]) == 2
    assert list(tmp_path.iterdir()) == []


def test_a_new_project_lists_the_tools_that_it_needs(tmp_path: Path) -> None:
    """A tag has no score: no scoring board."""
    for form, scored in (("tag", False), ("tray", True), ("pyramid", True)):
        path = tmp_path / f"{form}.toml"
        assert main(["start", str(path), "--form", form, "--inside", "40x60x20mm"]) == 0
        assert ("Scoring board" in path.read_text("utf-8")) == scored
