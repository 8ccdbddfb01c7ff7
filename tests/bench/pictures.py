"""Speed of the pictures: `python tests/bench/pictures.py [--rounds N] [--profile] [PROJECT]`.

In: a project (without one, the demo with the largest blank). Out: processor time in ms of all
pictures of its booklet (worked out, and drawn for cover and steps) and of the PDF that the library
writes from the finished pages, medians of N rounds in this process, and their ratio. Exit status 1
where the pictures take longer. `--profile` prints where a round of pictures spends its time.
"""

from __future__ import annotations

import argparse
import cProfile
import pstats
import statistics
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from booklet.draw.typeface import Faces, load_faces  # noqa: E402
from booklet.pages.cover import cover  # noqa: E402
from booklet.pages.flow import Composer  # noqa: E402
from booklet.pages.grid import PAPERS  # noqa: E402
from booklet.pages.handout import handout  # noqa: E402
from booklet.pages.staging import set_stage  # noqa: E402
from booklet.pages.steps import set_steps  # noqa: E402
from booklet.pages.wording import planned_steps  # noqa: E402
from booklet.pdf.canvas import pdf_bytes  # noqa: E402
from booklet.stages import Model, check_file  # noqa: E402

DATE = datetime(2000, 1, 1, tzinfo=UTC)
DEMOS = sorted((ROOT / "projects").glob("*/*.toml"))


def main() -> int:
    """Prints the two times and their ratio."""
    parser = argparse.ArgumentParser(prog="pictures")
    parser.add_argument("project", type=Path, nargs="?")
    parser.add_argument("--rounds", type=int, default=15)
    parser.add_argument("--profile", action="store_true")
    asked = parser.parse_args()
    models = [_model(path) for path in ([asked.project] if asked.project else DEMOS)]
    model = max(models, key=_largest)
    faces = load_faces()
    if asked.profile:
        profile = cProfile.Profile()
        profile.runcall(pictures, model, faces)
        pstats.Stats(profile).sort_stats("tottime").print_stats(25)
    drawn = _median(lambda: pictures(model, faces), asked.rounds)
    document = handout(model, PAPERS["letter"], faces)
    written = _median(lambda: pdf_bytes(document, faces, date=DATE), asked.rounds)
    print(f"{model.project.project.title}: {len(document.pages)} pages")
    print(f"pictures {drawn:7.1f} ms")
    print(f"PDF      {written:7.1f} ms")
    print(f"ratio    {drawn / written:7.2f} (<= 1)")
    return int(drawn > written)


def pictures(model: Model, faces: Faces) -> None:
    """Everything that cover and step pages draw."""
    steps = planned_steps(model)
    stage = set_stage(model, steps)
    cover(model, stage, PAPERS["letter"], faces)
    set_steps(stage, steps, Composer(PAPERS["letter"], faces, "Steps"))


def _model(path: Path) -> Model:
    model, problems = check_file(path)
    if model is None:
        raise SystemExit("\n".join(problem.message for problem in problems))
    return model


def _largest(model: Model) -> float:
    return max(float(w * h) for w, h in (pattern.blank for pattern in model.patterns))


def _median(work: Callable[[], object], rounds: int) -> float:
    """Processor time of one round in ms."""
    times = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        times.append((time.process_time() - start) * 1000)
    return statistics.median(times)


if __name__ == "__main__":
    sys.exit(main())
