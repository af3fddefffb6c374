"""Calendars of due dates and charging times as bytes (RFC 5545): no address, no word about who is at home."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta

from icalendar import Calendar, Event

from service.reminders.domain.news import CarTimes, DueItem

PRODUCT = "-//Plugward//Due dates//EN"


def due_dates(items: Iterable[DueItem], *, base_url: str, domain: str, stamped_on: date) -> str:
    """Return the due dates as all-day events; the same recheck keeps its UID, so a calendar moves it."""
    calendar = _calendar("Charging: what is due")
    for item in items:
        event = Event()
        event.add("uid", f"recheck-{item.uid}@{domain}")
        event.add("dtstamp", _midnight(stamped_on))
        event.add("dtstart", item.due_on)
        event.add("dtend", item.due_on + timedelta(days=1))
        event.add("summary", f"To be checked again: {_plain(item.label)}")
        claimed = " The date is claimed: its document is missing." if item.is_claimed else ""
        event.add("description", f"Rule: {_plain(item.rule)}.{claimed}")
        event.add("url", base_url.rstrip("/") + item.act)
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return _written(calendar)


def charging_times(cars: Iterable[CarTimes], *, domain: str, stamped_on: date) -> str:
    """Return the charging times that hold now; nothing else of the plan, and no departure."""
    calendar = _calendar("Charging times")
    for number, car in enumerate(cars):
        for charging in car.times:
            event = Event()
            event.add("uid", f"charging-{number}-{charging.starts_at.astimezone(UTC):%Y%m%dT%H%MZ}@{domain}")
            event.add("dtstamp", _midnight(stamped_on))
            event.add("dtstart", charging.starts_at.astimezone(UTC))
            event.add("dtend", charging.ends_at.astimezone(UTC))
            event.add("summary", f"Charging: {_plain(car.label)}")
            event.add("transp", "TRANSPARENT")
            calendar.add_component(event)
    return _written(calendar)


def _calendar(name: str) -> Calendar:
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    return calendar


def _written(calendar: Calendar) -> str:
    return calendar.to_ical().decode()


def _midnight(day: date) -> datetime:
    return datetime.combine(day, time(), UTC)


def _plain(text: str) -> str:
    """Return words on one line without control characters."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
