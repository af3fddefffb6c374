"""That charging times moved: a tip, which can be muted."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from zoneinfo import ZoneInfo

from service.infrastructure.mail.queue import Rendered
from service.reminders.domain.news import CarTimes, ChargingTime, PlanNews, Reader, Why
from service.reminders.emails.layout import (
    Link,
    Listed,
    Paragraph,
    Part,
    Small,
    day_in_words,
    ending,
    greeting,
    page_url,
    rendered,
)

SHOWN_TIMES_MAX = 14
"""Own choice: two charging times a day for a week; a longer list is read better on the page."""

NEWS_OF = {
    Why.TARIFF_CHANGE: "Your tariff's prices changed.",
    Why.PRICES_ARRIVED: "New half-hourly prices have arrived.",
    Why.NEW_DAY: "The week ahead was planned afresh for the new day.",
    Why.HOUSEHOLD_CHANGE: "Something that your plan is made from was changed.",
}


def plan_changed(news: PlanNews, reader: Reader, *, base_url: str, mute_url: str | None = None) -> Rendered:
    """Tell a member the new charging times, and why they moved; ``mute_url`` is where such mail is turned off."""
    parts: list[Part] = [
        greeting(reader),
        Paragraph(f"{_why(news)} These are the charging times that now hold. Set your timers to them."),
        *(Listed(car.label, tuple(_time_lines(car, news.zone))) for car in news.cars),
    ]
    if news.is_short:
        parts.append(Paragraph("Not all of the charge you need fits. Open the plan to see why, and what to do."))
    link = Link("See the whole plan, after signing in:", page_url(base_url, "/today"), "Open the plan")
    parts += ending(reader, link)
    if mute_url:
        parts.append(Small(f"No more mail about charging times? Turn it off here: {mute_url}"))
    return rendered("New charging times", parts)


def _why(news: PlanNews) -> str:
    if news.why is Why.TARIFF_CHANGE and news.since_on is not None:
        verb = "change" if news.since_on > news.today else "changed"
        return f"Your tariff's prices {verb} from {day_in_words(news.since_on)} {news.since_on.year}."
    return NEWS_OF[news.why]


def _time_lines(car: CarTimes, zone: ZoneInfo) -> Iterable[str]:
    if not car.times:
        yield "No charging is planned in the coming days."
    for time in car.times[:SHOWN_TIMES_MAX]:
        yield _time_line(time, zone)
    if len(car.times) > SHOWN_TIMES_MAX:
        yield f"And {len(car.times) - SHOWN_TIMES_MAX} more in the plan."


def _time_line(time: ChargingTime, zone: ZoneInfo) -> str:
    starts, ends = time.starts_at.astimezone(zone), time.ends_at.astimezone(zone)
    # On the night of a clock change the same hour comes twice, or one is missing: say which clock is meant.
    is_told = starts.utcoffset() != ends.utcoffset() or _comes_twice(starts) or _comes_twice(ends)
    start, end = (f"{each:%H:%M}" + (f" {each.tzname()}" if is_told else "") for each in (starts, ends))
    end_day = "" if starts.date() == ends.date() else f"{day_in_words(ends.date())}, "
    return f"{day_in_words(starts.date())}, {start} to {end_day}{end}"


def _comes_twice(local: datetime) -> bool:
    return local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
