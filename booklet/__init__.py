"""booklet compiles a paper-craft project written in TOML into a printed booklet."""

__version__ = "0.1.0"
