"""The measure itself: it finds what it is there to find, and is quiet where nothing is wrong."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser

from tests.browser.looks import Look, look_at

pytestmark = pytest.mark.browser

Measure = Callable[[str], Look]

GOOD = "<p style='font: 16px sans-serif'>one line of text</p>"


@pytest.fixture
def look(browser: Browser) -> Iterator[Measure]:
    """Return a function that measures a piece of a page at 360 px."""
    context = browser.new_context()
    page = context.new_page()

    def measure(html: str) -> Look:
        page.set_content(f"<!doctype html><body>{html}")
        return look_at(page, width=360)

    yield measure
    context.close()


def test_a_plain_paragraph_is_fine(look: Measure) -> None:
    assert look(GOOD) == Look(16, "one line of text", (), ())


def test_small_print_is_found(look: Measure) -> None:
    assert look(f"{GOOD}<p style='font-size: 10.5px'>small print</p>").smallest_px == 10.5


def test_text_in_a_shrunk_picture_counts_as_it_is_drawn(look: Measure) -> None:
    picture = "<svg viewBox='0 0 1200 100' width='300'><text y='50' font-size='16'>shrunk</text></svg>"
    found = look(GOOD + picture)
    assert (found.smallest_text, found.smallest_px) == ("shrunk", 4)


def test_text_beyond_the_edge_is_found(look: Measure) -> None:
    assert "far" in look(f"{GOOD}<p style='position: absolute; left: 350px'>far</p>").too_wide


def test_text_over_text_is_found(look: Measure) -> None:
    both = "<b style='position: absolute; top: 40px'>Remove</b><b style='position: absolute; top: 45px'>Add</b>"
    assert look(GOOD + both).overlaps == ("'Remove' and 'Add' lie over each other",)


def test_words_for_screen_readers_alone_are_left_out(look: Measure) -> None:
    assert look(f"{GOOD}<span class='unseen' style='font-size: 4px'>unseen</span>").smallest_px == 16
