"""Run every check against a published source and print one JSON object a row."""

from __future__ import annotations

import json
import sys
from typing import Any

import pytest


class Rows:
    """Collects what each reference test recorded."""

    def __init__(self) -> None:
        self.rows: list[dict[str, Any]] = []

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Keep the row of each finished test."""
        if report.when == "call":
            kept = dict(report.user_properties)
            row = {name: kept.get(name) for name in ("source", "expected", "got")}
            self.rows.append({**row, "passed": report.passed, "test": report.nodeid})


def main() -> int:
    """Print the rows; return pytest's exit code."""
    rows = Rows()
    # Its own options: the usual ones ask the terminal reporter for a summary, and here only rows are printed.
    options = ["-o", "addopts=--import-mode=importlib --strict-markers", "-m", "reference", "-p", "no:terminal"]
    code = pytest.main([*options, "tests"], plugins=[rows])
    for row in rows.rows:
        print(json.dumps(row))
    return int(code)


if __name__ == "__main__":
    sys.exit(main())
