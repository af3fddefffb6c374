"""Chromium as the tests start it: found on the machine, offline, without what a person's browser does in the back."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, sync_playwright

ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--lang=en-GB",
)


def chromium_path() -> str | None:
    """Return where Chromium is installed, or None."""
    return next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)


@contextmanager
def open_chromium() -> Iterator[Browser]:
    """Start Chromium without a window, and close it at the end."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=list(ARGUMENTS))
        try:
            yield browser
        finally:
            browser.close()
