"""Calendars that other programs read: due dates as days, charging as instants, and nothing that nobody asked for."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from service.reminders.documents import charging_times, due_dates
from service.reminders.domain.news import CarTimes, ChargingTime, DueItem

ITEM = DueItem("Drive socket", date(2026, 12, 31), "checked every month (common practice)", 5, "/check", "r1", True)
BASE = {"base_url": "https://charging.example/", "domain": "mail.example", "stamped_on": date(2026, 11, 25)}


def _events(text: str) -> list[dict[str, object]]:
    calendar = Calendar.from_ical(text)
    return [{name.lower(): value for name, value in event.items()} for event in calendar.walk("VEVENT")]


def test_a_due_date_is_a_whole_day_with_its_rule_and_the_page_where_it_is_done() -> None:
    text = due_dates([ITEM], **BASE)
    [event] = _events(text)
    assert event["dtstart"].dt == date(2026, 12, 31) and event["dtend"].dt == date(2027, 1, 1)  # type: ignore[attr-defined]
    assert event["uid"] == "recheck-r1@mail.example"
    assert event["url"] == "https://charging.example/check"
    assert "checked every month" in str(event["description"]) and "document is missing" in str(event["description"])
    assert Calendar.from_ical(text)["method"] == "PUBLISH"
    assert "\r\n" in text and max(len(line.encode()) for line in text.split("\r\n")) <= 75


def test_the_same_recheck_keeps_its_uid_and_the_same_values_give_the_same_bytes() -> None:
    moved = DueItem(**{**ITEM.__dict__, "due_on": date(2027, 1, 14)})
    assert _events(due_dates([moved], **BASE))[0]["uid"] == _events(due_dates([ITEM], **BASE))[0]["uid"]
    assert due_dates([ITEM], **BASE) == due_dates([ITEM], **BASE)


def test_charging_times_are_instants_and_say_no_more_than_which_car() -> None:
    night = ChargingTime(datetime(2026, 11, 26, 0, 30, tzinfo=UTC), datetime(2026, 11, 26, 4, 0, tzinfo=UTC))
    cars = [CarTimes("Hatchback", (night,))]
    [event] = _events(charging_times(cars, domain="mail.example", stamped_on=date(2026, 11, 25)))
    assert event["dtstart"].dt == night.starts_at and event["dtend"].dt == night.ends_at  # type: ignore[attr-defined]
    assert set(event) == {"uid", "dtstamp", "dtstart", "dtend", "summary", "transp"}
    assert event["summary"] == "Charging: Hatchback"


@pytest.mark.parametrize(
    ("starts_at", "clock", "hours"),
    [
        (datetime(2026, 3, 29, 0, 30, tzinfo=UTC), ("00:30", "05:30"), 4),
        (datetime(2026, 10, 24, 23, 30, tzinfo=UTC), ("00:30", "05:30"), 6),
        (datetime(2026, 10, 25, 0, 30, tzinfo=UTC), ("01:30", "01:30"), 1),
    ],
)
def test_another_reader_finds_the_instants_of_a_charging_time_over_a_clock_change(
    starts_at: datetime, clock: tuple[str, str], hours: int
) -> None:
    charging = ChargingTime(starts_at, starts_at + timedelta(hours=hours))
    text = charging_times([CarTimes("Hatchback", (charging,))], domain="mail.example", stamped_on=date(2026, 3, 1))
    [event] = _events(text)
    first, last = (event[name].dt for name in ("dtstart", "dtend"))  # type: ignore[attr-defined]
    assert (first, last - first) == (starts_at, timedelta(hours=hours))
    london = ZoneInfo("Europe/London")
    assert tuple(f"{each.astimezone(london):%H:%M}" for each in (first, last)) == clock
    assert "RRULE" not in text  # repeated on the wall clock, the night of the change would have other hours


def test_a_label_cannot_forge_a_line() -> None:
    nasty = DueItem("x\r\nATTENDEE:mailto:a@b.example\nEND:VEVENT", date(2026, 12, 31), "r\nBEGIN:VALARM", 5)
    [event] = _events(due_dates([nasty], **BASE))
    assert "attendee" not in event and "VALARM" in str(event["description"])


def test_an_empty_calendar_is_still_a_calendar() -> None:
    assert Calendar.from_ical(due_dates([], **BASE))["version"] == "2.0"
