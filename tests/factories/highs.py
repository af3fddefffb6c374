"""HiGHS without its banner: the first model of a process prints two lines before any option can be set."""

from __future__ import annotations

import os
import sys
from typing import Any

import highspy


def new_highs() -> Any:
    """Return a solver that prints nothing, at its making or later."""
    sys.stdout.flush()
    kept = os.dup(1)
    silent = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(silent, 1)
        solver = highspy.Highs()
        solver.setOptionValue("output_flag", False)
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(silent)
    return solver
