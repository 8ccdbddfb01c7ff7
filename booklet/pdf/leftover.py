"""What a run that was killed left beside its output: the next run takes it away.

In: a folder and how such names look. Out: the folder without them. A file or folder aside is held
by a lock as long as its run lives; the system lets go of the lock when the run ends, however it
ends.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import stat
import sys
import time
from pathlib import Path
from typing import Final

YOUNG: Final = 60.0
"""Seconds for which anything aside is left alone: it may be about to be held."""


def hold(descriptor: int) -> bool:
    """Marks an open file or folder as in use until it is closed; False where another run did.

    On systems or disks without such locks everything counts as held.
    """
    if sys.platform == "win32":
        return False
    import fcntl

    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def clear_leftovers(folder: Path, pattern: str) -> None:
    """Removes files and folders of that pattern that no run holds any more."""
    with contextlib.suppress(OSError):
        for path in folder.glob(pattern):
            with contextlib.suppress(OSError):
                _clear(path)


def _clear(path: Path) -> None:
    # A link or a pipe is no leftover, and opening a pipe would wait.
    mode = path.lstat().st_mode
    if not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):
        return
    if abs(time.time() - path.lstat().st_mtime) < YOUNG:
        return
    descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0))
    try:
        if hold(descriptor):
            if stat.S_ISDIR(mode):
                shutil.rmtree(path)
            else:
                path.unlink()
    finally:
        os.close(descriptor)
