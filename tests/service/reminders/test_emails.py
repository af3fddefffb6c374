"""Messages say the same in text and HTML, escape what people typed, and keep to what may be told."""

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from html import unescape
from zoneinfo import ZoneInfo

import pytest

from service.infrastructure.mail.queue import Rendered
from service.reminders.domain.news import CarTimes, ChargingTime, DueItem, PlanNews, Reader, Why
from service.reminders.emails import SHOWN_TIMES_MAX, days_in_words, plan_changed, recheck_due

BASE = "https://charging.example"
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
ITEMS = (
    DueItem("Drive socket", date(2026, 12, 9), "the newest inspection's next due date", 14),
    DueItem("Blue lead", date(2026, 11, 18), "look at it every month", -7),
)


def _plan(news: PlanNews = NEWS, reader: Reader = READER) -> Rendered:
    return plan_changed(news, reader, base_url=BASE)


def _words(text: str) -> list[str]:
    """Return the words of a body, list bullets apart."""
    return [word for word in text.split() if word != "-"]


def _html_words(html: str) -> list[str]:
    body = html[html.index("<body>") :]
    return _words(unescape(re.sub(r"<[^>]+>", " ", body)))


@pytest.mark.parametrize(
    "message", [_plan(), _plan(replace(NEWS, is_short=True)), recheck_due(ITEMS, READER, base_url=BASE)]
)
def test_text_and_html_hold_the_same_words(message: Rendered) -> None:
    assert _html_words(message.html) == _words(message.text)


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


def test_due_items_are_listed_with_date_distance_and_rule() -> None:
    message = recheck_due(ITEMS, READER, base_url=BASE)
    assert message.subject == "2 rechecks are due"
    assert "Drive socket\n- Due Wednesday 9 December 2026: in 14 days.\n- Rule: the newest" in message.text
    assert "Blue lead\n- Due Wednesday 18 November 2026: overdue by 7 days." in message.text
    assert recheck_due(ITEMS[:1], READER, base_url=BASE).subject == "A recheck is due"


@pytest.mark.parametrize(
    ("days_left", "words"),
    [
        (30, "in 30 days"),
        (1, "in 1 day"),
        (0, "today"),
        (-1, "overdue by 1 day"),
        (-21, "overdue by 21 days"),
    ],
)
def test_distances_read_as_people_say_them(days_left: int, words: str) -> None:
    assert days_in_words(days_left) == words


@pytest.mark.parametrize("message", [_plan(), recheck_due(ITEMS, READER, base_url=BASE)])
def test_every_message_ends_with_link_cautions_and_who_to_ask(message: Rendered) -> None:
    ending = message.text[message.text.index("signing in:") :]
    assert "\nhttps://charging.example/today\n" in ending
    assert " ".join(ending.split()).endswith(
        "This is advice from the facts entered; only a competent electrician on site can pass an installation. "
        "Smell, scorch, noise or heat: stop, switch off, do not reset and carry on. "
        "Anything unclear? Ask those who run your scheme: Rowan Ellery, Jo Marsh."
    )
    assert 'href="https://charging.example/today"' in message.html


def test_a_scheme_without_named_contacts_still_says_whom_to_ask() -> None:
    assert "Ask those who run your scheme." in _plan(reader=Reader("Ada", ())).text


@pytest.mark.parametrize("message", [_plan(), recheck_due(ITEMS, READER, base_url=BASE)])
def test_html_sets_no_colours_and_no_styles_so_that_dark_readers_keep_theirs(message: Rendered) -> None:
    assert '<meta name="color-scheme" content="light dark">' in message.html
    assert not re.search(r"style|color\s*:|bgcolor|<font|<script|<img", message.html)


NASTY = [
    "<script>alert(1)</script>",
    '"><a href="https://elsewhere.example">x</a>',
    "name\r\nBcc: x@y.example",
    "line\u2028break\u0085and\x0bmore",
    "=?UTF-8?Q?=0ABcc:_x@y?=",
    "- bullet\n\nHello",
]


@pytest.mark.parametrize("nasty", NASTY)
def test_what_people_typed_cannot_forge_markup_lines_or_subjects(nasty: str) -> None:
    cars = (CarTimes(nasty, (NIGHT,)),)
    plain_plan, plain_recheck = _plan(), recheck_due(ITEMS[:1], READER, base_url=BASE)
    plan = _plan(replace(NEWS, cars=cars), Reader(nasty, (nasty,)))
    recheck = recheck_due([DueItem(nasty, date(2026, 12, 9), nasty, 14)], Reader(nasty, (nasty,)), base_url=BASE)
    for message, plain in ((plan, plain_plan), (recheck, plain_recheck)):
        assert message.subject == plain.subject
        assert set(re.findall(r"<(\w+)", message.html)) == set(re.findall(r"<(\w+)", plain.html))
        assert re.findall(r'href="([^"]*)"', message.html) == ["https://charging.example/today"]
        assert not re.search(r"[\r\x0b\x85\u2028]", message.text + message.html)
        assert "\nBcc" not in message.text and "\nHello\n" not in message.text
        assert _html_words(message.html) == _words(message.text)


ABSENCE_WORDS = r"\b(away|absen\w*|holiday|leav\w*|out of|empty|return\w*|depart\w*|journey\w*|trip\w*|work)\b"


EVERY_CAUSE = [_plan(replace(NEWS, is_short=True, why=why)) for why in Why]


@pytest.mark.parametrize("message", [*EVERY_CAUSE, recheck_due(ITEMS, READER, base_url=BASE)])
def test_no_message_tells_when_nobody_is_at_home(message: Rendered) -> None:
    assert not re.search(ABSENCE_WORDS, message.subject + message.text, re.IGNORECASE)
