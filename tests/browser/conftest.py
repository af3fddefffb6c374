"""A running demo for all browser tests, a browser for each module, windows of signed-in people for each test."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.chromium import chromium_path, open_chromium
from tests.browser.demo import Demo, running_demo
from tests.browser.visitor import WITHIN_MS, Visitor, signed_in_state
from tests.needs import must_have

Visit = Callable[..., Visitor]
StateOf = Callable[[Browser, str], Any]

expect.set_options(timeout=WITHIN_MS)  # as long as every other wait: the machine may be busy


@pytest.fixture(scope="session")
def _installed_chromium() -> None:
    must_have("Chromium", chromium_path() is not None)


@pytest.fixture(scope="session")
def demo(_installed_chromium: None, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Demo]:
    """The demo that the tests of one run share; none of them publishes in it."""
    with running_demo(tmp_path_factory.mktemp("demo")) as running:
        yield running


@pytest.fixture(scope="module")
def browser(_installed_chromium: None) -> Iterator[Browser]:
    """A browser; for one module only, because its event loop would be in the way of other tests."""
    with open_chromium() as opened:
        yield opened


@pytest.fixture(scope="session")
def state_of(demo: Demo) -> StateOf:
    """Return a function that gives a person's cookies: each signs in once in a run."""
    kept: dict[str, Any] = {}

    def signed_in_once(browser: Browser, who: str) -> Any:
        if who not in kept:
            kept[who] = signed_in_state(browser, demo, who)
        return kept[who]

    return signed_in_once


@pytest.fixture
def visit(browser: Browser, demo: Demo, state_of: StateOf) -> Iterator[Visit]:
    """Return a function that opens a window, signed in where an address is given; closed after the test."""
    opened: list[Visitor] = []

    def open_window(who: str | None = None, **more: Any) -> Visitor:
        state = None if who is None else state_of(browser, who)
        opened.append(Visitor(browser, demo, storage_state=state, **more))
        return opened[-1]

    yield open_window
    for visitor in opened:
        visitor.close()
