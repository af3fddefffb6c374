"""The laying out: the same words in text and HTML, nothing that people typed forges anything, nothing is fetched."""

import re
from dataclasses import replace
from datetime import UTC, date, datetime
from html import unescape
from zoneinfo import ZoneInfo

import pytest

from service.infrastructure.mail.queue import Rendered
from service.reminders.domain.news import (
    CarTimes,
    ChargingTime,
    DueItem,
    OverdueHome,
    OverdueNews,
    PlanNews,
    Reader,
    StopNews,
    StoppedThing,
    UnreadNotice,
    Why,
)
from service.reminders.emails import (
    days_in_words,
    long_overdue,
    made_stricter_at_home,
    made_stricter_in_scheme,
    overdue_in_scheme,
    plan_changed,
    recheck_due,
    ring_about,
    stopped_at_home,
    stopped_in_scheme,
)

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
    """Return what a reader sees of the HTML; a button's label stands before its address, as in the text."""
    body = re.sub(r"</a></p>\s*<p[^>]*>", ": ", html[html.index("<body>") :])
    return _words(re.sub(r"\s+:", ":", unescape(re.sub(r"<[^>]+>", " ", body))))


STOP = StopNews(
    "h" * 32, "H-7", True, ("Plug or socket warm",), (StoppedThing("Blue lead", ("a test it passed",)),), ("End it.",)
)
RISEN = OverdueNews((OverdueHome("H-7", 2, 21),), (OverdueHome("H-9", 1, 8),), 3)
UNREAD = (UnreadNotice("H-7", "Stop charging at home", datetime(2026, 11, 24, 2, 5, tzinfo=UTC), "unread"),)
EVERY = {
    "plan": _plan(),
    "short plan": _plan(replace(NEWS, is_short=True)),
    "plan with a way out": plan_changed(NEWS, READER, base_url=BASE, mute_url=f"{BASE}/api/v1/mute/x"),
    "recheck": recheck_due(ITEMS, READER, base_url=BASE),
    "overdue": overdue_in_scheme(RISEN, READER, base_url=BASE),
    "long overdue": long_overdue(ITEMS, READER, base_url=BASE),
    "stop at home": stopped_at_home(STOP, READER, base_url=BASE),
    "stop in scheme": stopped_in_scheme(STOP, READER, base_url=BASE),
    "stricter at home": made_stricter_at_home(STOP, READER, base_url=BASE),
    "stricter in scheme": made_stricter_in_scheme(STOP, READER, base_url=BASE),
    "ring": ring_about(UNREAD, READER, base_url=BASE, zone=LONDON),
}
every_message = pytest.mark.parametrize("message", EVERY.values(), ids=list(EVERY))


@every_message
def test_text_and_html_hold_the_same_words(message: Rendered) -> None:
    assert _html_words(message.html) == _words(message.text)


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


def test_a_scheme_without_named_contacts_still_says_whom_to_ask() -> None:
    assert "Ask those who run your scheme." in _plan(reader=Reader("Ada", ())).text


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
        assert re.findall(r'href="([^"]*)"', message.html) == re.findall(r'href="([^"]*)"', plain.html)
        assert not re.search(r"[\r\x0b\x85\u2028]", message.text + message.html)
        assert "\nBcc" not in message.text and "\nHello\n" not in message.text
        assert _html_words(message.html) == _words(message.text)


@every_message
def test_html_fetches_nothing_and_sets_no_colour_that_a_dark_background_would_swallow(message: Rendered) -> None:
    assert '<meta name="color-scheme" content="light dark">' in message.html
    assert not re.search(r"bgcolor|<font|<script|<img|<link|@import|url\(|background", message.html)
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}\b", message.html)) <= {"#808080"}
    # Contrast of the one grey with white and with black: that of borders, at least 3 (WCAG 1.4.11).
    grey = ((0x80 / 255 + 0.055) / 1.055) ** 2.4
    assert min(1.05 / (grey + 0.05), (grey + 0.05) / 0.05) >= 3


@every_message
def test_every_link_is_ours_and_leads_to_a_page(message: Rendered) -> None:
    links = re.findall(r'href="([^"]*)"', message.html)
    assert links and all(link.startswith(f"{BASE}/") for link in links)


ABSENCE_WORDS = r"\b(away|absen\w*|holiday|leav\w*|out of|empty|return\w*|depart\w*|journey\w*|trip\w*|work)\b"


EVERY_CAUSE = [_plan(replace(NEWS, is_short=True, why=why)) for why in Why]


@pytest.mark.parametrize("message", [*EVERY_CAUSE, EVERY["recheck"], EVERY["overdue"], EVERY["ring"]])
def test_no_message_tells_when_nobody_is_at_home(message: Rendered) -> None:
    assert not re.search(ABSENCE_WORDS, message.subject + message.text, re.IGNORECASE)
