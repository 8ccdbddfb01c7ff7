"""`python -m booklet` is the same as `booklet`."""

from booklet.command.line import run

raise SystemExit(run())
