"""What a test needs from the machine: without it the test is skipped, but never where everything must be there."""

from __future__ import annotations

import os

import pytest


def must_have(what: str, is_there: bool) -> None:
    """Skip the test where ``what`` is missing; with ``CI=true`` fail instead, so that nothing goes unseen."""
    if is_there:
        return
    if os.environ.get("CI") == "true":
        pytest.fail(f"{what} is missing, and with CI=true nothing may be skipped", pytrace=False)
    pytest.skip(f"{what} is missing")
