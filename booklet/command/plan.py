"""`booklet plan`: the cutting plan, supplies and cost in the terminal, and what a leftover is for.

In: a project file (or a folder, with a leftover) and options. Out: tables or JSON on stdout,
problems on stderr, the exit status.
"""

from __future__ import annotations

import json
import pathlib
import sys

from booklet.command.check import print_problems, status
from booklet.command.plan_text import plan_lines
from booklet.command.show import harmless
from booklet.report import report
from booklet.stages import Asked, check_file


def plan(name: str, asked: Asked, as_json: bool) -> int:
    """Plan one project; one with errors has its problems only."""
    path = pathlib.Path(name)
    if path.is_dir():
        print(
            f"booklet: {harmless(name)} is a folder: name a project file, or ask what a leftover "
            'is good for, as in --leftover "6 x 8 in card"',
            file=sys.stderr,
        )
        return 2
    model, problems = check_file(path, asked)
    print_problems(problems)
    code = status(problems, strict=False)
    if as_json:
        whole = report(model, problems)
        kept = {key: whole[key] for key in ("problems", "stock", "supplies", "cost")}
        print(json.dumps(kept, indent=1, ensure_ascii=False))
    elif code == 0 and model is not None:
        print("\n".join(plan_lines(model)))
    else:
        print(f"{harmless(name)}: no plan, mend the errors first", file=sys.stderr)
    return code
