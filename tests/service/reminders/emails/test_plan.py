"""New charging times by car, in the household's zone, and why they moved."""

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from service.infrastructure.mail.queue import Rendered
from service.reminders.domain.news import CarTimes, ChargingTime, PlanNews, Reader, Why
from service.reminders.emails import SHOWN_TIMES_MAX, plan_changed

LONDON = ZoneInfo("Europe/London")
READER = Reader("Ada Finch", ("Rowan Ellery", "Jo Marsh"))
NIGHT = ChargingTime(datetime(2026, 11, 26, 0, 30, tzinfo=UTC), datetime(2026, 11, 26, 4, 0, tzinfo=UTC))
NEWS = PlanNews(
    why=Why.TARIFF_CHANGE,
    since_on=date(2026, 12, 1),
    zone=LONDON,
    today=date(2026, 11, 25),
    cars=(CarTimes("Hatchback", (NIGHT,)), CarTimes("Estate", ())),
    is_short=False,
)


def _plan(news: PlanNews = NEWS, reader: Reader = READER) -> Rendered:
    return plan_changed(news, reader, base_url="https://charging.example")


def test_new_times_are_told_by_car_with_weekdays_in_the_households_zone() -> None:
    message = _plan()
    assert message.subject == "New charging times"
    assert "Hello Ada Finch," in message.text
    assert "Hatchback\n- Thursday 26 November, 00:30 to 04:00" in message.text
    assert "Estate\n- No charging is planned in the coming days." in message.text
    adelaide = _plan(replace(NEWS, zone=ZoneInfo("Australia/Adelaide"))).text
    assert "- Thursday 26 November, 11:00 to 14:30" in adelaide


@pytest.mark.parametrize(
    ("starts_at", "ends_at", "line"),
    [
        ((2026, 11, 26, 23, 0), (2026, 11, 27, 3, 0), "Thursday 26 November, 23:00 to Friday 27 November, 03:00"),
        ((2026, 7, 1, 23, 30), (2026, 7, 2, 1, 0), "Thursday 2 July, 00:30 to 02:00"),
        ((2026, 10, 25, 0, 0), (2026, 10, 25, 1, 30), "Sunday 25 October, 01:00 BST to 01:30 GMT"),
        ((2026, 10, 25, 1, 0), (2026, 10, 25, 3, 0), "Sunday 25 October, 01:00 GMT to 03:00 GMT"),
        ((2026, 3, 29, 0, 30), (2026, 3, 29, 2, 0), "Sunday 29 March, 00:30 GMT to 03:00 BST"),
        ((2026, 3, 29, 1, 0), (2026, 3, 29, 2, 0), "Sunday 29 March, 02:00 to 03:00"),
    ],
)
def test_midnights_and_clock_changes_are_told_without_doubt(
    starts_at: tuple[int, ...], ends_at: tuple[int, ...], line: str
) -> None:
    time = ChargingTime(datetime(*starts_at, tzinfo=UTC), datetime(*ends_at, tzinfo=UTC))  # type: ignore[misc,arg-type]
    assert f"- {line}\n" in _plan(replace(NEWS, cars=(CarTimes("Hatchback", (time,)),))).text


@pytest.mark.parametrize(
    ("why", "since_on", "words"),
    [
        (Why.TARIFF_CHANGE, date(2026, 12, 1), "Your tariff's prices change from Tuesday 1 December 2026."),
        (Why.TARIFF_CHANGE, date(2026, 11, 25), "Your tariff's prices changed from Wednesday 25 November 2026."),
        (Why.TARIFF_CHANGE, None, "Your tariff's prices changed."),
        (Why.PRICES_ARRIVED, None, "New half-hourly prices have arrived."),
        (Why.NEW_DAY, None, "The week ahead was planned afresh for the new day."),
        (Why.HOUSEHOLD_CHANGE, None, "Something that your plan is made from was changed."),
    ],
)
def test_the_cause_is_told(why: Why, since_on: date | None, words: str) -> None:
    assert words in _plan(replace(NEWS, why=why, since_on=since_on)).text


def test_many_times_are_cut_with_their_number_told() -> None:
    times = tuple(
        ChargingTime(NIGHT.starts_at + timedelta(hours=5 * step), NIGHT.starts_at + timedelta(hours=5 * step + 1))
        for step in range(SHOWN_TIMES_MAX + 3)
    )
    text = _plan(replace(NEWS, cars=(CarTimes("Hatchback", times),))).text
    assert len(re.findall(r"^- \w+day ", text, re.MULTILINE)) == SHOWN_TIMES_MAX
    assert "- And 3 more in the plan." in text


def test_a_plan_that_falls_short_says_so() -> None:
    words = "Not all of the charge you need fits."
    assert words in _plan(replace(NEWS, is_short=True)).text
    assert words not in _plan().text


def test_the_message_ends_with_link_cautions_and_who_to_ask() -> None:
    text = _plan().text
    ending = text[text.index("signing in:") :]
    assert "\nOpen the plan: https://charging.example/today\n" in ending
    assert " ".join(ending.split()).endswith(
        "This is advice from the facts entered; only a competent electrician on site can pass an installation. "
        "Smell, scorch, noise or heat: stop, switch off, do not reset and carry on. "
        "Anything unclear? Ask those who run your scheme: Rowan Ellery, Jo Marsh."
    )
    assert 'href="https://charging.example/today"' in _plan().html
