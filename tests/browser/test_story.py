"""The main story, played once through the pages on a demo of its own."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser

from tests.browser.chromium import chromium_path
from tests.browser.demo import running_demo
from tests.browser.story import Told, play
from tests.needs import must_have

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def told(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Told:
    """What the people of the story saw."""
    must_have("Chromium", chromium_path() is not None)
    with running_demo(tmp_path_factory.mktemp("story")) as demo:
        return play(browser, demo)


def test_the_preview_says_how_many_homes_would_move_before_anything_is_published(told: Told) -> None:
    words = " ".join(told.preview.split())
    moving = re.search(r"Charging times would move in (\d+) homes", words)
    assert moving and int(moving[1]) > 0
    assert re.search(r"Homes on this tariff (\d+) homes", words)
    assert "Every home whose prices change was planned anew for this answer." in words


def test_the_progress_is_watched_until_it_ends_with_the_homes_that_the_preview_named(told: Told) -> None:
    promised = re.search(r"Charging times would move in (\d+) homes", " ".join(told.preview.split()))
    assert promised and told.progress[-1].startswith("Finished.")
    assert f"charging times moved in {promised[1]} homes" in told.progress[-1]


def test_a_members_charging_times_move_from_the_old_cheap_hours_to_the_new(told: Told) -> None:
    before = [time for time in told.before if time.on >= told.valid_from_on]
    after = [time for time in told.after if time.on >= told.valid_from_on]
    assert before and all(time.starts_at >= "01:00" and time.ends_at <= "05:00" for time in before)
    assert after and all(time.starts_at >= "02:30" and time.ends_at <= "06:30" for time in after)
    assert before != after


def test_the_member_is_told_the_times_that_the_plan_now_has(told: Told) -> None:
    assert told.letter.startswith("Hello Bao Tranmere,")
    for time in told.after:
        assert f"{time.on:%A} {time.on.day} {time.on:%B}, {time.starts_at} to {time.ends_at}" in told.letter


def test_the_browser_has_nothing_to_complain_of_in_the_whole_story(told: Told) -> None:
    assert told.complaints == []
